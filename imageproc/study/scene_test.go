package study_test

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// seeded returns a generator whose seed is the same in every run and is printed
// when the test fails.
func seeded(t testing.TB, seed uint64) *rand.Rand {
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("random seed %d", seed)
		}
	})
	return rand.New(rand.NewPCG(seed, 0x5eed))
}

// painted returns a picture with the colour that f gives to each pixel.
func painted(w, h int, f func(x, y int) palette.RGB) imageproc.Picture {
	p := imageproc.NewPicture(w, h)
	for y := range h {
		for x := range w {
			c := f(x, y)
			p.R.Set(x, y, float32(c.R))
			p.G.Set(x, y, float32(c.G))
			p.B.Set(x, y, float32(c.B))
		}
	}
	return p
}

func grey(y palette.Y) palette.RGB {
	return palette.RGB{R: palette.Light(y), G: palette.Light(y), B: palette.Light(y)}
}

// flat returns a picture of one grey.
func flat(w, h int, y palette.Y) imageproc.Picture {
	return painted(w, h, func(int, int) palette.RGB { return grey(y) })
}

// bars returns upright bars of greys of equal width.
func bars(w, h int, ys ...palette.Y) imageproc.Picture {
	return painted(w, h, func(x, _ int) palette.RGB { return grey(ys[x*len(ys)/w]) })
}

// harbour returns an invented boatyard at low tide: a pale sky, mud, hulls and
// masts as random rectangles of colour, with some grain.
func harbour(r *rand.Rand, w, h int) imageproc.Picture {
	p := painted(w, h, func(_, y int) palette.RGB {
		t := palette.Light(float64(y) / float64(h))
		if t < 0.4 {
			return palette.RGB{R: 0.6 + t/3, G: 0.65 + t/4, B: 0.8}
		}
		return palette.RGB{R: 0.3 - t/5, G: 0.24 - t/6, B: 0.18 - t/8}
	})
	for range 25 {
		c := [3]float32{r.Float32(), r.Float32(), r.Float32()}
		x0, y0 := r.IntN(w), r.IntN(h)
		for y := y0; y < min(h, y0+1+r.IntN(1+h/4)); y++ {
			for x := x0; x < min(w, x0+1+r.IntN(1+w/4)); x++ {
				p.R.Set(x, y, c[0])
				p.G.Set(x, y, c[1])
				p.B.Set(x, y, c[2])
			}
		}
	}
	for _, plane := range p.Planes() {
		for i, v := range plane.Pix {
			plane.Pix[i] = min(max(v*(1+0.2*float32(r.NormFloat64())), 0), 1)
		}
	}
	return p
}

func mirror(p imageproc.Picture) imageproc.Picture {
	return imageproc.Picture{R: p.R.Mirror(), G: p.G.Mirror(), B: p.B.Mirror()}
}

// whole returns a plan whose crop is all of a photo of that size: free panel.
func whole(size image.Point) plan.Plan {
	p := plan.Default(size)
	return edited(p, size, plan.SetCrop(plan.Crop{W: 1, H: 1}))
}

func edited(p plan.Plan, size image.Point, edits ...plan.Edit) plan.Plan {
	for _, e := range edits {
		p = e(p, plan.Frame{Photo: size})
	}
	return p
}

// make1 makes the views that are named, or all of them.
func make1(t testing.TB, d *study.Desk, p plan.Plan, views ...study.View) *study.Study {
	t.Helper()
	if len(views) == 0 {
		views = allViews
	}
	s, err := d.Make(context.Background(), p, views...)
	if err != nil {
		t.Fatalf("plan %+v: %v", p, err)
	}
	return s
}

func raster(t testing.TB, s *study.Study, v study.View, size image.Point) imageproc.Raster {
	t.Helper()
	r := s.Raster(v, size)
	if r.Size() != size || len(r.Pix) != 3*size.X*size.Y {
		t.Fatalf("%v at %v came as %v", v, size, r.Size())
	}
	return r
}

var allViews = []study.View{study.Whole, study.Photo, study.Squint, study.Values, study.Plan, study.Notan, study.Outline, study.Steps}

// labelled returns greys as labels.
func labelled(pix []uint8, size image.Point) imageproc.Labels {
	l := imageproc.NewLabels(size.X, size.Y)
	for i, c := range pix {
		l.Pix[i] = int32(c)
	}
	return l
}

func code(l palette.L) uint8 { return palette.Grey(l.Y()).G }

func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// smallestShape sets the brush whose mark covers percent of a 6x8 in panel.
func smallestShape(percent float64) plan.Edit {
	return plan.SetBrush(math.Sqrt(percent / 100 * 152.4 * 203.2))
}
