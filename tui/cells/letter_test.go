package cells

import (
	"image"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// A letter stands on the colour that the picture has there and reads on it: WCAG
// 2.2 asks for a contrast ratio of 3 of large text (1.4.3, from memory).
func TestLetterReadsOnItsGround(t *testing.T) {
	for v := range 256 {
		pic := imageproc.NewRaster(4, 4)
		ground := palette.SRGB{R: uint8(v), G: uint8(v), B: uint8(v)}
		pic.Fill(ground)
		var g Grid
		Encode(&g, pic, TrueColour)
		g.Letter(image.Pt(2, 1), '3', TrueColour)
		g.Letter(image.Pt(9, 9), '3', TrueColour) // outside: nothing
		c := g.At(2, 1)
		if c.Glyph != '3' || c.Bg != Exact(ground) {
			t.Fatalf("grey %d: %+v", v, c)
		}
		ink := palette.SRGB{R: uint8(c.Fg >> 16), G: uint8(c.Fg >> 8), B: uint8(c.Fg)}
		a, b := float64(ink.Linear().Y())+0.05, float64(ground.Linear().Y())+0.05
		if ratio := max(a, b) / min(a, b); ratio < 3 {
			t.Errorf("grey %d: a contrast of %.1f", v, ratio)
		}
	}
}

// A letter can stand on every colour that a terminal has, its own sixteen too,
// and is told from the ground.
func TestLetterOnEveryColour(t *testing.T) {
	for _, d := range []Depth{Colour256, Colour16} {
		for i := range 256 {
			var g Grid
			g.Reshape(1, 1)
			g.Set(0, 0, Cell{Glyph: Blank, Bg: Index(uint8(i))})
			g.Letter(image.Point{}, '2', d)
			if c := g.At(0, 0); c.Glyph != '2' || c.Fg == c.Bg || c.Bg != Index(uint8(i)) {
				t.Errorf("%v, colour %d: %+v", d, i, c)
			}
		}
	}
}
