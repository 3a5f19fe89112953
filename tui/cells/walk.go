package cells

import (
	"image"
	"strconv"
	"unicode/utf8"
)

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

// glyph writes a glyph in the colours that are set.
func (w *walker) glyph(g rune) {
	w.pen.buf = utf8.AppendRune(w.pen.buf, g)
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
