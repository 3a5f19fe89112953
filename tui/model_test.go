package tui

import (
	"bytes"
	"context"
	"errors"
	"image"
	"io"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
)

// ledger is a keeper that notes what it is told.
type ledger struct {
	changed []plan.Plan
	saved   int
	fail    error
	wrote   string // the suffix of the sheet
	sheet   bytes.Buffer
}

func (l *ledger) Changed(h plan.History) { l.changed = append(l.changed, h.Plan()) }

func (l *ledger) Save(_ plan.History, write func(io.Writer) error) (string, error) {
	if l.fail != nil {
		return "", l.fail
	}
	l.saved++
	return "saved it", write(io.Discard)
}

func (l *ledger) Write(suffix string, write func(io.Writer) error) (string, error) {
	if l.fail != nil {
		return "", l.fail
	}
	l.wrote = suffix
	return "wrote boat." + suffix, write(&l.sheet)
}

// bench is a studio without a terminal, driven by hand: nothing happens behind
// its back. Commands wait in todo until do runs them.
type bench struct {
	t    *testing.T
	m    *model
	out  bytes.Buffer
	kept *ledger
	todo []tea.Cmd
	at   time.Time
}

func newBench(t *testing.T, cols, rows int) *bench {
	t.Helper()
	b := &bench{t: t, kept: &ledger{}, at: time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)}
	master := imageproc.NewPicture(120, 90)
	for y := range 90 {
		for x := range 120 {
			v := float32(0.7)
			if y > 50 {
				v = 0.2
			}
			if x > 30 && x < 70 && y > 20 && y < 70 {
				v = 0.03
			}
			master.R.Set(x, y, v)
			master.G.Set(x, y, v)
			master.B.Set(x, y, v)
		}
	}
	src := Source{Name: "boat.jpg", Open: func(context.Context, func(float64), func(string)) (Opened, error) {
		p := &photo.Photo{Name: "boat.jpg", Size: image.Pt(120, 90), Master: master}
		return Opened{Photo: p, History: plan.NewHistory(plan.State{Plan: plan.Default(p.Size)}), Keep: b.kept}, nil
	}}
	b.m = newModel(t.Context(), src, Options{Screen: cells.NewScreen(&b.out)})
	b.m.now, b.m.still, b.m.resting.wait = func() time.Time { return b.at }, 0, 0
	b.tell(tea.WindowSizeMsg{Width: cols, Height: rows})
	return b
}

// opened is a bench with its photo open and painted.
func opened(t *testing.T, cols, rows int) *bench {
	b := newBench(t, cols, rows)
	b.later(b.m.Init())
	b.do()
	return b
}

func (b *bench) tell(msg tea.Msg) {
	_, cmd := b.m.Update(msg)
	b.later(cmd)
}

func (b *bench) later(cmd tea.Cmd) {
	if cmd != nil {
		b.todo = append(b.todo, cmd)
	}
}

// do runs the waiting commands and all that follow from them.
func (b *bench) do() {
	for len(b.todo) > 0 {
		b.step()
	}
}

// step runs the first of them.
func (b *bench) step() {
	b.t.Helper()
	if len(b.todo) == 0 {
		b.t.Fatal("nothing left to do")
	}
	cmd := b.todo[0]
	b.todo = b.todo[1:]
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, c := range msg {
			b.later(c)
		}
	default:
		b.tell(msg)
	}
}

func (b *bench) press(names ...string) {
	for _, n := range names {
		b.tell(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(n)})
	}
}

func (b *bench) status() string { return ansi.Strip(b.m.statusLine()) }

// While a job runs, keys only change the plan; when it is done the newest plan is
// next, and what was asked for in between is never computed.
func TestLatestPlanWins(t *testing.T) {
	b := opened(t, 80, 24)
	b.press(".")
	if len(b.todo) != 1 {
		t.Fatalf("%d jobs begun by one key", len(b.todo))
	}
	b.press(".", ".", ".", "4")
	if len(b.todo) != 1 {
		t.Fatalf("%d jobs waiting while one runs", len(b.todo))
	}
	var painted []want
	for len(b.todo) > 0 {
		msg := b.todo[0]()
		b.todo = b.todo[1:]
		if d, ok := msg.(done); ok {
			painted = append(painted, d.want)
		}
		b.tell(msg)
	}
	if len(painted) != 2 {
		t.Fatalf("%d pictures for five keys, want the running one and the newest", len(painted))
	}
	if got := painted[1].plan; got != b.m.plan() || got.Values.K != 4 || got.Squint != 4 {
		t.Errorf("the last picture is not of the newest plan: %+v", got)
	}
}

// Several keys in one message, as a slow line brings them, are several keys.
func TestCoalescedKeys(t *testing.T) {
	b := opened(t, 80, 24)
	b.press("...")
	b.do()
	if got := b.m.plan().Squint; got != 2.8 {
		t.Errorf("three steps at once lead to %g %%", got)
	}
	b.tell(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("..."), Paste: true})
	if got := b.m.plan().Squint; got != 2.8 {
		t.Error("a paste was taken for keys")
	}
}

// What is typed while the photo opens is done when it is open.
func TestEarlyKeys(t *testing.T) {
	b := newBench(t, 80, 24)
	b.later(b.m.Init())
	b.press("4", ".", ".")
	b.do()
	if p := b.m.plan(); p.Values.K != 4 || p.Squint != 2 {
		t.Errorf("early keys led to %d values, squint %g", p.Values.K, p.Squint)
	}
	if len(b.kept.changed) != 3 {
		t.Errorf("the keeper heard of %d changes", len(b.kept.changed))
	}
}

// A held key is one step of undo; after a pause the same key is a new step.
func TestUndoOfAHeldKey(t *testing.T) {
	b := opened(t, 80, 24)
	b.press("i", "i", "i")
	small := b.m.plan()
	b.at = b.at.Add(2 * pause)
	b.press("i")
	b.press("u")
	if b.m.plan() != small {
		t.Error("undo took back more than the last press")
	}
	b.press("u")
	if b.m.plan() != plan.Fit(plan.Default(image.Pt(120, 90)), b.m.frame) {
		t.Error("undo did not take the held key back as one step")
	}
	b.press("u")
	if b.m.note != "nothing to undo" {
		t.Errorf("note %q", b.m.note)
	}
	b.press("r", "r", "r")
	if b.m.note != "nothing to redo" {
		t.Errorf("note %q", b.m.note)
	}
}

func TestFlipComesBack(t *testing.T) {
	b := opened(t, 80, 24)
	for _, start := range []string{"c", "s", "w"} {
		b.press(start, "v")
		want := b.m.other
		for range 6 {
			b.press(" ")
		}
		if b.m.view != study.Values {
			t.Errorf("from %s: six flips end at %s", start, b.m.view)
		}
		if start != "w" && b.m.other != want {
			t.Errorf("from %s: flipping forgot where it came from", start)
		}
	}
}

// Every text row of every place fills exactly the window's width, whatever it is.
func TestRowsFitEveryWindow(t *testing.T) {
	b := opened(t, 80, 24)
	for _, scope := range [][]string{{}, {"?"}, {"?", "5", "e", "l"}, {"S"}} {
		b.press(scope...)
		b.do()
		for cols := minCols; cols < 200; cols += 7 {
			for _, rows := range []int{12, 15, 16, 24, 60} {
				b.tell(tea.WindowSizeMsg{Width: cols, Height: rows})
				b.do()
				lines := strings.Split(b.m.View(), "\n")
				if len(lines) != rows {
					t.Fatalf("%d rows in a window of %d", len(lines), rows)
				}
				for i, l := range lines {
					if w := ansi.StringWidth(l); w != cols {
						t.Fatalf("%v: row %d is %d wide in a window of %d: %q", scope, i, w, cols, ansi.Strip(l))
					}
				}
			}
		}
	}
}

func TestSaving(t *testing.T) {
	b := opened(t, 80, 24)
	b.press("S")
	b.press("S") // not twice at once
	b.do()
	if b.kept.saved != 1 || b.m.note != "saved it" {
		t.Errorf("saved %d times, note %q", b.kept.saved, b.m.note)
	}
	b.kept.fail = errors.New("the disk is full")
	b.press("S")
	b.do()
	if b.m.note != "not saved: the disk is full" {
		t.Errorf("note %q", b.m.note)
	}
}

// A photo that cannot be opened ends the studio with its error.
func TestOpeningFails(t *testing.T) {
	b := newBench(t, 80, 24)
	cause := errors.New("cut short")
	b.tell(openedMsg{err: cause})
	if !errors.Is(b.m.err, cause) {
		t.Errorf("error %v", b.m.err)
	}
	if b.m.View() != "" {
		t.Error("something is shown after the end")
	}
}

func TestPanicsAreCaught(t *testing.T) {
	for _, place := range []string{"update", "view", "job"} {
		b := opened(t, 80, 24)
		b.m.opt.Fault = func(p string) {
			if p == place {
				panic("on purpose")
			}
		}
		told := make(chan tea.Msg, 1)
		b.m.send = func(msg tea.Msg) { told <- msg }
		b.press(".")
		if place == "view" {
			_ = b.m.View()
			b.tell(<-told)
		} else {
			b.do()
		}
		var c *Crash
		if !errors.As(b.m.err, &c) || c.Value != "on purpose" || !strings.Contains(c.Trace, "tui") {
			t.Errorf("%s: error %v", place, b.m.err)
		}
	}
}

func TestEveryHintedKeyHasAPlace(t *testing.T) {
	b := opened(t, 245, 40)
	line := ansi.Strip(b.m.hintLine())
	for _, k := range keys.Table(keys.Studio) {
		if k.Hint != "" && !strings.Contains(line, k.Hint) {
			t.Errorf("%q is not hinted in a wide window: %q", k.Hint, line)
		}
	}
	if s := b.status(); !strings.Contains(s, "6x8 in across") || !strings.Contains(s, "three values") {
		t.Errorf("status %q", s)
	}
}

// More shapes can be asked for until all are there, also where one step of the
// hierarchy joins several and a first press shows nothing new.
func TestMoreShapesNeverSticks(t *testing.T) {
	b := opened(t, 80, 24)
	b.m.shown.figures.Shapes, b.m.shown.figures.Most = 22, 60
	p, f := plan.SetShapes(26)(b.m.plan(), b.m.frame), b.m.frame
	for range 20 {
		q := b.m.shapesBy(true)(p, f)
		if q.Shapes.Wanted == 0 {
			return
		}
		if q.Shapes.Wanted <= p.Shapes.Wanted {
			t.Fatalf("from %d wanted to %d", p.Shapes.Wanted, q.Shapes.Wanted)
		}
		p = q
	}
	t.Errorf("after 20 presses %d are wanted, not all", p.Shapes.Wanted)
}

// The keys for more and fewer shapes work on the notan too: it is measured as the
// plan that it reads.
func TestFewerShapesOfTheNotan(t *testing.T) {
	b := opened(t, 80, 24)
	b.press("n")
	b.do()
	there := b.m.shown.figures.Shapes
	if there < 2 || b.m.shown.figures.Most == 0 {
		t.Fatalf("%d shapes of at most %d were measured", there, b.m.shown.figures.Most)
	}
	b.press("-")
	if got := b.m.plan().Shapes.Wanted; got != fewer(there) {
		t.Errorf("%d shapes are wanted, not %d: %q", got, fewer(there), b.m.note)
	}
}
