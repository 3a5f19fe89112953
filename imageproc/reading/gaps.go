package reading

import (
	"cmp"
	"math"
	"slices"
)

// narrow is a narrow place between two parts a < c.
type narrow struct {
	a, c  int32
	width float64 // pixels between them
	at    spot
	// How far apart, in pixels along one axis, the places lie at which one part
	// sees the other within the limit.
	extent float64
}

// sight is what one part sees of another across a gap, along an axis or straight
// between two axes.
type sight struct {
	a, c   int32
	off    int32 // how far apart the nearest sides of the pixels lie, squared
	x2, y2 int32 // the middle between the two pixels, half pixels
}

// maxNarrow bounds how many narrow places are measured out.
const maxNarrow = 40

// gapsOf returns the places where two parts come within 1 % of the long side
// without touching, one a pair, narrowest first. part is the part of each shape,
// -1 for what may lie between. Each is first seen along an axis or a diagonal,
// then measured out exactly around there: the width is that of the nearest pixels
// within a window about the narrowest sight, so it is never too small.
func (s *scene) gapsOf(part []int32, may func(part int32) bool) []narrow {
	limit := almost * s.long
	far := int(math.Ceil(limit * math.Sqrt2))
	var seen []sight
	for _, c := range s.cracks {
		pa, pb := part[c.a], part[c.b]
		if (pa >= 0) == (pb >= 0) {
			continue
		}
		way := 1 // towards what is no part
		if pb >= 0 {
			pa, way = pb, -1
		}
		if !may(pa) {
			continue
		}
		s.look(c, way, far, func(at int) bool { return part[s.d.Map.Pix[at]] < 0 }, func(at int, t sight) {
			if to := part[s.d.Map.Pix[at]]; to >= 0 && to != pa && may(to) {
				t.a, t.c = min(pa, to), max(pa, to)
				seen = append(seen, t)
			}
		})
	}
	return s.narrowest(seen, part, limit, far)
}

// look looks from the pixel on one side of a crack over the crack, straight and
// along both diagonals, as long as between holds of the pixels met and up to far
// pixels, and reports the pixel at which it does not.
func (s *scene) look(c crack, way, far int, between func(at int) bool, found func(at int, t sight)) {
	// The pixel to look from is the one behind the crack.
	x, y := int(c.x2)/2, int(c.y2)/2
	if way > 0 {
		if c.stands {
			x--
		} else {
			y--
		}
	}
	for across := -1; across <= 1; across++ {
		dx, dy, reach := way, across, far
		if !c.stands {
			dx, dy = across, way
		}
		if across != 0 {
			reach = int(float64(far) / math.Sqrt2)
		}
		px, py := x, y
		for n := 0; n <= reach; n++ {
			px, py = px+dx, py+dy
			if px < 0 || py < 0 || px >= s.w || py >= s.h {
				break
			}
			if at := py*s.w + px; !between(at) {
				found(at, sight{off: int32(n * n * (1 + across*across)), x2: int32(x + px + 1), y2: int32(y + py + 1)})
				break
			}
		}
	}
}

// narrowest sorts sights by pair and measures each pair's narrowest place.
func (s *scene) narrowest(seen []sight, part []int32, limit float64, far int) []narrow {
	slices.SortFunc(seen, func(p, q sight) int {
		return cmp.Or(cmp.Compare(p.a, q.a), cmp.Compare(p.c, q.c), cmp.Compare(p.off, q.off))
	})
	var first []narrow
	for i := 0; i < len(seen); {
		j, least := i, seen[i].off
		x, y, ties := 0.0, 0.0, 0.0
		x0, x1, y0, y1 := seen[i].x2, seen[i].x2, seen[i].y2, seen[i].y2
		for ; j < len(seen) && seen[j].a == seen[i].a && seen[j].c == seen[i].c; j++ {
			t := seen[j]
			if float64(t.off) <= limit*limit {
				x0, x1, y0, y1 = min(x0, t.x2), max(x1, t.x2), min(y0, t.y2), max(y1, t.y2)
			}
			if t.off == least {
				x, y, ties = x+float64(t.x2), y+float64(t.y2), ties+1
			}
		}
		// Of equally narrow sights the one nearest to the middle of them.
		x, y = x/ties, y/ties
		best, near := seen[i], math.Inf(1)
		for _, t := range seen[i:j] {
			if d := math.Hypot(float64(t.x2)-x, float64(t.y2)-y); t.off == least && d < near-1e-9 {
				best, near = t, d
			}
		}
		first = append(first, narrow{
			a: best.a, c: best.c, width: math.Sqrt(float64(least)), at: spot{float64(best.x2) / 2, float64(best.y2) / 2},
			extent: float64(max(x1-x0, y1-y0)) / 2,
		})
		i = j
	}
	byWidth := func(p, q narrow) int { return cmp.Compare(p.width, q.width) }
	slices.SortStableFunc(first, byWidth)
	first = first[:min(maxNarrow, len(first))]
	out := first[:0]
	for _, g := range first {
		if g = s.measured(g, part, far); g.width <= limit {
			out = append(out, g)
		}
	}
	slices.SortStableFunc(out, byWidth)
	return out
}

// measured finds the nearest pixels of the two parts around a narrow place; the
// place is the middle of all the nearest.
func (s *scene) measured(g narrow, part []int32, far int) narrow {
	cx, cy := int(g.at.x), int(g.at.y)
	var as, cs []spot
	for y := max(0, cy-far); y <= min(s.h-1, cy+far); y++ {
		for x := max(0, cx-far); x <= min(s.w-1, cx+far); x++ {
			switch p := part[s.d.Map.Pix[y*s.w+x]]; {
			case p == g.a && s.rim(x, y, part):
				as = append(as, spot{float64(x), float64(y)})
			case p == g.c && s.rim(x, y, part):
				cs = append(cs, spot{float64(x), float64(y)})
			}
		}
	}
	least, sum, ties := math.Inf(1), spot{}, 0.0
	for _, p := range as {
		for _, q := range cs {
			dx, dy := max(math.Abs(p.x-q.x)-1, 0), max(math.Abs(p.y-q.y)-1, 0)
			d := float64(dx*dx) + float64(dy*dy)
			if d < least {
				least, sum, ties = d, spot{}, 0
			}
			if d == least {
				sum, ties = spot{sum.x + p.x + q.x + 1, sum.y + p.y + q.y + 1}, ties+1
			}
		}
	}
	if ties > 0 {
		g.width, g.at = math.Sqrt(least), spot{sum.x / 2 / ties, sum.y / 2 / ties}
	}
	return g
}

// rim reports whether a neighbour of the pixel is of another part.
func (s *scene) rim(x, y int, part []int32) bool {
	i := y*s.w + x
	p := part[s.d.Map.Pix[i]]
	other := func(ok bool, j int) bool { return ok && part[s.d.Map.Pix[j]] != p }
	return other(x > 0, i-1) || other(x+1 < s.w, i+1) || other(y > 0, i-s.w) || other(y+1 < s.h, i+s.w)
}
