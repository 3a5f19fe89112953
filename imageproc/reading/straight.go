package reading

import (
	"math"
)

// piece is a straight piece of a line, from one of its corners to a later one.
type piece struct {
	line     int
	from, to int // corners
	length   float64
}

// How far a straight piece may lie from the pixels, in pixels at least and as a
// share of the long side. A stair of pixels at 45 degrees lies 0.71 from its
// line, along a curve up to one. Source: ours (TestCircle).
const (
	finePixels, fineShare     = 1.1, 0.0015
	coarsePixels, coarseShare = 1.5, 0.005
)

// straighten draws the lines as straight pieces, finely and coarsely.
func (t *tracer) straighten(long float64) {
	keep := make([]bool, len(t.corners))
	t.fine = t.pieces(t.fine, keep, max(finePixels, fineShare*long))
	clear(keep)
	t.coarse = t.pieces(t.coarse, keep, max(coarsePixels, coarseShare*long))
}

// pieces straightens every line by a tolerance. The mirrored map gives exactly
// the mirrored pieces: numbers are whole and ties are broken from the middle.
//
// Source: Douglas and Peucker 1973; a closed line is first parted at its outermost
// corners.
func (t *tracer) pieces(dst []piece, keep []bool, tolerance float64) []piece {
	limit := tolerance * tolerance
	for n, l := range t.lines {
		keep[l.from], keep[l.to-1] = true, true
		if l.closed {
			t.partClosed(keep, l)
		}
		last := l.from
		for i := l.from + 1; i < l.to; i++ {
			if keep[i] {
				t.divide(keep, last, i, limit)
				last = i
			}
		}
		last = l.from
		for i := l.from + 1; i < l.to; i++ {
			if keep[i] {
				a, b := t.corners[last], t.corners[i]
				length := math.Hypot(float64(b.x-a.x), float64(b.y-a.y))
				dst = append(dst, piece{n, last, i, length})
				last = i
			}
		}
	}
	return dst
}

// partClosed keeps the outermost corners of a closed line: of the topmost the
// first and the last to the right, and so on, the same for the mirrored line. The
// corner that the walk began at is one of them.
func (t *tracer) partClosed(keep []bool, l line) {
	least := func(score func(c corner) [2]int32) {
		best := l.from
		for i := l.from + 1; i < l.to-1; i++ {
			s, b := score(t.corners[i]), score(t.corners[best])
			if s[0] < b[0] || s[0] == b[0] && s[1] < b[1] {
				best = i
			}
		}
		keep[best] = true
	}
	for _, sx := range []int32{1, -1} {
		for _, sy := range []int32{1, -1} {
			least(func(c corner) [2]int32 { return [2]int32{sy * c.y, sx * c.x} })
			least(func(c corner) [2]int32 { return [2]int32{sx * c.x, sy * c.y} })
		}
	}
}

// divide keeps what is needed between corners i and j of a line.
func (t *tracer) divide(keep []bool, i, j int, limit float64) {
	for j-i > 1 {
		lo, hi, off := t.worst(i, j)
		if off <= limit {
			return
		}
		keep[lo], keep[hi] = true, true
		if hi > lo {
			t.divide(keep, lo, hi, limit)
		}
		// The longer side is looped over, so that calls do not nest deeply.
		if lo-i < j-hi {
			t.divide(keep, i, lo, limit)
			i = hi
		} else {
			t.divide(keep, hi, j, limit)
			j = lo
		}
	}
}

// worst returns the corners between i and j that lie farthest from the straight
// line between them, of equals those nearest to the middle (two if they are
// equally near), and the squared distance.
func (t *tracer) worst(i, j int) (lo, hi int, off float64) {
	a, b := t.corners[i], t.corners[j]
	dx, dy := int64(b.x-a.x), int64(b.y-a.y)
	long := dx*dx + dy*dy
	most := int64(-1)
	for k := i + 1; k < j; k++ {
		px, py := int64(t.corners[k].x-a.x), int64(t.corners[k].y-a.y)
		d := int64(0) // the squared distance times long
		switch along := px*dx + py*dy; {
		case along <= 0:
			d = (px*px + py*py) * max(1, long)
		case along >= long:
			qx, qy := px-dx, py-dy
			d = (qx*qx + qy*qy) * max(1, long)
		default:
			across := px*dy - py*dx
			d = across * across
		}
		switch {
		case d > most:
			most, lo, hi = d, k, k
		case d == most:
			switch near, was := fromMiddle(k, i, j), fromMiddle(lo, i, j); {
			case near < was:
				lo, hi = k, k
			case near == was:
				hi = k
			}
		}
	}
	return lo, hi, float64(most) / float64(max(1, long))
}

// fromMiddle returns twice how far k lies from the middle of i and j.
func fromMiddle(k, i, j int) int {
	d := 2*k - i - j
	return max(d, -d)
}
