package reading

import (
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// asked returns the first line of a kind that asks.
func asked(d Design, kind string) (Line, bool) {
	for _, l := range d.Read().Lines(plan.Centimetre) {
		if l.Kind == kind && l.Asks {
			return l, true
		}
	}
	return Line{}, false
}

// Every question that a reading asks, on two hand-made pictures: one that
// satisfies practice and is not asked, one that does not and is. Common practice,
// no source; which of the two a picture is follows from how it is drawn.
func TestEveryQuestion(t *testing.T) {
	boxes := func(all ...[4]int) Design { // dark boxes on light, 400 by 300
		return drawn(400, 300, 3, func(x, y int) int {
			for _, b := range all {
				if in(x, y, b[0], b[1], b[2], b[3]) {
					return 0
				}
			}
			return 2
		})
	}
	inverted := func(d Design) Design { // light boxes on dark
		for i := range d.Shapes {
			d.Shapes[i].Value = 2 - d.Shapes[i].Value
		}
		return d
	}
	two := func(gap int) Design { return boxes([4]int{100, 100, 180, 200}, [4]int{180 + gap, 100, 260 + gap, 200}) }
	four := func(step int) Design {
		return boxes([4]int{40, 100, 90, 200}, [4]int{40 + step, 100, 90 + step, 200}, [4]int{40 + 2*step, 100, 90 + 2*step, 200}, [4]int{40 + 3*step, 100, 90 + 3*step, 200})
	}
	// Two boxes of half-dark, a dark one on the far side of each: the darks lie far
	// apart, their family may link. The two tones lie near each other.
	family := func(gap int) Design {
		d := drawn(400, 300, 3, func(x, y int) int {
			switch {
			case in(x, y, 100, 100, 140, 200), in(x, y, 220+gap, 100, 260+gap, 200):
				return 0
			case in(x, y, 140, 100, 180, 200), in(x, y, 180+gap, 100, 220+gap, 200):
				return 1
			}
			return 2
		})
		d.Tones[1] = palette.Value(2.2).L()
		return d
	}
	// Three pairs, dark above half-dark: apart, the family is three masses; joined
	// by half-dark, one.
	pairs := func(joined bool) Design {
		d := drawn(400, 300, 3, func(x, y int) int {
			inside := x%120 >= 20 && x%120 < 90 && x < 340
			switch {
			case y >= 100 && y < 150 && inside:
				return 0
			case y >= 150 && y < 200 && (inside || joined && x >= 20 && x < 330):
				return 1
			}
			return 2
		})
		d.Tones[1] = palette.Value(2.2).L()
		return d
	}
	mirroredTones := func(d Design) Design { // the same for the light family
		d = inverted(d)
		d.Tones = []palette.L{palette.Value(1).L(), palette.Value(7.8).L(), palette.Value(9).L()}
		return d
	}
	depths := func(far, near palette.RGB, farTone, nearTone palette.Value) Design {
		d := drawn(200, 160, 2, func(_, y int) int { return 1 - y/80 })
		d.Tones = []palette.L{nearTone.L(), farTone.L()}
		d.Shapes[0].Depth, d.Shapes[0].DepthSure, d.Shapes[0].Plane = plan.Far, 1, plan.Ground
		d.Shapes[1].Depth, d.Shapes[1].DepthSure, d.Shapes[1].Plane = plan.Near, 1, plan.Ground
		d.Colours = []palette.RGB{far, near}
		return d
	}
	grey := palette.RGB{R: 0.2, G: 0.2, B: 0.2}
	red, blue := palette.RGB{R: 0.3, G: 0.1, B: 0.05}, palette.RGB{R: 0.05, G: 0.1, B: 0.3}
	outside := two(0).focused(0.9, 0.9, 0.05)
	outside.Photo = outside.Photo.Mul(2)
	tones := func(d Design, v ...palette.Value) Design {
		for i := range d.Tones {
			d.Tones[i] = v[i].L()
		}
		return d
	}
	columns := func(shares ...int) Design {
		return drawn(100, 60, len(shares), func(x, _ int) int {
			for i, s := range shares {
				if x -= s; x < 0 {
					return i
				}
			}
			return 0
		})
	}
	kept := func(v float64) Design { d := columns(60, 25, 15); d.Kept = v; return d }
	stripes := func(n int) Design {
		return drawn(400, 100, 2, func(x, _ int) int { return x * n / 400 % 2 })
	}
	questions := map[string]bool{}
	for kind, c := range map[string]struct{ good, bad []Design }{
		"values.shares":        {[]Design{columns(60, 40)}, []Design{drawn(40, 30, 1, func(int, int) int { return 0 })}},
		"values.rules":         {[]Design{columns(60, 25, 15), columns(60, 21, 19)}, []Design{columns(48, 47, 5), columns(47, 5, 48)}},
		"values.equal":         {[]Design{columns(60, 25, 15), columns(48, 47, 5)}, []Design{columns(60, 21, 19), columns(21, 60, 19)}},
		"values.close":         {[]Design{tones(columns(60, 40), 3, 4.1)}, []Design{tones(columns(60, 40), 3, 3.9)}},
		"values.kept":          {[]Design{kept(0.75)}, []Design{kept(0.6)}},
		"simplicity.shapes":    {[]Design{stripes(10)}, []Design{stripes(40)}},
		"simplicity.gone":      {[]Design{boxes([4]int{100, 100, 120, 120})}, []Design{boxes([4]int{100, 100, 102, 102})}},
		"darks.linked":         {[]Design{four(50), two(30)}, []Design{four(80)}},
		"darks.gap":            {[]Design{two(0), two(8)}, []Design{two(3)}},
		"darks.reach":          {[]Design{two(3).focused(0.62, 0.5, 0.1), two(3).focused(0.72, 0.5, 0.1)}, []Design{two(3).focused(0.9, 0.9, 0.05)}},
		"darks.family.linked":  {[]Design{pairs(true)}, []Design{pairs(false)}},
		"darks.family.gap":     {[]Design{family(0), family(20)}, []Design{family(3)}},
		"darks.family.reach":   {[]Design{family(0).focused(0.4, 0.4, 0.1)}, []Design{family(0).focused(0.9, 0.9, 0.05)}},
		"lights.linked":        {[]Design{inverted(four(50))}, []Design{inverted(four(80))}},
		"lights.gap":           {[]Design{inverted(two(0)), inverted(two(8))}, []Design{inverted(two(3))}},
		"lights.family.linked": {[]Design{mirroredTones(pairs(true))}, []Design{mirroredTones(pairs(false))}},
		"lights.family.gap":    {[]Design{mirroredTones(family(0))}, []Design{mirroredTones(family(3))}},
		"contrast.strongest":   {[]Design{twoSquares().focused(0.25, 0.5, 0.15)}, []Design{twoSquares().focused(0.75, 0.5, 0.15), twoSquares().focused(0.5, 0.5, 0.05)}},
		"contrast.stands":      {[]Design{twoSquares().focused(0.75, 0.5, 0.15)}, []Design{tones(twoSquares(), 1, 8.5, 9).focused(0.75, 0.5, 0.15)}},
		"edges.contrast":       {[]Design{boxes([4]int{150, 100, 250, 200}).focused(0.4, 0.4, 0.1)}, []Design{boxes([4]int{0, 100, 15, 200}), boxes([4]int{0, 100, 40, 200}).focused(0.8, 0.5, 0.1), boxes([4]int{385, 20, 395, 280}).focused(0.5, 0.5, 0.1)}},
		"edges.corner":         {[]Design{boxes([4]int{150, 100, 250, 200})}, []Design{boxes([4]int{150, 100, 250, 200}, [4]int{0, 0, 12, 12}), boxes([4]int{150, 100, 250, 200}, [4]int{388, 288, 400, 300})}},
		"edges.tangent":        {[]Design{disc(200, 150), disc(20, 150)}, []Design{disc(59.5, 150), disc(62, 150), disc(340.5, 150)}},
		"edges.near":           {[]Design{beside(10)}, []Design{beside(2)}},
		"edges.strip":          {[]Design{boxes([4]int{0, 100, 40, 200})}, []Design{boxes([4]int{0, 100, 8, 200}), boxes([4]int{100, 294, 300, 300})}},
		"placement.focal":      {[]Design{two(0).focused(0.33, 0.4, 0.1)}, []Design{two(0), two(0).focused(0.5, 0.5, 0.1), outside}},
		"placement.balance":    {[]Design{boxes([4]int{150, 100, 250, 200}), boxes([4]int{20, 100, 60, 140}, [4]int{340, 100, 380, 140})}, []Design{boxes([4]int{20, 100, 60, 140}), boxes([4]int{340, 100, 380, 140})}},
		"directions.pointing":  {[]Design{star().focused(0.5, 0.5, 0.05)}, []Design{star().focused(0.1, 0.3, 0.05)}},
		"planes.order":         {[]Design{bands(plan.Sky, plan.Ground, plan.Slant, plan.Standing)}, []Design{bands(plan.Ground, plan.Sky, plan.Slant, plan.Standing), bands(plan.Standing, plan.Sky, plan.Ground, plan.Slant)}},
		"planes.uprights":      {[]Design{bands(plan.Sky, plan.Ground, plan.Slant, plan.Standing)}, []Design{bands(plan.Sky, plan.Ground, plan.Standing, plan.Standing)}},
		"recession.far": {
			[]Design{depths(grey, grey, 7, 4), depths(blue, red, 7, 4), depths(grey, red, 5, 5)},
			[]Design{depths(grey, grey, 4, 7), depths(red, blue, 5, 5), depths(red, grey, 5, 5)}, // darker, warmer, stronger
		},
		"borders.hardest": {[]Design{blurredEdge(0, 20, 80).focused(0.5, 0.5, 0.1)}, []Design{blurredEdge(0, 20, 80).focused(0.1, 0.5, 0.1)}},
	} {
		for i, d := range c.good {
			if l, ok := asked(d, kind); ok {
				t.Errorf("%s, satisfied %d: %s", kind, i, l.Words)
			}
		}
		for i, d := range c.bad {
			if l, ok := asked(d, kind); !ok || len(l.At) == 0 && l.Area.Empty() && l.Leads == ByHand {
				t.Errorf("%s, not satisfied %d: asked %v %+v", kind, i, ok, l)
			}
		}
		questions[kind] = true
	}
	r := rand.New(rand.NewPCG(31, 7))
	for range 200 {
		for _, l := range anyDesign(r).Read().Lines(plan.Inch) {
			if l.Asks && !questions[l.Kind] {
				t.Fatalf("%s asks and no picture here checks it: %s", l.Kind, l.Words)
			}
		}
	}
}
