package cells

import (
	"image"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/palette"
)

// The greys of text in a grid, at each depth: those of the text around it.
var (
	plainText  = [...]Colour{TrueColour: Exact(palette.SRGB{R: 0xb2, G: 0xb2, B: 0xb2}), Colour256: Index(249), Colour16: Index(7), NoColour: 0}
	strongText = [...]Colour{TrueColour: Exact(palette.SRGB{R: 0xe4, G: 0xe4, B: 0xe4}), Colour256: Index(254), Colour16: Index(15), NoColour: 0}
	textGround = [...]Colour{TrueColour: 0, Colour256: Index(235), Colour16: Index(0), NoColour: 0}
)

// Text writes a line of text over the cells of the grid from at on, at most wide
// cells, and blanks the rest of these. Characters that are not one cell wide
// become a question mark, so that what follows stays in its place; control
// characters are left away. What lies outside the grid is cut off.
func (g *Grid) Text(at image.Point, s string, wide int, strong bool, d Depth) {
	ground := textGround[d]
	if d == TrueColour {
		ground = Exact(g.Surround)
	}
	ink := plainText[d]
	if strong {
		ink = strongText[d]
	}
	x := at.X
	put := func(r rune) {
		if x >= 0 && x < g.W && at.Y >= 0 && at.Y < g.H && x < at.X+wide {
			c := Cell{Glyph: r, Fg: ink, Bg: ground}
			if r == Blank {
				c = Cell{Glyph: Blank, Bg: ground}
			}
			g.Set(x, at.Y, c)
		}
		x++
	}
	for _, r := range s {
		switch w := ansi.StringWidth(string(r)); {
		case r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0:
		case w == 1:
			put(r)
		case w > 1:
			put('?')
		}
	}
	for x < at.X+wide {
		put(Blank)
	}
}
