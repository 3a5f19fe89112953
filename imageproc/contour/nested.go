package contour

import "math"

// misplaced returns the borders that lie on the wrong side of another: a small
// shape that a smoothed border has passed over. Borders that hang together at
// joints cannot part, so it is enough to look from the leftmost point of each such
// group to the left: the nearest border there must have on its near side the
// region that surrounds the group.
func (w *work) misplaced() []stretch {
	group := make([]int, len(w.joints))
	for i := range group {
		group[i] = i
	}
	root := func(i int) int {
		for group[i] != i {
			group[i] = group[group[i]]
			i = group[i]
		}
		return i
	}
	for _, b := range w.borders {
		if !b.closed {
			r, s := root(b.from), root(b.to)
			group[max(r, s)] = min(r, s)
		}
	}
	of := func(i int) int {
		if b := w.borders[i]; !b.closed {
			return root(b.from)
		}
		return len(w.joints) + i
	}
	leftmost := make([]Point, len(w.joints)+len(w.borders))
	which := make([]int, len(leftmost))
	for i := range leftmost {
		leftmost[i].X, which[i] = math.Inf(1), -1
	}
	for i, b := range w.borders {
		g := of(i)
		for _, p := range b.flat {
			if p.X < leftmost[g].X {
				leftmost[g], which[g] = p, i
			}
		}
	}
	var bad []stretch
	for g, i := range which {
		if i < 0 || leftmost[g].X <= 0 {
			continue
		}
		around := w.around(func(i int) bool { return of(i) == g })
		q, facing := w.leftOf(leftmost[g])
		if facing == around {
			continue
		}
		bad = append(bad, stretch{i, 0, w.borders[i].length()})
		if q.border >= 0 {
			b := w.borders[q.border]
			bad = append(bad, stretch{int(q.border), b.place[q.at], b.place[q.at+1]})
		}
	}
	return bad
}

// around returns the region that surrounds a group of borders: the pixel left of
// its leftmost upright side.
func (w *work) around(in func(i int) bool) int {
	x, y := math.Inf(1), 0.0
	for i, b := range w.borders {
		if !in(i) {
			continue
		}
		for k := 1; k < len(b.at); k++ {
			if p, q := b.at[k-1], b.at[k]; p.X == q.X && p.X < x {
				x, y = p.X, min(p.Y, q.Y)
			}
		}
	}
	if x == 0 {
		return Outside
	}
	return int(w.labels.At(int(x)-1, int(y)))
}

// leftOf returns the nearest piece straight left of p and the region on its right.
func (w *work) leftOf(p Point) (piece, int) {
	g := &w.grid
	found, facing, nearest := piece{-1, -1}, Outside, math.Inf(-1)
	row := g.cell(p.Y, g.h)
	for cx := g.cell(p.X, g.w); cx >= 0; cx-- {
		if found.border >= 0 && nearest >= float64((cx+1)*cellSize) {
			break
		}
		c := row*g.w + cx
		for _, i := range g.items[g.start[c]:g.start[c+1]] {
			q := g.pieces[i]
			b := w.borders[q.border]
			u, v := b.flat[q.at], b.flat[q.at+1]
			if (u.Y <= p.Y) == (v.Y <= p.Y) {
				continue
			}
			x := u.X + float64((p.Y-u.Y)*(v.X-u.X))/(v.Y-u.Y)
			if x >= p.X || x <= nearest {
				continue
			}
			found, nearest, facing = q, x, b.left
			if v.Y < u.Y {
				facing = b.right
			}
		}
	}
	return found, facing
}
