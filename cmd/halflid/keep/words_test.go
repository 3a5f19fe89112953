package keep

import (
	"errors"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestSaveSaysWhatItIs: sheets and walls are saved here too, and are no plan.
func TestSaveSaysWhatItIs(t *testing.T) {
	dir := t.TempDir()
	for name, want := range map[string]string{
		"boat.plan.json": "the plan ", "boat.plan.png": "", "boat.pdf": "",
	} {
		path := filepath.Join(dir, name)
		if err := os.Mkdir(path, 0o755); err != nil {
			t.Fatal(err)
		}
		err := Save(path, []byte("x"))
		if !errors.Is(err, ErrNotFile) || !strings.HasPrefix(err.Error(), want+path+" was not saved: ") || want == "" && strings.Contains(err.Error(), "the plan") {
			t.Errorf("%s: %v", name, err)
		}
	}
	long := filepath.Join(dir, strings.Repeat("a", 300)+".pdf")
	if err := Save(long, []byte("x")); err == nil || !strings.HasSuffix(err.Error(), "; choose a shorter name") {
		t.Errorf("a name of 300 bytes: %v", err)
	}
}

// TestReady: what stands in the way is said before anything is written.
func TestReady(t *testing.T) {
	dir := t.TempDir()
	free := filepath.Join(dir, "not", "yet", "boat.plan.png")
	if err := Ready(free); err != nil {
		t.Errorf("a name that is free: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "not")); err == nil {
		t.Error("looking made a folder")
	}
	kept := filepath.Join(dir, "kept.plan.png")
	write(t, kept, []byte("kept"))
	if err := Ready(kept); err != nil {
		t.Errorf("a file that may be written: %v", err)
	}
	link := filepath.Join(dir, "link.plan.png")
	if err := os.Symlink(kept, link); err != nil {
		t.Skip("no links here")
	}
	err := Ready(link)
	if saved := Save(link, nil); err == nil || saved == nil || err.Error() != saved.Error() {
		t.Errorf("Ready says %v, Save %v", err, saved)
	}
}

// TestNowhereToKeep: without a home a plan is never put where the program happens
// to be started.
func TestNowhereToKeep(t *testing.T) {
	dir, ok := unwritable(t)
	if !ok {
		t.Skip("every folder can be written here")
	}
	photo := filepath.Join(dir, "boat.jpg")
	p, err := PathFor(photo, "")
	if err != nil || p.Path != filepath.Join(dir, "boat.plan.json") || !strings.Contains(p.Note, "HOME") {
		t.Errorf("%+v, %v", p, err)
	}
}

// TestNamesThatAreNoUTF8: old cards and archives carry names in other encodings;
// their plans are found again, and belong to them.
func TestNamesThatAreNoUTF8(t *testing.T) {
	dir := t.TempDir()
	photo := filepath.Join(dir, "mar\xe9e \xff\xfe.jpg")
	if os.WriteFile(photo, []byte("x"), 0o644) != nil {
		t.Skip("no such names here")
	}
	write(t, filepath.Join(dir, "mar\xc3\xa9e.jpg"), []byte("y"))
	p, err := PathFor(photo, t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	f := aFile(filepath.Base(photo), 1)
	if err := Save(p.Path, f.Text()); err != nil {
		t.Fatal(err)
	}
	f, err = Load(p.Path)
	if err != nil {
		t.Fatal(err)
	}
	if v := Match(f, filepath.Base(photo), sum, image.Pt(4000, 3000)); v.Likeness != Same {
		t.Errorf("its own plan: %+v", v)
	}
	if got := PhotoFor(p.Path, f); got != photo {
		t.Errorf("the plan leads to %q", got)
	}
	if again, err := PathFor(photo, t.TempDir()); err != nil || again.Path != p.Path {
		t.Errorf("found again at %q, %v", again.Path, err)
	}
}

// TestPhonePicturesAreTwins: a phone leaves boat.heic beside boat.jpg.
func TestPhonePicturesAreTwins(t *testing.T) {
	for _, ext := range []string{".heic", ".HEIC", ".heif", ".avif"} {
		dir := t.TempDir()
		write(t, filepath.Join(dir, "boat.jpg"), []byte("x"))
		write(t, filepath.Join(dir, "boat"+ext), []byte("y"))
		p, err := PathFor(filepath.Join(dir, "boat.jpg"), t.TempDir())
		if err != nil || filepath.Base(p.Path) != "boat.jpg.plan.json" {
			t.Errorf("%s: %+v, %v", ext, p, err)
		}
	}
}
