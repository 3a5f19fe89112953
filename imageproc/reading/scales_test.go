package reading

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// doubled returns the design with every pixel made two by two.
func doubled(d Design) Design {
	out := d
	out.Map = imageproc.NewLabels(2*d.Map.W, 2*d.Map.H)
	for y := range out.Map.H {
		for x := range out.Map.W {
			out.Map.Pix[y*out.Map.W+x] = d.Map.At(x/2, y/2)
		}
	}
	out.Photo, out.Crop = d.Photo.Mul(2), image.Rectangle{Max: out.Map.Size()}
	return out
}

// tiles is a random picture of rectangles.
func tiles(r *rand.Rand, w, h, k, n int) Design {
	values := make([]int, w*h)
	for range n {
		v, x0, y0, x1, y1 := r.IntN(k), r.IntN(w), r.IntN(h), r.IntN(w), r.IntN(h)
		for y := min(y0, y1); y <= max(y0, y1); y++ {
			for x := min(x0, x1); x <= max(x0, x1); x++ {
				values[y*w+x] = v
			}
		}
	}
	return drawn(w, h, k, func(x, y int) int { return values[y*w+x] })
}

// A picture of rectangles and the same with every pixel doubled read alike: areas,
// counts, weights and straight borders exactly, lengths of border to 0.2 % (a step
// of one pixel is drawn straight, one of two is not), what is gathered in windows
// to 6 %, the share at the sides to a point, and so what is seen from
// afar. (Slanting borders would be stairs of two pixels, which are stairs.)
func TestDoubled(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 13))
		d := tiles(r, 300+r.IntN(60), 220+r.IntN(40), 2+r.IntN(3), 14).focused(r.Float64(), r.Float64(), 0.05+0.1*r.Float64())
		a, b := d.Read(), doubled(d).Read()
		exact := func(what string, x, y float64) { t.Helper(); near(t, what, x, y, 1e-9) }
		for i := range a.Values.Shares {
			exact("share", a.Values.Shares[i], b.Values.Shares[i])
		}
		pairs := [][2]Linked{{a.Darks.Darkest, b.Darks.Darkest}, {a.Darks.Shadow, b.Darks.Shadow}, {a.Lights.Lightest, b.Lights.Lightest}, {a.Lights.Light, b.Lights.Light}}
		for _, p := range pairs {
			exact("masses", float64(p[0].Masses), float64(p[1].Masses))
			exact("largest", p[0].Largest, p[1].Largest)
			near(t, "reach", p[0].Reach, p[1].Reach, 0.5/300)
			for i, g := range p[0].Gaps {
				if i < len(p[1].Gaps) {
					exact("gap", g.Width, p[1].Gaps[i].Width)
				}
			}
			exact("gaps", float64(len(p[0].Gaps)), float64(len(p[1].Gaps)))
		}
		exact("masses", float64(a.Simplicity.Masses), float64(b.Simplicity.Masses))
		exact("main", float64(a.Simplicity.Main), float64(b.Simplicity.Main))
		exact("left weight", a.Placement.LeftWeight, b.Placement.LeftWeight)
		exact("top weight", a.Placement.TopWeight, b.Placement.TopWeight)
		exact("off", a.Placement.Off, b.Placement.Off)
		exact("cuts", float64(len(a.Edges.Cuts)), float64(len(b.Edges.Cuts)))
		near(t, "changed", a.Simplicity.Changed, b.Simplicity.Changed, 0.01)
		near(t, "border", a.Simplicity.Border/b.Simplicity.Border, 1, 0.002)
		near(t, "contrast", a.Contrast.Total/b.Contrast.Total, 1, 0.002)
		near(t, "focal contrast", a.Contrast.Focal.Strength, b.Contrast.Focal.Strength, 0.06*b.Contrast.Strongest[0].Strength)
		near(t, "strongest", a.Contrast.Strongest[0].Strength/b.Contrast.Strongest[0].Strength, 1, 0.06)
		for i := range a.Edges.Sides {
			near(t, "side", a.Edges.Sides[i].Share, b.Edges.Sides[i].Share, 0.01)
			near(t, "corner", a.Edges.Corners[i].Share, b.Edges.Corners[i].Share, 0.01)
		}
		exact("straight borders", a.Directions.Length, b.Directions.Length)
		near(t, "pointing", a.Directions.Pointing, b.Directions.Pointing, 1e-6)
	}
}

// Hard, soft and lost are the same for the same photo at half the resolution: a
// border a third of which is sharp, a third blurred by 0.6 % of the long side, a
// third of 2 L* only; shares to 4 points.
func TestBordersAtHalfTheResolution(t *testing.T) {
	at := func(w int) Borders {
		h := w * 3 / 4
		d := drawn(w, h, 2, func(x, _ int) int { return 2 * x / w })
		d.Light = imageproc.NewPlane[palette.Y](w, h)
		for y := range h {
			sigma, high := 0.0008, 80.0
			switch {
			case 3*y >= 2*h:
				high = 22
			case 3*y >= h:
				sigma = 0.006
			}
			for x := range w {
				off := (float64(x)+0.5)/float64(w) - 0.5
				d.Light.Set(x, y, float32(palette.L(20+(high-20)*0.5*(1+math.Erf(off/sigma/math.Sqrt2))).Y()))
			}
		}
		return d.Read().Borders
	}
	a, b := at(400), at(800)
	for _, x := range []Borders{a, b} {
		near(t, "hard", x.Hard, 1.0/3, 0.04)
		near(t, "soft", x.Soft, 1.0/3, 0.04)
		near(t, "lost", x.Lost, 1.0/3, 0.04)
	}
	near(t, "hard twice", a.Hard, b.Hard, 0.04)
}

// With light and dark exchanged, tones in equal steps, the lights are what the
// darks were, contrast and balance of weight stay, and what stood out darker
// stands out lighter.
func TestLightAndDarkExchanged(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 14))
		d := scattered(r, 160+r.IntN(40), 120+r.IntN(40), 2+r.IntN(4), 9).focused(r.Float64(), r.Float64(), 0.1)
		k := len(d.Tones)
		other := d
		other.Shapes = nil
		for _, s := range d.Shapes {
			s.Value = k - 1 - s.Value
			other.Shapes = append(other.Shapes, s)
		}
		a, b := d.Read(), other.Read()
		x, y := a.Darks.Darkest, b.Lights.Lightest
		if x.Masses != y.Masses || x.Small != y.Small || x.Reaches != y.Reaches || len(x.Gaps) != len(y.Gaps) || x.At != y.At {
			t.Errorf("seed %d: darks %+v, lights %+v", seed, x, y)
		}
		near(t, "share", x.Share, y.Share, 1e-12)
		near(t, "largest", x.Largest, y.Largest, 1e-12)
		near(t, "reach", x.Reach, y.Reach, 1e-12)
		near(t, "total", a.Contrast.Total, b.Contrast.Total, 1e-4)
		near(t, "balance", a.Placement.Off, b.Placement.Off, 1e-6)
		if len(a.Contrast.Stands) != len(b.Contrast.Stands) {
			t.Errorf("seed %d: %+v, exchanged %+v", seed, a.Contrast.Stands, b.Contrast.Stands)
			continue
		}
		for i, s := range a.Contrast.Stands {
			near(t, "stands", math.Abs(s.Steps), math.Abs(b.Contrast.Stands[i].Steps), 1e-3)
			if o := b.Contrast.Stands[i]; o.Shape == s.Shape {
				near(t, "stands", s.Steps, -o.Steps, 1e-3)
			}
		}
	}
}
