package mass

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func newPlanes(w, h int) *planes {
	n := w * h
	return &planes{
		w: w, h: h, y: make([]float32, n), l: make([]uint16, n), d: make([]uint16, n),
		a: make([]int16, n), b: make([]int16, n), t: make([]uint16, n),
	}
}

func randomPicture(rng *rand.Rand, w, h int) imageproc.Picture {
	p := imageproc.NewPicture(w, h)
	for _, plane := range p.Planes() {
		for i := range plane.Pix {
			plane.Pix[i] = rng.Float32() * rng.Float32()
		}
	}
	return p
}

// TestMeasure compares with the formulas of the palette: IEC 61966-2-1, CIE 15,
// Ottosson 2020, which are checked against published tables there.
func TestMeasure(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	pic := randomPicture(rng, 31, 17)
	p := newPlanes(31, 17)
	p.measure(pic, 2)
	for i := range p.l {
		c := palette.RGB{R: palette.Light(pic.R.Pix[i]), G: palette.Light(pic.G.Pix[i]), B: palette.Light(pic.B.Pix[i])}
		lab := c.OKLab()
		oracle.Close(t, "Y", float64(p.y[i]), float64(c.Y()), 4e-5) // four digits are printed
		oracle.Close(t, "L*", float64(p.l[i])/stepsL, float64(c.Y().L()), .02)
		oracle.Close(t, "a", float64(p.a[i])/stepsAB, 100*float64(lab.A), .03)
		oracle.Close(t, "b", float64(p.b[i])/stepsAB, 100*float64(lab.B), .03)
	}
}

func TestMeasureClamps(t *testing.T) {
	pic := imageproc.NewPicture(4, 1)
	nan := float32(math.NaN())
	for _, plane := range pic.Planes() {
		copy(plane.Pix, []float32{-1, 3, nan, float32(math.Inf(1))})
	}
	p := newPlanes(4, 1)
	p.measure(pic, 1)
	if want := []uint16{0, 100 * stepsL, 0, 100 * stepsL}; !slices.Equal(p.l, want) {
		t.Errorf("lightness %v, want %v", p.l, want)
	}
}

// TestSoften: light is blurred, not lightness. Half black, half white in fine
// stripes is L* 76.07, as half the light is.
func TestSoften(t *testing.T) {
	p := newPlanes(64, 32)
	p.measure(grey(64, 32, func(x, _ int) float64 { return 100 * float64(x%2) }), 1)
	p.soften(4, 2)
	for i, d := range p.d {
		if x := i % 64; x >= 12 && x < 52 { // nearer the edges a stripe is doubled
			oracle.Close(t, "stripes", float64(d)/stepsL, float64(palette.Y(.5).L()), .03)
		}
	}
}

func TestTexture(t *testing.T) {
	p, tmp := newPlanes(60, 40), make([]uint16, 60*40)
	p.measure(grey(60, 40, func(x, y int) float64 {
		if x < 30 {
			return 50
		}
		return 40 + 20*float64((x+y)%2)
	}), 1)
	p.feelTexture(3, tmp, 2)
	if at := p.t[20*60+5]; at != 0 {
		t.Errorf("texture %v of a flat part", at)
	}
	oracle.Close(t, "texture of a checker of +-10", float64(p.t[20*60+52])/stepsL, 10, .3)
}

// TestPlanesTurned: mirrored and transposed pictures give the mirrored and
// transposed planes to the last step (light under the squint within one).
func TestPlanesTurned(t *testing.T) {
	rng := rand.New(rand.NewPCG(32, 1))
	const w, h = 29, 22
	pic := randomPicture(rng, w, h)
	run := func(pic imageproc.Picture) *planes {
		p := newPlanes(pic.R.W, pic.R.H)
		p.measure(pic, 2)
		p.soften(2, 2)
		p.feelTexture(2.5, make([]uint16, w*h), 2)
		return p
	}
	a, m := run(pic), run(mirrorPic(pic))
	tr := run(imageproc.Picture{R: pic.R.Transpose(), G: pic.G.Transpose(), B: pic.B.Transpose()})
	for y := range h {
		for x := range w {
			i, j, k := y*w+x, y*w+w-1-x, x*h+y
			if a.d[i] != m.d[j] || a.t[i] != m.t[j] || a.t[i] != tr.t[k] || apart(a.d[i], tr.d[k]) > 1 {
				t.Fatalf("%d,%d: d %d %d %d, t %d %d %d", x, y, a.d[i], m.d[j], tr.d[k], a.t[i], m.t[j], tr.t[k])
			}
		}
	}
}
