package tone

import (
	"errors"
	"fmt"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// ErrCuts is wrapped by what CheckCuts returns.
var ErrCuts = errors.New("cuts between the values")

// LeastError returns the k-1 cuts that keep the most of the picture: each pixel
// painted in the mean lightness of its value, the sum of squared errors in L* is
// the least there is (to the sixteenth of L* that pixels are counted in). A cut
// lies midway in the gap between the lightest of the lower value and the darkest
// of the upper. Ties: as in KMeans, the uppermost cut as low as can be. With
// fewer than k different lightnesses (a flat photo) the cuts left over halve the
// widest stretches of 0..100 and part nothing. Cuts strictly increase. It panics
// if k is less than 1.
// Source: see KMeans.
func LeastError(h Histogram, k int) []palette.L {
	if k < 1 {
		panic(fmt.Sprintf("tone: least error with %d values", k))
	}
	values, weights, at := h.filled()
	first, _ := KMeans(values, weights, k)
	cuts := make([]palette.L, 0, k-1)
	for _, i := range first {
		cuts = append(cuts, h.between(at[i-1], at[i]))
	}
	for len(cuts) < k-1 {
		cuts = halveWidest(cuts)
	}
	return cuts
}

// halveWidest adds a cut in the middle of the widest stretch (the lowest of
// equals), on a limit between bins.
func halveWidest(cuts []palette.L) []palette.L {
	wide, at, cut := palette.L(-1), 0, palette.L(0)
	last := palette.L(0)
	for i := range len(cuts) + 1 {
		next := palette.L(100)
		if i < len(cuts) {
			next = cuts[i]
		}
		if next-last > wide {
			wide, at = next-last, i
			cut = palette.L(math.Floor(float64(last+next)/2*binsPerL) / binsPerL)
		}
		last = next
	}
	cuts = append(cuts, 0)
	copy(cuts[at+1:], cuts[at:])
	cuts[at] = cut
	return cuts
}

// EqualSteps returns the k-1 cuts that part the Munsell value scale, from black
// 0 to white 10, into k equal steps. They are the same for every photo: a
// high-key photo leaves the dark values empty, as it should when the scale of
// the paint is the measure. It panics if k is less than 1.
// Source: ASTM D1535 for the scale.
func EqualSteps(k int) []palette.L {
	if k < 1 {
		panic(fmt.Sprintf("tone: equal steps with %d values", k))
	}
	cuts := make([]palette.L, k-1)
	for i := range cuts {
		cuts[i] = palette.Value(10 * float64(i+1) / float64(k)).L()
	}
	return cuts
}

// CheckCuts returns nil if cuts can part a picture into k values: k-1 of them,
// each above black and no lighter than white, each lighter than the one before.
// Otherwise the error wraps ErrCuts and says which is wrong, in Munsell value.
func CheckCuts(cuts []palette.L, k int) error {
	if len(cuts) != k-1 {
		return fmt.Errorf("%w: %d values need %d cuts, not %d", ErrCuts, k, k-1, len(cuts))
	}
	for i, c := range cuts {
		switch {
		case !(c > 0 && c <= 100):
			return fmt.Errorf("%w: cut %d is at %s; choose one above black (0) and up to white (10)", ErrCuts, i+1, inValue(c))
		case i > 0 && !(c > cuts[i-1]):
			return fmt.Errorf("%w: cut %d at %s is not lighter than cut %d at %s; give them from dark to light", ErrCuts, i+1, inValue(c), i, inValue(cuts[i-1]))
		}
	}
	return nil
}

// inValue writes a lightness as the painter reads it.
func inValue(l palette.L) string {
	if !(l >= 0 && l <= 100) {
		return "no value of the scale"
	}
	return fmt.Sprintf("value %.2f", float64(l.Value()))
}

// Classify labels each pixel of l with its value, 0 the darkest: the number of
// cuts that it is not darker than. cuts must increase. NaN is labelled 0. dst
// and l have the same size, or it panics.
func Classify(dst imageproc.Labels, l imageproc.Plane[palette.L], cuts []palette.L) {
	if dst.Size() != l.Size() {
		panic(fmt.Sprintf("tone: classify %v into %v", l.Size(), dst.Size()))
	}
	in := l.Pix
	out := dst.Pix[:len(in)]
	if len(cuts) > 4 {
		classifyMany(out, in, cuts)
		return
	}
	c := [4]float32{}
	for i := range c {
		c[i] = float32(math.Inf(1))
		if i < len(cuts) {
			c[i] = above(cuts[i])
		}
	}
	c0, c1, c2, c3 := c[0], c[1], c[2], c[3]
	for i, v := range in {
		out[i] = one(v >= c0) + one(v >= c1) + one(v >= c2) + one(v >= c3)
	}
}

// above returns the least float32 that is not darker than cut.
func above(cut palette.L) float32 {
	c := float32(cut)
	if float64(c) < float64(cut) {
		c = math.Nextafter32(c, float32(math.Inf(1)))
	}
	return c
}

// one is compiled without a branch.
func one(b bool) int32 {
	if b {
		return 1
	}
	return 0
}

func classifyMany(out []int32, in []float32, cuts []palette.L) {
	for i, v := range in {
		n := int32(0)
		for _, c := range cuts {
			n += one(float64(v) >= float64(c))
		}
		out[i] = n
	}
}

// Shares returns the part of the picture that carries each of k values, summing
// to 1; all 0 for an empty picture. Labels outside 0..k-1 panic.
func Shares(labels imageproc.Labels, k int) []float64 {
	count := make([]int, k)
	for _, v := range labels.Pix {
		count[v]++
	}
	out := make([]float64, k)
	for i, n := range count {
		if n > 0 {
			out[i] = float64(n) / float64(len(labels.Pix))
		}
	}
	return out
}
