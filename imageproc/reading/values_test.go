package reading

import (
	"math"
	"testing"

	"atelier/halflid/imageproc/plan"
)

// Shares, steps and the ruling value by counting columns: 60, 25 and 15 of 100.
// Practice satisfied, then 48, 47 and 5: no value rules.
func TestValues(t *testing.T) {
	bars := func(a, b int) func(x, _ int) int {
		return func(x, _ int) int {
			switch {
			case x < a:
				return 0
			case x < a+b:
				return 1
			}
			return 2
		}
	}
	r := drawn(100, 60, 3, bars(60, 25)).Read()
	for i, want := range []float64{0.60, 0.25, 0.15} {
		near(t, "share", r.Values.Shares[i], want, 1e-12)
	}
	near(t, "step", r.Values.Steps[0], 4, 1e-9) // N1, N5, N9
	near(t, "step", r.Values.Steps[1], 4, 1e-9)
	if r.Values.Ruling != 0 || len(r.Values.Equal) != 0 || asks(r, OnValues) {
		t.Errorf("%+v", r.Values)
	}
	r = drawn(100, 60, 3, bars(48, 47)).Read()
	if len(r.Values.Equal) != 1 || r.Values.Equal[0].Dark != 0 || r.Values.Equal[0].Light != 1 || !asks(r, OnValues) {
		t.Errorf("%+v", r.Values.Equal)
	}
	near(t, "apart", r.Values.Equal[0].Apart, 0.01, 1e-12)

	d := drawn(100, 60, 3, bars(60, 25))
	d.Tones[1] = (d.Tones[0].Value() + 0.5).L()
	if r := d.Read(); !asks(r, OnValues) {
		t.Error("a step of half a value is not asked about")
	}
	d = drawn(100, 60, 3, bars(60, 25))
	d.Kept = 0.5
	if !asks(d.Read(), OnValues) {
		t.Error("half of the variance lost is not asked about")
	}
}

// A square of 20 in a picture of 200 by 100: border 80 of an edge of 600, and of
// 0.02 of the area. On a panel of 200 by 100 mm its side is 20 mm.
func TestSimplicity(t *testing.T) {
	square := func(side int) Design {
		d := drawn(200, 100, 2, func(x, y int) int {
			if in(x, y, 40, 40, 40+side, 40+side) {
				return 1
			}
			return 0
		})
		d.Panel = plan.Panel{Short: 100, Long: 200, Unit: plan.Millimetre, Way: plan.Across}
		return d
	}
	r := square(20).Read().Simplicity
	near(t, "border", r.Border, 80.0/600, 1e-9)
	near(t, "smallest", r.Smallest, 0.02, 1e-12)
	near(t, "smallest on the panel", r.SmallestMM, 20, 1e-9)
	nearPoint(t, "place", r.SmallestAt, 0.25, 0.5, 0.03)
	if r.Shapes != 2 || r.Main != 1 || len(r.Gone) != 0 {
		t.Errorf("%+v", r)
	}
	if r.Masses != 2 {
		t.Errorf("%d masses", r.Masses)
	}
	split := square(20) // the ground in two shapes of one value, side by side: one mass
	split.Shapes = append(split.Shapes, split.Shapes[0])
	for i, id := range split.Map.Pix {
		if id == 0 && i%200 >= 100 {
			split.Map.Pix[i] = 2
		}
	}
	if s := split.Read().Simplicity; s.Shapes != 3 || s.Masses != 2 {
		t.Errorf("of two shapes of one value: %+v", s)
	}
	// 77 cells on 200 pixels are 2.6 wide: one pixel cannot rule any.
	r = square(1).Read().Simplicity
	if r.Masses != 1 {
		t.Errorf("one pixel counts as a mass: %d", r.Masses)
	}
	near(t, "changed", r.Changed, 1.0/20000, 1e-12)
	if len(r.Gone) != 1 || r.Gone[0].Shape != 1 {
		t.Errorf("gone %+v", r.Gone)
	}
	if !asks(square(1).Read(), OnSimplicity) || asks(square(20).Read(), OnSimplicity) {
		t.Error("what vanishes is not asked about, or what does not is")
	}
	// Ten equal bars: nine make up nine tenths; forty: 36, and it is asked.
	bars := func(n int) Reading {
		return drawn(400, 100, 2, func(x, _ int) int { return x * n / 400 % 2 }).Read()
	}
	if n := bars(10).Simplicity.Main; n != 9 {
		t.Errorf("%d of ten equal bars make up nine tenths", n)
	}
	if r := bars(40); r.Simplicity.Main != 36 || !asks(r, OnSimplicity) {
		t.Errorf("%d of forty", r.Simplicity.Main)
	}
}

// A slanting border is measured by its length, not along the pixels: across a
// square from corner to corner 1.414 sides. Source: Pythagoras.
func TestSlantingBorder(t *testing.T) {
	r := drawn(200, 200, 2, func(x, y int) int {
		if x > y {
			return 1
		}
		return 0
	}).Read()
	near(t, "border", r.Simplicity.Border, 1.41421*200/800, 0.003)
}

// The border of a disc is the length of its circle to 1 % from 200 pixels on.
func TestCircle(t *testing.T) {
	for _, w := range []int{200, 400, 768} {
		for _, radius := range []float64{0.1, 0.3} {
			border := drawn(w, w, 2, func(x, y int) int {
				if math.Hypot(float64(x)+0.5-0.47*float64(w), float64(y)+0.5-0.51*float64(w)) < radius*float64(w) {
					return 1
				}
				return 0
			}).Read().Simplicity.Border
			near(t, "circle", 4*border/(2*math.Pi*radius), 1, 0.012)
		}
	}
}
