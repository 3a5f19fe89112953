package retouch

// twiceBelow is the level below which every level is gone through twice (a
// W-cycle): a tenth more work, and the change shrinks to .19 a cycle instead of
// .31 on a box of 1000x1000.
const twiceBelow = 1

// cycle makes s one cycle better, with one relaxation on the way down and one
// up. The first is to be the full one, which begins at the coarsest level. It
// returns the largest correction that a pixel took from the levels.
// Source: Briggs, Henson & McCormick 2000, A Multigrid Tutorial, chapter 3
// (from memory); interpolation of cells, bilinear 9 3 3 1, Wesseling 1992.
func (s *sheet) cycle(g *grid, full bool) float32 {
	s.relax(g)
	s.restrict(g)
	if full {
		s.full(g)
	} else {
		clear(s.fix[0].u)
		s.descend(g, 0)
	}
	most := s.correct(g)
	s.relax(g)
	return most
}

// full solves level 0 from nothing, the coarsest level first.
func (s *sheet) full(g *grid) {
	last := len(g.level) - 1
	for k := range last {
		g.level[k].sum(&g.level[k+1], s.fix[k+1].f, s.fix[k].f)
	}
	clear(s.fix[last].u)
	s.descend(g, last)
	for k := last - 1; k >= 0; k-- {
		clear(s.fix[k].u)
		s.ascend(g, k)
		s.descend(g, k)
	}
}

// descend is a cycle on level k. The last level, one cell, is solved.
func (s *sheet) descend(g *grid, k int) {
	l, v := &g.level[k], s.fix[k]
	l.relax(v)
	if k == len(g.level)-1 {
		return
	}
	l.restrict(&g.level[k+1], s.fix[k+1].f, v)
	clear(s.fix[k+1].u)
	s.descend(g, k+1)
	if k >= twiceBelow {
		s.descend(g, k+1)
	}
	s.ascend(g, k)
	l.relax(v)
}

// ascend adds the correction of level k+1 to level k.
func (s *sheet) ascend(g *grid, k int) {
	l, c := &g.level[k], &g.level[k+1]
	from, to := s.fix[k+1].u, s.fix[k].u
	g.mirrorRing(c, from)
	for y := range l.h {
		blend(s.line, from, c.stride, y)
		row := to[(y+1)*l.stride+1:][:l.w]
		addRun(row, s.line, 0)
		for x, v := range l.inv[(y+1)*l.stride+1:][:l.w] {
			if v == 0 {
				row[x] = 0
			}
		}
	}
}

// relax is sheet.relax on a level.
func (l *level) relax(v layer) {
	for colour := range 2 {
		for y := range l.h {
			x := (y + colour) & 1
			if x >= l.w {
				continue
			}
			i, n := (y+1)*l.stride+x+1, l.w-x
			u, f, inv := v.u[i-1:][:n+2], v.f[i:][:n], l.inv[i:][:n]
			up, down := v.u[i-l.stride:][:n], v.u[i+l.stride:][:n]
			north, south, edge := l.south[i-l.stride:][:n], l.south[i:][:n], l.east[i-1:][:n+1]
			for x := 0; x < n; x += 2 {
				sum := f[x] + (float32(edge[x]*u[x]) + float32(edge[x+1]*u[x+2])) +
					(float32(north[x]*up[x]) + float32(south[x]*down[x]))
				u[x+1] = sum * inv[x]
			}
		}
	}
}

// restrict fills f of the level to with what l's equations miss, added up by
// cells. The odd cells miss nothing.
func (l *level) restrict(to *level, f []float32, v layer) {
	clear(f)
	for y := range l.h {
		x := y & 1
		if x >= l.w {
			continue
		}
		i, n := (y+1)*l.stride+x+1, l.w-x
		u, rhs, inv := v.u[i-1:][:n+2], v.f[i:][:n], l.inv[i:][:n]
		up, down := v.u[i-l.stride:][:n], v.u[i+l.stride:][:n]
		north, south, edge := l.south[i-l.stride:][:n], l.south[i:][:n], l.east[i-1:][:n+1]
		out := f[(y/2+1)*to.stride+1:][:(n+1)/2]
		for k := range out {
			x := 2 * k
			if inv[x] == 0 {
				continue
			}
			sum := rhs[x] + (float32(edge[x]*u[x]) + float32(edge[x+1]*u[x+2])) +
				(float32(north[x]*up[x]) + float32(south[x]*down[x]))
			out[k] += sum - u[x+1]/inv[x]
		}
	}
}

// sum fills f of the level to with fine of level l, added up by cells.
func (l *level) sum(to *level, f, fine []float32) {
	clear(f)
	for y := range l.h {
		out := f[(y/2+1)*to.stride+1:]
		for x, v := range fine[(y+1)*l.stride+1:][:l.w] {
			out[x/2] += v
		}
	}
}

// mirrorRing fills the ring around a level's correction: with its neighbours
// where the picture ends, with zero where pixels are held.
func (g *grid) mirrorRing(l *level, u []float32) {
	left, right, top, bottom := g.ends()
	last := l.h * l.stride
	for x := range l.stride {
		u[x], u[last+l.stride+x] = 0, 0
		if top {
			u[x] = u[l.stride+x]
		}
		if bottom {
			u[last+l.stride+x] = u[last+x]
		}
	}
	for y := range l.h + 2 {
		row := u[y*l.stride:][:l.stride]
		row[0], row[l.w+1] = 0, 0
		if left {
			row[0] = row[1]
		}
		if right {
			row[l.w+1] = row[l.w]
		}
	}
}

// blend fills line with the two rows of a level that row y of the finer one
// lies between, 3 to 1.
func blend(line, fix []float32, stride, y int) {
	near := fix[(y/2+1)*stride:][:stride]
	other := y / 2
	if y&1 == 1 {
		other += 2
	}
	far := fix[other*stride:][:stride]
	line = line[:stride]
	for x := range line {
		line[x] = float32(.75*near[x]) + float32(.25*far[x])
	}
}

// addRun adds to the columns from x of out what line, twice as coarse and with
// one cell before the first, has there.
func addRun(out, line []float32, x int) {
	if x&1 == 1 && x < len(out) {
		out[x] += float32(.75*line[x/2+1]) + float32(.25*line[x/2+2])
		x++
	}
	if pairs := (len(out) - x) / 2; pairs > 0 {
		to, from := out[x:x+2*pairs], line[x/2:][:pairs+2]
		a, b := from[0], from[1]
		for k := range pairs {
			c := from[k+2]
			to[2*k] += float32(.75*b) + float32(.25*a)
			to[2*k+1] += float32(.75*b) + float32(.25*c)
			a, b = b, c
		}
		x += 2 * pairs
	}
	if x < len(out) {
		out[x] += float32(.75*line[x/2+1]) + float32(.25*line[x/2])
	}
}
