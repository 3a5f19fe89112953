package contour

import "math"

// stretch is part of a border, from one place along it to another.
type stretch struct {
	border   int
	from, to float64
}

// Rounds after which what fails goes straight to the pixels, and after which the
// whole border does.
const (
	patience     = 3
	lastPatience = 8
)

// retreat finds what fails a check and has it drawn closer to the pixels: stale
// says which borders. It reports whether there are any.
func (w *work) retreat(stale []bool, round int) bool {
	var bad []stretch
	for i, b := range w.borders {
		bad = append(bad, w.strays(i, b)...)
	}
	w.grid.fill(w.borders, w.w, w.h)
	bad = append(bad, w.clashes()...)
	if len(bad) == 0 {
		bad = w.misplaced()
	}
	bad = append(bad, w.areas()...)
	again := false
	for _, s := range bad {
		if w.tighten(s, round) {
			stale[s.border], again = true, true
		}
	}
	return again
}

// tighten brings the corners of a stretch, and those beside it, one step nearer
// to the pixels; if they are there already, those a little farther off. It
// reports whether it could.
func (w *work) tighten(s stretch, round int) bool {
	b := w.borders[s.border]
	if b.edge {
		return false
	}
	n := len(b.at)
	lo, hi := b.corner(b.wrapped(s.from)), b.corner(b.wrapped(s.to))+1
	count := hi - lo
	if count < 1 {
		count += n
	}
	if round >= lastPatience || s.to-s.from >= b.length() {
		lo, count = 0, n-1
	}
	for grow := 1; ; grow *= 2 {
		done := false
		for k := lo; k <= lo+count; k++ {
			i := k
			if b.closed {
				i = ((k % (n - 1)) + n - 1) % (n - 1)
			}
			if i < 0 || i >= n || b.level[i] == asPixels {
				continue
			}
			b.level[i]++
			if round >= patience {
				b.level[i] = asPixels
			}
			done = true
		}
		if b.closed {
			b.level[n-1] = b.level[0]
		}
		if done || count > n {
			return done
		}
		lo, count = lo-grow, count+2*grow
	}
}

func (b *border) wrapped(s float64) float64 {
	if total := b.length(); b.closed && s > total {
		return math.Mod(s, total)
	}
	return min(max(s, 0), b.length())
}

// clashes returns where polylines cross or come too near.
func (w *work) clashes() []stretch {
	var bad []stretch
	g := &w.grid
	for c := range g.w * g.h {
		items := g.items[g.start[c]:g.start[c+1]]
		for i, x := range items {
			for _, y := range items[:i] {
				p, q := g.pieces[x], g.pieces[y]
				if !w.clash(p, q) {
					continue
				}
				for _, r := range [2]piece{p, q} {
					b := w.borders[r.border]
					bad = append(bad, stretch{int(r.border), b.place[r.at], b.place[r.at+1]})
				}
			}
		}
	}
	return bad
}

// strays returns where a border's polyline is farther than the tolerance from
// the pixel sides, or these from it.
func (w *work) strays(i int, b *border) []stretch {
	if b.edge {
		return nil
	}
	var bad []stretch
	for k, p := range b.flat {
		s := b.wrapped(b.place[k])
		c := b.corner(s)
		limit := max(b.limit[c], b.limit[c+1]) - flatness
		if limit >= 1 && w.onPixels(p, b, c) {
			continue
		}
		if b.far(p, s, 2*max(limit, 0)+nearEnd) > max(limit, 1e-9) {
			bad = append(bad, stretch{i, b.place[k], b.place[k]})
		}
	}
	k := 0
	for c, p := range b.at {
		s := b.along[c]
		if s < b.place[0] {
			s += b.length()
		}
		if b.closed {
			k = 0
		}
		for k+2 < len(b.flat) && b.place[k+1] < s {
			k++
		}
		limit := b.limit[c] - flatness
		if !b.within(p, k, max(limit, 1e-9)) {
			bad = append(bad, stretch{i, b.along[c], b.along[c]})
		}
	}
	return bad
}

// onPixels tells at a glance that p is within a pixel of the side after corner c.
func (w *work) onPixels(p Point, b *border, c int) bool {
	return toSegment(p, b.at[c], b.at[c+1]) < 0.95
}

// far returns how far p is from the pixel sides within reach along the border of
// place s.
func (b *border) far(p Point, s, reach float64) float64 {
	n := len(b.at) - 1
	c := b.corner(s)
	least := math.Inf(1)
	forwards, backwards := b.along[c]-s, s-b.along[c]
	for step := range n {
		k, l := c+step, c-1-step
		if b.closed {
			k, l = k%n, (l+n)%n
		}
		if forwards <= reach && k < n {
			least = min(least, toSegment(p, b.at[k], b.at[k+1]))
			forwards += b.along[k+1] - b.along[k]
		}
		if backwards <= reach && l >= 0 {
			least = min(least, toSegment(p, b.at[l], b.at[l+1]))
			backwards += b.along[l+1] - b.along[l]
		}
		if forwards > reach && backwards > reach {
			break
		}
	}
	return least
}

// within tells whether p is within limit of the polyline near its line k.
func (b *border) within(p Point, k int, limit float64) bool {
	n := len(b.flat) - 1
	for off := 0; off <= n/2+1 && off < 24; off++ {
		for _, i := range [2]int{k - off, k + off} {
			if b.closed {
				i = ((i % n) + n) % n
			}
			if i >= 0 && i < n && toSegment(p, b.flat[i], b.flat[i+1]) <= limit {
				return true
			}
		}
	}
	return false
}

// The parts of a region's area that lines may differ by: of those that are more
// than smallRegion of the picture, and of smaller ones, which may be a pixel out.
const (
	smallRegion = 0.002
	largeArea   = 0.01
	smallArea   = 0.03
)

// areas returns the borders whose lines give a region another area than its
// pixels, and notes all areas.
func (w *work) areas() []stretch {
	o := Point{float64(w.w) / 2, float64(w.h) / 2}
	off := make([]float64, len(w.borders))
	area := make([]float64, len(w.regions))
	for i, b := range w.borders {
		swept := 0.0
		for k := range b.segments {
			swept += b.segments[k].sweep(o)
		}
		if b.right != Outside {
			area[b.right] += swept
		}
		if b.left != Outside {
			area[b.left] -= swept
		}
		n := len(b.at) - 1
		off[i] = math.Abs(swept - b.sums[n].area - cross(minus(b.at[0], o), minus(b.at[n], o))/2)
	}
	failed := make([]bool, len(w.regions))
	some := false
	for r := range w.regions {
		region := &w.regions[r]
		region.Area = area[r]
		allowed := largeArea * float64(region.Pixels)
		if float64(region.Pixels) < smallRegion*float64(w.w*w.h) {
			allowed = max(1, smallArea*float64(region.Pixels))
		}
		failed[r] = math.Abs(area[r]-float64(region.Pixels)) > 0.95*allowed
		some = some || failed[r]
	}
	if !some {
		return nil
	}
	worst := make([]float64, len(w.regions))
	each := func(visit func(i, r int)) {
		for i, b := range w.borders {
			if b.edge || b.allPixels() {
				continue
			}
			for _, r := range [2]int{b.left, b.right} {
				if failed[r] {
					visit(i, r)
				}
			}
		}
	}
	each(func(i, r int) { worst[r] = max(worst[r], off[i]) })
	var bad []stretch
	each(func(i, r int) {
		if off[i] >= worst[r]/2 {
			bad = append(bad, stretch{i, 0, w.borders[i].length()})
		}
	})
	return bad
}

func (b *border) allPixels() bool {
	for _, l := range b.level {
		if l != asPixels {
			return false
		}
	}
	return true
}
