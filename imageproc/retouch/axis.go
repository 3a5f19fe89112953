package retouch

import "math"

// axis says how one axis is carried: what lies at from comes to lie at to, and
// what lies s away from it, scale*s away from there, on the other side if
// mirrored.
type axis struct {
	from, to, scale float64
	mirror          bool
}

func (a axis) sign() float64 {
	if a.mirror {
		return -1
	}
	return 1
}

// reach returns the pixels, of 0..size-1, that lo..hi may touch where it lands:
// first and one past the last. The range is empty (hi <= lo) if it misses.
func (a axis) reach(lo, hi, size int) (int, int) {
	p := a.to + float64(a.sign()*a.scale*(float64(lo)-a.from))
	q := a.to + float64(a.sign()*a.scale*(float64(hi)-a.from))
	// Half a pixel of the filter on either side, of the source or of the picture.
	margin := max(a.scale, 1)/2 + .5
	first := min(max(math.Floor(min(p, q)-margin), 0), float64(size))
	last := min(max(math.Ceil(max(p, q)+margin), 0), float64(size))
	return int(first), int(last)
}

// span is the samples that one pixel takes along an axis: n samples from first
// on, with the weights from at on. Weights of samples outside the box are left
// out and not made up for: they are not covered.
type span struct{ first, n, at int }

// snap is how near to a pixel's border, in pixels, the ends of an area are taken
// for it, so that a shift worked out in fractions copies exactly.
const snap = 1e-6

// spans appends the spans of the pixels t0..t1-1, within the box lo..hi of the
// source. A pixel takes the area that it stands for, at least one pixel wide
// (which is bilinear interpolation).
func (c *carry) spans(out []span, a axis, t0, t1, lo, hi int) []span {
	wide := max(1/a.scale, 1)
	for t := t0; t < t1; t++ {
		mid := a.from + float64(a.sign()*(float64(t)+.5-a.to)/a.scale)
		x0, x1 := snapped(mid-wide/2), snapped(mid+wide/2)
		first := int(max(math.Floor(x0), float64(lo)))
		end := int(min(math.Ceil(x1), float64(hi)))
		s := span{first: first - lo, at: len(c.weights)}
		for x := first; x < end; x++ {
			part := min(x1, float64(x+1)) - max(x0, float64(x))
			c.weights = append(c.weights, float32(part/wide))
			s.n++
		}
		if s.n == 0 {
			s.first = 0
		}
		out = append(out, s)
	}
	return out
}

func snapped(x float64) float64 {
	if r := math.Round(x); math.Abs(x-r) < snap {
		return r
	}
	return x
}
