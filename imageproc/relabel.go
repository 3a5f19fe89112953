package imageproc

import (
	"fmt"
)

// Reshape returns labels of w by h that reuse l's memory where it is large
// enough; their contents are undefined.
func (l Labels) Reshape(w, h int) Labels {
	if cap(l.Pix) < w*h {
		return NewLabels(w, h)
	}
	return Labels{W: w, H: h, Pix: l.Pix[:w*h]}
}

// Majority returns labels of w by h in which each pixel carries the label that
// covers most of its place in src, by exact area; ties go to the smaller label.
// Labels must be 0..n-1, src and the result not empty, or it panics; dst lends
// its memory where that is large enough and must not share src's. Flat areas
// stay exactly flat: no mixtures arise. A mirrored src gives the mirrored
// result. Cost: proportional to the larger of the two.
func (src Labels) Majority(dst Labels, w, h, n int) Labels {
	src.checkResize("Majority", w, h, n)
	dst = dst.Reshape(w, h)
	cols := make([]stretch, w)
	for x := range cols {
		cols[x] = stretchOf(x, w, src.W)
	}
	cover := make([]int, n)
	mixed := make([]int32, src.W)
	for y := range h {
		rows := stretchOf(y, h, src.H)
		top := src.Row(rows.first)
		src.columnsMixed(mixed, rows)
		out := dst.Row(y)
		for x, c := range cols {
			if c.flat(top, mixed) {
				out[x] = top[c.first]
				continue
			}
			clear(cover)
			for yy := rows.first; yy <= rows.last; yy++ {
				c.count(cover, src.Row(yy), rows.weight(yy))
			}
			out[x] = largest(cover)
		}
	}
	return dst
}

// columnsMixed sets mixed to 0 where the column of src within rows is of one
// label. Most pixels show a flat place, which this tells sooner than counting.
func (src Labels) columnsMixed(mixed []int32, rows stretch) {
	clear(mixed)
	top := src.Row(rows.first)[:len(mixed)]
	for y := rows.first + 1; y <= rows.last; y++ {
		row := src.Row(y)[:len(mixed)]
		for x, l := range row {
			mixed[x] |= l ^ top[x]
		}
	}
}

// flat reports whether all that the stretch covers is of one label.
func (s stretch) flat(top, mixed []int32) bool {
	label, differs := top[s.first], int32(0)
	for x := s.first; x <= s.last; x++ {
		differs |= mixed[x] | (top[x] ^ label)
	}
	return differs == 0
}

// stretch is what one pixel of a line covers of a line of other pixels: first
// to last whole, but for what the ends lack. All is in whole numbers: a pixel of
// the one line is as many units wide as the other line has pixels.
type stretch struct {
	first, last int
	unit        int // width of a pixel that is covered
	left, right int // units of first and of last; together, if they are one pixel, left
}

// stretchOf returns what pixel i of a line of n covers of a line of m.
func stretchOf(i, n, m int) stretch {
	lo, hi := i*m, (i+1)*m
	s := stretch{first: lo / n, last: (hi - 1) / n, unit: n}
	if s.first == s.last {
		s.left, s.right = m, m
		return s
	}
	s.left, s.right = (s.first+1)*n-lo, hi-s.last*n
	return s
}

// weight returns how many units of pixel i are covered.
func (s stretch) weight(i int) int {
	switch i {
	case s.first:
		return s.left
	case s.last:
		return s.right
	}
	return s.unit
}

// count adds to cover what the stretch covers of each label of a row. Equal
// neighbours are the common case and are added at one go.
func (s stretch) count(cover []int, row []int32, weight int) {
	label, run := row[s.first], s.left
	if s.first < s.last {
		for _, l := range row[s.first+1 : s.last] {
			if l != label {
				cover[label] += run * weight
				label, run = l, 0
			}
			run += s.unit
		}
		if l := row[s.last]; l != label {
			cover[label] += run * weight
			label, run = l, 0
		}
		run += s.right
	}
	cover[label] += run * weight
}

// largest returns the place of the largest number, of equals the first.
func largest(of []int) int32 {
	best := 0
	for k := 1; k < len(of); k++ {
		if of[k] > of[best] {
			best = k
		}
	}
	return int32(best)
}

// Enlarge returns labels of w by h, larger than src, with smooth outlines: each
// pixel takes the label whose bilinearly interpolated presence is largest at its
// centre, ties to the smaller label. Labels must be 0..n-1, src and the result
// not empty, or it panics. It reckons in whole numbers: the result is the same
// on every machine, and mirrored for a mirrored src.
func (src Labels) Enlarge(w, h, n int) Labels {
	e, dst := src.Enlarging(w, h, n), NewLabels(w, h)
	for y := range h {
		e.Row(dst.Row(y), y)
	}
	return dst
}

// Enlarging is an enlargement that is made row by row, for pictures that are too
// large to be held. It is not for concurrent use.
type Enlarging struct {
	src      Labels
	h        int
	cols     []between
	presence []int
}

// Enlarging returns the rows of what Enlarge would return. It reads src while it
// is used.
func (src Labels) Enlarging(w, h, n int) *Enlarging {
	src.checkResize("Enlarge", w, h, n)
	e := &Enlarging{src: src, h: h, cols: make([]between, w), presence: make([]int, n)}
	for x := range e.cols {
		e.cols[x] = betweenOf(x, w, src.W)
	}
	return e
}

// Row writes row y into dst, which has its width.
func (e *Enlarging) Row(dst []int32, y int) {
	v := betweenOf(y, e.h, e.src.H)
	top, bottom := e.src.Row(v.i), e.src.Row(v.j)
	for x, u := range e.cols {
		a, b, c, d := top[u.i], top[u.j], bottom[u.i], bottom[u.j]
		if a == b && a == c && a == d {
			dst[x] = a
			continue
		}
		clear(e.presence)
		e.presence[a] += u.toI * v.toI
		e.presence[b] += u.toJ * v.toI
		e.presence[c] += u.toI * v.toJ
		e.presence[d] += u.toJ * v.toJ
		dst[x] = largest(e.presence)
	}
}

// between places a pixel's centre between the centres i and j of another line,
// the nearer the heavier; at the ends of the line, i and j are one.
type between struct{ i, j, toI, toJ int }

// betweenOf places the centre of pixel i of a line of n on a line of m.
func betweenOf(i, n, m int) between {
	at := min(max((2*i+1)*m-n, 0), (m-1)*2*n) // in units of 1/2n
	first, rest := at/(2*n), at%(2*n)
	return between{first, min(first+1, m-1), 2*n - rest, rest}
}

func (src Labels) checkResize(what string, w, h, n int) {
	if src.W < 1 || src.H < 1 || w < 1 || h < 1 || n < 1 {
		panic(fmt.Sprintf("imageproc: %s of labels of %d by %d into %d by %d, %d labels", what, src.W, src.H, w, h, n))
	}
}
