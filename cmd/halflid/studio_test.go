package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
)

var update = flag.Bool("update", false, "rewrite recorded outputs")

// The first story: the photo fills the window, squinting melts the clutter, three
// values, flipping between photo and plan, and the plan is kept.
func TestStorySquint(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 100, 30, dir, file)
	term.shows("whole photo")
	term.quiet()
	photo := len(term.colours(27))
	if photo < 8 {
		t.Errorf("a photo in %d colours", photo)
	}
	term.keys("...") // as a held key arrives: several in one read
	term.shows("squinted")
	term.shows("squint 2.8 %")
	term.keys("3")
	term.shows("plan  6x8 in across")
	term.untilColours(27, 5) // three values, the surround and its line
	for range 12 {
		term.keys(" ")
	}
	term.shows("plan  6x8")
	term.keys(" ")
	term.shows("squinted  6x8")
	term.keys("n")
	term.shows("notan  6x8")
	term.untilColours(27, 4) // notan, the surround and its line
	term.keys("q")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	term.clean()
	if got := keptSquint(t, dir); got != 2.8 {
		t.Errorf("the plan kept a squint of %g", got)
	}

	again := start(t, 100, 30, dir, file)
	again.shows("squint 2.8 %")
	again.keys("q")
	again.ends()
}

func keptSquint(t *testing.T, dir string) float64 {
	t.Helper()
	var f struct {
		Plan struct{ Squint float64 }
	}
	if err := json.Unmarshal(readFileT(t, filepath.Join(dir, "quay.plan.json")), &f); err != nil {
		t.Fatal(err)
	}
	return f.Plan.Squint
}

// The second story: crop, panel, turn, size, with the size of the whole at the
// panel's scale always said; undo takes a held key back as one step.
func TestStoryCrop(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 120, 36, dir, file)
	term.shows("6x8 in across")
	term.keys("t")
	term.shows("6x8 in upright")
	term.keys("iiiiiiiiii")
	term.shows("all of it ")
	term.keys("\x1b[C\x1b[C\x1b[C", "\x1b[B")
	term.keys("p")
	term.shows("8x10 in upright")
	term.keys("t")
	term.shows("8x10 in across")
	term.keys("u")
	term.shows("8x10 in upright")
	term.keys("u")
	term.shows("6x8 in upright")
	term.keys("r")
	term.shows("8x10 in upright")
	term.keys("uu") // the arrows were one step
	term.keys("u")  // ten times i was one step
	term.until("the largest upright crop", func(s string) bool {
		return strings.Contains(s, "6x8 in upright") && strings.Contains(s, "all of it 10.7x8.0 in")
	})
	term.keys("uuuuuuu")
	term.shows("nothing to undo")
	term.keys("q")
	term.ends()
	term.clean()
}

func TestTonesAndCutsByHand(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 120, 36, dir, file)
	term.shows("whole photo")
	term.keys("3", "e")
	s := term.shows("cuts nested, tones mean")
	tone := regexp.MustCompile(`\[N(\d+\.\d) `).FindStringSubmatch(s)
	if tone == nil {
		t.Fatalf("no tone is marked:\n%s", s)
	}
	term.keys("k")
	term.shows("tones by hand")
	term.keys("l", "k", "k")
	term.shows("cuts by hand, tones by hand")
	term.until("the moved cut in brackets", func(s string) bool { return regexp.MustCompile(`\[\|\d\.\d\]`).MatchString(s) })
	term.keys("c")
	term.shows("cuts nested")
	term.keys("c", "c")
	term.shows("cuts equal steps")
	term.keys("t", "t")
	term.shows("tones fixed")
	term.keys("\x1b")
	term.shows("? keys")
	term.until("the studio again", func(s string) bool { return !strings.Contains(s, "tones fixed") })
	term.keys("b")
	term.shows("crop | plan")
	term.keys("q")
	term.ends()
	term.clean()
}

func TestShapesMoreAndFewer(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 120, 36, dir, file)
	term.keys("5")
	term.shows("plan  6x8")
	term.shows("4 of five values") // then the count is the plan's, not that of the view before: two of its darks are one
	shapes := func(s string) string { return regexp.MustCompile(`(\d+) shapes?`).FindString(s) }
	first := shapes(term.until("a count of shapes", func(s string) bool { return shapes(s) != "" }))
	term.keys("-")
	term.until("fewer shapes", func(s string) bool { return shapes(s) != "" && shapes(s) != first })
	term.keys("u")
	term.until("the first count", func(s string) bool { return shapes(s) == first })
	term.keys("q")
	term.ends()
}

func TestHelpAndSmallWindows(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 80, 24, dir, file)
	term.shows("whole photo")
	term.keys("?")
	term.shows("In the studio")
	term.shows("the whole photo with the crop on it")
	term.keys("?")
	term.shows("whole photo  6x8")
	term.quiet()
	if n := len(term.colours(21)); n < 8 {
		t.Errorf("after the help the picture has %d colours", n)
	}
	term.resize(38, 10)
	term.shows("halflid needs 40x12")
	term.resize(40, 12)
	term.shows("whole photo")
	term.resize(320, 90)
	term.shows("keeps")
	term.quiet()
	if n := len(term.colours(87)); n < 8 {
		t.Errorf("after growing the picture has %d colours", n)
	}
	term.keys("q")
	term.ends()
	term.clean()
}

func (t *terminal) resize(w, h int) {
	t.t.Helper()
	t.mu.Lock()
	t.emu.Resize(w, h)
	t.mu.Unlock()
	if err := pty.Setsize(t.tty, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)}); err != nil {
		t.t.Fatal(err)
	}
}

// After any storm of sizes the screen is what a fresh start in the last size
// shows.
func TestResizeStormEndsRight(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 100, 30, dir, file)
	term.shows("whole photo")
	for i := range 40 {
		term.resize(40+(i*37)%120, 12+(i*23)%50)
		time.Sleep(3 * time.Millisecond)
	}
	term.resize(90, 28)
	term.shows("whole photo")
	term.quiet()
	fresh := start(t, 90, 28, t.TempDir(), file)
	fresh.shows("only to look at") // the first still has the plan
	fresh.quiet()
	for y := range 25 {
		for x := range 90 {
			a, b := term.cell(x, y), fresh.cell(x, y)
			if a != b {
				t.Fatalf("cell %d,%d is %q, in a fresh start %q", x, y, a, b)
			}
		}
	}
}

// cell returns what a cell looks like: its upper and its lower half.
func (t *terminal) cell(x, y int) string {
	t.mu.Lock()
	defer t.mu.Unlock()
	c := t.emu.CellAt(x, y)
	if c == nil {
		return "none"
	}
	fg, bg := hex(c.Style.Fg), hex(c.Style.Bg)
	switch c.Content {
	case "▀":
		return fg + "/" + bg
	case "▄":
		return bg + "/" + fg
	case "█":
		return fg + "/" + fg
	case " ", "":
		return bg + "/" + bg
	}
	return c.Content
}

func TestTwoWindowsAreTold(t *testing.T) {
	dir, file := quay(t)
	first := start(t, 80, 24, dir, file)
	first.shows("whole photo")
	second := start(t, 80, 24, dir, file)
	second.shows("only to look at, nothing is saved")
	second.shows("21%") // it is open: the next key takes away what is said
	second.keys(".")
	second.shows("NOT SAVED  6x8 in across")
	second.shows("squint 1.4 %")
	second.keys("y")
	second.shows("kept as thumbnail 1 in this window only: nothing is saved")
	second.keys("S")
	second.shows("the plan is open in another window")
	first.keys(".", "S")
	first.shows("saved quay.plan.json and quay.plan.png")
	first.keys("q")
	first.ends()
	saved := readFileT(t, filepath.Join(dir, "quay.plan.json"))
	second.keys(".", ".", "S")
	second.shows("the other window is closed now")
	second.keys("q")
	second.ends()
	if !bytes.Equal(saved, readFileT(t, filepath.Join(dir, "quay.plan.json"))) {
		t.Error("the window that only looks has saved")
	}
	if got := keptSquint(t, dir); got != 1.4 {
		t.Errorf("kept squint %g", got)
	}
}

// What the studio saves is what the command writes, byte for byte, whatever the
// size of the window.
func TestStudioAndCommandAgree(t *testing.T) {
	var first []byte
	for _, size := range [][2]int{{80, 24}, {61, 40}, {200, 60}} {
		dir, file := quay(t)
		term := start(t, size[0], size[1], dir, file)
		term.shows("whole photo")
		term.keys("4", ".", "i", "i", "S")
		term.shows("saved quay")
		term.keys("q")
		term.ends()
		studio := readFileT(t, filepath.Join(dir, "quay.plan.png"))
		must(t, "plan", filepath.Join(dir, "quay.plan.json"))
		if !bytes.Equal(studio, readFileT(t, filepath.Join(dir, "quay.plan.png"))) {
			t.Errorf("%v: the command writes another picture than the studio", size)
		}
		if first == nil {
			first = studio
		} else if !bytes.Equal(first, studio) {
			t.Errorf("%v: another window, another picture", size)
		}
	}
}

func TestUnreadablePlanIsSetAside(t *testing.T) {
	dir, file := quay(t)
	write(t, dir, "quay.plan.json", []byte("{ not a plan"))
	term := start(t, 100, 30, dir, file)
	term.shows("a new plan is begun")
	term.keys(".", "S")
	term.shows("saved")
	term.keys("q")
	term.ends()
	if got := keptSquint(t, dir); got != 1.4 {
		t.Errorf("kept squint %g", got)
	}
	if string(readFileT(t, filepath.Join(dir, "quay.plan.json.unread"))) != "{ not a plan" {
		t.Error("the old file is lost")
	}
}

func TestBadFilesLeaveTheTerminalAlone(t *testing.T) {
	dir, file := quay(t)
	whole := readFileT(t, file)
	for _, c := range []struct{ path, want string }{
		{filepath.Join(dir, "none.png"), "no such file"},
		{write(t, dir, "words.jpg", []byte("dear diary")), "words.jpg"},
		{write(t, dir, "half.png", whole[:len(whole)/2]), "cut short"},
	} {
		term := start(t, 120, 24, dir, c.path)
		if code := term.ends(); code != exitFailed {
			t.Errorf("%s: exit %d", c.path, code)
		}
		if s := term.screen(); !strings.Contains(s, c.want) {
			t.Errorf("%s: %q is not said:\n%s", c.path, c.want, s)
		}
		term.clean()
	}
}

// A panic anywhere, or a signal, leaves the terminal clean and the plan saved.
func TestEveryWayOut(t *testing.T) {
	for _, place := range []string{"update", "view", "job"} {
		t.Run("panic in "+place, func(t *testing.T) {
			dir, file := quay(t)
			t.Setenv(panicAt, place)
			term := start(t, 100, 30, dir, file)
			term.shows("whole photo")
			term.keys(".")
			term.shows("squint 1.4 %")
			term.keys(".") // the second key: see TestMain
			if code := term.ends(); code != exitFailed {
				t.Errorf("exit %d", code)
			}
			term.clean()
			s := term.screen()
			if !strings.Contains(s, "your plan is saved") || !strings.Contains(s, "trace-") {
				t.Errorf("what happened is not said:\n%s", s)
			}
			if got := keptSquint(t, dir); got < 1.4 {
				t.Errorf("kept squint %g", got)
			}
		})
	}
	for _, sig := range []syscall.Signal{syscall.SIGHUP, syscall.SIGTERM, syscall.SIGINT, syscall.SIGQUIT} {
		t.Run(sig.String(), func(t *testing.T) {
			dir, file := quay(t)
			term := start(t, 100, 30, dir, file)
			term.shows("whole photo")
			term.keys(".")
			term.shows("squint 1.4 %")
			if err := term.cmd.Process.Signal(sig); err != nil {
				t.Fatal(err)
			}
			if code := term.ends(); code != 128+int(sig) {
				t.Errorf("exit %d, want %d", code, 128+int(sig))
			}
			term.clean()
			if got := keptSquint(t, dir); got != 1.4 {
				t.Errorf("kept squint %g", got)
			}
		})
	}
}

// A terminal that goes away takes nothing with it.
func TestClosedTerminal(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 100, 30, dir, file)
	term.shows("whole photo")
	term.keys(".")
	term.shows("squint 1.4 %")
	if err := term.tty.Close(); err != nil {
		t.Fatal(err)
	}
	term.ends()
	if got := keptSquint(t, dir); got != 1.4 {
		t.Errorf("kept squint %g", got)
	}
}

func TestDemoOpensWithoutAFile(t *testing.T) {
	term := start(t, 100, 30, t.TempDir())
	term.shows("harbour.jpg")
	term.keys("3")
	term.shows("plan  6x8")
	term.keys("q")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	term.clean()
}
