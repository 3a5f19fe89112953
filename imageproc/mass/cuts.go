package mass

// bins is how finely lightness is counted.
const bins = 128

// counts is how much of the picture has which lightness, in 128 bins of L*.
type counts [bins]float64

// binOf returns the bin of lightness v.
func binOf(v float64) int { return min(bins-1, max(0, int(v*(bins/100.)))) }

// binMiddle returns the lightness in the middle of bin i.
func binMiddle(i int) float64 { return (float64(i) + .5) * (100. / bins) }

// countMasses counts the masses of four cuts of the tree at their mean
// lightness; the weight area^.75 keeps one huge sky from taking all the values.
// Four cuts at once make the counts steady. Each is scaled to area.
//
// Source: ours.
func countMasses(t *tree, s *regionSums, area float64) *counts {
	var h counts
	for _, limit := range cutCosts {
		region, n := t.cut(t.joinsBelow(limit))
		masses := s.gather(region, n)
		var one counts
		total := 0.0
		for i, a := range masses.area {
			w := pow34(a)
			one[binOf(masses.mean(int32(i)))] += w
			total += w
		}
		for i, v := range one {
			h[i] += float64(v * (area / total))
		}
	}
	return &h
}

// moments are the counts of a run of bins: how much, its sum, its square sum.
type moments struct{ n, x, xx float64 }

func (m moments) plus(o moments) moments { return moments{m.n + o.n, m.x + o.x, m.xx + o.xx} }
func (m moments) less(o moments) moments { return moments{m.n - o.n, m.x - o.x, m.xx - o.xx} }

// spread returns the sum of squared distances from the mean.
func (m moments) spread() float64 {
	if m.n <= 0 {
		return 0
	}
	return max(0, m.xx-float64(m.x*m.x)/m.n)
}

// running returns the moments below each bin.
func (h *counts) running() *[bins + 1]moments {
	var sum [bins + 1]moments
	for i, n := range h {
		x := binMiddle(i)
		sum[i+1] = sum[i].plus(moments{n, float64(n * x), float64(float64(n*x) * x)})
	}
	return &sum
}

// leastError returns the first bins of the k classes of h (fewer if h has fewer
// filled bins) with the least sum of squared distances from their means; ties:
// the lowest cuts.
//
// Source: exact by dynamic programming over the cuts, as Fisher 1958, J. Am.
// Stat. Assoc. 53; Liao, Chen, Chung 2001.
func (h *counts) leastError(k int) []int {
	filled := 0
	for _, n := range h {
		if n > 0 {
			filled++
		}
	}
	k = max(1, min(k, filled))
	sum := h.running()
	var cost [bins + 1]float64 // of the bins below, in the classes so far
	for i := range cost {
		cost[i] = sum[i].spread()
	}
	from := make([][bins + 1]int, k)
	for c := 1; c < k; c++ {
		var next [bins + 1]float64
		for i := c + 1; i <= bins; i++ {
			best, at := -1.0, 0
			for j := c; j < i; j++ {
				if v := cost[j] + sum[i].less(sum[j]).spread(); best < 0 || v < best {
					best, at = v, j
				}
			}
			next[i], from[c][i] = best, at
		}
		cost = next
	}
	starts := make([]int, k)
	for c, i := k-1, bins; c > 0; c-- {
		i = from[c][i]
		starts[c] = i
	}
	return starts
}

// classOf returns which of the classes that begin at starts bin i lies in.
func classOf(starts []int, i int) int32 {
	c := len(starts) - 1
	for starts[c] > i {
		c--
	}
	return int32(c)
}
