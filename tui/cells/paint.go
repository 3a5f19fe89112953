package cells

import "image"

// stroke says how a frame is painted.
type stroke struct {
	tol   float64 // how far colours may be off
	limit int     // bytes after which no other row is begun; 0: none
	wiped bool    // only cells that the terminal is not known to show
}

// appendFrame appends to the pen's buffer what brings the terminal from known
// to want, marks what is then shown known, and returns the number of cells
// written, and whether it came to the end; with 0 the buffer is not to be used.
// The cursor is put back where Bubble Tea left it, and colours are the
// terminal's default again.
func (s *Screen) appendFrame(o stroke) (n int, whole bool) {
	p := &s.pen
	exact := s.follow.exact()
	if !exact {
		// Only then: some terminals keep one place for this and for the
		// cursor of the main screen, which is restored at the end.
		p.buf = append(p.buf, "\x1b7"...)
	}
	p.reset()
	walk := walker{pen: p, limit: s.limit(), at: image.Pt(-1, -1)}
	visible := s.band
	if s.size != (image.Point{}) {
		visible = visible.Intersect(image.Rectangle{Max: s.size})
	}
	var move image.Point
	if !o.wiped && o.limit == 0 {
		move = s.shifted(visible, o.tol)
	}
	if move.Y != 0 {
		s.scroll(&walk, visible, move.Y)
		n++
	}
	begun, whole := len(p.buf), true
	for y := visible.Min.Y; y < visible.Max.Y; y++ {
		if o.limit > 0 && len(p.buf)-begun > o.limit {
			whole = false
			break
		}
		i := (y - s.band.Min.Y) * s.band.Dx()
		want, known := s.want[i:i+visible.Dx()], s.known[i:i+visible.Dx()]
		if move.X != 0 {
			p.set(0, 0) // cells that come in take the ground that is set
			walk.aside(image.Pt(visible.Min.X, y), known, move.X, visible.Max.X == s.size.X)
			n++
		}
		at := image.Pt(visible.Min.X, y)
		switch {
		case o.wiped:
			n += s.appendWiped(&walk, at, want, known)
		case o.tol > 0:
			n += s.appendLossyRow(&walk, at, want, known, o.tol)
		default:
			n += s.appendRow(&walk, at, want, known)
		}
	}
	p.set(0, 0)
	if exact {
		if s.size.X > 0 {
			s.follow.lo = min(s.follow.lo, s.size.X-1)
			s.follow.hi = s.follow.lo
		}
		walk.jump(image.Pt(s.follow.lo, s.follow.row))
	} else {
		// The return first: some terminals else carry a wrap that the last
		// column of the picture left pending over to the restored place.
		p.buf = append(p.buf, "\r\x1b8"...)
	}
	return n, whole
}

// limit returns the column past the last of the terminal, or, if that is not
// known, the first that may be it.
func (s *Screen) limit() int {
	if s.size.X > 0 {
		return s.size.X
	}
	return s.band.Max.X
}

// appendRow paints one row of the band that starts at cell at.
func (s *Screen) appendRow(walk *walker, at image.Point, want, known []Cell) int {
	n := 0
	for x := 0; x < len(want); x++ {
		if want[x] == known[x] {
			continue
		}
		walk.to(image.Pt(at.X+x, at.Y), want[:x])
		var next Cell
		if x+1 < len(want) {
			next = want[x+1]
		}
		walk.put(want[x], next)
		known[x] = want[x]
		n++
		if s.repeats {
			k := walk.repeat(want[x:])
			copy(known[x+1:x+1+k], want[x+1:x+1+k])
			x, n = x+k, n+k
		}
	}
	return n
}

// appendWiped paints what of a row the terminal is not known to show.
func (s *Screen) appendWiped(walk *walker, at image.Point, want, known []Cell) int {
	n := 0
	for x := range want {
		if known[x] != (Cell{}) {
			continue
		}
		walk.to(image.Pt(at.X+x, at.Y), known[:x])
		var next Cell
		if x+1 < len(want) && known[x+1] == (Cell{}) {
			next = want[x+1]
		}
		walk.put(want[x], next)
		known[x] = want[x]
		n++
	}
	return n
}
