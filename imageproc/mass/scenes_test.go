package mass

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// grey fills a picture with greys of lightness l(x, y), 0..100.
func grey(w, h int, l func(x, y int) float64) imageproc.Picture {
	p := imageproc.NewPicture(w, h)
	for y := range h {
		for x := range w {
			v := float32(palette.L(l(x, y)).Y())
			p.R.Set(x, y, v)
			p.G.Set(x, y, v)
			p.B.Set(x, y, v)
		}
	}
	return p
}

// harbour draws a fishing harbour at low tide: a hazy sky, a far shore, mud
// flats with pools, two hulls with masts, a shed with a lit wall, and grain. It
// is drawn in code so that its shapes are known.
func harbour(w, h int, seed uint64) imageproc.Picture {
	rng := rand.New(rand.NewPCG(seed, 77))
	grain := make([]float64, w*h)
	for i := range grain {
		grain[i] = rng.NormFloat64()
	}
	fw, fh := float64(w), float64(h)
	return grey(w, h, func(px, py int) float64 {
		x, y := (float64(px)+.5)/fw, (float64(py)+.5)/fh
		l := 84 - 8*y // sky
		if y > .42+.01*math.Sin(9*x) {
			l = 58 // far shore
		}
		if y > .5 {
			l = 46 + 14*(y-.5) + 3*math.Sin(40*x)*math.Sin(60*y) // mud
		}
		if d := math.Hypot((x-.7)/.22, (y-.75)/.05); d < 1 {
			l = 78 // pool
		}
		if x > .72 && x < .95 && y > .25 && y < .52 {
			l = 88 // lit wall
			if y < .33-.1*math.Abs(x-.83) {
				l = 30 // roof
			}
		}
		for _, b := range []struct{ x, y, s, l float64 }{{.3, .58, .2, 22}, {.55, .64, .1, 30}} {
			u, v := (x-b.x)/b.s, (y-b.y)/b.s
			if v > -.25 && v < .25 && math.Abs(u) < .9-.5*(v+.25) {
				l = b.l // hull
			}
			if math.Abs(u) < .02 && v > -1.9 && v < -.2 {
				l = 25 // mast
			}
		}
		return min(100, max(0, l+1.2*grain[py*w+px]))
	})
}

func build(t testing.TB, pic imageproc.Picture, opt Options) *Base {
	t.Helper()
	b, err := Build(context.Background(), pic, opt)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
