package mass

import (
	"math"

	"atelier/halflid/imageproc"
)

// Overlap is how two labellings of one picture lie over one another: how many
// pixels each label of the first shares with each of the second.
type Overlap struct {
	total        int
	areaA, areaB []int
	cells        []overlapCell // those not empty, by label of the first
}

type overlapCell struct {
	a, b int32
	n    int
}

// NewOverlap measures the overlap of a and b. It panics if they differ in size.
// Label numbers mean nothing; memory is proportional to the span of the numbers
// used and to the pixels.
func NewOverlap(a, b imageproc.Labels) *Overlap {
	sameSize("Overlap", a, b)
	ra, na := compact(a.Pix)
	rb, nb := compact(b.Pix)
	o := &Overlap{total: len(ra), areaA: make([]int, na), areaB: make([]int, nb)}
	first := make([]int, na+1)
	for i, p := range ra {
		o.areaA[p]++
		o.areaB[rb[i]]++
		first[p+1]++
	}
	for i := range na {
		first[i+1] += first[i]
	}
	sorted, fill := make([]int32, len(ra)), append([]int(nil), first[:na]...)
	for i, p := range ra {
		sorted[fill[p]] = rb[i]
		fill[p]++
	}
	slot := make([]int, nb)
	for a := range na {
		from := len(o.cells)
		for _, b := range sorted[first[a]:first[a+1]] {
			if s := slot[b] - 1; s >= from {
				o.cells[s].n++
				continue
			}
			o.cells = append(o.cells, overlapCell{int32(a), b, 1})
			slot[b] = len(o.cells)
		}
	}
	return o
}

// compact renumbers labels 0.. by size of number.
func compact(pix []int32) ([]int32, int) {
	if len(pix) == 0 {
		return nil, 0
	}
	lo, hi := pix[0], pix[0]
	for _, p := range pix {
		lo, hi = min(lo, p), max(hi, p)
	}
	number := make([]int32, int(hi)-int(lo)+1)
	for _, p := range pix {
		number[p-lo] = 1
	}
	n := int32(0)
	for i, used := range number {
		if used == 1 {
			number[i] = n
			n++
		}
	}
	out := make([]int32, len(pix))
	for i, p := range pix {
		out[i] = number[p-lo]
	}
	return out, int(n)
}

// Covering returns how well the second labelling covers the first, 0..1: the
// mean over the pixels of the best intersection over union that any region of
// the second reaches with the region of the first that the pixel lies in. It is
// not symmetric. NaN for an empty picture.
//
// Source: Arbelaez, Maire, Fowlkes, Malik 2011, IEEE TPAMI 33, eq. 8.
func (o *Overlap) Covering() float64 {
	best := make([]float64, len(o.areaA))
	for _, c := range o.cells {
		iou := float64(c.n) / float64(o.areaA[c.a]+o.areaB[c.b]-c.n)
		best[c.a] = max(best[c.a], iou)
	}
	sum := 0.0
	for a, n := range o.areaA {
		sum += float64(n) * best[a]
	}
	return sum / float64(o.total)
}

// Rand returns the Rand index, 0..1: the share of pairs of pixels on which the
// two labellings agree whether they belong together. NaN below two pixels.
//
// Source: Rand 1971, J. Am. Stat. Assoc. 66.
func (o *Overlap) Rand() float64 {
	pairs := func(n int) float64 { return float64(n) * float64(n-1) / 2 }
	all := pairs(o.total)
	a, b, both := 0.0, 0.0, 0.0
	for _, n := range o.areaA {
		a += pairs(n)
	}
	for _, n := range o.areaB {
		b += pairs(n)
	}
	for _, c := range o.cells {
		both += pairs(c.n)
	}
	return (all + 2*both - a - b) / all
}

// Variation returns the variation of information in bits, 0 for labellings that
// differ in numbering only: H(a) + H(b) - 2 I(a, b). NaN for an empty picture.
//
// Source: Meila 2005, Proc. ICML.
func (o *Overlap) Variation() float64 {
	n, sum := float64(o.total), 0.0
	for _, c := range o.cells {
		p := float64(c.n) / n
		qa, qb := float64(o.areaA[c.a])/n, float64(o.areaB[c.b])/n
		sum += p * (math.Log2(qa/p) + math.Log2(qb/p))
	}
	if o.total == 0 {
		return math.NaN()
	}
	return sum
}
