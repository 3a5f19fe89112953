package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// On a full disk the commands that only look work; those that write say so in one
// line, leave the old plan as it was and nothing half written.
func TestCommandsOnAFullDisk(t *testing.T) {
	heavy(t)
	dir := tiny(t)
	file := write(t, dir, "quay.png", encodePNG(t, quayPicture(120, 90)))
	must(t, "plan", file, "--values", "3")
	if err := os.Remove(filepath.Join(dir, "quay.plan.png")); err != nil {
		t.Fatal(err)
	}
	free := fillUp(t, dir)
	before := tree(t, dir)
	for _, args := range [][]string{{"show", file}, {"read", file}, {"show", filepath.Join(dir, "quay.plan.json")}} {
		if code, out, words := call(t, args...); code != exitDone || out == "" {
			t.Errorf("%q: exit %d, %s", args, code, words)
		}
	}
	for _, args := range [][]string{{"plan", file, "--values", "4"}, {"plan", file, "--out", filepath.Join(dir, "out")}} {
		code, _, words := call(t, args...)
		if code != exitFailed || !strings.Contains(words, "disk is full") && !strings.Contains(words, "no space left") || strings.Count(words, "\n") != 1 {
			t.Errorf("%q: exit %d, %s", args, code, words)
		}
	}
	_ = os.Remove(filepath.Join(dir, "out")) // an empty folder has room even there
	if got := changed(before, tree(t, dir)); got != nil {
		t.Errorf("changed: %q", got)
	}
	free()
	must(t, "plan", file, "--values", "4")
}
