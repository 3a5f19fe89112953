package main

import (
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
	"atelier/halflid/tui/cells"
	terminfo "atelier/halflid/tui/term"
)

func TestTerminalWithoutOne(t *testing.T) {
	code, out, words := call(t, "terminal")
	if code != exitDone || words != "" {
		t.Fatalf("exit %d, words %q", code, words)
	}
	if strings.Contains(out, "\x1b") {
		t.Error("there are escape codes")
	}
	for _, want := range []string{"this is no terminal", "was not asked", "000000111111222222", "XXXXXX", "quadrants"} {
		if !strings.Contains(out, want) {
			t.Errorf("it does not say %q:\n%s", want, out)
		}
	}
	for _, line := range strings.Split(out, "\n") {
		if n := len([]rune(line)); n > 100 {
			t.Errorf("%d columns: %q", n, line)
		}
	}
	code, out, _ = call(t, "terminal", "--colour", "full", "--cell", "9:18")
	if code != exitDone || !strings.Contains(out, "\x1b[48;") || !strings.Contains(out, "9 by 18") {
		t.Errorf("as asked for: exit %d\n%q", code, out)
	}
}

func TestTerminalRefuses(t *testing.T) {
	for _, c := range []struct {
		args []string
		say  string
	}{
		{[]string{"terminal", "--cell", "3:1"}, `cell "3:1"`},
		{[]string{"terminal", "--colour", "loud"}, `colours "loud"`},
		{[]string{"terminal", "boat.jpg"}, "takes no file"},
		{[]string{"show", "boat.jpg", "--cell", "round"}, `cell "round"`},
	} {
		if code, _, words := call(t, c.args...); code != exitUsage || !strings.Contains(words, c.say) {
			t.Errorf("%v: exit %d, %s", c.args, code, words)
		}
	}
}

// The bands of the card are all different and in order, as an emulator shows
// them, at every depth that has the card's part.
func TestCardStepsStandApart(t *testing.T) {
	for d := cells.TrueColour; d <= cells.NoColour; d++ {
		for name, vs := range map[string][]palette.Value{"scale": cardSteps.scale, "dark": cardSteps.dark, "light": cardSteps.light} {
			if d.Approximate() && name != "scale" {
				continue // not on the card
			}
			var b strings.Builder
			bands(&b, d, greys(vs), 3)
			emu := vt.NewEmulator(80, 5)
			_, _ = io.WriteString(emu, strings.ReplaceAll(b.String(), "\n", "\r\n"))
			var seen []string
			for i := range vs {
				for x := range 3 {
					c := emu.CellAt(margin+3*i+x, 1)
					look := c.Content + hex(c.Style.Fg) + hex(c.Style.Bg)
					if x > 0 && look != seen[len(seen)-1] {
						t.Errorf("%v %s: band %d is broken", d, name, i)
					}
					if x == 0 {
						if slices.Contains(seen, look) {
							t.Errorf("%v %s: band %d looks like another: %s", d, name, i, look)
						}
						seen = append(seen, look)
					}
				}
			}
			if d <= cells.Colour256 {
				continue
			}
			if got := text(emu); d == cells.NoColour && !strings.HasPrefix(got, "  000111222333444555666777888999XXX  ") {
				t.Errorf("figures: %q", got)
			}
		}
	}
}

// The warm, the grey and the cool are of about one value; only the middle one is
// grey, also among 256 colours.
func TestCardTints(t *testing.T) {
	for d, off := range map[cells.Depth]float64{cells.TrueColour: 1, cells.Colour256: 4.5} {
		three := tints(d)
		var b strings.Builder
		bands(&b, d, three, 4)
		emu := vt.NewEmulator(40, 4)
		_, _ = io.WriteString(emu, strings.ReplaceAll(b.String(), "\n", "\r\n"))
		for i, c := range three {
			oracle.Close(t, "lightness of a tint", float64(c.Linear().Y().L()), float64(palette.Value(5).L()), off)
			shown := hex(emu.CellAt(margin+4*i+1, 0).Style.Bg)
			grey := shown[:2] == shown[2:4] && shown[2:4] == shown[4:]
			if grey != (i == 1) {
				t.Errorf("%v: tint %d is shown as %s", d, i, shown)
			}
		}
	}
}

func TestCardFits(t *testing.T) {
	ansiCode := regexp.MustCompile("\x1b\\[[0-9;]*m")
	for _, cols := range []int{0, 26, 40, 80, 300} {
		var b strings.Builder
		card(&b, terminfo.Found{Cols: cols, UTF8: true})
		for i, line := range strings.Split(ansiCode.ReplaceAllString(b.String(), ""), "\n") {
			if n := len([]rune(line)); n > 84 || i < 3 && cols > 0 && n > max(cols, 27) {
				t.Errorf("%d columns: line of %d: %q", cols, n, line)
			}
		}
	}
}

// Each kind of glyphs has a row of its own with what is to be seen there, or none
// where letters are not set up.
func TestCardGlyphs(t *testing.T) {
	var b strings.Builder
	card(&b, terminfo.Found{Depth: cells.TrueColour, UTF8: true})
	lines := strings.Split(b.String(), "\n")
	for name, want := range map[string]struct {
		chequer rune
		squares string
	}{"halves": {'▀', "two"}, "quadrants": {'▚', "four small ones"}, "sextants": {0x1FB17, "six"}} { // BLOCK SEXTANT-145
		i := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "  "+name) })
		if i < 0 || !strings.ContainsRune(lines[i], want.chequer) || !strings.HasSuffix(lines[i], " "+want.squares) {
			t.Errorf("%s are not shown: %q", name, lines)
		}
	}
	for _, words := range []string{"no gaps: quadrants; six: sextants", "question marks", "stay with half blocks"} {
		if !strings.Contains(b.String(), words) {
			t.Errorf("the card does not say %q", words)
		}
	}
	b.Reset()
	card(&b, terminfo.Found{Depth: cells.NoColour})
	if strings.Contains(b.String(), "squares") {
		t.Error("glyphs are shown where letters beyond ASCII are not set up")
	}
}

func TestAdvice(t *testing.T) {
	good := terminfo.Found{Depth: cells.TrueColour, HalfBlock: 1, UTF8: true}
	if got := advice(good); len(got) != 0 {
		t.Errorf("for a good terminal: %q", got)
	}
	for want, f := range map[string]terminfo.Found{
		"ambiguous width": {HalfBlock: 2, UTF8: true},
		"LANG":            {HalfBlock: 1},
		"approximate":     {Depth: cells.Colour16, HalfBlock: 1, UTF8: true},
		"COLORTERM":       {Depth: cells.Colour256, HalfBlock: 1, UTF8: true},
	} {
		got := advice(f)
		if len(got) != 1 || !strings.Contains(got[0], want) {
			t.Errorf("%+v: %q", f, got)
		}
	}
}

// In a terminal it asks, says what came of it, and leaves all clean.
func TestTerminalInOne(t *testing.T) {
	t.Setenv("SSH_TTY", "/dev/pts/7") // so that a busy machine may take its time
	term := start(t, 100, 44, t.TempDir(), "terminal")
	s := term.shows("it answered    in ")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	for _, want := range []string{"full colour", "COLORTERM=truecolor", "seen by where the cursor went"} {
		if !strings.Contains(s, want) {
			t.Errorf("it does not say %q:\n%s", want, s)
		}
	}
	if !strings.HasPrefix(s, "What this terminal can show") {
		t.Errorf("something stands before it:\n%s", s)
	}
	term.clean()
}

// Keys typed before the program has begun are not lost, and are not waited with.
func TestTypedAhead(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 100, 30, dir, file)
	term.keys("?")
	term.shows("In the studio") // the help
	term.keys("?", "q")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	term.clean()
}

// A terminal that answers nothing gets its picture; what was typed ahead comes
// with the next key.
func TestMuteTerminal(t *testing.T) {
	dir, file := quay(t)
	cmd := program(t, dir, file)
	cmd.Env = append(cmd.Env, "COLORTERM=")
	tty, err := pty.StartWithSize(cmd, &pty.Winsize{Cols: 100, Rows: 30})
	if err != nil {
		t.Fatal(err)
	}
	term := &terminal{t: t, cmd: cmd, emu: vt.NewEmulator(100, 30), done: make(chan struct{}), tty: polled(t, tty)}
	go func() { _, _ = io.Copy(io.Discard, term.emu) }()
	go term.read()
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = term.tty.Close()
		<-term.done
		_ = term.emu.InputPipe().(io.Closer).Close() // ends its answers
	})
	term.keys("c")
	term.shows("whole photo")
	term.keys("3")
	term.shows("plan  6x8 in across")
	term.keys("q")
	if code := term.ends(); code != exitDone {
		t.Errorf("exit %d", code)
	}
	term.clean()
	if strings.Contains(string(term.raw), "48;2;") && !strings.Contains(string(term.raw), "48;5;") {
		t.Error("exact colours, though nothing says that it has them")
	}
	if strings.Contains(string(term.raw), "\x1b[?2026h") {
		t.Error("frames are marked, though it did not say that it knows the marks")
	}
}

// Values are shown apart, also where two of them are close and colours are few. Two
// of the plan's five are too near to be two.
func TestShowKeepsValuesApart(t *testing.T) {
	_, file := quay(t)
	for depth, look := range map[string]*regexp.Regexp{
		"256":  regexp.MustCompile(`8;5;\d+`),
		"none": regexp.MustCompile(`[0-9X]`),
	} {
		for view, want := range map[string]int{"plan": 4, "values": 5} {
			code, out, words := call(t, "show", file, "--view", view, "--values", "5", "--squint", "1", "--width", "60", "--colour", depth)
			if code != exitDone {
				t.Fatalf("exit %d, %s", code, words)
			}
			seen := map[string]bool{}
			for _, s := range look.FindAllString(out, -1) {
				seen[s] = true
			}
			if len(seen) != want {
				t.Errorf("%s, %s: %d values are shown in %d ways: %v", depth, view, want, len(seen), seen)
			}
		}
	}
	code, out, words := call(t, "show", file, "--view", "notan", "--width", "60", "--colour", "none")
	if code != exitDone || strings.Trim(out, "19X\n") != "" {
		t.Errorf("notan is of more than two figures: exit %d, %s\n%s", code, words, out)
	}
}

func TestShowCell(t *testing.T) {
	_, file := quay(t)
	rows := func(cell string) int {
		code, out, words := call(t, "show", file, "--view", "photo", "--width", "40", "--cell", cell)
		if code != exitDone {
			t.Fatalf("exit %d, %s", code, words)
		}
		return strings.Count(out, "\n")
	}
	if square, tall := rows("1:1"), rows("1:3"); !(square > 2*tall) {
		t.Errorf("square cells take %d rows, tall ones %d", square, tall)
	}
}

// Opening beside goes on without anybody who wants to know how far it is, and
// hands on errors and panics.
func TestOpeningBeside(t *testing.T) {
	_, file := quay(t)
	src, err := readSource(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	o := beginOpening(t.Context(), src)
	<-o.done
	told := -1.0
	w, err := o.wait(func(share float64) { told = share })
	if err != nil || w.photo == nil || !(told > 0 && told <= 1) {
		t.Errorf("opened %v, %v, told %v", w, err, told)
	}
	if _, err := beginOpening(t.Context(), &source{data: []byte("no picture")}).wait(nil); err == nil {
		t.Error("no picture is opened")
	}
	o = &opening{done: make(chan struct{}), crash: "keel"}
	close(o.done)
	defer func() {
		if r := recover(); r != "keel" {
			t.Errorf("recovered %v", r)
		}
	}()
	_, _ = o.wait(nil)
}

// failingOut is an output that takes nothing.
type failingOut struct{}

func (failingOut) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestTerminalCannotPrint(t *testing.T) {
	var words strings.Builder
	if code := run([]string{"terminal"}, strings.NewReader(""), failingOut{}, &words); code != exitFailed || !strings.Contains(words.String(), "printing the test card") {
		t.Errorf("exit %d, %s", code, words.String())
	}
}
