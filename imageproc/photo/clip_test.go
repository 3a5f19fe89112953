package photo

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func yOf(r, g, b float64) float64 { return palette.RedY*r + palette.GreenY*g + palette.BlueY*b }

// TestInsideSRGB: colours outside keep their luminance, stay on the line to
// the grey of the same luminance, and touch the gamut's surface; colours inside
// are not changed at all.
func TestInsideSRGB(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 7))
	for range 20000 {
		in := [3]float32{}
		for i := range in {
			in[i] = float32(1.7*rng.Float64() - 0.4)
		}
		r, g, b := insideSRGB(in[0], in[1], in[2])
		out := [3]float32{r, g, b}
		inside := min(in[0], in[1], in[2]) >= 0 && max(in[0], in[1], in[2]) <= 1
		if inside != (in == out) {
			t.Fatalf("%v became %v", in, out)
		}
		if inside {
			continue
		}
		y := math.Max(0, math.Min(1, yOf(float64(in[0]), float64(in[1]), float64(in[2]))))
		oracle.Close(t, "luminance", yOf(float64(r), float64(g), float64(b)), y, 2e-6)
		if lo, hi := min(r, g, b), max(r, g, b); lo < 0 || hi > 1 || lo > 1e-6 && hi < 1-1e-6 {
			t.Fatalf("%v became %v: not on the surface", in, out)
		}
		for i := range 3 { // the same share of each difference is left
			k := (i + 1) % 3
			a := (float64(out[i]) - y) * (float64(in[k]) - y)
			c := (float64(out[k]) - y) * (float64(in[i]) - y)
			oracle.Close(t, "direction", a, c, 1e-5)
		}
	}
}

// TestWidePrimariesKeepY: the primaries of Display P3, which sRGB cannot show,
// open with their own luminance. Cutting channels would err by up to 0.03.
// Source: the middle row of Display P3's matrix, 0.22897 0.69174 0.07929
// (CSS Color 4 sample code).
func TestWidePrimariesKeepY(t *testing.T) {
	profile := matrixProfile("Quay P3", p3D50, srgbPara)
	for i, want := range []float64{0.22897, 0.69174, 0.07929} {
		m := image.NewNRGBA(image.Rect(0, 0, 1, 1))
		c := color.NRGBA{A: 255}
		switch i {
		case 0:
			c.R = 255
		case 1:
			c.G = 255
		default:
			c.B = 255
		}
		m.SetNRGBA(0, 0, c)
		p := mustDecode(t, withChunk(encodePNG(t, m), "iCCP", append([]byte("q\x00\x00"), deflate(profile)...)), "quay.png").Master
		oracle.Close(t, "Y of primary "+"RGB"[i:i+1], yOf(float64(p.R.At(0, 0)), float64(p.G.At(0, 0)), float64(p.B.At(0, 0))), want, 5e-4)
	}
}
