package mass

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// smallBases builds n bases of small random pictures, some carved: blocks and
// noise give many base shapes on few pixels.
func smallBases(t testing.TB, n int, seed uint64) []*Base {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 2))
	var out []*Base
	for i := range n {
		w, h, side := 16+rng.IntN(30), 16+rng.IntN(24), 4+rng.IntN(6)
		tone := make([]float64, w*h)
		for j := range tone {
			tone[j] = 5 + 90*rng.Float64()
		}
		pic := grey(w, h, func(x, y int) float64 { return tone[y/side*w+x/side] })
		if i%5 == 0 {
			pic = randomPicture(rng, w, h)
		}
		opt := Options{}
		if i%3 == 0 {
			opt.Focus = &Focus{X: rng.Float64(), Y: rng.Float64()}
		}
		b := build(t, pic, opt)
		if i%2 == 1 {
			b = b.Carve(knives(randomMask(rng, w, h), randomMask(rng, w, h)))
		}
		out = append(out, b)
	}
	return out
}

// randomMask marks a box or scattered pixels.
func randomMask(rng *rand.Rand, w, h int) imageproc.Mask {
	if rng.IntN(4) > 0 {
		x, y := rng.IntN(w), rng.IntN(h)
		return boxMask(w, h, x, y, x+1+rng.IntN(w), y+1+rng.IntN(h))
	}
	m := imageproc.NewMask(w, h)
	for i := range m.Pix {
		m.Pix[i] = rng.IntN(3) == 0
	}
	return m
}

// randomSets returns n sets of base shapes without a common one, sorted: each is
// a base shape and some around it, or scattered ones.
func randomSets(rng *rand.Rand, b *Base, n int) [][]int {
	free := rng.Perm(b.Shapes())
	var sets [][]int
	taken := make([]bool, b.Shapes())
	for range n {
		if len(free) == 0 {
			break
		}
		set := []int{free[0]}
		if taken[free[0]] {
			set = nil
		} else {
			taken[free[0]] = true
		}
		size := rng.IntN(6)
		for range size {
			if len(set) == 0 {
				break
			}
			for e := range b.border.a {
				i, j := int(b.border.a[e]), int(b.border.b[e])
				if slices.Contains(set, j) {
					i, j = j, i
				}
				if slices.Contains(set, i) && !taken[j] && rng.IntN(2) == 0 {
					set, taken[j] = append(set, j), true
					break
				}
			}
		}
		free = free[1:]
		slices.Sort(set)
		if len(set) > 0 {
			sets = append(sets, set)
		}
	}
	return sets
}

// randomCutting returns a cutting with about n choices.
func randomCutting(rng *rand.Rand, b *Base, n int) Cutting {
	c := Cutting{Values: 1 + rng.IntN(6), Method: Method(rng.IntN(4)), BrushMark: []float64{0, -1, .002, .02}[rng.IntN(4)]}
	if c.Method == ByHand {
		for i := range c.Values - 1 {
			c.Hand = append(c.Hand, palette.L(20+12*i))
		}
	}
	k := b.CountValues(c)
	for range n / 4 {
		c.Fixed = append(c.Fixed, Fixed{rng.IntN(b.Shapes()), rng.IntN(k)})
	}
	c.Weld = randomSets(rng, b, n/4)
	sets := randomSets(rng, b, 2*(n/4))
	for i := 0; i+1 < len(sets); i += 2 {
		c.Apart = append(c.Apart, Pair{sets[i], sets[i+1]})
	}
	for _, set := range randomSets(rng, b, n/4) {
		c.Detail = append(c.Detail, Detail{set, 1 + rng.IntN(4)})
	}
	return c
}

// shapesIn returns the plan's shape of each base shape.
func shapesIn(b *Base, p Plan) []int32 {
	of := make([]int32, len(b.shapes))
	for i, s := range b.labels.Pix {
		of[s] = p.Labels.Pix[i]
	}
	return of
}

// wholeIn counts the shapes that lie wholly in a set of base shapes.
func wholeIn(b *Base, p Plan, set []int) int {
	of, out := shapesIn(b, p), make([]bool, len(p.Shapes))
	for i, s := range of {
		if !slices.Contains(set, i) {
			out[s] = true
		}
	}
	n := 0
	for _, o := range out {
		if !o {
			n++
		}
	}
	return n
}

func valuesIn(b *Base, p Plan) []int {
	out := make([]int, len(b.shapes))
	for i, s := range shapesIn(b, p) {
		out[i] = p.Shapes[s].Value
	}
	return out
}

// touching parts a set into what touches, going over the set alone.
func touching(b *Base, set []int) [][]int {
	var out [][]int
	for _, s := range set {
		group := []int{s}
		if slices.ContainsFunc(out, func(g []int) bool { return slices.Contains(g, s) }) {
			continue
		}
		for at := 0; at < len(group); at++ {
			for e := range b.border.a {
				for _, ij := range [2][2]int{{int(b.border.a[e]), int(b.border.b[e])}, {int(b.border.b[e]), int(b.border.a[e])}} {
					if ij[0] == group[at] && slices.Contains(set, ij[1]) && !slices.Contains(group, ij[1]) {
						group = append(group, ij[1])
					}
				}
			}
		}
		out = append(out, group)
	}
	return out
}

// checkChoices holds all that a plan of c must be, whatever its number of shapes.
func checkChoices(t *testing.T, what string, b *Base, l *Layout, c Cutting, p Plan) {
	t.Helper()
	checkPlan(t, what, b, p, len(b.shapes))
	of := shapesIn(b, p)
	for n, f := range c.Fixed {
		if v := p.Shapes[of[f.Shape]].Value; v != f.Value && !slices.Contains(l.Overruled(), n) {
			t.Errorf("%s: base shape %d has value %d, fixed to %d", what, f.Shape, v, f.Value)
		}
	}
	for _, set := range c.Weld {
		for _, group := range touching(b, set) {
			for _, s := range group {
				if of[s] != of[group[0]] {
					t.Errorf("%s: welded base shapes %d and %d are in shapes %d and %d", what, group[0], s, of[group[0]], of[s])
				}
			}
		}
	}
	for n, pair := range c.Apart {
		if slices.Contains(l.Broken(), n) {
			continue
		}
		for _, i := range pair.A {
			for _, j := range pair.B {
				if of[i] == of[j] {
					t.Errorf("%s: pair %d is in one shape: base shapes %d and %d", what, n, i, j)
				}
			}
		}
	}
	for n, d := range c.Detail {
		if got := wholeIn(b, p, d.Shapes); got > d.Most && !stuck(b, l, d) {
			t.Errorf("%s: %d shapes in detail %d, %d wanted", what, got, n, d.Most)
		}
	}
}

// stuck says whether what the painter decided may keep a detail from having as
// few shapes as it should.
func stuck(b *Base, l *Layout, d Detail) bool {
	for _, s := range d.Shapes {
		if l.pull.fixed[s] || l.apart != nil {
			return true
		}
	}
	return false
}

// TestChoicesTogether draws plans with choices of all kinds at once.
func TestChoicesTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(91, 1))
	plans := 0
	for i, b := range smallBases(t, 60, 91) {
		for range 12 {
			c := randomCutting(rng, b, 4+rng.IntN(20))
			l := b.Values(c)
			for _, s := range []int{1, 2, 4, 9, 100} {
				p := l.Shapes(imageproc.Labels{}, s)
				checkChoices(t, fmt.Sprintf("base %d, %+v, %d shapes", i, c, s), b, l, c, p)
				plans++
			}
			if t.Failed() {
				t.FailNow()
			}
		}
	}
	t.Logf("%d plans", plans)
}
