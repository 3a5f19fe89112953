package contour

import "math"

// drawnStraight returns, for each corner, the last one such that the border
// between is a straight line drawn in pixels: the steps that a line of some slope
// makes. Source: Debled-Rennesson and Reveillès 1995, "A linear algorithm for
// segmentation of digital curves", for lines of steps along pixel sides.
func (b *border) drawnStraight() []int32 {
	n := len(b.at)
	far := make([]int32, n)
	for i := range far {
		far[i] = b.drawnFrom(i)
	}
	return far
}

func (b *border) drawnFrom(i int) int32 {
	n := len(b.at)
	if i+2 >= n {
		return int32(n - 1)
	}
	// Steps are counted along the first two ways that the border takes: it keeps to
	// these if it is straight.
	u, v := unit(minus(b.at[i+1], b.at[i])), unit(minus(b.at[i+2], b.at[i+1]))
	var d drawnLine
	for j := i; j+1 < n; j++ {
		way := minus(b.at[j+1], b.at[j])
		du, dv := int(math.Round(dot(way, u))), int(math.Round(dot(way, v)))
		if du < 0 || dv < 0 {
			return int32(j)
		}
		for range du {
			if !d.step(1, 0) {
				return int32(max(j, i+1))
			}
		}
		for range dv {
			if !d.step(0, 1) {
				return int32(max(j, i+1))
			}
		}
	}
	return int32(n - 1)
}

// drawnLine is the line of least numbers that a row of steps follows: the points
// with low <= a*x - b*y < low + a + b; it keeps the first and last points that
// touch it from above and from below.
type drawnLine struct {
	x, y, a, b, low        int
	aboveX, aboveY         int
	lastAboveX, lastAboveY int
	belowX, belowY         int
	lastBelowX, lastBelowY int
	begun                  bool
}

// step goes on one pixel side; false if no line takes it.
func (d *drawnLine) step(dx, dy int) bool {
	x, y := d.x+dx, d.y+dy
	if !d.begun {
		d.begun = true
		d.a, d.b, d.low = dy, dx, 0
		d.x, d.y = x, y
		d.lastAboveX, d.lastAboveY, d.lastBelowX, d.lastBelowY = x, y, x, y
		return true
	}
	r := d.a*x - d.b*y
	thick := d.a + d.b
	switch {
	case r < d.low-1 || r > d.low+thick:
		return false
	case r == d.low-1:
		d.lastAboveX, d.lastAboveY = x, y
		d.belowX, d.belowY = d.lastBelowX, d.lastBelowY
		d.a, d.b = y-d.aboveY, x-d.aboveX
		d.low = d.a*x - d.b*y
	case r == d.low+thick:
		d.lastBelowX, d.lastBelowY = x, y
		d.aboveX, d.aboveY = d.lastAboveX, d.lastAboveY
		d.a, d.b = y-d.belowY, x-d.belowX
		d.low = d.a*x - d.b*y - d.a - d.b + 1
	default:
		if r == d.low {
			d.lastAboveX, d.lastAboveY = x, y
		}
		if r == d.low+thick-1 {
			d.lastBelowX, d.lastBelowY = x, y
		}
	}
	d.x, d.y = x, y
	return true
}
