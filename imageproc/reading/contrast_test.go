package reading

import (
	"math"
	"testing"

	"atelier/halflid/imageproc/plan"
)

// One straight border of N1 against N9 right through the picture: strength 8, and
// 8 times the picture's height of contrast. Practice satisfied: the focal point
// lies on it.
func TestContrastOfOneBorder(t *testing.T) {
	d := drawn(400, 300, 2, func(x, _ int) int { return x / 200 })
	c := d.Read().Contrast
	near(t, "total", c.Total, 8*300.0/400, 1e-6)
	near(t, "strength", c.Strongest[0].Strength, 8, 1) // a cell is a tenth of the window
	nearPoint(t, "strongest", c.Strongest[0].At, 0.5, 0.5, 0.01)
	if c.Distance != -1 || c.Focal.Strength != 0 || c.Stands != nil {
		t.Errorf("without a focal point: %+v", c)
	}
	r := d.focused(0.5, 0.5, 0.8).Read()
	near(t, "a radius over all of the picture", r.Focal.Radius, 0.2*300/400, 1e-12)
	if e := r.Contrast.Elsewhere; math.Abs(e.At.Y-0.5) < 0.2-0.01 || asks(r, OnContrast) {
		t.Errorf("%+v", r.Contrast)
	}
	near(t, "elsewhere on the border", r.Contrast.Elsewhere.Strength, r.Contrast.Focal.Strength, 1e-9)
	if n := len(drawn(40, 30, 2, func(int, int) int { return 0 }).Read().Contrast.Strongest); n != 0 {
		t.Errorf("%d strongest places in a flat picture", n)
	}
}

// Two squares of 40: one N1 on N9, one N5 on N9. The focal point on the strong
// one satisfies practice, on the weak one it does not: the strong one has twice
// the contrast, 200 of 400 pixels away.
func twoSquares() Design {
	return drawn(400, 300, 3, func(x, y int) int {
		switch {
		case in(x, y, 80, 130, 120, 170):
			return 0
		case in(x, y, 280, 130, 320, 170):
			return 1
		}
		return 2
	})
}

func TestContrastAtTheFocalPoint(t *testing.T) {
	r := twoSquares().focused(0.25, 0.5, 0.15).Read()
	near(t, "focal over elsewhere", r.Contrast.Focal.Strength/r.Contrast.Elsewhere.Strength, 2, 1e-6)
	if asks(r, OnContrast) {
		t.Error("asked though the strongest contrast is at the focal point")
	}
	r = twoSquares().focused(0.75, 0.5, 0.15).Read()
	near(t, "elsewhere over focal", r.Contrast.Elsewhere.Strength/r.Contrast.Focal.Strength, 2, 1e-6)
	near(t, "distance", r.Contrast.Distance, 0.5, 0.06)
	if !asks(r, OnContrast) {
		t.Error("not asked though the strongest contrast lies elsewhere")
	}
	if at := r.Contrast.Elsewhere.At; math.Abs(at.X-0.25) > 0.06 || math.Abs(at.Y-0.5) > 0.08 {
		t.Errorf("strongest elsewhere at %v", at)
	}
}

// A square of N5 within N9 is 4 steps darker than what lies around it.
func TestStandsOut(t *testing.T) {
	r := twoSquares().focused(0.75, 0.5, 0.15).Read()
	s := r.Contrast.Stands
	if len(s) != 2 {
		t.Fatalf("%+v", s)
	}
	near(t, "steps", s[0].Steps, -4, 1e-4)
	near(t, "length", s[0].Length, 160.0/400, 1e-4)
	nearPoint(t, "place", s[0].At, 0.75, 0.5, 0.02)
	// The ground around it, too, is shown there and not in its own middle.
	if at := s[1].At; math.Hypot(at.X-0.75, (at.Y-0.5)*0.75) > 0.15 {
		t.Errorf("what stands out at the focal point is shown at %v", at)
	}
	// Half a step: nothing stands out.
	d := twoSquares().focused(0.75, 0.5, 0.15)
	d.Tones[1] = (d.Tones[2].Value() - 0.5).L()
	r = d.Read()
	near(t, "steps", r.Contrast.Stands[0].Steps, -0.5, 1e-4)
	found := false
	for _, l := range r.Lines(plan.Inch) {
		found = found || l.Topic == OnContrast && l.Words == "Nothing at the focal point stands out by a whole value."
	}
	if !found {
		t.Error("not asked though nothing stands out")
	}
}
