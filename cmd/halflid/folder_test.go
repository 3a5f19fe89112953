package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"atelier/halflid/cmd/halflid/keep"
)

// boats writes n small invented pictures, boat 1.jpg the oldest, each of another
// light, into a new folder beside the program's own ones.
func boats(t testing.TB, n int) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "harbour")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	for i := range n {
		img := image.NewNRGBA(image.Rect(0, 0, 240, 180))
		for y := range 180 {
			for x := range 240 {
				v := uint8(60 + (i*37)%160)
				switch {
				case x > 40 && x < 120 && y > 40 && y < 130:
					v = 30
				case y > 120:
					v = uint8(120 + x/4)
				}
				img.SetNRGBA(x, y, color.NRGBA{v, v, v - 20, 255})
			}
		}
		var b bytes.Buffer
		if err := jpeg.Encode(&b, img, nil); err != nil {
			t.Fatal(err)
		}
		path := write(t, dir, fmt.Sprintf("boat %d.jpg", i+1), b.Bytes())
		day := time.Date(2024, 5, 1, 12, 0, 0, 0, time.Local).AddDate(0, 0, i)
		if err := os.Chtimes(path, day, day); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// walk runs the program on a folder with a cache folder of its own.
func walk(t *testing.T, cols, rows int, dir string, args ...string) *terminal {
	t.Helper()
	t.Setenv("XDG_CACHE_HOME", filepath.Join(filepath.Dir(dir), "cache"))
	return start(t, cols, rows, filepath.Dir(dir), append([]string{dir}, args...)...)
}

func squintIn(t *testing.T, dir, name string) float64 {
	t.Helper()
	f, err := keep.Load(filepath.Join(dir, name+keep.Ext))
	if err != nil {
		t.Fatal(err)
	}
	return f.Plan.Squint
}

func inFolder(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

// A folder from the wall to a photo, to the next, and back to the wall with the
// same photo chosen: each plan is saved and its lock let go of, nothing else is
// written there, and the shell is not seen in between.
func TestStoryFolder(t *testing.T) {
	dir := boats(t, 5)
	term := walk(t, 100, 30, dir)
	term.shows("harbour  5 photographs  the newest first")
	term.shows("> boat 5.jpg")
	term.shows("5 May 2024")
	term.keys("\r")
	term.shows("whole photo")
	term.keys(".")
	term.shows("squint 1.4 %")
	term.keys(">")
	term.until("the next photo", func(s string) bool {
		return strings.Contains(s, "boat 4.jpg") && strings.Contains(s, "whole photo") && strings.Contains(s, "squint 1 %")
	})
	if got := squintIn(t, dir, "boat 5"); got != 1.4 {
		t.Errorf("the plan of the photo that was left kept a squint of %g", got)
	}
	if again := program(t, dir, "plan", filepath.Join(dir, "boat 5.jpg"), "--out", t.TempDir()); again.Run() != nil {
		t.Error("the photo that was left is still held")
	}
	term.keys("..")
	term.shows("squint 2 %")
	term.keys("W")
	term.shows("2 of 5  boat 4.jpg")
	term.until("its plan", func(s string) bool { return strings.Contains(s, "> boat 4.jpg") && strings.Contains(s, "with a plan") })
	term.keys("\x1b[D")
	term.shows("1 of 5  boat 5.jpg")
	term.shows("with a plan")
	term.keys("\r")
	term.shows("squint 1.4 %") // found again
	term.keys(",")
	term.shows("squint 1 %")
	term.keys("q")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	term.clean()
	if a, b := squintIn(t, dir, "boat 5"), squintIn(t, dir, "boat 4"); a != 1 || b != 2 {
		t.Errorf("kept squints %g and %g, want 1 and 2", a, b)
	}
	want := []string{"boat 1.jpg", "boat 2.jpg", "boat 3.jpg", "boat 4.jpg", "boat 4.plan.json", "boat 5.jpg", "boat 5.plan.json"}
	if got := inFolder(t, dir); !slices.Equal(got, want) {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
	if in, out := bytes.Count(term.raw, []byte("\x1b[?1049h")), bytes.Count(term.raw, []byte("\x1b[?1049l")); in != 1 || out != 1 {
		t.Errorf("the alternate screen was entered %d times and left %d times", in, out)
	}
}

// What is typed finds names; Enter opens what was found.
func TestFindInFolder(t *testing.T) {
	dir := boats(t, 30)
	write(t, dir, "low tide.png", encodePNG(t, quayPicture(200, 150)))
	write(t, dir, "notes.txt", []byte("no picture"))
	term := walk(t, 80, 24, dir)
	term.shows("31 photographs")
	term.keys("tide")
	term.shows("find: tide  1 of 1  low tide.png")
	term.keys("\x1b")
	term.shows("of 31  low tide.png")
	term.keys("boat 2")
	term.shows("find: boat 2  1 of 11  boat 29.jpg")
	term.keys("9\x7f7\r")
	term.until("the photo that was found", func(s string) bool {
		return strings.Contains(s, "whole photo") && strings.Contains(s, "boat 27.jpg")
	})
	term.keys("W")
	term.shows("find: boat 27")
	term.keys("\x03")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	term.clean()
}

// A single photo has those of its folder beside it, by name.
func TestPhotoHasItsFolder(t *testing.T) {
	dir := boats(t, 12)
	term := start(t, 120, 30, dir, filepath.Join(dir, "boat 9.jpg"))
	term.shows("boat 9.jpg")
	term.shows("whole photo")
	term.keys(">")
	term.shows("boat 10.jpg")
	term.keys("<<")
	term.shows("boat 8.jpg")
	term.keys("W")
	term.shows("8 of 12  boat 8.jpg")
	term.shows("by name")
	term.keys("\x03")
	term.ends()
	term.clean()
}

// However the folder is left: the plan is saved, the terminal as it was.
func TestFolderIsGivenBack(t *testing.T) {
	for name, end := range map[string]struct {
		do   func(*terminal)
		code int
	}{
		"Ctrl+C":  {func(term *terminal) { term.keys("\x03") }, exitDone},
		"SIGTERM": {func(term *terminal) { _ = term.cmd.Process.Signal(syscall.SIGTERM) }, 143},
		"SIGHUP":  {func(term *terminal) { _ = term.cmd.Process.Signal(syscall.SIGHUP) }, 129},
	} {
		t.Run(name, func(t *testing.T) {
			dir := boats(t, 3)
			term := walk(t, 80, 24, dir)
			term.shows("> boat 3.jpg")
			term.keys("\r")
			term.shows("whole photo")
			term.keys(".")
			term.shows("squint 1.4 %")
			term.keys(">")
			term.shows("boat 2.jpg")
			term.shows("squint 1 %")
			term.keys("..")
			term.shows("squint 2 %")
			end.do(term)
			if code := term.ends(); code != end.code {
				t.Errorf("exit %d, want %d", code, end.code)
			}
			term.clean()
			if a, b := squintIn(t, dir, "boat 3"), squintIn(t, dir, "boat 2"); a != 1.4 || b != 2 {
				t.Errorf("kept squints %g and %g", a, b)
			}
		})
	}
}

// Photos that vanish or are broken, folders that are empty or closed.
func TestFolderOfTroubles(t *testing.T) {
	dir := boats(t, 3)
	whole := readFileT(t, filepath.Join(dir, "boat 1.jpg"))
	for n, data := range map[string][]byte{"half.jpg": whole[:len(whole)/3], "\x1b[2Jname.jpg": whole, "text.jpg": []byte("dear diary")} {
		path := write(t, dir, n, data)
		day := time.Date(2025, 1, 1, 0, 0, 0, 0, time.Local)
		if err := os.Chtimes(path, day, day); err != nil {
			t.Fatal(err)
		}
	}
	term := walk(t, 100, 30, dir)
	term.shows("5 photographs")
	term.keys("half")
	term.shows("no picture")
	term.keys("\r")
	term.until("why it does not open", func(s string) bool { return strings.Contains(s, "half.jpg: the picture is cut short") })
	term.keys("\x1b")
	term.until("all of them again", func(s string) bool { return strings.Contains(s, "boat 1.jpg") && !strings.Contains(s, "find:") })
	if err := os.Remove(filepath.Join(dir, "boat 2.jpg")); err != nil {
		t.Fatal(err)
	}
	term.keys("boat 2\r")
	term.shows("there is no such file")
	term.keys("\x03")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	term.clean()

	empty := filepath.Join(t.TempDir(), "empty")
	if err := os.Mkdir(empty, 0o700); err != nil {
		t.Fatal(err)
	}
	term = walk(t, 80, 24, empty)
	term.shows("there are no photographs in empty")
	term.keys("\r\x03")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	term.clean()
	if os.Getuid() != 0 {
		if err := os.Chmod(empty, 0); err != nil {
			t.Fatal(err)
		}
		term = walk(t, 80, 24, empty)
		term.shows("may not be looked into")
		if code := term.ends(); code != exitFailed {
			t.Errorf("exit %d", code)
		}
	}
	for _, cmd := range []string{"show", "plan", "read"} {
		code, _, words := call(t, cmd, dir)
		if code != exitFailed || !strings.Contains(words, "is a folder: name a photo in it") {
			t.Errorf("%s of a folder: exit %d, %q", cmd, code, words)
		}
	}
}

// The small pictures are kept for the user alone, and a cache folder that cannot
// be made changes nothing but the time.
func TestFolderCache(t *testing.T) {
	dir := boats(t, 4)
	for range 2 {
		term := walk(t, 100, 30, dir)
		term.until("all pictures", func(s string) bool {
			return strings.Contains(s, "boat 4.jpg") && strings.Contains(s, "boat 1.jpg") && !strings.Contains(s, ".jpg …")
		})
		term.keys("\x03")
		term.ends()
	}
	cache := filepath.Join(filepath.Dir(dir), "cache", "halflid", "previews")
	files := inFolder(t, cache)
	if len(files) != 4 {
		t.Errorf("%d small pictures are kept for 4 photos", len(files))
	}
	for path, want := range map[string]os.FileMode{cache: 0o700, filepath.Join(cache, files[0]): 0o600} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v", path, info.Mode(), err)
		}
	}
	if got := inFolder(t, dir); len(got) != 4 {
		t.Errorf("the folder holds %q", got)
	}
	t.Setenv("XDG_CACHE_HOME", filepath.Join(dir, "boat 1.jpg")) // no folder can be made there
	term := start(t, 100, 30, dir, dir)
	term.until("all pictures", func(s string) bool {
		return strings.Contains(s, "boat 4.jpg") && strings.Contains(s, "boat 1.jpg") && !strings.Contains(s, ".jpg …")
	})
	term.keys("\x03")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
}

// Small windows, few colours, sizes that change.
func TestFolderInAnyWindow(t *testing.T) {
	dir := boats(t, 6)
	for _, colour := range []string{"full", "256", "16", "none"} {
		term := walk(t, 40, 12, dir, "--colour", colour)
		term.shows("> boat 6.jpg")
		term.keys("\x1b[B")
		term.shows("> boat 5.jpg")
		term.resize(39, 11)
		term.shows("halflid needs 40x12")
		term.resize(130, 40)
		term.shows("6 photographs")
		term.until("all six", func(s string) bool { return strings.Contains(s, "boat 1.jpg") && !strings.Contains(s, ".jpg …") })
		if colour == "full" {
			term.until("their pictures", func(string) bool { return len(term.colours(36)) > 8 })
		}
		term.keys("\x03")
		if code := term.ends(); code != exitDone {
			t.Errorf("%s: exit %d", colour, code)
		}
		term.clean()
	}
}
