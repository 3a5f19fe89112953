package retouch

// near is the least way, in cells, from an open cell's middle to held pixels
// behind it. A cell whose middle lies nearer, or on the far side, is closed.
const near = 1. / 16

// lonely is the way, in cells, that comes on top of each of the four ways to a
// closed cell among open ones: it stands for held pixels half as wide as a cell
// of this level looks to its neighbours. 4 ln 2 / (2 pi), from the conductance
// 2 pi / ln(R/r) between circles.
const lonely = .4413

// join adds what a child of a cell conducts to held pixels, x and y being 0 for
// the left and upper child, and notes cells to be closed.
func (g *grid) join(hold []holds, cell int, child holds, x, y int) {
	for side, c := range child {
		if c == 0 {
			continue
		}
		at := x
		if side >= 2 {
			at = y
		}
		way := 1/c + .5
		if at != side&1 { // the coarse middle lies between
			way = 1/c - .5
		}
		if way < 2*near {
			g.shuts = append(g.shuts, int32(cell))
			way = 2 * near
		}
		hold[cell][side] += 1 / way
	}
}

// close closes the cells of g.shuts: their correction stays zero, and what led
// to them leads to held pixels.
func (g *grid) close(l *level, hold []holds) {
	for _, c := range g.shuts {
		g.closed[c] = true
	}
	steps := [4]int{-1, 1, -l.stride, l.stride}
	for _, c := range g.shuts {
		alone := float32(lonely)
		for _, step := range steps {
			if g.closed[int(c)+step] {
				alone = 0
			}
		}
		for side, step := range steps {
			n, edge := int(c)+step, l.edge(int(c), side)
			if *edge > 0 && !g.closed[n] {
				hold[n][side^1] += 1 / (1 / *edge + alone)
			}
			*edge = 0 // also makes a cell that is noted twice harmless
		}
		hold[c] = holds{}
	}
	for _, c := range g.shuts {
		g.closed[c] = false
	}
	g.shuts = g.shuts[:0]
}
