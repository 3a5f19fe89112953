package keep

import (
	"path/filepath"
	"strings"
	"testing"
)

func TestOrphan(t *testing.T) {
	dir := t.TempDir()
	photo := filepath.Join(dir, "ship.jpg")
	look := func() string {
		t.Helper()
		plan, was := Orphan(photo, sum)
		return plan + " " + was
	}
	if got := look(); got != " " {
		t.Errorf("an empty folder: %q", got)
	}
	other := aFile("quay.jpg", 1)
	other.Photo.SHA256 = strings.Repeat("1", 64)
	write(t, filepath.Join(dir, "a.plan.json"), other.Text())
	write(t, filepath.Join(dir, "b.plan.json"), []byte("{ "+sum))
	write(t, filepath.Join(dir, "boat.plan.json"), aFile("boat.jpg", 1).Text())
	if got := look(); got != "boat.plan.json boat.jpg" {
		t.Errorf("a photo that was called boat.jpg: %q", got)
	}
	write(t, filepath.Join(dir, "boat.jpg"), []byte("a copy"))
	if got := look(); got != " " {
		t.Errorf("its photo is there: %q", got)
	}
}
