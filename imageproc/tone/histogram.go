package tone

import (
	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// binsPerL is how finely lightness is counted: sixteenths of L*, a quarter of
// the step that a trained eye sees side by side. A power of two keeps the limits
// between bins exact in a float32.
const binsPerL = 16

const bins = 100*binsPerL + 1 // the last one is for white alone

// bin counts the pixels of a sixteenth of L*.
type bin struct {
	n   int64
	sum float64
}

// Histogram counts the pixels of each lightness, in sixteenths of L*, and keeps
// their sums, so that the mean of any run of bins is exact. The zero Histogram
// is empty. Copies share the counts.
type Histogram struct {
	bins   []bin
	spare  []bin
	n      int64
	square float64 // sum of (L* - 50) squared over all pixels
}

// binOf returns the bin of l; what lies outside 0..100, and NaN, goes to the
// ends.
func binOf(l float32) int {
	if !(l > 0) {
		return 0
	}
	return int(min(l, 100) * binsPerL)
}

// Count replaces the counts by those of l, in memory it keeps. NaN and numbers
// below 0 count as 0, numbers above 100 as 100.
func (h *Histogram) Count(l imageproc.Plane[palette.L]) {
	if h.bins == nil {
		h.bins, h.spare = make([]bin, bins), make([]bin, bins)
	}
	clear(h.bins)
	clear(h.spare)
	// Two tables in turn: neighbouring pixels mostly fall into the same bin, and
	// each would have to wait for the one before.
	a, b := (*[bins]bin)(h.bins), (*[bins]bin)(h.spare)
	pix := l.Pix
	sa, sb := 0.0, 0.0
	for len(pix) >= 2 {
		sa += add(a, pix[0])
		sb += add(b, pix[1])
		pix = pix[2:]
	}
	if len(pix) > 0 {
		sa += add(a, pix[0])
	}
	for i := range a {
		a[i].n += b[i].n
		a[i].sum += b[i].sum
	}
	h.n, h.square = int64(len(l.Pix)), sa+sb
}

// add counts one pixel and returns its square.
func add(t *[bins]bin, l float32) float64 {
	i := binOf(l)
	v := float64(l)
	if !(l > 0) {
		v = 0
	} else if l > 100 {
		v = 100
	}
	t[i].n++
	t[i].sum += v
	return (v - 50) * (v - 50)
}

// Pixels returns how many pixels were counted.
func (h Histogram) Pixels() int { return int(h.n) }

// Mean returns the mean lightness of all pixels, 0 if there are none.
func (h Histogram) Mean() palette.L {
	n, sum := int64(0), 0.0
	for _, b := range h.bins {
		n += b.n
		sum += b.sum
	}
	if n == 0 {
		return 0
	}
	return palette.L(sum / float64(n))
}

// Kept returns how much of the picture's play of lightness stays when each pixel
// takes the mean of its value: 1 less the squared error over the variance, eta
// squared, 0..1. Cuts are as in Classify; a bin belongs where its mean lies, so
// that cuts on sixteenths of L* give the exact figure. A flat or empty picture
// keeps all: 1.
// Source: Otsu 1979, IEEE Trans. SMC 9(1) 62-66, eq. 18 (the measure of
// separability), for any number of classes.
func (h Histogram) Kept(cuts []palette.L) float64 {
	n := make([]float64, len(cuts)+1)
	sum := make([]float64, len(cuts)+1)
	class := 0
	all := 0.0
	for _, b := range h.bins {
		if b.n == 0 {
			continue
		}
		mean := b.sum / float64(b.n)
		for class < len(cuts) && mean >= float64(cuts[class]) {
			class++
		}
		n[class] += float64(b.n)
		sum[class] += b.sum - float64(50*float64(b.n))
		all += b.sum - float64(50*float64(b.n))
	}
	return eta(n, sum, all, h.square)
}

// KeptBy is Histogram.Kept for values that do not follow the cuts, as those of
// flat shapes: pixel i of l takes the mean of its value labels.Pix[i], 0..k-1.
// Source: as Histogram.Kept.
func KeptBy(labels imageproc.Labels, l imageproc.Plane[palette.L], k int) float64 {
	n, sum := make([]float64, k), make([]float64, k)
	all, square := 0.0, 0.0
	for i, v := range l.Pix {
		x := float64(v) - 50
		c := labels.Pix[i]
		n[c]++
		sum[c] += x
		all += x
		square += float64(x * x)
	}
	return eta(n, sum, all, square)
}

// eta returns the share of the variance that lies between classes of n members
// with those sums; all and square are the sum and the sum of squares of all
// members. 1 if nothing varies or there are none.
func eta(n, sum []float64, all, square float64) float64 {
	count := 0.0
	for _, members := range n {
		count += members
	}
	if count == 0 {
		return 1
	}
	total := square - float64(all*all)/count
	if !(total > 1e-9*count) {
		return 1
	}
	between := -float64(all*all) / count
	for c := range n {
		if n[c] > 0 {
			between += float64(sum[c]*sum[c]) / n[c]
		}
	}
	return max(0, min(1, between/total))
}

// filled returns the mean and the count of each bin that has pixels, and which
// bin it is.
func (h Histogram) filled() (means, counts []float64, at []int) {
	means, counts = make([]float64, 0, len(h.bins)), make([]float64, 0, len(h.bins))
	at = make([]int, 0, len(h.bins))
	for i, b := range h.bins {
		if b.n > 0 {
			means = append(means, b.sum/float64(b.n))
			counts = append(counts, float64(b.n))
			at = append(at, i)
		}
	}
	return means, counts, at
}

// between returns the cut midway in the gap between two bins.
func (h Histogram) between(lower, upper int) palette.L {
	return palette.L(float64(lower+1+upper) / (2 * binsPerL))
}
