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

// Letter writes one letter over a cell, dark on a light ground and light on a dark
// one. It does nothing outside the grid.
func (g *Grid) Letter(at image.Point, letter rune, d Depth) {
	if at.X < 0 || at.Y < 0 || at.X >= g.W || at.Y >= g.H {
		return
	}
	ground := g.At(at.X, at.Y).Bg
	g.Set(at.X, at.Y, Cell{Glyph: letter, Fg: inkOn(ground, d), Bg: ground})
}

// inkOn returns the colour of a letter that reads on a ground.
func inkOn(ground Colour, d Depth) Colour {
	light := ground.light()
	switch {
	case d == NoColour:
		return 0
	case light && d == TrueColour:
		return Exact(palette.SRGB{R: 0x20, G: 0x20, B: 0x20})
	case light && d == Colour256:
		return Index(234)
	case light:
		return Index(0)
	}
	return strongText[d]
}

// light reports whether a letter on the colour should be dark.
func (c Colour) light() bool {
	switch c & kindMask {
	case kindExact:
		s := palette.SRGB{R: uint8(c >> 16), G: uint8(c >> 8), B: uint8(c)}
		return s.Linear().Y().Value() >= 5
	case kindIndex:
		ink := palette.Basic16
		if uint8(c) > 15 {
			ink = palette.XTerm256
		}
		return ink(uint8(c)).Linear().Y().Value() >= 5
	}
	return false
}
