package reading

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc/plan"
)

// The radius of a plan is a share of the photo's long side; in a crop at most a
// fifth of its short side counts. Worked out by hand.
func TestFocalRadius(t *testing.T) {
	f := plan.Focus{X: 0.5, Y: 0.5, Radius: 0.2}
	for _, c := range []struct{ w, h, want float64 }{
		{3000, 2000, 400}, {900, 675, 135}, {675, 900, 135}, {3000, 300, 60}, {3000, 3000, 600},
	} {
		near(t, "radius", FocalRadius(f, image.Pt(3000, 2000), c.w, c.h), c.want, 1e-9)
	}
	f.Radius = 0.02
	near(t, "a small radius", FocalRadius(f, image.Pt(3000, 2000), 900, 675), 60, 1e-9)
}

// The focal point's contrast, what is strongest elsewhere and what pulls at an edge
// are three different places: a window or more apart, and the first within the
// radius, the others outside it. A focal point near the edge is where this is
// tried hardest.
func TestFocalContrastIsNowhereElse(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 1))
	some := 0
	for range 150 {
		d := scattered(r, 120+r.IntN(60), 90+r.IntN(60), 3, 10)
		d = d.focused(r.Float64()*r.Float64(), r.Float64(), 0.05+0.4*r.Float64())
		got := d.Read()
		focal := got.Contrast.Focal
		others := []Spot{got.Contrast.Elsewhere}
		for i := range got.Edges.Sides {
			others = append(others, got.Edges.Sides[i].Strongest, got.Edges.Corners[i].Strongest)
		}
		for i, o := range others {
			if o.Strength == 0 {
				continue
			}
			some++
			if off := got.apart(o.At, got.Focal.At); off <= got.Focal.Radius {
				t.Errorf("spot %d lies %.3f from the focal point, its radius is %.3f", i, off, got.Focal.Radius)
			}
			if focal.Strength > 0 && got.apart(o.At, focal.At) < windowShare-1e-9 {
				t.Errorf("spot %d lies %.3f from the focal contrast", i, got.apart(o.At, focal.At))
			}
		}
		if focal.Strength > 0 && got.apart(focal.At, got.Focal.At) > got.Focal.Radius+1e-9 {
			t.Errorf("focal contrast %.3f from the focal point", got.apart(focal.At, got.Focal.At))
		}
	}
	if some < 500 {
		t.Fatalf("only %d places", some)
	}
}

// A small crop with a strong contrast in its far corner: the plan's radius covers
// it, but the reading does not call it the focal point's.
func TestSmallCropHasAFocalPoint(t *testing.T) {
	d := drawn(400, 300, 3, func(x, y int) int {
		switch {
		case in(x, y, 330, 250, 370, 290):
			return 0
		case in(x, y, 210, 60, 240, 90):
			return 1
		}
		return 2
	})
	d.Photo, d.Crop = image.Pt(1333, 1000), image.Rect(500, 400, 900, 700)
	d = d.focused((500+225.0)/1333, (400+75.0)/1000, plan.UsualRadius)
	got := d.Read()
	if got.Contrast.Elsewhere.Strength < 1.5*got.Contrast.Focal.Strength || got.Contrast.Focal.Strength == 0 {
		t.Errorf("focal %+v, elsewhere %+v", got.Contrast.Focal, got.Contrast.Elsewhere)
	}
	if l, ok := asked(d, "contrast.strongest"); !ok || math.Hypot(l.At[0].X*1333-850, l.At[0].Y*1000-670) > 40 {
		t.Errorf("asked: %v %+v", ok, l)
	}
}
