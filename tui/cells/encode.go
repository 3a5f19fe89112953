package cells

import (
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Depth is how many colours a terminal shows.
type Depth int

// The depths. Only TrueColour shows a picture as it is. Colour256 keeps greys
// grey and is within 2.4 L* on them, within 5 on colours, which it shows weaker
// rather than stronger; Colour16 mixes the user's own black, greys and white by
// shaded glyphs and is approximate; NoColour writes each cell's Munsell value as
// a figure.
const (
	TrueColour Depth = iota
	Colour256
	Colour16
	NoColour
)

// Approximate reports whether the values on screen are only roughly those of
// the picture, which the screen must then say.
func (d Depth) Approximate() bool { return d == Colour16 || d == NoColour }

// String returns the depth in a painter's words.
func (d Depth) String() string {
	switch d {
	case TrueColour:
		return "full colour"
	case Colour256:
		return "256 colours"
	case Colour16:
		return "16 colours, values approximate"
	default:
		return "no colour, values as figures"
	}
}

// Encode makes g the picture r in the glyphs g.Glyphs.At(d): r is as many times
// g.W by g.H pixels as their Per says, in half blocks g.W by 2 g.H. What a
// picture leaves of its last cells shows g.Surround. An empty raster gives an
// empty grid. g keeps its memory from call to call.
func Encode(g *Grid, r imageproc.Raster, d Depth) {
	size := over(r.Size(), g.Glyphs.At(d).Per(), 1)
	Place(g, size.X, size.Y, r, image.Point{}, d)
}

// Place makes g w by h cells of g.Surround with the picture r upon it, r's
// upper left pixel at pixel at (a cell is as many pixels as g.Glyphs.At(d).Per()
// says, in half blocks one wide and two high). What lies outside the grid is cut
// off. At Colour16 and NoColour a cell shows the mean light of its two halves,
// but see SetTones.
//
// Half blocks show every pixel. A cell of finer glyphs shows up to two colours
// exactly; more than that divided in two, so that the squared error in OKLab is
// least, each part in the mean of its light. In a picture of few tones (see
// SetTones) there is no such mixture: the two tones that cover most of the cell
// stay, the rest of it goes to the nearer one. Cells that look alike are equal.
func Place(g *Grid, w, h int, r imageproc.Raster, at image.Point, d Depth) {
	g.Reshape(w, h)
	if w == 0 || h == 0 {
		return
	}
	ink := ink{d, &g.tones, g.Surround}
	glyphs := g.Glyphs.At(d)
	per := glyphs.Per()
	pic := image.Rectangle{Min: at, Max: at.Add(r.Size())}.Intersect(image.Rect(0, 0, w*per.X, h*per.Y))
	if glyphs != HalfBlocks {
		mosaic{ink: ink, glyphs: glyphs}.place(g, r, at, pic)
		return
	}
	ground := ink.halves(g.Surround, g.Surround)
	for y := range h {
		row := g.Row(y)
		inTop := 2*y >= pic.Min.Y && 2*y < pic.Max.Y
		inBottom := 2*y+1 >= pic.Min.Y && 2*y+1 < pic.Max.Y
		if !inTop && !inBottom {
			fill(row, ground)
			continue
		}
		fill(row[:pic.Min.X], ground)
		fill(row[pic.Max.X:], ground)
		var top, bottom []uint8
		if inTop {
			top = pixels(r, pic.Min.X-at.X, 2*y-at.Y, pic.Dx())
		}
		if inBottom {
			bottom = pixels(r, pic.Min.X-at.X, 2*y+1-at.Y, pic.Dx())
		}
		ink.row(row[pic.Min.X:pic.Max.X], top, bottom)
	}
	if d.Approximate() && len(g.tones.rgb) > 0 {
		g.tones.rescue(g, r, at, pic, d)
	}
}

func fill(row []Cell, c Cell) {
	for i := range row {
		row[i] = c
	}
}

// pixels returns the bytes of n pixels of r from column x of row y.
func pixels(r imageproc.Raster, x, y, n int) []uint8 {
	i := 3 * (y*r.W + x)
	return r.Pix[i : i+3*n : i+3*n]
}

// ink makes cells for one depth.
type ink struct {
	depth Depth
	tones *tones

	surround palette.SRGB
}

// row fills dst from the pixels of two rows; a nil row is the surround.
func (k ink) row(dst []Cell, top, bottom []uint8) {
	if k.depth == TrueColour && top != nil && bottom != nil {
		exactRow(dst, top, bottom)
		return
	}
	for i := range dst {
		t, b := k.surround, k.surround
		if top != nil {
			t = palette.SRGB{R: top[3*i], G: top[3*i+1], B: top[3*i+2]}
		}
		if bottom != nil {
			b = palette.SRGB{R: bottom[3*i], G: bottom[3*i+1], B: bottom[3*i+2]}
		}
		dst[i] = k.halves(t, b)
	}
}

// exactRow is the usual case without the branches.
func exactRow(dst []Cell, top, bottom []uint8) {
	top, bottom = top[:3*len(dst)], bottom[:3*len(dst)]
	for i := range dst {
		j := 3 * i
		t := kindExact | Colour(top[j])<<16 | Colour(top[j+1])<<8 | Colour(top[j+2])
		b := kindExact | Colour(bottom[j])<<16 | Colour(bottom[j+1])<<8 | Colour(bottom[j+2])
		if t == b {
			dst[i] = Cell{Blank, 0, b}
		} else {
			dst[i] = Cell{Upper, t, b}
		}
	}
}

func (k ink) halves(top, bottom palette.SRGB) Cell {
	if !k.depth.Approximate() {
		return Halves(k.colour(top), k.colour(bottom))
	}
	if c, ok := k.tones.whole(top, bottom, k.surround, k.depth); ok {
		return c
	}
	y := meanY(top, bottom)
	if k.depth == Colour16 {
		return nearestStep(ramp(), y.L()).cell
	}
	return Cell{Glyph: Figure(y.L().Value())}
}

// colour returns what shows c at a depth that is not approximate.
func (k ink) colour(c palette.SRGB) Colour {
	if k.depth == TrueColour {
		return Exact(c)
	}
	return k.tones.index(c)
}

func meanY(a, b palette.SRGB) palette.Y {
	return (a.Linear().Y() + b.Linear().Y()) / 2
}

// Figure returns the character that stands for a Munsell value where there is
// no colour: the nearest of 0 to 9, and X, the Roman ten, for white.
func Figure(v palette.Value) rune {
	n := min(max(int(float64(v)+0.5), 0), 10)
	return rune("0123456789X"[n])
}
