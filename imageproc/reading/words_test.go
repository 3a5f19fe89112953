package reading

import (
	"math/rand/v2"
	"strings"
	"testing"

	"atelier/halflid/imageproc/plan"
)

// No two lines of a reading have the same words, and none asks which value rules
// while another says it.
func TestNoLineTwice(t *testing.T) {
	r := rand.New(rand.NewPCG(43, 1))
	for range 200 {
		d := anyDesign(r)
		said, rules, which := map[string]bool{}, 0, 0
		for _, l := range d.Read().Lines(plan.Inch) {
			if said[l.Words] {
				t.Errorf("twice: %s", l.Words)
			}
			said[l.Words] = true
			if strings.Contains(l.Words, " rules, with") {
				rules++
			}
			if strings.Contains(l.Words, "which rules?") {
				which++
			}
		}
		if len(d.Tones) > 1 && rules+which != 1 {
			t.Errorf("%d lines say which value rules, %d ask", rules, which)
		}
	}
}

// Two like squares at the focal point stand out in one line with both places, two
// discs at an edge touch it in one.
func TestAlikeIsToldTogether(t *testing.T) {
	d := drawn(400, 300, 2, func(x, y int) int {
		if in(x, y, 160, 140, 180, 160) || in(x, y, 220, 140, 240, 160) {
			return 0
		}
		return 1
	}).focused(0.5, 0.5, 0.2)
	n := 0
	for _, l := range d.Read().Lines(plan.Inch) {
		if l.Kind == "contrast.stands" {
			if n++; l.Words != "At the focal point 2 shapes stand out, 8.0 values darker." || len(l.At) != 2 || l.At[0] == l.At[1] {
				t.Errorf("%+v", l)
			}
		}
	}
	if n != 1 {
		t.Errorf("%d lines", n)
	}
	d = drawn(400, 300, 2, func(x, y int) int {
		for _, cy := range []int{80, 220} {
			if dx, dy := float64(x)+0.5-59.5, float64(y-cy)+0.5; dx*dx+dy*dy < 60*60 {
				return 0
			}
		}
		return 1
	})
	l, ok := asked(d, "edges.tangent")
	if !ok || l.Words != "2 shapes just touch the left edge: cut, or give room?" || len(l.At) != 2 {
		t.Errorf("%v %+v", ok, l)
	}
}

// Straight borders that lead to the focal point no more than by chance are asked
// about, as they are written; fewer than three lead nowhere.
func TestChanceIsNoMerit(t *testing.T) {
	for _, c := range []struct {
		count       int
		share, mean float64
		asks        bool
		words       string
	}{
		{5, 0.36, 0.30, false, "Straight borders to the focal point: 36 %, by chance 30 %."},
		{5, 0.31, 0.30, false, "Straight borders to the focal point: 31 %, by chance 30 %."},
		{5, 0.304, 0.30, true, "Straight borders to the focal point: 30 %, by chance 30 %. More?"},
		{5, 0.28, 0.34, true, "Straight borders to the focal point: 28 %, by chance 34 %. More?"},
		{3, 0, 0.3, true, "Straight borders to the focal point: 0 %, by chance 30 %. More?"},
		{2, 0.28, 0.34, false, "2 long straight borders, 1.2 times the long side in all."},
		{2, 0.5, 0.3, false, "Straight borders to the focal point: 50 %, by chance 30 %."},
	} {
		u := teller{r: Reading{Focal: Focal{Set: true, Inside: true}, Directions: Directions{Count: c.count, Length: 1.2, Pointing: c.share, Anywhere: c.mean}}}
		u.directions()
		if l := u.lines[0]; len(u.lines) != 1 || l.Asks != c.asks || l.Words != c.words {
			t.Errorf("%+v: %+v", c, u.lines)
		}
	}
}
