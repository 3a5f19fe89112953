//go:build linux

package term

import (
	"errors"
	"io"
	"math"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
	"golang.org/x/sys/unix"

	"atelier/halflid/tui/cells"
)

// xtermSays is what xterm answers, in the order of the questions.
const xtermSays = "\x1bP1$r48:2:1:2:3m\x1b\\" + "\x1bP0+r524742\x1b\\" + "\x1b[?2026;0$y" +
	"\x1b[6;18;9t" + "\x1b[4;720;990t" + "\x1bP>|XTerm(379)\x1b\\" + "\x1b[7;1R\x1b[7;2R" + "\x1b[?64;1;2;22c"

const pause = "pause" // among the pieces of an answer: a moment in which nothing comes

// asked plays a terminal: once the last question has come it sends the pieces,
// each by itself. It returns what it was sent, when all is done.
func asked(t *testing.T, near *os.File, pieces ...string) (sent func() string) {
	t.Helper()
	var wg sync.WaitGroup
	var got strings.Builder
	wg.Add(1)
	go func() {
		defer wg.Done()
		buf := make([]byte, 1024)
		for !strings.HasSuffix(got.String(), fence) {
			n, err := near.Read(buf)
			if err != nil {
				return
			}
			got.Write(buf[:n])
		}
		for _, p := range pieces {
			if p == pause {
				time.Sleep(15 * time.Millisecond)
				continue
			}
			if _, err := io.WriteString(near, p); err != nil {
				return
			}
		}
	}()
	return func() string { wg.Wait(); return got.String() }
}

// cooked is a pseudo terminal as a shell leaves it, of 110 by 40 cells.
func cooked(t *testing.T) (near, far *os.File) {
	t.Helper()
	near, far, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { near.Close(); far.Close() })
	if err := pty.Setsize(near, &pty.Winsize{Cols: 110, Rows: 40}); err != nil {
		t.Fatal(err)
	}
	return near, far
}

func modes(t *testing.T, f *os.File) unix.Termios {
	t.Helper()
	m, err := unix.IoctlGetTermios(int(f.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(err)
	}
	return *m
}

// plainEnv is that of a login over SSH, so that no answer of a busy machine is
// too late.
var plainEnv = environment("TERM=xterm-256color", "LANG=en_GB.UTF-8", "SSH_TTY=/dev/pts/7")

const ample = 20 * time.Second

func TestProbeLearnsFromAnswers(t *testing.T) {
	near, far := cooked(t)
	before := modes(t, far)
	sent := asked(t, near, xtermSays)
	f, err := Probe(far, far, plainEnv, Settings{}, ample)
	if err != nil {
		t.Fatal(err)
	}
	if got := sent(); got != questions {
		t.Errorf("asked %q", got)
	}
	if f.Depth != cells.TrueColour || f.CellW != 9 || f.CellH != 18 || f.Sync || !f.Repeat || f.HalfBlock != 1 || !f.UTF8 {
		t.Errorf("found %+v", f)
	}
	if f.Aspect() != 1 || f.Cols != 110 || f.Rows != 40 || f.Name != "XTerm(379)" {
		t.Errorf("found %+v", f)
	}
	if !f.Asked || !f.Whole || f.Took > ample || !f.Ahead.Empty() {
		t.Errorf("answered: %+v", f)
	}
	if modes(t, far) != before {
		t.Error("the terminal is not as it was")
	}
}

// Keys typed while the terminal is asked, before, within and after its answers,
// come out of the Reader first, whole and in order.
func TestProbeLosesNoKey(t *testing.T) {
	half := len(xtermSays) - 40
	for _, c := range []struct {
		name   string
		pieces []string
		keys   string
	}{
		{"none", []string{xtermSays}, ""},
		{"before", []string{"3n", xtermSays}, "3n"},
		{"around an answer in pieces", []string{"3", xtermSays[:5], pause, xtermSays[5:half], pause, xtermSays[half:], "q"}, "3q"},
		{"between answers", []string{"\x1b[A", xtermSays[:18], "\x1b[1;2B", pause, "é", xtermSays[18:]}, "\x1b[A\x1b[1;2Bé"},
		{"an arrow split at the end", []string{xtermSays + "\x1b[", pause, "C"}, "\x1b[C"},
		{"escape at the end", []string{xtermSays + "\x1b"}, "\x1b"},
		{"pasted text", []string{"\x1b[200~low\x1b[?62c tide\x1b[201~", xtermSays}, "\x1b[200~low\x1b[?62c tide\x1b[201~"},
	} {
		t.Run(c.name, func(t *testing.T) {
			near, far := cooked(t)
			sent := asked(t, near, c.pieces...)
			f, err := Probe(far, far, plainEnv, Settings{}, ample)
			if err != nil {
				t.Fatal(err)
			}
			sent()
			if f.Depth != cells.TrueColour || f.CellW != 9 || !f.Whole || f.Ahead.Empty() != (c.keys == "") {
				t.Errorf("found %+v", f)
			}
			raw(t, far)
			r := NewReader(far, nil)
			r.Resume(f.Ahead)
			typed(t, near, "z")
			got := ""
			for !strings.HasSuffix(got, "z") {
				got += read(t, r)
			}
			if got != c.keys+"z" {
				t.Errorf("keys %q, want %q", got, c.keys+"z")
			}
		})
	}
}

// raw makes the terminal raw, as the program that starts after the probe does.
func raw(t *testing.T, f *os.File) {
	t.Helper()
	m := modes(t, f)
	m.Lflag &^= unix.ICANON | unix.ECHO | unix.ISIG | unix.IEXTEN
	m.Iflag &^= unix.ICRNL | unix.IXON
	if err := unix.IoctlSetTermios(int(f.Fd()), unix.TCSETS, &m); err != nil {
		t.Fatal(err)
	}
}

// A mute terminal costs the limit, keeps the keys, and is taken for what its
// environment says. Answers that come after all are no keys.
func TestProbeOfMuteAndLateTerminals(t *testing.T) {
	half := strings.Index(xtermSays, "[6;18") + 3
	for _, c := range []struct {
		name         string
		before, late string
		keys         string
	}{
		{"mute", "", "", ""},
		{"mute, keys", "3\x1b[A", "", "3\x1b[A"},
		{"mute, escape", "3\x1b", "", "3\x1b"},
		{"late", "", xtermSays, ""},
		{"late, keys between", "cc", xtermSays[:18] + "j" + xtermSays[18:] + "k", "ccjk"},
		{"half in time", xtermSays[:half], xtermSays[half:], ""},
		{"an answer cut in two", xtermSays[:11], "m\x1b\\j" + xtermSays[len(xtermSays)-13:], "j"},
	} {
		t.Run(c.name, func(t *testing.T) {
			near, far := cooked(t)
			sent := asked(t, near, c.before)
			f, err := Probe(far, far, plainEnv, Settings{}, 60*time.Millisecond)
			if err != nil {
				t.Fatal(err)
			}
			sent()
			if !f.Asked || f.Whole {
				t.Errorf("answered: %+v", f)
			}
			if c.before == "" && (f.Depth != cells.Colour256 || f.CellW != 1 || f.CellH != 2 || f.Sync || f.Repeat) {
				t.Errorf("found %+v", f)
			}
			raw(t, far)
			r := NewReader(far, nil)
			r.Resume(f.Ahead)
			typed(t, near, c.late)
			time.Sleep(keyWait + 10*time.Millisecond) // z is not part of it
			typed(t, near, "z")
			got := ""
			for !strings.HasSuffix(got, "z") {
				got += read(t, r)
			}
			if got != c.keys+"z" {
				t.Errorf("keys %q, want %q", got, c.keys+"z")
			}
		})
	}
}

// On the same machine a terminal that says nothing is not waited for long, one
// that has begun to is.
func TestProbeSilence(t *testing.T) {
	local := environment("TERM=xterm-256color")
	near, far := cooked(t)
	sent := asked(t, near)
	f, err := Probe(far, far, local, Settings{}, ample)
	sent()
	if err != nil || !f.Asked || f.Whole || f.Took < Silence {
		t.Errorf("mute: %+v, %v", f, err)
	}
	for _, c := range []struct {
		env  []string
		want time.Duration
	}{
		{nil, Silence}, {[]string{"SSH_TTY=/dev/pts/7"}, Limit}, {[]string{"SSH_CONNECTION=a b"}, Limit},
	} {
		if got := silence(environment(c.env...), Limit); got != c.want {
			t.Errorf("%v: %v of silence", c.env, got)
		}
	}
	if got := silence(local, time.Millisecond); got != time.Millisecond {
		t.Errorf("a short limit: %v of silence", got)
	}
	near, far = cooked(t)
	slow := []string{xtermSays[:18]}
	for range 40 { // longer than the silence allowed below
		slow = append(slow, pause)
	}
	sent = asked(t, near, append(slow, xtermSays[18:])...)
	var got []Answer
	_, whole, err := ask(far, far, 500*time.Millisecond, ample, func(a Answer) { got = append(got, a) })
	sent()
	if err != nil || !whole || len(got) != 9 {
		t.Errorf("slow: %d answers, whole %v, %v", len(got), whole, err)
	}
}

// Nothing is written where the terminal is too old, where there is none, and
// where the settings are wrong.
func TestProbeAsksNotEveryone(t *testing.T) {
	for _, term := range []string{"", "dumb", "linux", "vt220", "ansi", "xterm-16color", "rxvt"} {
		near, far := cooked(t)
		f, err := Probe(far, far, environment("TERM="+term, "NO_COLOR=1"), Settings{}, ample)
		if err != nil || f.Asked {
			t.Errorf("TERM=%q: %v, asked %v", term, err, f.Asked)
		}
		typed(t, far, "end")
		if got := read(t, near); got != "end" {
			t.Errorf("TERM=%q: written %q", term, got)
		}
	}
	file, err := os.Create(t.TempDir() + "/out")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	_, far := cooked(t)
	f, err := Probe(far, file, plainEnv, Settings{}, ample)
	if size, _ := file.Seek(0, io.SeekEnd); err != nil || f.Asked || f.Depth != cells.NoColour || size != 0 {
		t.Errorf("file: %+v, %v, %d bytes written", f, err, size)
	}
	if _, err := Probe(far, far, plainEnv, Settings{Colour: "loud"}, ample); !errors.Is(err, ErrColours) {
		t.Errorf("colours: %v", err)
	}
	if _, err := Probe(far, far, plainEnv, Settings{Cell: "2"}, ample); !errors.Is(err, ErrCell) {
		t.Errorf("cell: %v", err)
	}
}

// What the painter and the environment say goes before what is answered.
func TestProbeOrder(t *testing.T) {
	for _, c := range []struct {
		env  []string
		s    Settings
		want cells.Depth
		cell float64
	}{
		{[]string{"TERM=xterm-256color"}, Settings{}, cells.TrueColour, 9},
		{[]string{"TERM=xterm-256color"}, Settings{Colour: "16", Cell: "10:25"}, cells.Colour16, 10},
		{[]string{"TERM=xterm-256color"}, Settings{Colour: "auto"}, cells.TrueColour, 9},
		{[]string{"TERM=xterm-256color", "NO_COLOR=1"}, Settings{}, cells.NoColour, 9},
		{[]string{"TERM=xterm-256color", "NO_COLOR=1"}, Settings{Colour: "256"}, cells.Colour256, 9},
		{[]string{"TERM=screen", "COLORTERM=truecolor"}, Settings{}, cells.TrueColour, 9},
	} {
		near, far := cooked(t)
		sent := asked(t, near, xtermSays)
		f, err := Probe(far, far, environment(append(c.env, "SSH_TTY=/dev/pts/7")...), c.s, ample)
		sent()
		if err != nil || f.Depth != c.want || f.CellW != c.cell || f.DepthBy == "" || f.CellBy == "" {
			t.Errorf("%v %+v: %+v, %v", c.env, c.s, f, err)
		}
	}
	near, far := cooked(t)
	if err := pty.Setsize(near, &pty.Winsize{Cols: 100, Rows: 40, X: 1000, Y: 800}); err != nil {
		t.Fatal(err)
	}
	sent := asked(t, near, xtermSays)
	f, err := Probe(far, far, plainEnv, Settings{}, ample)
	sent()
	if err != nil || f.CellW != 10 || f.CellH != 20 {
		t.Errorf("the system's size first: %+v, %v", f, err)
	}
}

// An emulator that knows little answers the last question and shows nothing of
// the others.
func TestProbeOfEmulator(t *testing.T) {
	near, far := cooked(t)
	emu := vt.NewEmulator(110, 40)
	var mu sync.Mutex
	var wg sync.WaitGroup
	wg.Add(2)
	go func() {
		defer wg.Done()
		buf := make([]byte, 1024)
		for {
			n, err := near.Read(buf)
			if err != nil {
				return
			}
			mu.Lock()
			_, _ = emu.Write(buf[:n])
			mu.Unlock()
		}
	}()
	go func() {
		defer wg.Done()
		_, _ = io.Copy(near, emu)
	}()
	f, err := Probe(far, far, plainEnv, Settings{}, ample)
	if err != nil || !f.Whole || f.HalfBlock != 1 || !strings.Contains(f.HalfBy, "seen") {
		t.Errorf("found %+v, %v", f, err)
	}
	mu.Lock()
	for x := range 20 {
		if c := emu.CellAt(x, 0); c != nil && strings.TrimSpace(c.Content) != "" || c != nil && c.Style.Bg != nil {
			t.Errorf("column %d shows %q", x, c.Content)
		}
	}
	if p := emu.CursorPosition(); p.X != 0 || p.Y != 0 {
		t.Errorf("the cursor is at %v", p)
	}
	mu.Unlock()
	far.Close()
	near.Close()
	emu.InputPipe().(io.Closer).Close()
	wg.Wait()
}

// heard is what is found from answers alone.
func heard(t *testing.T, s string) Found {
	t.Helper()
	f, err := Known(^uintptr(0), true, plainEnv, Settings{})
	if err != nil {
		t.Fatal(err)
	}
	f.Cols, f.Rows, f.Whole = 100, 50, true
	var got []Answer
	fl := filter{due: 2, take: func(a Answer) { got = append(got, a) }}
	if keys, _ := fl.feed(nil, []byte(s)); len(keys) > 0 {
		t.Errorf("%q leaves keys %q", s, keys)
	}
	f.learn(got)
	return f
}

func TestLearnColours(t *testing.T) {
	for s, want := range map[string]cells.Depth{
		"":                                   cells.Colour256,
		"\x1bP1$r48:2:1:2:3m\x1b\\":          cells.TrueColour,
		"\x1bP1$r48:2::1:2:3m\x1b\\":         cells.TrueColour,
		"\x1bP1$r0;48;2;1;2;3m\x1b\\":        cells.TrueColour,
		"\x1bP0$r0;48:2::1:2:3;7m\x1b\\":     cells.TrueColour, // some have 0 for yes
		"\x1bP1$r48:5:16m\x1b\\":             cells.Colour256,
		"\x1bP1$r0m\x1b\\":                   cells.Colour256,
		"\x1bP0$r\x1b\\":                     cells.Colour256,
		"\x1bP1$r48:2:11:2:3m\x1b\\":         cells.Colour256,
		"\x1bP1$r48:2:1:2:30m\x1b\\":         cells.Colour256,
		"\x1bP1+r524742=382F382F38\x1b\\":    cells.TrueColour,
		"\x1bP1+r5463\x1b\\":                 cells.TrueColour,
		"\x1bP1+r524742;5463=31\x1b\\":       cells.TrueColour,
		"\x1bP0+r524742;5463\x1b\\":          cells.Colour256,
		"\x1bP1+r436f=323536\x1b\\":          cells.Colour256,
		"\x1bP1+r5463\x1b\\\x1bP1$r0m\x1b\\": cells.TrueColour,
		"\x1bP1$r0m\x1b\\\x1bP1+r5463\x1b\\": cells.TrueColour,
	} {
		if f := heard(t, s); f.Depth != want || f.DepthBy == "" {
			t.Errorf("%q: %v, %s", s, f.Depth, f.DepthBy)
		}
	}
}

func TestLearnTheRest(t *testing.T) {
	for s, want := range map[string]bool{"": false, "\x1b[?2026;0$y": false, "\x1b[?2026;1$y": true, "\x1b[?2026;2$y": true, "\x1b[?2026;3$y": true, "\x1b[?2026;4$y": false, "\x1b[?25;1$y": false} {
		if f := heard(t, s); f.Sync != want {
			t.Errorf("%q: frames as one %v", s, f.Sync)
		}
	}
	for s, want := range map[string]bool{"": false, "\x1bP>|XTerm(379)\x1b\\": true, "\x1bP>|tmux 3.3a\x1b\\": true, "\x1bP>|foot(1.16.2)\x1b\\": true, "\x1bP>|Unheard 1\x1b\\": false} {
		if f := heard(t, s); f.Repeat != want {
			t.Errorf("%q: repeats %v", s, f.Repeat)
		}
	}
	for s, want := range map[string][2]float64{
		"":                              {1, 2},
		"\x1b[6;18;9t":                  {9, 18},
		"\x1b[4;1000;1000t":             {10, 20},
		"\x1b[6;18;9t\x1b[4;1000;1000t": {9, 18},
		"\x1b[4;1000;1000t\x1b[6;18;9t": {9, 18},
		"\x1b[6;0;0t\x1b[4;0;0t":        {1, 2},
		"\x1b[6;9;18t":                  {1, 2},
		"\x1b[8;50;100t":                {1, 2},
	} {
		if f := heard(t, s); f.CellW != want[0] || f.CellH != want[1] {
			t.Errorf("%q: cell %v by %v", s, f.CellW, f.CellH)
		}
	}
	for s, want := range map[string]struct {
		wide int
		utf8 bool
	}{
		"":                     {1, true},
		"\x1b[3;1R\x1b[3;2R":   {1, true},
		"\x1b[3;1R\x1b[3;3R":   {2, true},
		"\x1b[3;1R\x1b[3;4R":   {1, false},
		"\x1b[3;100R\x1b[4;2R": {1, true},
		"\x1b[3;1R":            {1, true},
	} {
		if f := heard(t, s); f.HalfBlock != want.wide || f.UTF8 != want.utf8 {
			t.Errorf("%q: half block %d, UTF-8 %v", s, f.HalfBlock, f.UTF8)
		}
	}
}

func TestKnown(t *testing.T) {
	for _, c := range []struct {
		env  []string
		want bool
	}{
		{nil, true},
		{[]string{"LANG=C"}, false},
		{[]string{"LANG=en_GB.UTF-8"}, true},
		{[]string{"LANG=en_GB.utf8"}, true},
		{[]string{"LANG=en_GB.UTF-8", "LC_ALL=POSIX"}, false},
		{[]string{"LANG=C", "LC_CTYPE=C.UTF-8"}, true},
		{[]string{"LC_CTYPE=C.UTF-8", "LC_ALL=de_DE.ISO-8859-1"}, false},
	} {
		if got, by := letters(environment(c.env...)); got != c.want || by == "" {
			t.Errorf("%v: UTF-8 %v, %s", c.env, got, by)
		}
	}
	for term, want := range map[string]bool{"xterm-256color": false, "foot": true, "tmux-256color": true, "screen-256color": false, "xterm-kitty": true} {
		f, err := Known(^uintptr(0), true, environment("TERM="+term), Settings{})
		if err != nil || f.Repeat != want || f.Sync || f.Asked {
			t.Errorf("TERM=%s: %+v, %v", term, f, err)
		}
	}
	for s, want := range map[string]float64{"1:2": 1, "8:17": 16.0 / 17, " 9.5 : 19": 1, "10:10": 2} {
		f, err := Known(^uintptr(0), false, environment(), Settings{Cell: s})
		if err != nil || !(math.Abs(f.Aspect()-want) < 1e-12) || f.CellBy != "asked for" {
			t.Errorf("cell %q: aspect %v, %v", s, f.Aspect(), err)
		}
	}
	for _, s := range []string{"2", "a:b", "8:", ":17", "0:0", "-1:-2", "3:1", "1:9", "NaN:NaN", "1:NaN", "Inf:Inf", "8:17:2"} {
		if _, err := Known(^uintptr(0), false, environment(), Settings{Cell: s}); !errors.Is(err, ErrCell) {
			t.Errorf("cell %q: %v", s, err)
		}
	}
	f, err := Known(^uintptr(0), false, environment("RUNEWIDTH_EASTASIAN=1"), Settings{})
	if err != nil || f.HalfBlock != 2 || f.Depth != cells.NoColour || f.Aspect() != 1 {
		t.Errorf("no terminal: %+v, %v", f, err)
	}
}
