package tone

import "math"

// An axis is halved in one of two ways. Evenly: each new sample lies midway
// between two old ones. Oddly: it lies on every other old one. An even number of
// samples is halved evenly, so that the mirrored edges stay edges. An odd number
// has a sample in its middle: it is halved oddly about that one, and the row is
// from there on kept with a mirrored margin on both sides, since its edges fall
// between the samples. Both ways are symmetric about the middle of the picture,
// so a mirrored picture gives the mirrored result.
//
// The samples are weighed by rows of Pascal's triangle (B-splines): 5 or 6
// throws, and 3 or 4 where so much blur is still to come that the shorter one
// shows as little.

// spline is a row of Pascal's triangle for one way of halving.
type spline struct {
	throws float64
	odd    bool
	// down weighs the pairs of samples at the same distance from the new one,
	// nearest first; the middle sample of an odd row is the first pair, with
	// itself.
	down []float32
	// The doubling back. Even: the weights of the coarse samples around a fine
	// one, nearest first. Odd: on is for a fine sample on a coarse one (as down),
	// mid for one between two.
	even, on, mid []float32
}

var (
	even3 = spline{throws: 3, down: []float32{3. / 8, 1. / 8}, even: []float32{3. / 4, 1. / 4}}
	even5 = spline{throws: 5, down: []float32{10. / 32, 5. / 32, 1. / 32}, even: []float32{10. / 16, 5. / 16, 1. / 16}}
	odd4  = spline{
		throws: 4, odd: true, down: []float32{3. / 16, 4. / 16, 1. / 16},
		on: []float32{3. / 8, 1. / 8}, mid: []float32{1. / 2},
	}
	odd6 = spline{
		throws: 6, odd: true, down: []float32{10. / 64, 15. / 64, 6. / 64, 1. / 64},
		on: []float32{10. / 32, 6. / 32}, mid: []float32{15. / 32, 1. / 32},
	}
)

// shortFrom is the sigma, in samples of the coarser level, from which the
// shorter splines do.
// Source: ours (TestBlurErrorEverySigma).
const shortFrom = 3.7

// Least sigma left to the coarsest level, in its samples: less would be faster
// and let the grid show. The first halving shows it most. An odd one must not
// show it at all at the edges, or the mean light would change.
// Source: ours (TestBlurErrorEverySigma, TestBlurKeepsTheMean).
const (
	leastFirst = 1.6
	leastSigma = 1.25
)

// halving tells how one level of an axis leads to the next.
type halving struct {
	n      int     // samples kept at this level, margins included
	by     *spline // nil at the coarsest level
	origin int     // the old sample that the first new one lies on (odd) or just right of (even)
	lo, hi int     // samples that the doubling back has to give at this level
}

// axis is the plan of one axis: levels, and the kernel of the coarsest level.
type axis struct {
	levels []halving // the last one is the coarsest
	wide   []float64
	kernel []float32
}

// spent is what is left of a Gaussian after some halvings and doublings: its
// variance and the fourth and sixth cumulants that the splines have to be paid
// back, in pixels of the picture.
type spent struct{ v, k4, k6, scale float64 }

// pick returns the spline for halving n samples, and what remains after it and
// its doubling. One throw, of half a sample to either side, has the cumulants
// 1/4, -1/8, 1/4.
func (s spent) pick(odd bool) (*spline, spent) {
	by, short := &even5, &even3
	if odd {
		by, short = &odd6, &odd4
	}
	if left := s.after(short); left.v >= shortFrom*shortFrom*left.scale*left.scale {
		return short, left
	}
	return by, s.after(by)
}

func (s spent) after(by *spline) spent {
	q := s.scale * s.scale
	t := 2 * by.throws
	return spent{s.v - float64(t/4*q), s.k4 + float64(t/8*q*q), s.k6 - float64(t/4*q*q*q), 2 * s.scale}
}

// depth returns how often a stretch of n samples may be halved.
func depth(n int, sigma float64) int {
	s := spent{v: sigma * sigma, scale: 1}
	odd := false
	for l := 0; ; l++ {
		odd = odd || n%2 == 1
		least := leastSigma
		if l == 0 || odd {
			least = leastFirst
		}
		_, s = s.pick(odd)
		if s.v < least*least*s.scale*s.scale {
			return l
		}
		n /= 2
	}
}

// plan works out the axis of n samples for sigma, halved deep times.
func (a *axis) plan(n int, sigma float64, deep int) {
	a.levels, a.wide, a.kernel = a.levels[:0], a.wide[:0], a.kernel[:0]
	s := spent{v: sigma * sigma, scale: 1}
	odd := false
	lo, hi := 0, n
	for range deep {
		first := !odd && n%2 == 1
		odd = odd || first
		h := halving{n: n, lo: lo, hi: hi}
		side := (n/2 + 1) / 2
		if first {
			side = (n/2 + margin(math.Sqrt(s.v)/s.scale) + 1) / 2
		}
		h.by, s = s.pick(odd)
		if odd {
			h.origin = n/2 - 2*side
			n = 2*side + 1
			lo = max((lo-h.origin)>>1-1, 0)
			hi = min((hi-1-h.origin)>>1+3, n)
		} else {
			n /= 2
			lo, hi = 0, n
		}
		a.levels = append(a.levels, h)
	}
	a.levels = append(a.levels, halving{n: n, lo: lo, hi: hi})
	q := s.scale * s.scale
	radii := reach
	if deep > 0 {
		radii = coarseReach
	}
	a.wide = gaussian(a.wide, math.Sqrt(s.v/q), s.k4/(q*q), s.k6/(q*q*q), radii)
	a.kernel = rounded(a.kernel, a.wide)
}

// margin is how many mirrored samples outside the edge can change a result
// inside by more than the precision of a plane (5.5 sigma: 2e-8 of the light).
func margin(sigma float64) int { return int(math.Ceil(5.5*sigma)) + 4 }
