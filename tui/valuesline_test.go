package tui

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
)

func (b *bench) values() string { return ansi.Strip(b.m.valuesLine()) }

// All values stand below the picture with their shares, however many there are
// and however narrow the window.
func TestAllValuesAreSaid(t *testing.T) {
	for _, depth := range []cells.Depth{cells.TrueColour, cells.NoColour} {
		b := opened(t, 80, 24)
		b.m.opt.Depth = depth
		for _, k := range []string{"2", "3", "4", "5"} {
			b.press(k)
			b.do()
			for cols := minCols; cols < 120; cols++ {
				b.m.cols = cols
				line := strings.ReplaceAll(b.values(), " %", "%")
				f, _ := b.m.told()
				for i, tone := range f.Tones {
					want := strings.TrimPrefix(munsell(tone), "N") + " " + strings.ReplaceAll(percent(f.Shares[i]), " ", "")
					if !strings.Contains(line, want) {
						t.Errorf("%s values, %d columns, depth %d: no %q in %q", k, cols, depth, want, line)
					}
				}
				if w := ansi.StringWidth(b.values()); w != cols {
					t.Fatalf("%d wide in %d columns", w, cols)
				}
			}
		}
	}
}

// While tones and cuts are set by hand the chosen one is always to be seen, in
// the lowest window too, where the line has no row of its own.
func TestTheChosenOneIsSeen(t *testing.T) {
	for _, k := range []string{"2", "3", "4", "5"} {
		for _, size := range [][2]int{{40, 12}, {40, 24}, {47, 15}, {60, 12}, {80, 24}, {100, 30}, {200, 60}} {
			b := opened(t, size[0], size[1])
			b.hit(k, "e")
			f, _ := b.m.told()
			for i := range 2*len(f.Tones) - 1 {
				f, _ = b.m.told()
				want := "[" + munsell(f.Tones[i/2])[1:]
				if i%2 == 1 {
					want = "[|" + munsell(f.Cuts[i/2])[1:] + "]"
				}
				shown := strings.ReplaceAll(ansi.Strip(b.m.View()), "[N", "[")
				if !strings.Contains(shown, want) {
					t.Errorf("%s values at %v, mark %d: no %q in\n%s", k, size, i, want, b.values())
				}
				b.hit("right")
			}
		}
	}
}

// How cuts and tones are found is said at each change of it, in the line of
// values or where there is no room as a message.
func TestTheWayOfCutsIsSaid(t *testing.T) {
	for _, cols := range []int{40, 64, 80, 100, 200} {
		b := opened(t, cols, 24)
		b.hit("5", "e")
		for range 3 {
			b.hit("c")
			p := b.m.plan().Values
			want := fmt.Sprintf("cuts %s, tones %s", p.CutMethod, p.ToneMethod)
			if v := ansi.Strip(b.m.View()); !strings.Contains(v, want) {
				t.Errorf("%d columns: %q is not said", cols, want)
			}
		}
	}
}

// Where another picture than the plan's is shown, the line says that it is of
// the plan.
func TestTheLineSaysWhoseValues(t *testing.T) {
	b := opened(t, 80, 24)
	b.hit("m")
	if s := b.values(); strings.Contains(s, "plan") {
		t.Errorf("below the plan: %q", s)
	}
	b.hit("n")
	if _, s, ok := strings.Cut(b.values(), "  plan "); !ok || !strings.Contains(s, "N2.0") {
		t.Errorf("below the notan: %q", s)
	}
	b.hit("y", "V", "right")
	if s := b.values(); !strings.HasPrefix(s, " plan in hand ") {
		t.Errorf("at the wall: %q", s)
	}
	b.hit("b")
	if s := b.values(); !strings.HasPrefix(s, " plan in hand ") {
		t.Errorf("below two of them: %q", s)
	}
}

// A value is set by hand from what was measured: keys that come before that wait
// for it, in their order.
func TestValuesByHandWaitToBeMeasured(t *testing.T) {
	b := opened(t, 80, 24)
	b.press("2", "e", "k", "l", "k", "l", "j")
	if b.m.plan().Values.ToneMethod == plan.ToneByHand || b.m.mark != 0 {
		t.Errorf("set before it was measured: %v, mark %d", b.m.plan().Values, b.m.mark)
	}
	b.do()
	slow := b.m.plan().Values
	b = opened(t, 80, 24)
	b.hit("2", "e", "k", "l", "k", "l", "j")
	if quick := b.m.plan().Values; slow != quick || slow.ToneMethod != plan.ToneByHand || slow.CutMethod != plan.CutByHand {
		t.Errorf("typed ahead %+v, key by key %+v", slow, quick)
	}
	if b.press("k", "k", "k", "e"); b.m.scope != keys.Studio {
		t.Errorf("a key that goes on from what was set waits, in %s", b.m.scope.Title())
	}
}

// A value can be set only if it is there.
func TestValuesByHandHaveToBeThere(t *testing.T) {
	b := opened(t, 80, 24)
	b.hit("e", "k", "k") // a held key goes on from what it set
	if b.m.plan().Values.ToneMethod != plan.ToneByHand || b.m.note != "" {
		t.Errorf("not set after it was measured: %q", b.m.note)
	}
	b = opened(t, 80, 24)
	b.hit("5", "e", "k")
	if !strings.Contains(b.m.note, "only 3 values") {
		t.Errorf("five of three values: %q", b.m.note)
	}
	for range 9 {
		b.hit("l")
		if !strings.Contains(b.values(), "[") {
			t.Fatalf("the chosen one is not there: %q", b.values())
		}
	}
}

// Below the notan stands how much of it is dark and how much light, at every
// width that has room for it, and then whose the values are.
func TestNotanSaysItsShares(t *testing.T) {
	b := opened(t, 110, 34)
	b.press("n")
	b.do()
	for cols, want := range map[int]string{110: `^ dark \d+ %  light \d+ %  plan `, 60: `^ dark \d+%  light \d+%  plan `, 40: `^ dark \d+%  light \d+%  plan `} {
		b.tell(tea.WindowSizeMsg{Width: cols, Height: 34})
		b.do()
		if got := ansi.Strip(b.m.valuesLine()); !regexp.MustCompile(want).MatchString(got) || ansi.StringWidth(got) != cols {
			t.Errorf("%d columns: %q", cols, got)
		}
	}
	b.press("m")
	b.do()
	if got := ansi.Strip(b.m.valuesLine()); strings.Contains(got, "dark") {
		t.Errorf("below the plan: %q", got)
	}
}

// Where the photo has fewer values than were asked for, both are said.
func TestFewerValuesAreSaid(t *testing.T) {
	b := opened(t, 110, 34) // three flat greys
	b.hit("m", "3")
	if s := b.status(); !strings.Contains(s, "  three values  ") {
		t.Errorf("three of three: %q", s)
	}
	b.hit("5")
	if s := b.status(); !strings.Contains(s, "  3 of five values  ") {
		t.Errorf("three of five: %q", s)
	}
}
