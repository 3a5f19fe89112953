package cells

import (
	"image"

	"atelier/halflid/palette"
)

// While a key is held on a slow line a photograph is painted within a tolerance:
// cells that nearly show the right colour are left alone, and the others share
// colours along a row as far as one is near enough to all. What the terminal
// then shows is known exactly, so errors do not add up and the exact picture
// can follow when the keys rest. Measured on a squinted photograph of 200x60
// cells: TestBytesOfLossyPhoto.

// tolerances are what a colour may be off in OKLab, from none up. At .02 nothing
// is seen in motion; the last two are for lines that else show a picture a second.
var tolerances = [...]float64{0, .005, .01, .015, .02, .03, .04}

// labs gives colours in OKLab and remembers those that it gave last.
type labs struct {
	key [1 << 12]Colour
	lab [1 << 12]palette.OKLab
}

// of returns an exact colour in OKLab.
func (l *labs) of(c Colour) palette.OKLab {
	i := uint32(c) * 2654435761 >> 20
	if l.key[i] != c {
		l.key[i] = c
		l.lab[i] = palette.SRGB{R: uint8(c >> 16), G: uint8(c >> 8), B: uint8(c)}.Linear().OKLab()
	}
	return l.lab[i]
}

// near reports whether two colours are within tol; others than exact ones only
// if they are the same.
func (l *labs) near(a, b Colour, tol float64) bool {
	if a == b {
		return true
	}
	if a&kindMask != kindExact || b&kindMask != kindExact {
		return false
	}
	return l.of(a).Distance(l.of(b)) <= tol
}

// halvesOf returns the colours of the two halves of a canonical cell, and
// whether both are exact.
func halvesOf(c Cell) (top, bottom Colour, ok bool) {
	switch {
	case c.Glyph == Blank:
		top, bottom = c.Bg, c.Bg
	case c.Glyph == Upper:
		top, bottom = c.Fg, c.Bg
	}
	return top, bottom, top&kindMask == kindExact && bottom&kindMask == kindExact
}

// nearCells reports whether what known shows is within tol of want.
func (l *labs) nearCells(want, known Cell, tol float64) bool {
	if want == known {
		return true
	}
	t, b, ok := halvesOf(want)
	u, c, too := halvesOf(known)
	return ok && too && l.near(t, u, tol) && l.near(b, c, tol)
}

// box is the span of some colours in OKLab.
type box struct{ lo, hi palette.OKLab }

func boxOf(c palette.OKLab) box { return box{c, c} }

// with returns b with c in it.
func (b box) with(c palette.OKLab) box {
	b.lo.L, b.hi.L = min(b.lo.L, c.L), max(b.hi.L, c.L)
	b.lo.A, b.hi.A = min(b.lo.A, c.A), max(b.hi.A, c.A)
	b.lo.B, b.hi.B = min(b.lo.B, c.B), max(b.hi.B, c.B)
	return b
}

// fits reports whether the middle of the box is within tol of all of it.
func (b box) fits(tol float64) bool { return b.lo.Distance(b.hi) <= 2*tol }

// middle returns the colour in the middle of the box.
func (b box) middle() Colour {
	c := palette.OKLab{L: (b.lo.L + b.hi.L) / 2, A: (b.lo.A + b.hi.A) / 2, B: (b.lo.B + b.hi.B) / 2}
	return Exact(c.RGB().SRGB())
}

// Which half of a cell a colour is for.
const (
	topHalf = 1 << iota
	bottomHalf
)

// shared returns a colour for the given halves of the first of the cells that as
// many of those after it as possible can use too. reach bounds how far it looks.
func (l *labs) shared(row []Cell, halves int, tol float64) Colour {
	const reach = 24
	var b box
	var first [2]Colour
	for i, c := range row[:min(len(row), reach)] {
		t, bot, ok := halvesOf(c)
		if !ok {
			break
		}
		next := b
		if i == 0 {
			first = [2]Colour{t, bot}
			next = boxOf(l.of(bot))
			if halves&topHalf != 0 {
				next = boxOf(l.of(t))
			}
		}
		if halves&topHalf != 0 {
			next = next.with(l.of(t))
		}
		if halves&bottomHalf != 0 {
			next = next.with(l.of(bot))
		}
		if i > 0 && !next.fits(tol) {
			break
		}
		b = next
	}
	c := b.middle()
	// Codes are whole numbers: the middle may have slipped out of reach.
	if halves&topHalf != 0 && !l.near(c, first[0], tol) {
		return first[0]
	}
	if halves&bottomHalf != 0 && !l.near(c, first[1], tol) {
		return first[1]
	}
	return c
}

// appendLossyRow is appendRow within a tolerance. known gets what is shown.
func (s *Screen) appendLossyRow(walk *walker, at image.Point, want, known []Cell, tol float64) int {
	l, n := s.labs, 0
	for x := range want {
		if l.nearCells(want[x], known[x], tol) {
			continue
		}
		walk.to(image.Pt(at.X+x, at.Y), known[:x])
		known[x] = s.putNear(walk, want[x:], tol)
		n++
	}
	return n
}

// putNear writes the first of the cells within tol and returns what it shows.
func (s *Screen) putNear(walk *walker, row []Cell, tol float64) Cell {
	l, p := s.labs, walk.pen
	t, b, ok := halvesOf(row[0])
	if !ok {
		var next Cell
		if len(row) > 1 {
			next = row[1]
		}
		walk.put(row[0], next)
		return row[0]
	}
	near := func(a, c Colour) bool { return l.near(a, c, tol) }
	groundTop, groundBottom := near(p.bg, t), near(p.bg, b)
	inkTop, inkBottom := near(p.fg, t), near(p.fg, b)
	flat := boxOf(l.of(t)).with(l.of(b)).fits(tol)
	glyph := Upper
	switch {
	case groundTop && groundBottom:
		glyph = Blank
	case inkTop && groundBottom:
	case inkBottom && groundTop:
		glyph = Lower
	case flat:
		c := l.shared(row, topHalf|bottomHalf, tol)
		if !near(c, t) || !near(c, b) {
			// The two are just too far apart for whole codes between them.
			p.set(t, b)
			break
		}
		p.set(p.fg, c)
		glyph = Blank
	case groundBottom:
		p.set(l.shared(row, topHalf, tol), p.bg)
	case groundTop:
		p.set(l.shared(row, bottomHalf, tol), p.bg)
		glyph = Lower
	case inkTop:
		p.set(p.fg, l.shared(row, bottomHalf, tol))
	case inkBottom:
		p.set(p.fg, l.shared(row, topHalf, tol))
		glyph = Lower
	default:
		p.set(l.shared(row, topHalf, tol), l.shared(row, bottomHalf, tol))
	}
	shown := Cell{Glyph: glyph, Fg: p.fg, Bg: p.bg}.canon()
	walk.glyph(glyph)
	return shown
}
