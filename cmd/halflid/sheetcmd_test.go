package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Each kind of file is written beside its name, several pages of SVG or PNG as one
// file each, and said; the same plan gives the same bytes.
func TestSheetWrites(t *testing.T) {
	notRacing(t)
	dir, file := quay(t)
	for _, c := range []struct {
		name, begins string
		files        []string
	}{
		{"q.pdf", "%PDF-", []string{"q.pdf"}},
		{"q.svg", "<?xml", []string{"q-outline.svg", "q-grid.svg", "q-values.svg", "q-steps.svg"}},
		{"q.png", "\x89PNG", []string{"q-outline.png", "q-grid.png", "q-values.png", "q-steps.png"}},
	} {
		var all [2][]byte
		for i := range all {
			code, out, words := call(t, "sheet", file, "-o", filepath.Join(dir, c.name), "--dpi", "60", "--json")
			if code != exitDone {
				t.Fatalf("%s: exit %d: %s", c.name, code, words)
			}
			var said []writtenPage
			if err := json.Unmarshal([]byte(out), &said); err != nil || len(said) != 4 {
				t.Fatalf("%s: said %s, %v", c.name, out, err)
			}
			for _, f := range c.files {
				data := readFileT(t, filepath.Join(dir, f))
				if !bytes.HasPrefix(data, []byte(c.begins)) {
					t.Errorf("%s begins with %q", f, data[:8])
				}
				all[i] = append(all[i], data...)
			}
		}
		if !bytes.Equal(all[0], all[1]) {
			t.Errorf("%s: the same plan gives other bytes", c.name)
		}
	}
	code, out, _ := call(t, "sheet", file, "--sheets", "values", "-o", "-")
	if code != exitDone || !strings.HasPrefix(out, "%PDF-") {
		t.Errorf("to standard output: exit %d, %.20q", code, out)
	}
	if code, out, words := call(t, "sheet", file, "--sheets", "outline"); code != exitDone || !strings.Contains(out, ".sheet.pdf: outline") {
		t.Errorf("beside the plan: exit %d, %s%s", code, out, words)
	}
}

func TestSheetRefuses(t *testing.T) {
	notRacing(t)
	dir, file := quay(t)
	before := readFileT(t, file)
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"--sheets", "poster"}, exitUsage, "choose outline, grid"},
		{[]string{"--paper", "a9"}, exitUsage, "there is no paper"},
		{[]string{"--grid", "1x1"}, exitUsage, "there is no grid"},
		{[]string{"--order", "best"}, exitUsage, "choose dark, light or large"},
		{[]string{"--dpi", "5"}, exitUsage, "out of range"},
		{[]string{"--long-side", "5"}, exitUsage, "out of range"},
		{[]string{"-o", "sheet.doc"}, exitUsage, ".pdf, .svg or .png"},
		{[]string{"-o", file, "--sheets", "outline"}, exitUsage, "write over the photo"},
		{[]string{"--sheets", "wall", "-o", filepath.Join(dir, "w.pdf")}, exitFailed, "keeps no thumbnails"},
		{[]string{"--thumbnail", "1"}, exitFailed, "keeps no thumbnails"},
	} {
		code, _, words := call(t, append([]string{"sheet", file}, c.args...)...)
		if code != c.code || !strings.Contains(words, c.says) {
			t.Errorf("%v: exit %d, %s", c.args, code, words)
		}
	}
	if !bytes.Equal(readFileT(t, file), before) {
		t.Error("the photo was written over")
	}
	if _, err := os.Stat(filepath.Join(dir, "w.pdf")); err == nil {
		t.Error("a wall of nothing was written")
	}
}
