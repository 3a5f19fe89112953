package outline

import (
	"cmp"
	"slices"

	"atelier/halflid/imageproc"
)

// Trace returns the outlines of what m marks, along the sides of the pixels: for
// each part (pixels that touch along a side) one outline, clockwise on the
// screen, and one ring the other way for each of its holes (what is unmarked
// inside it, pixels that touch at a corner counted as touching). Rings hold only
// the corners, in whole pixels, begin at their topmost, there leftmost, corner
// and come in raster order of it; a ring may touch itself or another at a corner
// but crosses none. Filled again they are m exactly (TestTraceThenFill). Nothing
// marked gives no rings. The rings are the caller's. Source: following the
// border of a binary picture (Rosenfeld 1970), along pixel sides.
func Trace(m imageproc.Mask) []Ring {
	t := tracer{m: m, seen: make([]bool, len(m.Pix))}
	var rings []Ring
	above := make([]bool, m.W) // nothing is marked above the picture
	for y := range m.H {
		row := m.Pix[y*m.W : (y+1)*m.W]
		seen := t.seen[y*m.W : (y+1)*m.W]
		for x, marked := range row {
			if marked && !above[x] && !seen[x] {
				rings = append(rings, t.follow(x, y))
			}
		}
		above = row
	}
	slices.SortFunc(rings, func(a, b Ring) int { return rasterOrder(a[0], b[0]) })
	return rings
}

func rasterOrder(a, b Point) int { return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X)) }

// tracer follows borders. Every ring has a side with a marked pixel below it, so
// remembering those that were passed is enough to find each ring once.
type tracer struct {
	m    imageproc.Mask
	seen []bool // the upper side of this pixel was passed
}

// A heading is a way to walk along pixel sides, the marked pixel to the right.
type heading struct {
	dx, dy     int
	left       [2]int // the pixel ahead to the left, from the corner that is reached
	right      [2]int // the pixel ahead to the right
	upperSides bool   // walks along the upper sides of marked pixels
}

// headings in the order of right turns: right, down, left, up.
var headings = [4]heading{
	{dx: 1, left: [2]int{0, -1}, right: [2]int{0, 0}, upperSides: true},
	{dy: 1, left: [2]int{0, 0}, right: [2]int{-1, 0}},
	{dx: -1, left: [2]int{-1, 0}, right: [2]int{-1, -1}},
	{dy: -1, left: [2]int{-1, -1}, right: [2]int{0, -1}},
}

// follow returns the ring along the upper side of pixel (x0, y0), the first of
// its ring in raster order, which therefore begins with a corner.
func (t *tracer) follow(x0, y0 int) Ring {
	r := Ring{{float64(x0), float64(y0)}}
	x, y, way := x0, y0, 0
	first := 0 // the topmost, leftmost corner so far
	for {
		h := &headings[way]
		if h.upperSides {
			t.seen[y*t.m.W+x] = true
		}
		x, y = x+h.dx, y+h.dy
		turn := 0
		switch {
		case !t.marked(x+h.right[0], y+h.right[1]):
			turn = 1 // pixels that only touch at a corner are not one part
		case t.marked(x+h.left[0], y+h.left[1]):
			turn = 3
		}
		way = (way + turn) & 3
		if x == x0 && y == y0 && way == 0 {
			break
		}
		if turn != 0 {
			p := Point{float64(x), float64(y)}
			if rasterOrder(p, r[first]) < 0 {
				first = len(r)
			}
			r = append(r, p)
		}
	}
	return slices.Concat(r[first:], r[:first])
}

func (t *tracer) marked(x, y int) bool {
	return x >= 0 && y >= 0 && x < t.m.W && y < t.m.H && t.m.Pix[y*t.m.W+x]
}
