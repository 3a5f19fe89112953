package retouch

// sheet is the light of one plane on a grid, and on each level what corrects it.
type sheet struct {
	u    []float32 // on the pixels, ring included
	fix  []layer
	line []float32 // one row of a level, blended from two
}

// layer holds the two sides of a level's equations.
type layer struct{ u, f []float32 }

func (s *sheet) size(g *grid) {
	s.u = sized(s.u, len(g.kind))
	for len(s.fix) < len(g.level) {
		s.fix = append(s.fix, layer{})
	}
	for i := range g.level {
		n := len(g.level[i].inv)
		s.fix[i].u, s.fix[i].f = sized(s.fix[i].u, n), sized(s.fix[i].f, n)
	}
	s.line = sized(s.line, g.level[0].stride)
}

// relax sets every open pixel to the mean of its neighbours, first those of the
// even colour of a chequerboard (x+y even), then the odd ones.
// Source: red-black Gauss-Seidel, Briggs, Henson & McCormick 2000, A Multigrid
// Tutorial, chapter 2 (from memory).
func (s *sheet) relax(g *grid) {
	for colour := range 2 {
		for y := range g.h {
			s.relaxRow(g, y, colour)
		}
	}
}

func (s *sheet) relaxRow(g *grid, y, colour int) {
	u, st := s.u, g.stride
	base, inner := (y+1)*st+1, g.inner(y)
	for _, r := range g.runs[g.rows[y]:g.rows[y+1]] {
		x, end := int(r.x0), int(r.x1)
		x += (x + y + colour) & 1
		if inner {
			if x == 0 {
				s.relaxEdge(g, base)
				x += 2
			}
			if stop := min(end, g.w-1); x < stop {
				relaxRun(u[base+x-1:base+stop+1], u[base+x-st:base+stop-st], u[base+x+st:base+stop+st])
				x += (stop - x + 1) &^ 1
			}
		}
		for ; x < end; x += 2 {
			s.relaxEdge(g, base+x)
		}
	}
}

// relaxRun relaxes every other pixel from mid[1] on; up and down begin there.
func relaxRun(mid, up, down []float32) {
	n := len(up)
	mid, down = mid[:n+2], down[:n]
	left := mid[0]
	for x := 0; x < n; x += 2 {
		right := mid[x+2]
		mid[x+1] = ((left + right) + (up[x] + down[x])) * .25
		left = right
	}
}

// relaxEdge relaxes pixel i, some of whose neighbours may lie outside the
// picture: nothing flows there, so they do not count.
func (s *sheet) relaxEdge(g *grid, i int) {
	sum, n := s.around(g, i)
	s.u[i] = sum / n
}

// around returns the sum of the neighbours of pixel i that lie in the picture,
// and how many they are.
func (s *sheet) around(g *grid, i int) (sum, n float32) {
	for _, j := range [4]int{i - 1, i + 1, i - g.stride, i + g.stride} {
		if g.kind[j] != nowhere {
			sum += s.u[j]
			n++
		}
	}
	return sum, n
}

// restrict fills f of level 0 with what the equations of the pixels miss, added
// up by cells. The odd pixels miss nothing: they were relaxed last.
func (s *sheet) restrict(g *grid) {
	u, st := s.u, g.stride
	l, f := &g.level[0], s.fix[0].f
	clear(f)
	for y := range g.h {
		base, inner := (y+1)*st+1, g.inner(y)
		out := f[(y/2+1)*l.stride+1:]
		for _, r := range g.runs[g.rows[y]:g.rows[y+1]] {
			x, end := int(r.x0), int(r.x1)
			x += (x + y) & 1
			if inner {
				if x == 0 {
					out[0] += s.missing(g, base)
					x += 2
				}
				if stop := min(end, g.w-1); x < stop {
					restrictRun(out[x/2:], u[base+x-1:base+stop+1], u[base+x-st:base+stop-st], u[base+x+st:base+stop+st])
					x += (stop - x + 1) &^ 1
				}
			}
			for ; x < end; x += 2 {
				out[x/2] += s.missing(g, base+x)
			}
		}
	}
}

func (s *sheet) missing(g *grid, i int) float32 {
	sum, n := s.around(g, i)
	return sum - float32(n*s.u[i])
}

func restrictRun(out, mid, up, down []float32) {
	n := len(up)
	mid, down = mid[:n+2], down[:n]
	out = out[:(n+1)/2]
	left := mid[0]
	for k := range out {
		x := 2 * k
		right := mid[x+2]
		out[k] += ((left + right) + (up[x] + down[x])) - float32(4*mid[x+1])
		left = right
	}
}

// correct adds the correction of level 0 to the open pixels and returns its
// largest size.
func (s *sheet) correct(g *grid) float32 {
	l, fix := &g.level[0], s.fix[0].u
	g.mirrorRing(l, fix)
	for y := range g.h {
		runs := g.runs[g.rows[y]:g.rows[y+1]]
		if len(runs) == 0 {
			continue
		}
		blend(s.line, fix, l.stride, y)
		out := s.u[(y+1)*g.stride+1:]
		for _, r := range runs {
			addRun(out[:r.x1], s.line, int(r.x0))
		}
	}
	most := float32(0)
	for _, v := range fix {
		if v < 0 {
			v = -v
		}
		if v > most {
			most = v
		}
	}
	return most
}
