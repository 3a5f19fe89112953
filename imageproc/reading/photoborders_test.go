package reading

import (
	"math"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// One border, upright in the middle, the photo's edge there blurred by so many
// pixels, from L* lo to hi.
func blurredEdge(sigma, lo, hi float64) Design {
	d := drawn(400, 300, 2, func(x, _ int) int { return x / 200 })
	d.Light = imageproc.NewPlane[palette.Y](400, 300)
	for y := range 300 {
		for x := range 400 {
			t := 0.0
			if off := float64(x) + 0.5 - 200; sigma == 0 && off > 0 {
				t = 1
			} else if sigma > 0 {
				t = 0.5 * (1 + math.Erf(off/sigma/math.Sqrt2))
			}
			d.Light.Set(x, y, float32(palette.L(lo+(hi-lo)*t).Y()))
		}
	}
	return d
}

// A sharp step is hard, a blurred one soft, one of 2 L* lost. The width of a
// blurred step is sigma times the root of 2 pi: the steepest place of an error function
// is its rise over that.
func TestBorders(t *testing.T) {
	for _, c := range []struct {
		sigma, lo, hi    float64
		hard, soft, lost float64
	}{{0, 20, 80, 1, 0, 0}, {2, 20, 80, 0, 1, 0}, {1, 20, 80, 0, 1, 0}, {0.5, 20, 80, 1, 0, 0}, {1.5, 40, 60, 0, 1, 0}, {0, 50, 52, 0, 0, 1}, {0.3, 20, 40, 1, 0, 0}} {
		b := blurredEdge(c.sigma, c.lo, c.hi).Read().Borders
		if !b.Known || len(b.List) != 1 {
			t.Fatalf("%+v: %+v", c, b)
		}
		near(t, "hard", b.Hard, c.hard, 1e-9)
		near(t, "soft", b.Soft, c.soft, 1e-9)
		near(t, "lost", b.Lost, c.lost, 1e-9)
		near(t, "length", b.List[0].Length, 300.0/400, 1e-9)
	}
	d := blurredEdge(1.2, 20, 80)
	rise, width := newScene(d).edgeAt(200, 150, 0, 1, 6)
	near(t, "width", width, 1.2*math.Sqrt(2*math.Pi), 0.25)
	near(t, "rise", rise, 60, 3) // the foot of the blur is left out
}

// Hard edges at the focal point satisfy practice, far from it they are asked
// about; a flat photo, a small one and none at all know nothing of borders.
func TestHardestPlace(t *testing.T) {
	d := blurredEdge(0, 20, 80)
	at := d.focused(0.5, 0.5, 0.4).Read()
	if asks(at, OnBorders) {
		t.Error("asked though the hard edge runs through the focal point")
	}
	near(t, "hard there", at.Borders.FocalHard, 1, 1e-9)
	away := d.focused(0.1, 0.5, 0.1).Read()
	near(t, "distance", away.Borders.Distance, 0.4, 0.01)
	if !asks(away, OnBorders) || away.Borders.FocalHard != -1 {
		t.Errorf("far from it: %+v", away.Borders)
	}
	d.Light = imageproc.Plane[palette.Y]{}
	if b := d.Read().Borders; b.Known || b.Hard != 0 || b.Distance != -1 {
		t.Errorf("without light: %+v", b)
	}
	small := drawn(100, 80, 2, func(x, _ int) int { return x / 50 })
	small.Light = imageproc.NewPlane[palette.Y](100, 80)
	if small.Read().Borders.Known {
		t.Error("100 pixels tell hard from soft")
	}
}
