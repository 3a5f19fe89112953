package cells

import (
	"image"
	"testing"

	"atelier/halflid/palette"
)

// A line of text keeps to its cells whatever is in it, and blanks what is left.
func TestText(t *testing.T) {
	for _, d := range []Depth{TrueColour, Colour256, Colour16, NoColour} {
		g := Grid{Surround: palette.SRGB{R: 38, G: 38, B: 38}}
		g.Reshape(12, 3)
		for i := range g.Cells {
			g.Cells[i] = Cell{Glyph: Upper, Fg: Index(1), Bg: Index(2)}
		}
		g.Text(image.Pt(2, 1), "a\x1b[b漢é…", 8, true, d)
		got := ""
		for x := range g.W {
			got += string(g.At(x, 1).Glyph)
		}
		if got != "▀▀a[b?é…  ▀▀" {
			t.Errorf("%v: %q", d, got)
		}
		if a, b := g.At(2, 1), g.At(9, 1); a.Bg != b.Bg || a.Fg == a.Bg && d != NoColour {
			t.Errorf("%v: letters %v, blanks %v", d, a, b)
		}
		if g.At(2, 0).Glyph != Upper || g.At(2, 2).Glyph != Upper {
			t.Errorf("%v: other rows were written to", d)
		}
		g.Text(image.Pt(-3, 1), "abcdef", 20, false, d)
		if g.At(0, 1).Glyph != 'd' || g.At(2, 1).Glyph != 'f' || g.At(11, 1).Glyph != Blank {
			t.Errorf("%v: cut off wrongly", d)
		}
		g.Text(image.Pt(0, 5), "below", 5, false, d)
	}
}
