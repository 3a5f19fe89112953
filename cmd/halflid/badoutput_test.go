package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestOneFileTwice: a photo that is named twice, or with its plan, is no second
// window, whatever the order in which the files are done.
func TestOneFileTwice(t *testing.T) {
	dir, file := quay(t)
	if code, _, words := call(t, "plan", file); code != exitDone {
		t.Fatal(words)
	}
	kept := filepath.Join(dir, "quay.plan.json")
	linked := filepath.Join(t.TempDir(), "harbour")
	if err := os.Symlink(dir, linked); err != nil {
		linked = dir
	}
	for range 3 {
		for _, files := range [][]string{{file, file}, {file, kept}, {kept, file, dir + "/./quay.png"}, {file, filepath.Join(linked, "quay.png")}} {
			if code, _, words := call(t, append([]string{"plan", "--values", "3"}, files...)...); code != exitDone {
				t.Errorf("%q: exit %d, %s", files, code, words)
			}
		}
	}
	out := t.TempDir()
	code, _, words := call(t, "plan", file, dir+"/./quay.png", file, "--out", out)
	left, err := os.ReadDir(out)
	if code != exitDone || err != nil || len(left) != 2 {
		t.Errorf("one photo three times into a folder: exit %d, %s, %v", code, words, left)
	}
}

// TestNothingByHalves: where the picture cannot be written the plan is not either.
func TestNothingByHalves(t *testing.T) {
	dir, file := quay(t)
	if err := os.Mkdir(filepath.Join(dir, "quay.plan.png"), 0o755); err != nil {
		t.Fatal(err)
	}
	code, _, words := call(t, "plan", file)
	if code != exitFailed || !strings.Contains(words, "quay.plan.png was not saved: something that is no file") {
		t.Errorf("exit %d, %q", code, words)
	}
	if _, err := os.Stat(filepath.Join(dir, "quay.plan.json")); err == nil {
		t.Error("the plan was written, its picture not")
	}
	wall := filepath.Join(dir, "quay.plan.png", "x.png")
	if err := os.Mkdir(wall, 0o755); err != nil {
		t.Fatal(err)
	}
	if code, _, words := call(t, "crop", file, "-n", "1", "--keep", "--wall", wall); code != exitFailed {
		t.Errorf("exit %d, %q", code, words)
	}
	if _, err := os.Stat(filepath.Join(dir, "quay.plan.json")); err == nil {
		t.Error("the crops were kept, their wall was not written")
	}
}

// TestNoPageByHalves: where one page cannot be written none is.
func TestNoPageByHalves(t *testing.T) {
	dir, file := quay(t)
	if err := os.Mkdir(filepath.Join(dir, "quay-values.svg"), 0o755); err != nil {
		t.Fatal(err)
	}
	code, out, words := call(t, "sheet", file, "-o", filepath.Join(dir, "quay.svg"))
	if code != exitFailed || out != "" || !strings.Contains(words, "quay-values.svg was not saved") {
		t.Errorf("exit %d, %q, %q", code, out, words)
	}
	if left, err := filepath.Glob(filepath.Join(dir, "*.svg")); err != nil || len(left) != 1 {
		t.Errorf("pages were written: %v, %v", left, err)
	}
}

// TestOutIsNoFolder: --out says what is wrong with it and what to do.
func TestOutIsNoFolder(t *testing.T) {
	dir, file := quay(t)
	for _, out := range []string{file, filepath.Join(file, "plans")} {
		code, _, words := call(t, "plan", file, "--out", out)
		if code != exitFailed || !strings.Contains(words, file+" is no folder") || !strings.Contains(words, "--out") {
			t.Errorf("%s: exit %d, %q", out, code, words)
		}
	}
	long := filepath.Join(dir, strings.Repeat("q", 251)+".jpg")
	if err := os.Rename(file, long); err != nil {
		t.Skip("no such names here")
	}
	if code, _, words := call(t, "plan", long, "--out", t.TempDir()); code != exitFailed || !strings.Contains(words, "choose a shorter name") {
		t.Errorf("a long name: exit %d, %q", code, words)
	}
}

// What plan writes into a folder of plans can be gone on from there.
func TestPlanInAFolderOfPlans(t *testing.T) {
	dir, file := quay(t)
	plans := filepath.Join(dir, "plans")
	must(t, "plan", file, "--values", "2", "--out", plans)
	kept := filepath.Join(plans, "quay.plan.json")
	was := readFileT(t, kept)
	must(t, "read", kept)
	must(t, "plan", kept, "--values", "4")
	if bytes.Equal(readFileT(t, kept), was) {
		t.Error("the plan did not change there")
	}
	if _, err := os.Stat(filepath.Join(dir, "quay.plan.json")); err == nil {
		t.Error("another was made beside the photo")
	}
}

// TestPlanWithoutItsPhoto: a plan that lies elsewhere can be put beside its photo.
func TestPlanWithoutItsPhoto(t *testing.T) {
	dir, file := quay(t)
	away := t.TempDir()
	if code, _, words := call(t, "plan", file, "--values", "2", "--out", away); code != exitDone {
		t.Fatal(words)
	}
	plan := filepath.Join(away, "quay.plan.json")
	code, _, words := call(t, "show", plan)
	if code != exitFailed || !strings.Contains(words, "its photo quay.png is not beside it") || !strings.Contains(words, "or this plan beside the photo") {
		t.Errorf("exit %d, %q", code, words)
	}
	if err := os.Rename(plan, filepath.Join(dir, "quay.plan.json")); err != nil {
		t.Fatal(err)
	}
	if n, notes := tonesOf(t, file); n != 2 || notes != nil {
		t.Errorf("what the line says does not help: %d values, %q", n, notes)
	}
}

// TestRenamedPhoto: a plan that stayed behind when its photo was given another
// name is told of, and what can be done.
func TestRenamedPhoto(t *testing.T) {
	dir, file := quay(t)
	if code, _, words := call(t, "plan", file, "--values", "2"); code != exitDone {
		t.Fatal(words)
	}
	ship := filepath.Join(dir, "ship.png")
	if err := os.Rename(file, ship); err != nil {
		t.Fatal(err)
	}
	const line = "quay.plan.json was made for this picture when it was called quay.png: rename it to ship.plan.json to go on with it"
	if code, out, words := call(t, "show", ship); code != exitDone || out == "" || words != "halflid: note: "+line+"\n" {
		t.Errorf("exit %d, %q", code, words)
	}
	if n, notes := tonesOf(t, ship); n != 3 || !slices.Equal(notes, []string{line}) {
		t.Errorf("%d values, %q", n, notes)
	}
	if err := os.Rename(filepath.Join(dir, "quay.plan.json"), filepath.Join(dir, "ship.plan.json")); err != nil {
		t.Fatal(err)
	}
	if n, _ := tonesOf(t, ship); n != 2 {
		t.Errorf("what the line says does not help: %d values", n)
	}
}

// tonesOf returns how many values the plan of a photo has, and what is noted.
func tonesOf(t *testing.T, file string) (n int, notes []string) {
	t.Helper()
	code, out, words := call(t, "plan", file, "--json", "--out", t.TempDir())
	var all []report
	if err := json.Unmarshal([]byte(out), &all); code != exitDone || err != nil || len(all) != 1 {
		t.Fatalf("exit %d, %v, %q", code, err, words)
	}
	return len(all[0].Tones), all[0].Notes
}

// TestPicturesOfPlansArePassedOver: *.png names what an earlier run wrote too.
func TestPicturesOfPlansArePassedOver(t *testing.T) {
	dir, file := quay(t)
	write(t, dir, "shed.png", encodePNG(t, quayPicture(200, 150)))
	for run, want := range []string{"", "quay.plan.png and 1 more are pictures of plans", "quay.plan.png and 1 more are pictures of plans"} {
		pictures, err := filepath.Glob(filepath.Join(dir, "*.png"))
		if err != nil {
			t.Fatal(err)
		}
		code, out, words := call(t, append([]string{"plan"}, pictures...)...)
		if code != exitDone || strings.Count(out, "wrote") != 2 || !strings.Contains(words, want) || (words != "") != (want != "") {
			t.Errorf("run %d: exit %d, %q, %q", run, code, out, words)
		}
		if all, err := os.ReadDir(dir); err != nil || len(all) != 6 {
			t.Errorf("run %d leaves %v", run, all)
		}
	}
	own := filepath.Join(dir, "quay.plan.png")
	if code, out, words := call(t, "read", file, own); code != exitDone || strings.Contains(out, "plan.png") || !strings.Contains(words, "passed over") {
		t.Errorf("read: exit %d, %q, %q", code, out, words)
	}
	for _, c := range []string{"plan", "read"} {
		if code, out, words := call(t, c, own); code != exitFailed || out != "" || !strings.Contains(words, "is the picture of a plan, not a photo: name the photo") {
			t.Errorf("%s: exit %d, %q, %q", c, code, out, words)
		}
	}
}
