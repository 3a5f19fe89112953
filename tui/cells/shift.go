package cells

import (
	"image"
	"strconv"
)

// A photograph that moves by a cell changes nearly every cell, 400 kB on a large
// screen, though all but one row or column is there already, next door. Every
// terminal since the VT102 can move what it shows: letters of a row aside, rows
// up and down. Then a few kB of new cells are left to paint.

// The farthest moves that are looked for, in cells. Keys move a crop by one or a
// few; each candidate costs a look at some hundred cells.
const (
	farAside = 16
	farDown  = 8
)

// shifted returns by how much the picture wanted is the one shown, moved: cell
// p of the former is cell p plus the result of the latter for at least three
// quarters of the cells looked at. It returns zero if the picture is mostly
// where it was or has not simply moved. Rows are only moved up and down where
// the band has the whole width, since everything in a row moves. Cells within
// tol are equal.
//
// Source: ours; TestBytesOfMovedPhoto shows what it saves.
func (s *Screen) shifted(visible image.Rectangle, tol float64) image.Point {
	w, h := visible.Dx(), visible.Dy()
	if !s.shifts || w < 16 || h < 4 {
		return image.Point{}
	}
	still, of := s.agree(image.Point{}, w, h, tol)
	if 2*still > of {
		return image.Point{}
	}
	best, most := image.Point{}, 0
	try := func(d image.Point) {
		if hits, of := s.agree(d, w, h, tol); 4*hits >= 3*of && hits > most {
			best, most = d, hits
		}
	}
	// A wide letter may not survive being moved in halves.
	if !s.follow.wide || visible.Max.X == s.size.X {
		for n := 1; n <= min(farAside, w/2); n++ {
			try(image.Pt(n, 0))
			try(image.Pt(-n, 0))
		}
	}
	if visible.Min.X == 0 && s.size.X > 0 && visible.Max.X == s.size.X {
		for n := 1; n <= min(farDown, h/2); n++ {
			try(image.Pt(0, n))
			try(image.Pt(0, -n))
		}
	}
	if most < 2*still {
		return image.Point{}
	}
	return best
}

// agree counts the looked-at cells of want that equal the cell of known d away,
// and those looked at. It gives up early where nearly none do.
func (s *Screen) agree(d image.Point, w, h int, tol float64) (hits, of int) {
	stride := s.band.Dx()
	for y := max(0, -d.Y); y < h-max(0, d.Y); y += max(1, h/16) {
		want, known := s.want[y*stride:], s.known[(y+d.Y)*stride:]
		for x := max(0, -d.X); x < w-max(0, d.X); x += max(1, w/32) {
			if want[x] == known[x+d.X] || tol > 0 && s.labs.nearCells(want[x], known[x+d.X], tol) {
				hits++
			}
			of++
		}
		if of >= 64 && 8*hits < of {
			return hits, of
		}
	}
	return hits, of
}

// aside moves the cells of one row, known and on the terminal, by n to the left,
// or to the right if n is negative. What stands right of the band is moved back
// in place: what enters at the edge of the terminal leaves there again. alone
// says that nothing stands there.
func (w *walker) aside(at image.Point, known []Cell, n int, alone bool) {
	if n > 0 {
		w.jump(at)
		w.order(n, 'P')
		if !alone {
			w.jump(image.Pt(at.X+len(known)-n, at.Y))
			w.order(n, '@')
		}
		copy(known, known[n:])
		clear(known[len(known)-n:])
		return
	}
	n = -n
	if !alone {
		w.jump(image.Pt(at.X+len(known)-n, at.Y))
		w.order(n, 'P')
	}
	w.jump(at)
	w.order(n, '@')
	copy(known[n:], known)
	clear(known[:n])
}

// scroll moves the rows of the visible part of the band, which has the whole
// width of the terminal, by n up, or down if n is negative.
func (s *Screen) scroll(w *walker, visible image.Rectangle, n int) {
	w.pen.buf = append(w.pen.buf, "\x1b["...)
	w.pen.buf = strconv.AppendInt(w.pen.buf, int64(visible.Min.Y+1), 10)
	w.pen.buf = append(w.pen.buf, ';')
	w.pen.buf = strconv.AppendInt(w.pen.buf, int64(visible.Max.Y), 10)
	w.pen.buf = append(w.pen.buf, 'r')
	w.at = image.Pt(-1, -1)
	w.jump(visible.Min)
	rows := s.known[:visible.Dy()*s.band.Dx()]
	k := n * s.band.Dx()
	if n > 0 {
		w.order(n, 'M')
		copy(rows, rows[k:])
		clear(rows[len(rows)-k:])
	} else {
		w.order(-n, 'L')
		copy(rows[-k:], rows)
		clear(rows[:-k])
	}
	w.pen.buf = append(w.pen.buf, "\x1b[r"...)
	w.at = image.Pt(-1, -1)
}

// order writes a CSI sequence with one number.
func (w *walker) order(n int, final byte) { w.pen.buf = appendStep(w.pen.buf, n, final) }
