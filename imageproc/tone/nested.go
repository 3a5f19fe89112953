package tone

import (
	"fmt"
	"slices"

	"atelier/halflid/palette"
)

// Nested returns k-1 cuts of which all but one are the cuts of k-1 values: light
// and shadow part first, with the one cut of least error; each further value
// comes out of the one whose best division takes away the most error. So a
// lighter and a darker dark come out of the dark, and more values never move the
// cuts there are. It costs some error against LeastError with three values or
// more (TestNestedCost: on twelve pictures 1.13
// times in the mean, 1.43 at most). Ties go to the
// darker value. With fewer than k different lightnesses the cuts left over are
// as in LeastError. Cuts strictly increase. It panics if k is less than 1.
// Source: ours; hierarchical division of a histogram.
func Nested(h Histogram, k int) []palette.L {
	if k < 1 {
		panic(fmt.Sprintf("tone: nested cuts for %d values", k))
	}
	values, weights, at := h.filled()
	cuts := make([]palette.L, 0, k-1)
	for _, i := range nest(values, weights, k) {
		cuts = append(cuts, h.between(at[i-1], at[i]))
	}
	for len(cuts) < k-1 {
		cuts = halveWidest(cuts)
	}
	return cuts
}

// nest returns the first index of each run but the lowest when sorted weighted
// values are divided into k runs, one best division after the other; fewer if
// there are fewer different values.
func nest(values, weights []float64, k int) []int {
	bounds := []int{0, len(values)}
	for len(bounds) < k+1 {
		best, gain := 0, 0.0
		for i := range len(bounds) - 1 {
			lo, hi := bounds[i], bounds[i+1]
			first, after := KMeans(values[lo:hi], weights[lo:hi], 2)
			if len(first) == 0 {
				continue
			}
			if g := spreadOf(values, weights, lo, hi) - after; g > gain {
				best, gain = lo+first[0], g
			}
		}
		if best == 0 {
			break
		}
		bounds = append(bounds, best)
		slices.Sort(bounds)
	}
	return bounds[1 : len(bounds)-1]
}
