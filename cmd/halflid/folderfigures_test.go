package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// How long a folder of a thousand photographs takes from the start of the program
// to its first row and to all that is seen, the first time and when the small
// pictures are kept.
func TestFolderFigures(t *testing.T) {
	if os.Getenv("HALFLID_BENCH") == "" {
		t.Skip("a figure: set HALFLID_BENCH=1")
	}
	dir := boats(t, 1000)
	t.Setenv("XDG_CACHE_HOME", filepath.Join(filepath.Dir(dir), "cache"))
	for _, when := range []string{"cold", "kept"} {
		begun := time.Now()
		term := start(t, figureCols, figureRows, dir, dir)
		// A name is followed by dots until its picture is there.
		line := func(s string) string {
			for _, l := range strings.Split(s, "\n") {
				if strings.Contains(l, "boat 1000.jpg") {
					return l
				}
			}
			return ""
		}
		var first time.Duration
		term.until("all that is seen", func(s string) bool {
			row := line(s)
			if first == 0 && row != "" && strings.Count(row, ".jpg") > 1 && !strings.Contains(row, "…") {
				first = time.Since(begun)
			}
			return first > 0 && strings.Contains(s, "1000 photographs  the newest first") && !strings.Contains(s, "…")
		})
		row("1000 photographs, "+when+": first row, all that is seen", fmt.Sprintf("%s, %s ms", ms(first), ms(time.Since(begun))), "", true)
		term.keys("\x03")
		term.ends()
	}
}
