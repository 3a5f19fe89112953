package cells

import (
	"image"
	"strconv"
)

// Skip returns what a row of the view holds in place of n cells of the band: a
// step to the right that writes nothing, so that text beside the picture can
// change without the picture being wiped. It has no width of its own in the
// eyes of Bubble Tea, which therefore clears the rest of the row after it: end a
// row in text, or let the band's cells be painted again when that row is first
// shown. The text of a row plus its skips must fit the terminal.
func Skip(n int) string {
	if n <= 0 {
		return ""
	}
	return "\x1b[" + strconv.Itoa(n) + "C"
}

// appendFrame appends to the pen's buffer what brings the terminal from known
// to want, marks it known, and returns the number of cells written; with 0 the
// buffer is not to be used. The cursor is put back where Bubble Tea left it, and
// colours are the terminal's default again.
func (s *Screen) appendFrame() int {
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
	n := 0
	move := s.shifted(visible)
	if move.Y != 0 {
		s.scroll(&walk, visible, move.Y)
		n++
	}
	for y := visible.Min.Y; y < visible.Max.Y; y++ {
		i := (y - s.band.Min.Y) * s.band.Dx()
		want, known := s.want[i:i+visible.Dx()], s.known[i:i+visible.Dx()]
		if move.X != 0 {
			p.set(0, 0) // cells that come in take the ground that is set
			walk.aside(image.Pt(visible.Min.X, y), known, move.X, visible.Max.X == s.size.X)
			n++
		}
		n += s.appendRow(&walk, image.Pt(visible.Min.X, y), want, known)
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
	return n
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

// walker moves the terminal's cursor at the least cost in bytes.
type walker struct {
	pen   *pen
	at    image.Point // where the cursor is; negative: not known
	limit int         // the column past the terminal's last
}

// put writes c where the cursor is.
func (w *walker) put(c, next Cell) {
	w.pen.put(c, next)
	w.at.X++
}

// repeat writes more of the blank just written, row[0], by one order, as long
// as row goes on with it, if that is shorter; it returns how many.
func (w *walker) repeat(row []Cell) int {
	if row[0].Glyph != Blank || w.pen.buf[len(w.pen.buf)-1] != ' ' {
		return 0
	}
	k := 0
	for k+1 < len(row) && row[k+1] == row[0] {
		k++
	}
	if k <= 3+digits(k) {
		return 0
	}
	w.pen.buf = append(w.pen.buf, "\x1b["...)
	w.pen.buf = strconv.AppendInt(w.pen.buf, int64(k), 10)
	w.pen.buf = append(w.pen.buf, 'b')
	w.at.X += k
	return k
}

// to brings the cursor to cell p; before holds the cells left of it in its row
// of the band, as they are shown. Where cells between can be written again in
// the colours as they are and for fewer bytes than a jump takes, they are.
func (w *walker) to(p image.Point, before []Cell) {
	if w.at == p && p.X < w.limit {
		return
	}
	if gap := p.X - w.at.X; w.at.Y == p.Y && gap > 0 && gap <= len(before) && gap <= 6 {
		if w.rewrite(before[len(before)-gap:]) {
			w.at.X = p.X
			return
		}
	}
	w.jump(p)
}

// rewrite writes the cells if that is no longer than a step over them.
func (w *walker) rewrite(gap []Cell) bool {
	sum := 0
	for _, c := range gap {
		n := w.pen.free(c)
		if n < 0 {
			return false
		}
		sum += n
	}
	if sum > stepLen(len(gap)) {
		return false
	}
	for _, c := range gap {
		w.pen.put(c, Cell{})
	}
	return true
}

// jump moves the cursor to p by the shortest of: its place named, steps down and
// aside, or a return and line feeds. A cursor past the last column is in a state
// on which terminals differ, so from there no relative step is taken.
func (w *walker) jump(p image.Point) {
	b := w.pen.buf
	down, aside := p.Y-w.at.Y, p.X-w.at.X
	known := w.at.X >= 0 && w.at.Y >= 0
	place := placeLen(p)
	steps, lines := place, place
	if known && w.at.X < w.limit && down >= 0 {
		steps = asideLen(aside)
		if down > 0 {
			steps += stepLen(down)
		}
	}
	if known && down > 0 {
		lines = 1 + down
		if p.X > 0 {
			lines += stepLen(p.X)
		}
	}
	switch {
	case lines < place && lines <= steps:
		b = append(b, '\r')
		for range down {
			b = append(b, '\n')
		}
		b = appendStep(b, p.X, 'C')
	case steps < place:
		b = appendStep(b, down, 'B')
		if aside < 0 && -aside <= stepLen(-aside) {
			for range -aside {
				b = append(b, '\b')
			}
		} else if aside < 0 {
			b = appendStep(b, -aside, 'D')
		} else {
			b = appendStep(b, aside, 'C')
		}
	default:
		b = appendPlace(b, p)
	}
	w.pen.buf, w.at = b, p
}

func appendStep(b []byte, n int, final byte) []byte {
	if n <= 0 {
		return b
	}
	b = append(b, "\x1b["...)
	if n > 1 {
		b = strconv.AppendInt(b, int64(n), 10)
	}
	return append(b, final)
}

func appendPlace(b []byte, p image.Point) []byte {
	b = append(b, "\x1b["...)
	if p.Y > 0 || p.X > 0 {
		b = strconv.AppendInt(b, int64(p.Y+1), 10)
	}
	if p.X > 0 {
		b = append(b, ';')
		b = strconv.AppendInt(b, int64(p.X+1), 10)
	}
	return append(b, 'H')
}

// stepLen is the length of a step by n > 0 cells in one direction.
func stepLen(n int) int {
	if n == 1 {
		return 3
	}
	return 3 + digits(n)
}

func asideLen(n int) int {
	switch {
	case n == 0:
		return 0
	case n < 0:
		return min(-n, stepLen(-n))
	}
	return stepLen(n)
}

func placeLen(p image.Point) int {
	switch {
	case p.X > 0:
		return 4 + digits(p.Y+1) + digits(p.X+1)
	case p.Y > 0:
		return 3 + digits(p.Y+1)
	}
	return 3
}

func digits(n int) int {
	d := 1
	for ; n >= 10; n /= 10 {
		d++
	}
	return d
}
