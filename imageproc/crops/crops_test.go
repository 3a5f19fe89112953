package crops

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
)

// painted returns a picture of luminance f, in fractions of its sides.
func painted(w, h int, f func(x, y float64) float64) imageproc.Picture {
	p := imageproc.NewPicture(w, h)
	for y := range h {
		for x := range w {
			v := float32(f((float64(x)+0.5)/float64(w), (float64(y)+0.5)/float64(h)))
			p.R.Set(x, y, v)
			p.G.Set(x, y, v)
			p.B.Set(x, y, v)
		}
	}
	return p
}

// quay is a harbour at low tide, drawn from a seed: sky, far shore, mud, a quay
// wall, boats and clutter.
func quay(r *rand.Rand, w, h int) imageproc.Picture {
	type blob struct{ x, y, rx, ry, v float64 }
	var blobs []blob
	for range 30 {
		s := 0.01 + 0.09*r.Float64()
		blobs = append(blobs, blob{r.Float64(), 0.3 + 0.6*r.Float64(), s, s * (0.3 + r.Float64()), r.Float64() * r.Float64()})
	}
	shore, wall := 0.3+0.1*r.Float64(), 0.6+0.2*r.Float64()
	return painted(w, h, func(x, y float64) float64 {
		v := 0.8 - 0.3*y
		switch {
		case y > shore && y < shore+0.08:
			v = 0.25
		case y > shore:
			v = 0.35 - 0.1*x
		}
		if x > wall && y > shore+0.1 {
			v = 0.08
		}
		for _, b := range blobs {
			if dx, dy := (x-b.x)/b.rx, (y-b.y)/b.ry; float64(dx*dx)+float64(dy*dy) < 1 {
				v = b.v
			}
		}
		return v * (1 + 0.15*math.Sin(130*x)*math.Sin(97*y))
	})
}

func panels(t testing.TB, names ...string) []plan.Panel {
	t.Helper()
	var out []plan.Panel
	for _, n := range names {
		p, err := plan.ParsePanel(n)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
	return out
}

func usual(ps []plan.Panel) Options {
	return Options{Panels: ps, Focus: plan.Focus{X: 0.4, Y: 0.55, Radius: plan.UsualRadius}, N: 6, Squint: 1, Values: 3, Brush: 3}
}

// Twelve panel forms, six proposals, a master of 2048 pixels.
func BenchmarkPropose(b *testing.B) {
	pic := quay(rand.New(rand.NewPCG(1, 2)), 2048, 1365)
	for _, c := range []struct {
		name string
		o    Options
	}{
		{"12 forms", usual(panels(b, "5x7", "6x8", "8x10", "11x14", "a5", "12x18"))},
		{"12 panels, 23 forms", usual(plan.Panels()[:12])},
		{"no focal point", func() Options {
			o := usual(panels(b, "5x7", "6x8", "8x10", "11x14", "a5", "12x18"))
			o.Focus = plan.Focus{}
			return o
		}()},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Propose(context.Background(), pic, image.Pt(6000, 4000), c.o, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
