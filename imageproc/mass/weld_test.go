package mass

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestWeldedValues: what touches of a welded set begins with the fixed value of
// more than half of its area, else with the value whose centre is nearest to its
// mean; base shapes alone begin with their own.
func TestWeldedValues(t *testing.T) {
	rng := rand.New(rand.NewPCG(94, 1))
	fixed, free, alone := 0, 0, 0
	for i, b := range smallBases(t, 120, 94) {
		for range 10 {
			c := randomCutting(rng, b, 12)
			c.Apart, c.Detail = nil, nil
			l := b.Values(c)
			value := func(s int) int { return int(l.value[l.fine[s]]) }
			welded := make([]bool, len(b.shapes))
			for _, set := range c.Weld {
				for _, group := range touching(b, set) {
					if len(group) < 2 {
						continue
					}
					all, sum := 0., 0.
					fix := map[int]float64{}
					for _, s := range group {
						welded[s] = true
						all, sum = all+b.shapes[s].area, sum+b.shapes[s].value
						for n := len(c.Fixed) - 1; n >= 0; n-- {
							if c.Fixed[n].Shape == s {
								fix[c.Fixed[n].Value] += b.shapes[s].area
								break
							}
						}
					}
					want, off := -1, math.Inf(1)
					for k, centre := range l.centre {
						if d := math.Abs(sum/all/stepsL - centre); d < off {
							want, off = k, d
						}
					}
					free++
					for k, a := range fix {
						if 2*a > all {
							want = k
							fixed++
						}
					}
					for _, s := range group {
						if value(s) != want {
							t.Fatalf("base %d, %+v: welded %v has value %d, want %d", i, c, group, value(s), want)
						}
					}
				}
			}
			for s := range b.shapes {
				own := int(l.group[b.shapes[s].class])
				if !welded[s] && value(s) != own && !slices.ContainsFunc(c.Fixed, func(f Fixed) bool { return f.Shape == s }) {
					t.Fatalf("base %d: base shape %d has value %d, its own is %d", i, s, value(s), own)
				}
				alone++
			}
		}
	}
	t.Logf("%d welded, %d of them fixed, %d alone", free, fixed, alone)
	if fixed < 20 || free < 200 {
		t.Error("too few were welded: little is tested")
	}
}

// TestOverruled: of two values for one shape the earlier is said not to hold, and
// so is the value of the smaller half of what is welded.
func TestOverruled(t *testing.T) {
	b := stripes(t, 12, 10, 50, 90)
	left, middle := b.At(3, 3), b.At(18, 3)
	l := b.Values(Cutting{Values: 3, Fixed: []Fixed{{left, 2}, {middle, 0}, {left, 1}}})
	if !slices.Equal(l.Overruled(), []int{0}) {
		t.Errorf("%v do not hold, want the first", l.Overruled())
	}
	l = b.Values(Cutting{Values: 3, Fixed: []Fixed{{left, 2}}, Weld: [][]int{{left, middle}}})
	if !slices.Equal(l.Overruled(), []int{0}) {
		t.Errorf("%v do not hold: half of the welded shape is no more than half", l.Overruled())
	}
}
