package tone

import (
	"fmt"
	"math"
)

// KMeans parts sorted weighted values into k runs with the least sum of squared
// distances from the means of the runs, exactly. It returns the index of the
// first value of each run but the lowest, and that sum. values must not
// decrease, weights must be positive, k at least 1; it panics otherwise. Equal
// values are never parted; with fewer than k different values there are as many
// runs as values.
//
// Ties: the uppermost run starts as low as can be, then the one below it, and so
// on. Sums that differ by less than 1e-12 of the whole spread count as equal.
//
// Cost O(k n log n) for n different values, memory O(k n).
// Source: Wang and Song 2011, R Journal 3(2) 29-33 (the dynamic programme);
// the same optimum as Otsu 1979, IEEE Trans. SMC 9(1) 62-66, and Liao, Chen,
// Chung 2001, J. Inf. Sci. Eng. 17(5) 713-727. That the best last run starts no
// earlier for more values (and so may be searched by halves): Grønlund et al.
// 2017, arXiv 1701.07204.
func KMeans(values, weights []float64, k int) (first []int, sse float64) {
	if len(values) != len(weights) || k < 1 {
		panic(fmt.Sprintf("tone: KMeans of %d values with %d weights into %d", len(values), len(weights), k))
	}
	atoms := distinct(values, weights)
	if k = min(k, len(atoms)); k == 0 {
		return nil, 0
	}
	s := newSplitter(atoms, k)
	starts := s.starts(k)
	bounds := append(append([]int{0}, starts...), len(atoms))
	for c := range k {
		sse += spreadOf(values, weights, atoms[bounds[c]].at, endOf(atoms, bounds[c+1], len(values)))
	}
	for i := range starts {
		first = append(first, atoms[starts[i]].at)
	}
	return first, sse
}

// atom is one value with all its weight; at is its first index.
type atom struct {
	v, w float64
	at   int
}

func distinct(values, weights []float64) []atom {
	atoms := make([]atom, 0, len(values))
	for i, v := range values {
		if !(weights[i] > 0) || math.IsInf(v, 0) || math.IsNaN(v) {
			panic(fmt.Sprintf("tone: KMeans of value %g with weight %g", v, weights[i]))
		}
		switch n := len(atoms); {
		case n > 0 && v == atoms[n-1].v:
			atoms[n-1].w += weights[i]
		case n > 0 && v < atoms[n-1].v:
			panic("tone: KMeans of values that are not sorted")
		default:
			atoms = append(atoms, atom{v, weights[i], i})
		}
	}
	return atoms
}

func endOf(atoms []atom, i, n int) int {
	if i < len(atoms) {
		return atoms[i].at
	}
	return n
}

// spreadOf returns the weighted sum of squared distances from the mean of
// values[from:to].
func spreadOf(values, weights []float64, from, to int) float64 {
	w, sum := 0.0, 0.0
	for i := from; i < to; i++ {
		w += weights[i]
		sum += float64(weights[i] * values[i])
	}
	mean, sse := sum/w, 0.0
	for i := from; i < to; i++ {
		d := values[i] - mean
		sse += float64(weights[i] * float64(d*d))
	}
	return sse
}

// splitter is the dynamic programme: best[c][i] is the least sum for the first i
// atoms in c+1 runs.
type splitter struct {
	sums []sums
	best [][]float64
	tie  float64
}

// sums are the weight, the weighted sum and the weighted square of the atoms
// before one.
type sums struct{ w, s, q float64 }

func newSplitter(atoms []atom, k int) *splitter {
	n := len(atoms)
	p := &splitter{sums: make([]sums, n+1), best: make([][]float64, k)}
	w, sum := 0.0, 0.0
	for _, a := range atoms {
		w += a.w
		sum += float64(a.w * a.v)
	}
	// Distances are taken from near the mean, lest the squares swallow the
	// differences; from a whole number, lest whole numbers lose their exactness.
	centre := math.Round(sum / w)
	for i, a := range atoms {
		d := a.v - centre
		t := float64(a.w * d)
		last := p.sums[i]
		p.sums[i+1] = sums{last.w + a.w, last.s + t, last.q + float64(t*d)}
	}
	p.tie = 1e-12 * p.cost(0, n)
	flat := make([]float64, k*(n+1))
	for c := range p.best {
		p.best[c] = flat[c*(n+1) : (c+1)*(n+1)]
	}
	for i := 1; i <= n; i++ {
		p.best[0][i] = p.cost(0, i)
	}
	for c := 1; c < k; c++ {
		p.fill(c, c+1, n, c, n-1)
	}
	return p
}

// cost returns the sum of squares of atoms from..to-1 about their mean.
func (p *splitter) cost(from, to int) float64 {
	a, b := &p.sums[from], &p.sums[to]
	s := b.s - a.s
	return max(0, b.q-a.q-float64(s*s)/(b.w-a.w))
}

// fill works out best[c][lo..hi], whose last runs start in from..to.
func (p *splitter) fill(c, lo, hi, from, to int) {
	for lo <= hi {
		mid := (lo + hi) / 2
		least, at := math.Inf(1), from
		before := p.best[c-1]
		for j := from; j <= min(to, mid-1); j++ {
			if v := before[j] + p.cost(j, mid); v < least {
				least, at = v, j
			}
		}
		p.best[c][mid] = least
		p.fill(c, lo, mid-1, from, at)
		lo, from = mid+1, at
	}
}

// starts walks back from all atoms in k runs.
func (p *splitter) starts(k int) []int {
	out := make([]int, k-1)
	end := len(p.sums) - 1
	for c := k - 1; c > 0; c-- {
		j := c
		for p.best[c-1][j]+p.cost(j, end) > p.best[c][end]+p.tie {
			j++
		}
		out[c-1], end = j, j
	}
	return out
}
