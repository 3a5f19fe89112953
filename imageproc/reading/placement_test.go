package reading

import (
	"testing"

	"atelier/halflid/imageproc/plan"
)

// A dark box of 100 by 100 on light ground: all weight lies where it lies.
func TestBalance(t *testing.T) {
	box := func(x0, y0 int) Reading {
		return drawn(400, 300, 2, func(x, y int) int {
			if in(x, y, x0, y0, x0+100, y0+100) {
				return 0
			}
			return 1
		}).Read()
	}
	p := box(0, 100).Placement
	near(t, "left", p.LeftWeight, 1, 1e-12)
	near(t, "top", p.TopWeight, 0.5, 1e-12)
	near(t, "off", p.Off, 150.0/400, 1e-9)
	nearPoint(t, "balance", p.Balance, 50.0/400, 0.5, 1e-9)
	if !asks(box(0, 100), OnPlacement) {
		t.Error("all weight at the left is not asked about")
	}
	near(t, "top of a box that is mostly above", box(0, 75).Placement.TopWeight, 0.75, 1e-12)
	p = box(150, 100).Placement
	near(t, "left", p.LeftWeight, 0.5, 1e-12)
	near(t, "off", p.Off, 0, 1e-12)
	p = drawn(40, 30, 2, func(int, int) int { return 0 }).Read().Placement
	if p.LeftWeight != 0.5 || p.TopWeight != 0.5 || p.Off != 0 || p.Balance != (plan.Point{X: 0.5, Y: 0.5}) {
		t.Errorf("flat: %+v", p)
	}
}

// The focal point's distances within a crop of half the photo, and the middle.
func TestFocalPlacement(t *testing.T) {
	d := drawn(200, 150, 2, func(x, _ int) int { return x / 100 })
	d.Photo.X, d.Photo.Y = 400, 300
	d.Crop = d.Crop.Add(d.Crop.Max.Div(2)) // 100, 75 to 300, 225
	r := d.focused(0.4, 0.5, 0.1).Read()
	near(t, "left", r.Placement.Left, 0.3, 1e-12)
	near(t, "right", r.Placement.Right, 0.7, 1e-12)
	near(t, "top", r.Placement.Top, 0.5, 1e-12)
	near(t, "radius", d.focused(0.4, 0.5, 0.05).Read().Focal.Radius, 0.1, 1e-12)
	near(t, "a radius too wide for the crop", r.Focal.Radius, MostRadius*0.75, 1e-12)
	if r.Placement.Middle || !r.Focal.Inside {
		t.Errorf("%+v", r.Placement)
	}
	nearPoint(t, "strongest", r.Contrast.Strongest[0].At, 0.5, 0.5, 0.01)
	middle := d.focused(0.5, 0.51, 0.1).Read()
	if !middle.Placement.Middle || !asks(middle, OnPlacement) {
		t.Error("the middle is not the middle")
	}
	outside := d.focused(0.1, 0.5, 0.1).Read()
	if outside.Focal.Inside || outside.Placement.Left != 0 || outside.Lines(plan.Inch)[0].Topic != OnPlacement {
		t.Errorf("outside the crop: %+v", outside.Focal)
	}
}

// star is three straight borders through one place, the middle.
func star() Design {
	return drawn(400, 400, 2, func(x, y int) int {
		dx, dy := x-200, y-200
		n := 0
		for _, side := range []bool{dx > 0, dy > 0, dx+2*dy > 0} {
			if side {
				n++
			}
		}
		return n % 2
	})
}

// Of three straight borders through one place all point to it, none to a corner
// far from all. The horizon counts as one though posts stand on it.
func TestDirections(t *testing.T) {
	r := star().focused(0.5, 0.5, 0.05).Read()
	near(t, "pointing", r.Directions.Pointing, 1, 1e-9)
	if r.Directions.Count < 3 || asks(r, OnDirections) || r.Directions.Anywhere > 0.5 {
		t.Errorf("%+v", r.Directions)
	}
	r = star().focused(0.1, 0.3, 0.05).Read()
	near(t, "pointing past", r.Directions.Pointing, 0, 1e-9)
	if !asks(r, OnDirections) {
		t.Error("borders that lead past are not asked about")
	}

	shore := drawn(400, 300, 3, func(x, y int) int {
		switch {
		case y >= 200:
			return 0
		case y >= 150 && x%100 < 10:
			return 1
		}
		return 2
	}).Read().Directions
	near(t, "horizon", shore.Longest[0].Length, 1, 1e-9)
	if n := len(drawn(40, 30, 2, func(int, int) int { return 0 }).Read().Directions.Longest); n != 0 {
		t.Errorf("%d straight borders in a flat picture", n)
	}
}
