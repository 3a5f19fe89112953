package tui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// hit presses keys by name and lets all work be done after each.
func (b *bench) hit(names ...string) {
	b.t.Helper()
	special := map[string]tea.KeyType{
		"enter": tea.KeyEnter, "esc": tea.KeyEsc, "tab": tea.KeyTab, "backspace": tea.KeyBackspace,
		"left": tea.KeyLeft, "right": tea.KeyRight, "up": tea.KeyUp, "down": tea.KeyDown,
		"shift+left": tea.KeyShiftLeft, "shift+right": tea.KeyShiftRight, "shift+up": tea.KeyShiftUp, "shift+down": tea.KeyShiftDown,
	}
	for _, n := range names {
		if t, ok := special[n]; ok {
			b.tell(tea.KeyMsg{Type: t})
		} else {
			b.press(n)
		}
		b.do()
	}
}

func (b *bench) choices() []plan.Choice { return b.m.plan().Choices.List() }

// The dark block in the middle of the bench's photo.
func inTheDark(t *testing.T) *bench {
	t.Helper()
	b := opened(t, 110, 34)
	b.hit("m", "enter")
	if b.m.scope != keys.Hand {
		t.Fatal("Enter does not take a shape in the hand")
	}
	if !strings.HasPrefix(strings.TrimSpace(b.status()), "darkest value of 3") {
		t.Fatalf("status %q", b.status())
	}
	return b
}

func TestAValueForAShape(t *testing.T) {
	b := inTheDark(t)
	b.hit("3")
	if c := b.choices(); len(c) != 1 || c[0].What != plan.GiveValue || c[0].Value != 2 || c[0].Of != 3 {
		t.Fatalf("choices %v", c)
	}
	if !strings.Contains(b.status(), "lightest value of 3") || !strings.Contains(b.status(), "value 3 of 3") {
		t.Errorf("status %q", b.status())
	}
	b.hit("i", "2") // a second thought replaces the first
	if c := b.choices(); len(c) != 1 || c[0].Value != 1 {
		t.Errorf("choices %v", c)
	}
	b.hit("u", "u", "u")
	if c := b.choices(); len(c) != 0 {
		t.Errorf("after undo: %v", c)
	}
	b.hit("5")
	if len(b.choices()) != 0 || b.m.note == "" {
		t.Errorf("a fifth of three values: %v, %q", b.choices(), b.m.note)
	}
}

// Keys about a shape that come before the shapes are measured are not lost.
func TestHandWaitsForTheShapes(t *testing.T) {
	b := opened(t, 110, 34)
	b.press(".", "m")
	b.tell(tea.KeyMsg{Type: tea.KeyEnter})
	b.press("3")
	if len(b.choices()) != 0 {
		t.Fatal("a choice about a shape that is not known")
	}
	b.do()
	if c := b.choices(); len(c) != 1 || c[0].Value != 2 {
		t.Errorf("choices %v", c)
	}
}

func TestPullTogetherAndKeepApart(t *testing.T) {
	b := inTheDark(t)
	b.hit("t", "shift+up")
	c := b.choices()
	if len(c) != 1 || c[0].What != plan.Together {
		t.Fatalf("choices %v", c)
	}
	if f := b.m.shown.figures; f.List[f.At(b.m.onCrop(b.m.hand.at))].Share < 0.5 {
		t.Error("the block and the sky are not one")
	}
	b.hit("u", "a", "left")
	if c = b.choices(); len(c) != 1 || c[0].What != plan.Apart || c[0].Other.Empty() {
		t.Fatalf("choices %v", c)
	}
	b.hit("t", "esc") // asked, and thought better of
	if len(b.choices()) != 1 || b.m.scope != keys.Hand {
		t.Errorf("choices %v in %v", b.choices(), b.m.scope.Title())
	}
	b.hit("enter", "shift+up", "enter", "t")
	if c = b.choices(); len(c) != 2 || c[1].What != plan.Together || len(b.m.hand.marks) != 0 {
		t.Errorf("two marked shapes: %v, %d marks", c, len(b.m.hand.marks))
	}
	b.hit("enter", "esc")
	if b.m.scope != keys.Hand || len(b.m.hand.marks) != 0 {
		t.Error("the first Esc lets go of the marks only")
	}
	b.hit("esc")
	if b.m.scope != keys.Studio {
		t.Error("the second Esc leaves")
	}
}

// + and - go on being about what they began with, though it breaks up.
func TestDetailOfOnePlace(t *testing.T) {
	b := inTheDark(t)
	b.hit("+", "+", "-")
	c := b.choices()
	if len(c) != 1 || c[0].What != plan.Detail || c[0].Shapes != 2 {
		t.Errorf("choices %+v", c)
	}
	b.hit("w", "w")
	if c = b.choices(); len(c) != 2 || c[1].What != plan.Outline || c[1].Smooth != 1 {
		t.Errorf("choices %+v", c)
	}
	b.hit("W")
	if c = b.choices(); len(c) != 2 || c[1].Smooth != 0 {
		t.Errorf("choices %+v", c)
	}
	b.hit("p", "p", "n")
	if c = b.choices(); len(c) != 4 || c[2].What != plan.PlaneIs || c[3].What != plan.DepthIs {
		t.Errorf("choices %+v", c)
	}
	if !strings.Contains(b.status(), string(c[2].Plane)+"  "+string(c[3].Depth)) {
		t.Errorf("status %q does not say %s and %s", b.status(), c[2].Plane, c[3].Depth)
	}
}

func TestLeaveOutMoveAndList(t *testing.T) {
	b := inTheDark(t)
	before := b.m.shown.figures.Shares
	b.hit("x")
	if c := b.choices(); len(c) != 1 || c[0].What != plan.LeaveOut {
		t.Fatalf("choices %v", c)
	}
	if after := b.m.shown.figures; len(after.Shares) == len(before) && after.List[after.At(0.5, 0.5)].Value == 0 && after.Tones[0] < 30 {
		t.Error("the block is still there")
	}
	b.hit("d", "enter")
	if c := b.choices(); !c[0].Off || b.m.scope != keys.Decided {
		t.Fatalf("choices %v", c)
	}
	if !strings.Contains(b.status(), "off") {
		t.Errorf("status %q", b.status())
	}
	b.hit("x")
	if len(b.choices()) != 0 || b.m.scope != keys.Hand {
		t.Errorf("choices %v in %s", b.choices(), b.m.scope.Title())
	}
	b.hit("y", "right", "+", "tab")
	c := b.choices()
	if len(c) != 1 || c[0].What != plan.Copy || !c[0].Mirror || c[0].Scale != 1.1 || b.m.scope != keys.Carry {
		t.Fatalf("choices %+v in %s", c, b.m.scope.Title())
	}
	b.hit("x")
	if len(b.choices()) != 0 || b.m.scope != keys.Hand {
		t.Errorf("choices %v in %s", b.choices(), b.m.scope.Title())
	}
	// Undo takes the copy away under the hand that carries it: any key leads back.
	b.hit("v", "u", "left")
	if b.m.scope != keys.Hand {
		t.Errorf("in %s", b.m.scope.Title())
	}
}

func TestAddAShape(t *testing.T) {
	b := opened(t, 110, 34)
	b.hit("z", "x")
	if len(b.choices()) != 0 || b.m.note == "" {
		t.Errorf("an area without corners: %v", b.choices())
	}
	b.hit("enter", "shift+right", "shift+down", "1")
	c := b.choices()
	if len(c) != 1 || c[0].What != plan.Add || c[0].Value != 0 || c[0].Of != 3 || b.m.scope != keys.Studio {
		t.Fatalf("choices %+v in %s", c, b.m.scope.Title())
	}
	b.hit("z", "tab", "tab", "enter", "right", "enter", "down", "enter", "left", "x")
	if c = b.choices(); len(c) != 2 || c[1].What != plan.LeaveOut || len(c[1].Area.Rings()[0]) != 4 {
		t.Errorf("corner by corner: %+v", c)
	}
}

func TestThumbnails(t *testing.T) {
	b := opened(t, 110, 34)
	b.hit("y", "y")
	if n := len(b.m.hist.Thumbnails()); n != 1 {
		t.Fatalf("%d thumbnails of one plan", n)
	}
	b.hit("2", "y", "4", "y", "T")
	if b.m.scope != keys.Wall || b.m.wall.at != 2 {
		t.Fatalf("in %s at %d", b.m.scope.Title(), b.m.wall.at)
	}
	if len(b.m.wall.drawn) != 3 {
		t.Errorf("%d pictures on a wall of three", len(b.m.wall.drawn))
	}
	b.hit("H")
	names := func() string {
		var out []string
		for _, th := range b.m.hist.Thumbnails() {
			out = append(out, th.Name)
		}
		return strings.Join(out, ",")
	}
	if got := names(); got != "1,3,2" {
		t.Errorf("moved forward: %s", got)
	}
	b.hit("n", "backspace", "l", "o", "w")
	b.tell(tea.WindowSizeMsg{Width: 60, Height: 20}) // nothing written is lost
	b.do()
	b.tell(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(" tide q"), Paste: true})
	if !strings.Contains(b.status(), "low tide q") {
		t.Errorf("status %q", b.status())
	}
	b.hit("enter")
	if got := names(); got != "1,low tide q,2" {
		t.Errorf("named: %s", got)
	}
	b.hit("x")
	if got := names(); got != "1,2" {
		t.Errorf("taken away: %s", got)
	}
	b.hit("u", "u", "u")
	if got := names(); got != "1,2,3" {
		t.Errorf("undone: %s", got)
	}
	b.hit("left", "left", "enter")
	if b.m.scope != keys.Studio || b.m.plan().Values.K != 3 || b.m.view != study.Plan {
		t.Errorf("opened: %d values in %s", b.m.plan().Values.K, b.m.scope.Title())
	}
	b.hit("u")
	if b.m.plan().Values.K != 4 {
		t.Errorf("opening a thumbnail can be undone: %d values", b.m.plan().Values.K)
	}
}

func TestVariationsAndPairs(t *testing.T) {
	b := opened(t, 110, 34)
	b.hit("m", "V")
	if n := len(b.m.wall.tries); n < 8 {
		t.Fatalf("%d variations", n)
	}
	b.hit("x")
	if b.m.note == "" {
		t.Error("a variation is not kept, so it cannot be taken away")
	}
	b.hit("y", "right", "y")
	if n := len(b.m.hist.Thumbnails()); n != 2 {
		t.Fatalf("%d kept", n)
	}
	b.hit("V", "left", " ", "right", "b")
	if b.m.scope != keys.Pair || b.m.pair.at != [2]int{0, 1} {
		t.Fatalf("in %s: %v", b.m.scope.Title(), b.m.pair.at)
	}
	b.hit(" ", " ")
	if b.m.pair.look != 0 || !b.m.pair.blink {
		t.Errorf("blinking shows %d", b.m.pair.look)
	}
	want := b.m.pair.plans[0]
	b.hit("enter")
	if b.m.plan() != want || b.m.scope != keys.Studio {
		t.Error("the one that was looked at is not the plan in hand")
	}
}

// - pressed before the shapes are counted is done when they are.
func TestFewerWaitsForTheCount(t *testing.T) {
	b := opened(t, 110, 34)
	b.press("4", "m", "-")
	if b.m.plan().Shapes.Wanted != 0 {
		t.Fatal("fewer than nobody knows")
	}
	b.do()
	if b.m.plan().Shapes.Wanted == 0 {
		t.Error("the key is lost")
	}
}
