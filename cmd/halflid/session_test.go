package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Recorded sessions: NAME.keys is what a painter types, one line a moment, keys
// parted by spaces; NAME.frames is the screen after each line, with the values
// as figures (no colours). `make golden` records anew.
func TestSessions(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "sessions", "*.keys"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no sessions: %v", err)
	}
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".keys")
		t.Run(name, func(t *testing.T) {
			if name != "first" && name != "byhand" && name != "thumbnails" && name != "reading" {
				notRacing(t)
			}
			playSession(t, strings.TrimSuffix(f, ".keys"))
		})
	}
}

func playSession(t *testing.T, base string) {
	framesPath := base + ".frames"
	var want []string
	if !*update {
		want = strings.Split(string(readFileT(t, framesPath)), "\f\n")
	}
	dir, file := quay(t)
	args := []string{file, "--colour", "none"}
	if script := string(readFileT(t, base+".keys")); strings.HasPrefix(script, "# In the demo") {
		args = args[1:]
	}
	term := start(t, 64, 22, dir, args...)
	term.shows("whole photo")
	var frames []string
	for i, line := range strings.Split(strings.TrimSpace(string(readFileT(t, base+".keys"))), "\n") {
		if strings.HasPrefix(line, "#") {
			frames = append(frames, line+"\n")
			continue
		}
		for _, k := range strings.Fields(line) {
			term.keys(sequence(k))
		}
		head := "> " + line + "\n"
		if *update {
			// The figures come after the picture: wait until nothing changes.
			for before := ""; before != term.screen(); {
				before = term.screen()
				time.Sleep(700 * time.Millisecond)
				term.quiet()
			}
			frames = append(frames, head+trim(term.screen()))
			continue
		}
		if i >= len(want) {
			t.Fatalf("no frame was recorded for %q", line)
		}
		got := ""
		term.until("the frame recorded after "+line+":\n"+want[i], func(s string) bool {
			got = head + trim(s)
			return got == want[i]
		})
	}
	term.keys("q")
	term.ends()
	if *update {
		if err := os.WriteFile(framesPath, []byte(strings.Join(frames, "\f\n")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// trim takes the spaces at the ends of lines away, which editors do too.
func trim(screen string) string {
	lines := strings.Split(screen, "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}

// sequence returns what a terminal sends for a key.
func sequence(name string) string {
	switch name {
	case "Space":
		return " "
	case "Esc":
		return "\x1b"
	case "Tab":
		return "\t"
	case "Up":
		return "\x1b[A"
	case "Down":
		return "\x1b[B"
	case "Right":
		return "\x1b[C"
	case "Left":
		return "\x1b[D"
	case "Shift+Right":
		return "\x1b[1;2C"
	case "Shift+Left":
		return "\x1b[1;2D"
	case "Shift+Up":
		return "\x1b[1;2A"
	case "Shift+Down":
		return "\x1b[1;2B"
	case "Enter":
		return "\r"
	case "Backspace":
		return "\x7f"
	}
	return name
}
