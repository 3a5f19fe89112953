package tui

import (
	"math"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// A tenth of a value by hand changes the plan by that, in the values as in the plan
// itself: what is found for single pixels elsewhere is not taken over unseen.
func TestByHandInValuesGoesOnFromThePlan(t *testing.T) {
	for _, from := range []string{"c", "v", "m"} {
		b := opened(t, 160, 30)
		b.press("m", "3", ".", ".", ".", ".")
		b.do()
		was := b.m.shown.figures
		b.press("v")
		b.do()
		if own := b.m.shown.figures; own.Cuts[0] == was.Cuts[0] || own.Tones[0] == was.Tones[0] {
			t.Fatal("the values are those of the plan: nothing is tried")
		}
		b.press(from, "e")
		b.tell(tea.KeyMsg{Type: tea.KeyRight}) // at once: it waits for what is measured
		b.tell(tea.KeyMsg{Type: tea.KeyUp})
		b.do()
		want := []palette.Value{was.Cuts[0].Value() + valueStep, was.Cuts[1].Value()}
		for i, c := range b.m.plan().Values.HandCuts() {
			if math.Abs(float64(c-want[i])) > .006 {
				t.Errorf("from %s: cut %d is %.3f, not %.3f", from, i, c, want[i])
			}
		}
		for i, tone := range b.m.shown.figures.Tones {
			// The cut takes some shapes elsewhere, so the means may follow a little.
			if off := math.Abs(float64(tone.Value() - was.Tones[i].Value())); off > .15 {
				t.Errorf("from %s: tone %d is off by %.2f", from, i, off)
			}
		}
	}
}

// Left again, the view is that in which it was begun; one chosen meanwhile stays.
func TestByHandGoesBack(t *testing.T) {
	b := opened(t, 160, 30)
	for _, c := range []struct {
		keys []string
		want study.View
	}{
		{[]string{"w", "e"}, study.Whole},
		{[]string{"c", "e"}, study.Photo},
		{[]string{"v", "e"}, study.Values},
		{[]string{"m", "e"}, study.Plan},
		{[]string{"c", "e", "v"}, study.Photo},
		{[]string{"c", "e", "m"}, study.Plan},
	} {
		b.press(c.keys...)
		b.do()
		b.tell(tea.KeyMsg{Type: tea.KeyEscape})
		b.do()
		if b.m.view != c.want {
			t.Errorf("after %v and Escape: %s, not %s", c.keys, b.m.view, c.want)
		}
	}
}
