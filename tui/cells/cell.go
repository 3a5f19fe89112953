// Package cells turns finished pictures into terminal cells and cells into
// bytes. It is the only part of the screen that reads pixels. A Grid is a
// picture as cells, Print writes one as plain lines, and Screen keeps one on a
// terminal beside the text that Bubble Tea writes, sending only what changed.
package cells

import (
	"fmt"
	"image"

	"atelier/halflid/palette"
)

// Colour is a colour as a terminal is told it: its own default, an exact
// colour, or a number of its palette. The zero Colour is the default.
type Colour uint32

const (
	kindExact Colour = 1 << 24
	kindIndex Colour = 2 << 24
	kindMask  Colour = 3 << 24
)

// Exact returns the colour with the 8-bit sRGB codes of c.
func Exact(c palette.SRGB) Colour {
	return kindExact | Colour(c.R)<<16 | Colour(c.G)<<8 | Colour(c.B)
}

// Index returns colour i of the terminal's palette. Colours 0 to 15 are the
// user's own and look different everywhere; 16 to 255 are fixed by custom.
func Index(i uint8) Colour { return kindIndex | Colour(i) }

// The glyphs that split a cell into an upper and a lower half.
const (
	Blank = ' '
	Upper = '▀'
	Lower = '▄'
	Full  = '█'
)

// Cell is one character cell. The zero Cell means "not known": no cell that
// Encode makes equals it.
type Cell struct {
	Glyph  rune
	Fg, Bg Colour
}

// Halves returns the cell that shows the colours top and bottom.
func Halves(top, bottom Colour) Cell {
	return Cell{Upper, top, bottom}.canon()
}

// canon returns the one spelling of a cell among those that look alike, so that
// two cells look alike exactly if they are equal: of two glyphs that look alike
// with ink and ground exchanged the one with its upper left corner in the ink,
// one colour as a blank. Default colours are left alone, since the default ink
// and the default ground are two colours.
func (c Cell) canon() Cell {
	switch c.Glyph {
	case Blank:
		c.Fg = 0
		return c
	case Full:
		if c.Fg != 0 {
			c = Cell{Blank, 0, c.Fg}
		}
		return c
	}
	if c.Fg == 0 || c.Bg == 0 {
		return c
	}
	t := twinOf(c.Glyph)
	switch {
	case t.opposite == 0:
	case c.Fg == c.Bg:
		c = Cell{Blank, 0, c.Bg}
	case !t.first:
		c = Cell{t.opposite, c.Bg, c.Fg}
	}
	return c
}

// Grid is a picture as cells, row-major, stride equal to W. The zero Grid is
// empty and ready; encoding into a Grid again reuses its memory.
type Grid struct {
	W, H  int
	Cells []Cell
	// Surround is the colour of what a cell shows beyond the picture: the rest
	// of a cell that the picture ends in, and the margins that Place leaves.
	Surround palette.SRGB
	// Glyphs are those that pictures are encoded with, at the depths that draw
	// them: see Glyphs.At.
	Glyphs Glyphs

	tones tones // see SetTones
}

// Reshape makes g w by h cells. Their contents are undefined. It panics on a
// negative size.
func (g *Grid) Reshape(w, h int) {
	if w < 0 || h < 0 {
		panic(fmt.Sprintf("cells: grid of %d by %d", w, h))
	}
	if cap(g.Cells) < w*h {
		g.Cells = make([]Cell, w*h)
	}
	g.W, g.H, g.Cells = w, h, g.Cells[:w*h]
}

// Row returns row y as a slice into the grid.
func (g *Grid) Row(y int) []Cell { return g.Cells[y*g.W : (y+1)*g.W : (y+1)*g.W] }

// At returns the cell at column x, row y.
func (g *Grid) At(x, y int) Cell { return g.Cells[y*g.W+x] }

// Set stores c at column x, row y.
func (g *Grid) Set(x, y int, c Cell) { g.Cells[y*g.W+x] = c }

// Size returns the width and height in cells.
func (g *Grid) Size() image.Point { return image.Pt(g.W, g.H) }
