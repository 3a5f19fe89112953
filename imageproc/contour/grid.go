package contour

import "math"

// flatness is how near the polylines that are checked lie to the curves, pieceLong
// how long their lines are at most, clearance how far lines keep from each other:
// more than twice the flatness, so that the curves themselves cannot meet.
const (
	flatness  = 0.05
	pieceLong = 12
	clearance = 0.15
	nearEnd   = 3.0 // pixels from where they part, from which lines keep clear
	cellSize  = 8
)

// flatten sets the border's polyline.
func (b *border) flatten() {
	b.flat, b.place = b.flat[:0], b.place[:0]
	from := 0.0
	if b.closed && len(b.segments) > 0 {
		from = b.begin
	}
	for i := range b.segments {
		s := &b.segments[i]
		if i == 0 {
			b.flat, b.place = append(b.flat, s.From), append(b.place, from)
		}
		n := s.pieces(flatness)
		if s.Straight {
			n = max(1, int(math.Ceil(distance(s.From, s.To)/pieceLong)))
		}
		for k := 1; k <= n; k++ {
			t := float64(k) / float64(n)
			p := s.To
			if k < n {
				p = s.At(t)
			}
			b.flat, b.place = append(b.flat, p), append(b.place, from+float64(t*(b.reach[i]-from)))
		}
		from = b.reach[i]
	}
}

// piece is one line of a border's polyline.
type piece struct{ border, at int32 }

// grid finds pieces by place.
type grid struct {
	w, h   int
	pieces []piece
	start  []int32
	items  []int32
}

func (g *grid) cell(v float64, n int) int {
	return min(max(int(math.Floor(v/cellSize)), 0), n-1)
}

// cells visits the cells that the bounds of a piece touch, grown by the clearance.
func (g *grid) cells(a, b Point, visit func(cell int)) {
	x0, x1 := g.cell(min(a.X, b.X)-clearance, g.w), g.cell(max(a.X, b.X)+clearance, g.w)
	y0, y1 := g.cell(min(a.Y, b.Y)-clearance, g.h), g.cell(max(a.Y, b.Y)+clearance, g.h)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			visit(y*g.w + x)
		}
	}
}

func (g *grid) fill(borders []*border, w, h int) {
	g.w, g.h = w/cellSize+1, h/cellSize+1
	g.pieces = g.pieces[:0]
	for i, b := range borders {
		for k := range len(b.flat) - 1 {
			g.pieces = append(g.pieces, piece{int32(i), int32(k)})
		}
	}
	g.start = make([]int32, g.w*g.h+1)
	ends := func(p piece) (Point, Point) {
		f := borders[p.border].flat
		return f[p.at], f[p.at+1]
	}
	for _, p := range g.pieces {
		a, b := ends(p)
		g.cells(a, b, func(c int) { g.start[c+1]++ })
	}
	for c := range g.w * g.h {
		g.start[c+1] += g.start[c]
	}
	g.items = make([]int32, g.start[g.w*g.h])
	at := append([]int32(nil), g.start...)
	for i, p := range g.pieces {
		a, b := ends(p)
		g.cells(a, b, func(c int) {
			g.items[at[c]] = int32(i)
			at[c]++
		})
	}
}

// clash tells whether two pieces cross, touch or come too near each other.
func (w *work) clash(p, q piece) bool {
	a, b := w.borders[p.border], w.borders[q.border]
	a0, a1, b0, b1 := a.flat[p.at], a.flat[p.at+1], b.flat[q.at], b.flat[q.at+1]
	gap := clearance
	if max(a0.X, a1.X)+gap < min(b0.X, b1.X) || max(b0.X, b1.X)+gap < min(a0.X, a1.X) ||
		max(a0.Y, a1.Y)+gap < min(b0.Y, b1.Y) || max(b0.Y, b1.Y)+gap < min(a0.Y, a1.Y) {
		return false
	}
	if p.border == q.border {
		d, last := q.at-p.at, int32(len(a.flat)-2)
		switch {
		case d == 1:
			return folds(a1, a0, b1)
		case d == -1:
			return folds(b1, b0, a1)
		case a.closed && p.at == 0 && q.at == last:
			return folds(a0, a1, b0)
		case a.closed && q.at == 0 && p.at == last:
			return folds(b0, b1, a0)
		}
		if a.alongApart(a.place[p.at], a.place[p.at+1], a.place[q.at], a.place[q.at+1]) < nearEnd {
			return crosses(a0, a1, b0, b1)
		}
	}
	if !a.closed && !b.closed {
		for _, x := range a.ends(p.at) {
			for _, y := range b.ends(q.at) {
				if x.joint != y.joint || x.far > nearEnd || y.far > nearEnd || x.joint < 0 {
					continue
				}
				if p.border == q.border && x.start == y.start {
					continue
				}
				if x.first && y.first {
					o := w.joints[x.joint].at
					return folds(o, other(o, a0, a1), other(o, b0, b1))
				}
				return crosses(a0, a1, b0, b1)
			}
		}
	}
	return crosses(a0, a1, b0, b1) ||
		min(toSegment(a0, b0, b1), toSegment(a1, b0, b1), toSegment(b0, a0, a1), toSegment(b1, a0, a1)) < gap
}

// nearness is how far a piece is from an end of its border.
type nearness struct {
	joint int
	start bool
	first bool // the piece ends there
	far   float64
}

func (b *border) ends(at int32) [2]nearness {
	last := len(b.flat) - 2
	return [2]nearness{
		{b.from, true, at == 0, b.place[at]},
		{b.to, false, int(at) == last, b.length() - b.place[at+1]},
	}
}

// alongApart returns how far two stretches are apart along the border.
func (b *border) alongApart(s0, s1, t0, t1 float64) float64 {
	if s0 > t0 {
		s0, s1, t0, t1 = t0, t1, s0, s1
	}
	d := t0 - s1
	if b.closed {
		d = min(d, s0+b.length()-t1)
	}
	return d
}

func other(o, a, b Point) Point {
	if a == o {
		return b
	}
	return a
}

// folds tells whether the lines from o to a and to b all but coincide.
func folds(o, a, b Point) bool {
	u, v := minus(a, o), minus(b, o)
	return dot(u, v) > 0 && math.Abs(cross(u, v)) < 0.03*length(u)*length(v)
}

// crosses tells whether two lines have a point in common.
func crosses(a, b, c, d Point) bool {
	side := func(p, q, r Point) float64 { return cross(minus(q, p), minus(r, p)) }
	s1, s2, s3, s4 := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if s1 == 0 && s2 == 0 {
		return max(min(a.X, b.X), min(c.X, d.X)) <= min(max(a.X, b.X), max(c.X, d.X)) &&
			max(min(a.Y, b.Y), min(c.Y, d.Y)) <= min(max(a.Y, b.Y), max(c.Y, d.Y))
	}
	return s1*s2 <= 0 && s3*s4 <= 0
}
