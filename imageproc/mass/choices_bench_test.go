package mass

import (
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
)

// clutter is the harbour with patches of all values over it, so that it has
// some 150 base shapes.
func clutter(w, h int) imageproc.Picture {
	rng := rand.New(rand.NewPCG(8, 8))
	type patch struct{ x, y, r, l float64 }
	var patches []patch
	for range 170 {
		patches = append(patches, patch{rng.Float64(), rng.Float64(), .015 + .02*rng.Float64(), 10 + 80*rng.Float64()})
	}
	return grey(w, h, func(x, y int) float64 {
		fx, fy := float64(x)/float64(w), float64(y)/float64(w)
		l := 70 - 40*fy
		for _, p := range patches {
			if dx, dy := fx-p.x, fy-p.y*float64(h)/float64(w); dx*dx+dy*dy < p.r*p.r {
				l = p.l
			}
		}
		return l
	})
}

// boxMask marks the pixels from x0,y0 up to x1,y1.
func boxMask(w, h, x0, y0, x1, y1 int) imageproc.Mask {
	m := imageproc.NewMask(w, h)
	for y := max(0, y0); y < min(h, y1); y++ {
		for x := max(0, x0); x < min(w, x1); x++ {
			m.Pix[y*w+x] = true
		}
	}
	return m
}

// BenchmarkChoices measures what the painter's choices cost.
func BenchmarkChoices(b *testing.B) {
	const w, h = 768, 512
	base := build(b, clutter(w, h), Options{})
	b.Logf("%d base shapes", base.Shapes())
	c := randomCutting(rand.New(rand.NewPCG(3, 4)), base, 50)
	c.Values, c.Method, c.BrushMark = 4, Nested, 0
	for i := range c.Fixed {
		c.Fixed[i].Value %= base.CountValues(c)
	}
	b.Run("values, 50 choices", func(b *testing.B) {
		for b.Loop() {
			base.Values(c)
		}
	})
	b.Run("shapes, 50 choices", func(b *testing.B) {
		l, p := base.Values(c), Plan{}
		for b.Loop() {
			p = l.Shapes(p.Labels, 20)
		}
	})
	part := boxMask(w, h, 200, 150, 444, 311)
	b.Run("inside", func(b *testing.B) {
		for b.Loop() {
			inside(base, part)
		}
	})
	b.Run("carve", func(b *testing.B) {
		for b.Loop() {
			base.Carve(knives(part))
		}
	})
	masks := []imageproc.Mask{part}
	for i := range 9 {
		masks = append(masks, boxMask(w, h, 70*i, 50*i, 70*i+90, 50*i+60))
	}
	b.Run("carve, 10 masks", func(b *testing.B) {
		for b.Loop() {
			base.Carve(knives(masks...))
		}
	})
	l := base.Values(Cutting{Values: 4})
	p := l.Shapes(imageproc.Labels{}, 40)
	whole := boxMask(w, h, 0, 0, w, h)
	b.Run("smooth, a tenth", func(b *testing.B) {
		for b.Loop() {
			l.Smooth(p, []Outline{{part, 6}}, 100)
		}
	})
	b.Run("smooth, all", func(b *testing.B) {
		for b.Loop() {
			l.Smooth(p, []Outline{{whole, 6}}, 100)
		}
	})
}
