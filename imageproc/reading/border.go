package reading

import (
	"math/bits"
	"slices"

	"atelier/halflid/imageproc"
)

// The sides of pixels between two shapes are followed as lines: from one place
// where three shapes or the picture's edge meet to the next, with the same two
// shapes on both sides all the way, or round and closed.

// corner is a place where such a line turns, on the lattice of pixel corners, and
// how many pixel sides of the line lie before it.
type corner struct{ x, y, along int32 }

// line is a stretch of border: corners from to to (not included) of the tracer,
// between shapes a and b.
type line struct {
	from, to int
	a, b     int32
	closed   bool
}

// crack is one pixel side between two shapes, as long as its share of the border
// drawn smoothly through it.
type crack struct {
	x2, y2 int32 // its middle, in half pixels
	a, b   int32 // the shape to the left or above, and to the right or below
	stands bool  // it is upright, else level
	length float64
}

// tracer follows borders.
type tracer struct {
	corners []corner
	lines   []line
	fine    []piece // the borders as straight pieces, near the pixels
	coarse  []piece // the same with wider tolerance, for directions
	cracks  []crack
}

// Ways from a lattice point; the opposite of a way lies two bits on.
const (
	up = 1 << iota
	right
	down
	left
	ways  = up | right | down | left
	joint = 16 // a line ends here
)

// trace finds the lines of a map, those that end in joints first, in raster order
// of their first points.
func (t *tracer) trace(m imageproc.Labels) {
	w1 := m.W + 1
	at := make([]uint8, w1*(m.H+1))
	for y := range m.H {
		row, above := m.Row(y), m.Row(max(0, y-1))
		here, below := at[y*w1:(y+1)*w1], at[(y+1)*w1:(y+2)*w1]
		for x, id := range row {
			if x > 0 && row[x-1] != id {
				here[x] |= down
				below[x] |= up
			}
			if above[x] != id { // row 0 is its own above
				here[x] |= right
				here[x+1] |= left
			}
		}
	}
	var ends []int
	for i, v := range at {
		if v != 0 && bits.OnesCount8(v) != 2 {
			at[i] |= joint
			ends = append(ends, i)
		}
	}
	f := follower{m: m, w1: w1, at: at, t: t}
	for _, i := range ends {
		for at[i]&ways != 0 {
			f.follow(i, false)
		}
	}
	for i, v := range at {
		if v&ways != 0 && at[i]&ways != 0 {
			f.follow(i, true)
		}
	}
}

// follower walks along the sides that are left.
type follower struct {
	m  imageproc.Labels
	w1 int
	at []uint8
	t  *tracer
}

// follow adds the line that begins at a lattice point.
func (f *follower) follow(i int, closed bool) {
	t, from := f.t, len(f.t.corners)
	way := f.at[i] & -f.at[i] & ways
	a, b := f.beside(i, way)
	start, last, along := i, uint8(0), int32(0)
	for {
		if way != last {
			t.corners = append(t.corners, corner{int32(i % f.w1), int32(i / f.w1), along})
			last = way
		}
		f.at[i] &^= way
		i += f.step(way)
		along++
		back := way << 2
		if back > left {
			back >>= 4
		}
		f.at[i] &^= back
		if f.at[i]&joint != 0 || i == start {
			break
		}
		way = f.at[i] & ways
	}
	t.corners = append(t.corners, corner{int32(i % f.w1), int32(i / f.w1), along})
	t.lines = append(t.lines, line{from: from, to: len(t.corners), a: a, b: b, closed: closed})
}

func (f *follower) step(way uint8) int {
	switch way {
	case up:
		return -f.w1
	case right:
		return 1
	case down:
		return f.w1
	}
	return -1
}

// beside returns the shapes on the two sides of the pixel side that leads from a
// lattice point that way: above and below, or left and right of it.
func (f *follower) beside(i int, way uint8) (a, b int32) {
	x, y := i%f.w1, i/f.w1
	switch way {
	case up:
		y--
	case left:
		x--
	}
	if way == up || way == down {
		return f.m.At(x-1, y), f.m.At(x, y)
	}
	return f.m.At(x, y-1), f.m.At(x, y)
}

// pair is two shapes that touch, a < b, and how long their border is in pixels.
type pair struct {
	a, b   int32
	length float64
}

// findPairs gathers what the shapes share of borders, and lays out the cracks.
func (t *tracer) findPairs(m imageproc.Labels) []pair {
	total := 0
	for _, l := range t.lines {
		total += int(t.corners[l.to-1].along)
	}
	t.cracks = make([]crack, 0, total)
	var pairs []pair
	for _, p := range t.fine {
		l := t.lines[p.line]
		pairs = append(pairs, pair{min(l.a, l.b), max(l.a, l.b), p.length})
		t.layCracks(m, p)
	}
	slices.SortFunc(pairs, func(p, q pair) int {
		if p.a != q.a {
			return int(p.a - q.a)
		}
		return int(p.b - q.b)
	})
	out := pairs[:0]
	for _, p := range pairs {
		if n := len(out); n > 0 && out[n-1].a == p.a && out[n-1].b == p.b {
			out[n-1].length += p.length
		} else {
			out = append(out, p)
		}
	}
	return out
}

// layCracks adds the pixel sides of a piece.
func (t *tracer) layCracks(m imageproc.Labels, p piece) {
	n := t.corners[p.to].along - t.corners[p.from].along
	each := p.length / float64(n)
	for i := p.from; i < p.to; i++ {
		c, d := t.corners[i], t.corners[i+1]
		if c.x == d.x {
			for y := min(c.y, d.y); y < max(c.y, d.y); y++ {
				t.cracks = append(t.cracks, crack{2 * c.x, 2*y + 1, m.At(int(c.x)-1, int(y)), m.At(int(c.x), int(y)), true, each})
			}
			continue
		}
		for x := min(c.x, d.x); x < max(c.x, d.x); x++ {
			t.cracks = append(t.cracks, crack{2*x + 1, 2 * c.y, m.At(int(x), int(c.y)-1), m.At(int(x), int(c.y)), false, each})
		}
	}
}

// touch reports whether two shapes share a border.
func touch(pairs []pair, a, b int32) bool {
	_, ok := slices.BinarySearchFunc(pairs, pair{a: min(a, b), b: max(a, b)}, func(p, q pair) int {
		if p.a != q.a {
			return int(p.a - q.a)
		}
		return int(p.b - q.b)
	})
	return ok
}
