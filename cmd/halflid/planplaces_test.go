package main

import (
	"os"
	"path/filepath"
	"slices"
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

// The largest picture is 20000 pixels wide: more is a mistake in the command line,
// whether the photo is there or not.
func TestLongestPicture(t *testing.T) {
	for long, want := range map[string]int{"20000": exitFailed, "20001": exitUsage, "-1": exitUsage} {
		if code, _, words := call(t, "plan", filepath.Join(t.TempDir(), "gone.jpg"), "--long", long); code != want {
			t.Errorf("--long %s: exit %d, %s", long, code, words)
		}
	}
}

// Who writes the same plan waits for the last one before him.
func TestTurns(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	dir, file := quay(t)
	other := write(t, dir, "mole.png", readFileT(t, file))
	kept := filepath.Join(dir, "quay.plan.json")
	got := turns([]string{file, other, kept, dir + "/./quay.png", other, file}, make([]string, 6))
	if want := []int{-1, -1, 0, 2, 1, 3}; !slices.Equal(got, want) {
		t.Errorf("beside the photos: turns %v, want %v", got, want)
	}
	got = turns([]string{file, other, kept}, []string{"o/x", "o/y", "o/../o/x"})
	if want := []int{-1, -1, 0}; !slices.Equal(got, want) {
		t.Errorf("elsewhere: turns %v, want %v", got, want)
	}
}
