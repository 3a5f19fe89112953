package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

// The reading asks first and says the rest after it, each line once, and leaves
// no file behind.
func TestRead(t *testing.T) {
	dir, file := quay(t)
	var out, errw bytes.Buffer
	args := []string{"read", filepath.Join(dir, filepath.Base(file)), "--focal", "0.3,0.4,0.1", "--values", "3"}
	if code := run(args, nil, &out, &errw); code != exitDone {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	text := out.String()
	asks, says := strings.Index(text, "practice would ask"), strings.Index(text, "and it says")
	if says < 0 || asks > says {
		t.Errorf("asked at %d, said at %d:\n%s", asks, says, text)
	}
	for _, want := range []string{"quay.png: 6x8 in across", "Focal point", "%"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in:\n%s", want, text)
		}
	}
	seen := map[string]bool{}
	for _, l := range strings.Split(strings.TrimSpace(text), "\n") {
		if seen[l] {
			t.Errorf("said twice: %q", l)
		}
		seen[l] = true
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*.plan.*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	out.Reset()
	if code := run([]string{"read", "nowhere.jpg"}, nil, &out, &errw); code != exitFailed || !strings.Contains(errw.String(), "nowhere.jpg") {
		t.Errorf("exit %d: %s", code, errw.String())
	}
	if code := run([]string{"read"}, nil, &out, &errw); code != exitUsage {
		t.Errorf("exit %d without a file", code)
	}
}
