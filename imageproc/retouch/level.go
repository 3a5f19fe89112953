package retouch

// level is a coarser copy of a grid's equations. Each cell stands for up to 2x2
// cells of the finer one, and its equation is
//
//	(hold + sum of edges) u = f + sum of edge times neighbour's u
//
// where an edge is how well two cells conduct, and hold how well the cell
// conducts to held pixels, whose correction u is zero. A ring of one cell lies
// around.
type level struct {
	w, h, stride int
	east, south  []float32 // edge to the right and below; 0 if there is none
	inv          []float32 // 1 / (hold + sum of edges); 0 in a cell without any
}

// holds is how well a cell conducts to held pixels to the left, right, above
// and below.
type holds [4]float32

// building is the scratch memory in which the levels are built.
type building struct {
	hold   [2][]holds
	shuts  []int32
	closed []bool
}

// coarsen builds the levels. Two edges side by side conduct together and two in
// a row half as well, so an edge of a coarse cell is half the sum of the fine
// edges across its side. To held pixels the way between the coarse middle and
// the fine one, half a step, comes on top of the way from the fine one, or is
// saved if the held pixels lie behind the coarse middle: exact along a straight
// border at every level, wherever in its cell the border lies.
// Source: finite volumes on cells joined by fours, Wesseling 1992, An
// Introduction to Multigrid Methods, chapter 5 (from memory); the rules for
// held pixels and closed cells are ours, see TestCyclesAreFew.
func (g *grid) coarsen() {
	n := 0
	for w, h := g.w, g.h; w > 1 || h > 1 || n == 0; n++ {
		w, h = (w+1)/2, (h+1)/2
		if n == len(g.level) {
			g.level = append(g.level, level{})
		}
		g.level[n].size(w, h)
	}
	g.level = g.level[:n]
	cells := len(g.level[0].inv)
	hold, next := sized(g.hold[0], cells), sized(g.hold[1], cells)
	g.hold = [2][]holds{hold, next}
	g.closed = sized(g.closed, cells)
	clear(g.closed)
	g.first(hold)
	for i := range g.level {
		l := &g.level[i]
		g.close(l, hold)
		l.invert(hold)
		if i+1 < n {
			g.gather(&g.level[i+1], l, next, hold)
			hold, next = next, hold
		}
	}
}

func (l *level) size(w, h int) {
	l.w, l.h, l.stride = w, h, w+2
	n := l.stride * (h + 2)
	l.east, l.south, l.inv = sized(l.east, n), sized(l.south, n), sized(l.inv, n)
	clear(l.east)
	clear(l.south)
	clear(l.inv)
}

// first fills level 0 from the pixels, and how its cells are held.
func (g *grid) first(hold []holds) {
	l := &g.level[0]
	clear(hold)
	for y := range g.h {
		row := (y/2 + 1) * l.stride
		below := .5 * float32(y&1)
		for _, r := range g.runs[g.rows[y]:g.rows[y+1]] {
			for x := int(r.x0); x < int(r.x1); x++ {
				i := (y+1)*g.stride + x + 1
				j := row + x/2 + 1
				sides := [4]uint8{g.kind[i-1], g.kind[i+1], g.kind[i-g.stride], g.kind[i+g.stride]}
				if sides == [4]uint8{open, open, open, open} {
					l.east[j] += .5 * float32(x&1)
					l.south[j] += below
					continue
				}
				if sides[1] == open && x&1 == 1 {
					l.east[j] += .5
				}
				if sides[3] == open {
					l.south[j] += below
				}
				var child holds
				for s, k := range sides {
					if k == held {
						child[s] = 1
					}
				}
				g.join(hold, j, child, x&1, y&1)
			}
		}
	}
}

// gather fills l and hold from the finer level f.
func (g *grid) gather(l, f *level, hold, fine []holds) {
	clear(hold[:len(l.inv)])
	for y := range f.h {
		for x := range f.w {
			i := (y+1)*f.stride + x + 1
			j := (y/2+1)*l.stride + x/2 + 1
			if x&1 == 1 {
				l.east[j] += f.east[i] / 2
			}
			if y&1 == 1 {
				l.south[j] += f.south[i] / 2
			}
			if fine[i] != (holds{}) {
				g.join(hold, j, fine[i], x&1, y&1)
			}
		}
	}
}

func (l *level) invert(hold []holds) {
	for y := 1; y <= l.h; y++ {
		for x := 1; x <= l.w; x++ {
			i := y*l.stride + x
			h := &hold[i]
			sum := h[0] + h[1] + h[2] + h[3] + (l.east[i] + l.east[i-1]) + (l.south[i] + l.south[i-l.stride])
			if sum > 0 {
				l.inv[i] = 1 / sum
			}
		}
	}
}

// edge is the edge of cell i on a side: left, right, above, below.
func (l *level) edge(i, side int) *float32 {
	switch side {
	case 0:
		return &l.east[i-1]
	case 1:
		return &l.east[i]
	case 2:
		return &l.south[i-l.stride]
	}
	return &l.south[i]
}
