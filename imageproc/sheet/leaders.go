package sheet

import (
	"math"

	"atelier/halflid/imageproc/page"
)

// Where a number that stands beside its mass is looked for: directions around it,
// and how far away at most, millimetres.
const (
	directions  = 32
	mostLead    = 26
	leadStep    = 0.8
	lineDislike = 6 // how much farther it may be to keep off a line
)

// lead puts the number of a region that is too small for it beside it: as near as
// it lies in one other mass, on nothing that stands there, its line crossing no
// number. pixel is the region's most inner one.
func (n *numbering) lead(region, pixel int) {
	from := n.middle(pixel)
	size := n.least
	reach := half(size)
	best, found := math.Inf(1), number{}
	start := max(0, n.room(pixel)) + reach + 1
	for r := start; r < start+mostLead && r < best; r += leadStep {
		for k := range directions {
			angle := 2 * math.Pi * (float64(k) + 0.5) / directions
			at := page.Point{X: from.X + r*math.Cos(angle), Y: from.Y + r*math.Sin(angle)}
			i, ok := n.pixelAt(at)
			if !ok || n.room(i) < reach || !n.free(at, reach) || n.crosses(from, at) {
				continue
			}
			cost := r
			for _, l := range n.lines {
				if l.distance(at) < reach {
					cost += lineDislike
					break
				}
			}
			if cost < best {
				on := n.m.Regions[n.regions.Pix[i]].Label
				best = cost
				found = number{value: int(n.m.Regions[region].Label), on: int(on), at: at, size: size, led: true, from: from}
			}
		}
	}
	if !math.IsInf(best, 1) {
		n.put(found)
	}
}

// pixelAt returns the pixel of a place; false outside the picture.
func (n *numbering) pixelAt(at page.Point) (int, bool) {
	x, y := int(math.Floor(at.X/n.w*float64(n.m.W))), int(math.Floor(at.Y/n.h*float64(n.m.H)))
	if x < 0 || y < 0 || x >= n.m.W || y >= n.m.H {
		return 0, false
	}
	return y*n.m.W + x, true
}

// crosses reports whether a line would run through something that stands there,
// or through the line of another number.
func (n *numbering) crosses(a, b page.Point) bool {
	way := aside{a, b}
	for _, r := range n.taken {
		if way.distance(page.Point{X: r.X + r.W/2, Y: r.Y + r.H/2}) < r.W/2 {
			return true
		}
	}
	for _, o := range n.out {
		if o.led && meet(a, b, o.from, o.at) {
			return true
		}
	}
	return false
}

// meet reports whether two lines cross.
func meet(a, b, c, d page.Point) bool {
	side := func(p, q, r page.Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
