package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/cmd/halflid/keep"
)

// Photos of one name from three folders: two plans have a place in --out, the third
// is refused rather than written over one of them.
func TestPlansOfOneNameDoNotWriteOverEachOther(t *testing.T) {
	var files []string
	for _, squint := range []string{"1", "2", "3"} {
		_, file := quay(t)
		must(t, "plan", file, "--squint", squint)
		files = append(files, file)
	}
	out := t.TempDir()
	code, _, words := call(t, "plan", files[0], files[1], files[2], "--out", out)
	if code != exitFailed || !strings.Contains(words, "1 of 3 files failed") || !strings.Contains(words, "already: name another folder with --out") {
		t.Errorf("exit %d: %s", code, words)
	}
	for name, squint := range map[string]float64{"quay.plan.json": 1, "quay.png.plan.json": 2} {
		if f, err := keep.Load(filepath.Join(out, name)); err != nil || f.Plan.Squint != squint {
			t.Errorf("%s: squint %g, want %g (%v)", name, f.Plan.Squint, squint, err)
		}
	}
}

// A point in a name is no ending: the plan of my.quay.png is my.quay.plan.json
// wherever it is written, by the photo's name or by its own.
func TestPlanWithAPointInItsNameKeepsIt(t *testing.T) {
	dir := t.TempDir()
	photo := write(t, dir, "my.quay.png", encodePNG(t, quayPicture(100, 75)))
	must(t, "plan", photo)
	for _, named := range []string{photo, filepath.Join(dir, "my.quay.plan.json")} {
		out := t.TempDir()
		must(t, "plan", named, "--out", out)
		if _, err := os.Stat(filepath.Join(out, "my.quay.plan.json")); err != nil {
			t.Errorf("%s: %v", named, err)
		}
	}
}
