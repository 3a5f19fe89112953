package plan

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// moorings is a file with every kind of choice, thumbnails and steps in it.
func moorings(t testing.TB) File {
	t.Helper()
	f := boatyard(t)
	fr := f.Photo.Frame()
	boat := AreaOf([][]Point{{{0.1, 0.2}, {0.3, 0.2}, {0.3, 0.4}, {0.1, 0.35}}, {{0.15, 0.25}, {0.2, 0.25}, {0.2, 0.3}}})
	shed, mast := BoxArea(0.5, 0.4, 0.8, 0.9), BoxArea(0.12, 0, 0.13, 0.2)
	h := NewHistory(State{Plan: Default(fr.Photo)})
	do := func(action string, e Edit) { h = h.Do(action, e(h.Plan(), fr)).Break() }
	do("leave out", Choose(Choice{What: LeaveOut, Area: mast}))
	do("move", Choose(Choice{What: Move, Area: boat, DX: 0.25, DY: -0.1, Scale: 1.25}))
	s, _ := h.State().Keep("boat to the right", h.Plan())
	h = h.DoState("keep", s).Break()
	do("copy", Choose(Choice{What: Copy, Area: shed, DX: -0.3, Mirror: true}))
	do("add", Choose(Choice{What: Add, Area: BoxArea(0.7, 0, 1, 0.1), Value: 0, Of: 3, Tone: 2.5}))
	do("value", Choose(Choice{What: GiveValue, Area: shed, Value: 1, Of: 3}))
	do("together", Choose(Choice{What: Together, Area: boat.Union(shed)}))
	do("apart", Choose(Choice{What: Apart, Area: boat, Other: shed}))
	s, _ = h.State().Keep("", h.Plan())
	h = h.DoState("keep", s.Drop(0)).Break()
	do("detail", Choose(Choice{What: Detail, Area: shed, Shapes: 4}))
	do("outline", Choose(Choice{What: Outline, Area: shed, Smooth: 1.5}))
	do("plane", Choose(Choice{What: PlaneIs, Area: BoxArea(0, 0, 1, 0.3), Plane: Sky}))
	do("switch off", SwitchChoice(1))
	do("depth", Choose(Choice{What: DepthIs, Area: shed, Depth: Far}))
	do("squint", SetSquint(2))
	return f.WithHistory(h.Undo())
}

func TestTextOfChoicesAndHistoryIsAsPublished(t *testing.T) {
	got := moorings(t).Text()
	name := filepath.Join("testdata", "moorings.plan.json")
	if os.Getenv("HALFLID_REWRITE") == "1" {
		if err := os.WriteFile(name, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the text of a plan has changed: plans in use would change with it\n%s", got)
	}
	f, err := Read(want)
	if err != nil {
		t.Fatal(err)
	}
	if !f.Equal(moorings(t)) {
		t.Errorf("read back: %+v", f)
	}
}

// The steps in a file go on where they were: undone and redone one by one they
// give the same states as the history that was saved.
func TestHistoryGoesOnFromTheFile(t *testing.T) {
	r := seeded(t, 61)
	for range 300 {
		f := randomFile(r)
		h := f.History()
		g, err := Read(f.WithHistory(h).Text())
		if err != nil {
			t.Fatal(err)
		}
		back := g.History()
		same := func() {
			t.Helper()
			a, b := f.WithHistory(h), f.WithHistory(back)
			a.history, b.history = nil, nil
			if !bytes.Equal(a.Text(), b.Text()) {
				t.Fatal("another state than was saved")
			}
			au, aok := h.CanUndo()
			bu, bok := back.CanUndo()
			ar, arok := h.CanRedo()
			br, brok := back.CanRedo()
			if au != bu || aok != bok || ar != br || arok != brok {
				t.Fatalf("undo %q or redo %q, saved %q and %q", bu, br, au, ar)
			}
		}
		same()
		for _, ok := h.CanRedo(); ok; _, ok = h.CanRedo() {
			h, back = h.Redo(), back.Redo()
			same()
		}
		for _, ok := h.CanUndo(); ok; _, ok = h.CanUndo() {
			h, back = h.Undo(), back.Undo()
			same()
		}
	}
}

// A plan set without the history is one step more, which can be undone.
func TestHistoryOfAPlanChangedElsewhere(t *testing.T) {
	f := moorings(t)
	was := f.Plan
	other := SetSquint(3.3)(was, f.Photo.Frame())
	for _, g := range []File{f.With(other), mustRead(t, f.With(other).Text())} {
		h := g.History()
		if a, ok := h.CanUndo(); !ok || a != Elsewhere || h.Plan() != other || h.Undo().Plan() != was {
			t.Errorf("undo %q leads to squint %v", a, h.Undo().Plan().Squint)
		}
		if g.With(was).History().State().Equal(f.History().State()) != true || !g.With(was).Equal(f) {
			t.Error("With dropped something else")
		}
	}
	if a, _ := f.History().CanUndo(); a != "depth" {
		t.Errorf("undo %q", a)
	}
	if a, ok := f.History().CanRedo(); !ok || a != "squint" {
		t.Errorf("redo %q", a)
	}
	plain := boatyard(t)
	h := plain.History()
	if _, ok := h.CanUndo(); ok || !h.State().Equal(State{plain.Plan, plain.Thumbnails}) {
		t.Error("a file without steps has some")
	}
	if !plain.WithHistory(h).Equal(plain) {
		t.Error("a history without steps changed the file")
	}
	// The step that was saved does not take repeats any more.
	last := f.History().Do("squint", SetSquint(2.8)(was, f.Photo.Frame()))
	if g := f.WithHistory(last).History().Do("squint", other); g.Undo().Plan() != last.Plan() {
		t.Error("a step joined one of an earlier day")
	}
}

func mustRead(t *testing.T, text []byte) File {
	t.Helper()
	f, err := Read(text)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func count(h History) (undo, redo int) {
	for _, ok := h.CanUndo(); ok; _, ok = h.CanUndo() {
		h = h.Undo()
		undo++
	}
	for _, ok := h.CanRedo(); ok; _, ok = h.CanRedo() {
		h = h.Redo()
		redo++
	}
	return undo, redo - undo
}

// The file keeps the newest hundred steps, and the present plan among them.
func TestFileKeepsAHundredSteps(t *testing.T) {
	f := boatyard(t)
	for _, c := range []struct{ made, undone, undo, redo int }{
		{0, 0, 0, 0},
		{1, 0, 1, 0},
		{100, 0, 100, 0},
		{101, 0, 100, 0},
		{250, 0, 100, 0},
		{250, 40, 60, 40},
		{250, 100, 0, 100},
		{250, 180, 0, 100},
		{250, 250, 0, 100},
		{30, 30, 0, 30},
	} {
		h := NewHistory(State{Plan: squinted(0)})
		for i := range c.made {
			h = h.Do(strconv.Itoa(i), squinted(i+1))
		}
		for range c.undone {
			h = h.Undo()
		}
		g := mustRead(t, f.WithHistory(h).Text())
		undo, redo := count(g.History())
		if undo != c.undo || redo != c.redo || g.Plan.Squint != h.Plan().Squint {
			t.Errorf("%d steps, %d undone: %d to undo, %d to redo, squint %v", c.made, c.undone, undo, redo, g.Plan.Squint)
		}
		if undo > 0 {
			if a, _ := g.History().CanUndo(); a != strconv.Itoa(c.made-c.undone-1) {
				t.Errorf("%d steps, %d undone: the last is %q", c.made, c.undone, a)
			}
		}
	}
}

// A history of long lists is cut to 512 kB of the file, not much below, from its
// old end, and a file that was cut is not cut again.
func TestFileKeepsHalfAMegabyteOfSteps(t *testing.T) {
	r := seeded(t, 62)
	f := boatyard(t)
	cs := manyChoices(r, 700)
	h := NewHistory(State{Plan: f.Plan})
	h.first.Plan.Choices = ListOf(cs[:300]...)
	for i, c := range cs[300:] {
		h = h.Do(fmt.Sprint("choice ", i), ReplaceChoice(r.IntN(300), c)(h.Plan(), f.Photo.Frame()))
	}
	for _, undone := range []int{0, 20, 90, 300} {
		for range undone {
			h = h.Undo()
		}
		full := f.WithHistory(h)
		text := full.Text()
		plain := f.WithHistory(NewHistory(h.State())).Text()
		if n := len(text) - len(plain); n > maxHistoryText || n < maxHistoryText*3/4 {
			t.Errorf("%d undone: %d bytes of history", undone, n)
		}
		g := mustRead(t, text)
		if again := g.Text(); !bytes.Equal(again, text) {
			t.Fatalf("%d undone: cut twice", undone)
		}
		undo, redo := count(g.History())
		if undo+redo >= MaxKept || undo+redo < 20 {
			t.Errorf("%d undone: %d and %d steps are kept", undone, undo, redo)
		}
		if allUndo, _ := count(h); undo > 0 && undo < allUndo && redo < min(undone, MaxKept) {
			t.Errorf("undone steps went before done ones: %d of %d kept", redo, undone)
		}
		a, b := h, g.History()
		for range undo {
			a, b = a.Undo(), b.Undo()
			if a.Plan() != b.Plan() {
				t.Fatal("other steps than the newest are kept")
			}
		}
		for range undo + redo {
			a, b = a.Redo(), b.Redo()
			if a.Plan() != b.Plan() {
				t.Fatal("other steps than the next are kept")
			}
		}
		for range undone {
			h = h.Redo()
		}
	}
}

// A step too large for the file goes, with those beyond it; the others stay.
func TestFileLeavesOutAStepThatIsTooLarge(t *testing.T) {
	r := seeded(t, 65)
	f := boatyard(t)
	h := NewHistory(State{Plan: squinted(0)})
	s := h.State()
	for i := range 4 {
		p := squinted(10 + i)
		p.Choices = ListOf(manyChoices(r, MaxChoices)...)
		s, _ = s.Keep("", p)
	}
	h = h.Do("a", squinted(1)).Do("b", squinted(2)).DoState("large", s).DoState("gone", State{Plan: squinted(3)}).Do("c", squinted(4)).Do("d", squinted(5))
	for back, want := range [][2]int{{2, 0}, {1, 1}, {0, 2}} {
		g := h
		for range back {
			g = g.Undo()
		}
		if undo, redo := count(mustRead(t, f.WithHistory(g).Text()).History()); undo != want[0] || redo != want[1] {
			t.Errorf("%d undone: %d and %d steps are kept, want %v", back, undo, redo, want)
		}
	}
	g := h.Undo().Undo().Undo().Undo()
	if undo, redo := count(mustRead(t, f.WithHistory(g).Text()).History()); undo != 2 || redo != 0 {
		t.Errorf("before the large step: %d and %d steps are kept", undo, redo)
	}
}

// A thousand edits of any kind, undone one by one, give back the first plan
// byte for byte; redone, the last.
func TestUndoOfAThousandEdits(t *testing.T) {
	r := seeded(t, 63)
	photo := harbour.Photo
	f := File{Photo: Photo{"quay.jpg", testSHA, photo.X, photo.Y}}
	text := func(h History) string { g := f.WithHistory(h); g.history = nil; return string(g.Text()) }
	h := NewHistory(State{Plan: randomPlan(r, photo)})
	first := text(h)
	steps := 0
	for steps < 1000 {
		before := h.State()
		if h = randomStep(r, h, photo); !h.State().Equal(before) {
			steps++
		}
	}
	last := text(h)
	if undo, _ := count(h); undo != 1000 {
		t.Fatalf("%d steps", undo)
	}
	for range 1000 {
		h = h.Undo()
	}
	if got := text(h); got != first {
		t.Errorf("undone:\n%s\nwant\n%s", got, first)
	}
	for range 1000 {
		h = h.Redo()
	}
	if got := text(h); got != last {
		t.Errorf("redone:\n%s\nwant\n%s", got, last)
	}
}
