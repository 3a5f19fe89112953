package mass

import (
	"cmp"
	"math"
)

// pull is what pulling shapes of a layout together always needs: of each base
// shape whether it is fixed, of each base border what it weighs, and the weighed
// area of a brush mark.
type pull struct {
	fixed  []bool
	weight []float64
	brush  float64
}

func (l *Layout) pulling(c *Cutting, u *units) pull {
	b := l.base
	p := pull{fixed: make([]bool, len(b.shapes)), weight: make([]float64, len(b.border.a))}
	for i, k := range u.of {
		p.fixed[i] = u.fixed[k]
	}
	for e := range p.weight {
		p.weight[e] = b.border.len[e] * edgeWeight(b.border.step(e))
	}
	switch {
	case c.BrushMark == 0:
		p.brush = DefaultBrushMark * float64(b.w*b.h)
	case c.BrushMark > 0:
		p.brush = c.BrushMark * float64(b.w*b.h)
	}
	return p
}

// puller is the state while shapes are pulled together.
type puller struct {
	l      *Layout
	m      mesh // p: length of border, q: weighed length
	q      queue
	area   []float64
	focus  []float64 // area times focal weight
	sum    []float64 // of values, in steps of L*
	value  []int32
	fixed  []bool
	apart  *sides // nil without pairs
	price  []float64
	target []int32 // the value a shape would take
	gain   []float64
	seen   []float64
	union  *sides // by value: what a shape would hold that takes it

	flips []flip
	joins []join
}

// neighbourGain is what a flip gains for each shape that it joins, in lengths of
// the longer side: of two flips that tidy as much border, the one that joins
// more shapes goes first. At .05 plans cost one or two percent less, but one
// step of pulling together changes more of the picture.
const neighbourGain = .02

// pullTogether flips the cheapest shape to a neighbour's value until one shape
// is left. The price is the error of value that a flip adds, per border that
// goes: long borders on no edge go first. Shapes too small for the brush go
// before all others, the smallest first. A flip that would join what the painter
// parted is not taken.
//
// Source: ours.
func (l *Layout) pullTogether() {
	w := l.newPuller(len(l.value))
	copy(w.value, l.value)
	for i, f := range l.fine {
		w.add(f, int32(i))
	}
	if l.apart != nil {
		w.part(l.apart.gather(l.fine, len(l.value)))
	}
	var g, weighed borderGraph
	g.contract(&l.base.border, l.fine)
	weighed.contract(l.weighedBorder(), l.fine)
	w.load(&g, weighed.len)
	left := len(l.value)
	for left > 1 {
		i := w.q.first()
		if math.IsInf(w.price[i], 1) {
			break // only shapes that must stay are left
		}
		isMark := w.isMark(i)
		left -= w.flip(i)
		w.flips[len(w.flips)-1].left = int32(left)
		if isMark {
			l.brush = len(w.flips)
		}
	}
	l.flips, l.joins = w.flips, w.joins
}

// weighedBorder returns the base borders with their weighed length.
func (l *Layout) weighedBorder() *borderGraph {
	b := &l.base.border
	return &borderGraph{a: b.a, b: b.b, len: l.pull.weight, rise: b.rise, edge: b.edge}
}

// newPuller returns a puller of n shapes that have no base shapes yet.
func (l *Layout) newPuller(n int) *puller {
	return &puller{
		l: l, area: make([]float64, n), focus: make([]float64, n), sum: make([]float64, n),
		value: make([]int32, n), fixed: make([]bool, n), price: make([]float64, n), target: make([]int32, n),
		gain: make([]float64, l.values), seen: make([]float64, l.values),
	}
}

// add makes base shape i part of shape k.
func (w *puller) add(k, i int32) {
	s := &w.l.base.shapes[i]
	w.area[k] += s.area
	w.focus[k] += s.focus
	w.sum[k] += s.value
	w.fixed[k] = w.fixed[k] || w.l.pull.fixed[i]
}

// part holds the sides of pairs that the shapes hold apart.
func (w *puller) part(s *sides) {
	w.apart = s
	w.union = &sides{s.words, make([]uint64, 2*s.words*w.l.values)}
}

// load sets the borders between the shapes and prices all.
func (w *puller) load(g *borderGraph, weighed []float64) {
	n := len(w.value)
	w.m.load(n, g.a, g.b, g.len, weighed)
	for i := range int32(n) {
		w.reprice(i)
	}
	w.q.load(n, w.before)
}

// before orders shapes by price; ties by what they are.
func (w *puller) before(i, j int32) bool {
	return cmp.Or(cmp.Compare(w.price[i], w.price[j]), cmp.Compare(w.area[i], w.area[j]),
		cmp.Compare(w.sum[i], w.sum[j]), cmp.Compare(i, j)) < 0
}

// markPrice is what a brush mark costs, beside its area: less than anything.
const markPrice = -1e12

// isMark says whether shape i goes for being a brush mark.
func (w *puller) isMark(i int32) bool { return w.price[i] < markPrice/10 }

// reprice finds the cheapest value for shape i to take.
func (w *puller) reprice(i int32) {
	w.price[i] = math.Inf(1)
	if w.fixed[i] {
		return
	}
	clear(w.gain)
	clear(w.seen)
	for h := w.m.head[i]; h >= 0; h = w.m.next[h] {
		k := w.value[w.m.other(h)]
		w.gain[k] += w.m.q[h>>1]
		w.seen[k]++
	}
	if w.apart != nil {
		w.unite(i)
	}
	mean := w.sum[i] / w.area[i] / stepsL
	d := mean - w.l.centre[w.value[i]]
	own := float64(d * d)
	if w.l.isEmpty(w.value[i]) {
		own = 0 // a value only by the painter's hand
	}
	for k, n := range w.seen {
		if n == 0 || w.apart != nil && clash(w.union.of(int32(k))) {
			continue
		}
		d := w.l.distance(mean, int32(k))
		loss := w.focus[i] * (float64(d*d) - own)
		gain := w.gain[k] + float64(neighbourGain*w.l.base.long*n)
		price := loss * gain
		if loss > 0 {
			price = loss / gain
		}
		if price < w.price[i] {
			w.price[i], w.target[i] = price, int32(k)
		}
	}
	if w.isSmall(i) && !math.IsInf(w.price[i], 1) {
		w.price[i] = w.area[i] + markPrice
	}
}

// leastWidth is the share of the brush's width below which a shape is too narrow
// to be painted. At .64 plans of photographs cost 2 % more and masts in the focus
// begin to go.
const leastWidth = .5

// isSmall says whether shape i is too small for the brush: in area, or because
// its mean width, twice its area over its outline, is less than half of the
// brush's, the root of a brush mark's area there. The outline is counted in pixel
// sides, which are 4 / pi too many on the average over all directions; the
// picture's own edge is none. Upright and level outlines come out too short, so
// that an upright mast goes below two fifths of the brush's width.
//
// Source: ours (TestMasts).
func (w *puller) isSmall(i int32) bool {
	brush := w.l.pull.brush
	if w.focus[i] < brush {
		return true
	}
	sides := 0.0
	for h := w.m.head[i]; h >= 0; h = w.m.next[h] {
		sides += w.m.p[h>>1]
	}
	return 2*w.area[i]/(sides*(math.Pi/4)) < leastWidth*math.Sqrt(brush*w.area[i]/w.focus[i])
}

// unite finds what shape i would hold of pairs with each neighbour's value.
func (w *puller) unite(i int32) {
	clear(w.union.bits)
	for h := w.m.head[i]; h >= 0; h = w.m.next[h] {
		o := w.m.other(h)
		unite(w.union.of(w.value[o]), w.apart.of(o))
	}
	own := w.apart.of(i)
	for k := range w.seen {
		unite(w.union.of(int32(k)), own)
	}
}

// isEmpty says whether no base shape has value k.
func (l *Layout) isEmpty(k int32) bool { return math.IsNaN(l.centre[k]) }

// flip gives shape i its target value, joins it with its neighbours of that
// value and returns with how many.
func (w *puller) flip(i int32) int {
	k := w.target[i]
	w.value[i] = k
	joined := 0
	w.flips = append(w.flips, flip{shape: i, value: k})
	for {
		o := int32(-1)
		for h := w.m.head[i]; h >= 0; h = w.m.next[h] {
			// The smallest number, so that the order of the list means nothing.
			if j := w.m.other(h); w.value[j] == k && (o < 0 || j < o) {
				o = j
			}
		}
		if o < 0 {
			break
		}
		kept := w.m.join(i, o)
		lost := i + o - kept
		w.area[kept] += w.area[lost]
		w.focus[kept] += w.focus[lost]
		w.sum[kept] += w.sum[lost]
		w.fixed[kept] = w.fixed[kept] || w.fixed[lost]
		if w.apart != nil {
			unite(w.apart.of(kept), w.apart.of(lost))
		}
		w.q.remove(lost)
		w.joins = append(w.joins, join{lost, kept})
		i = kept
		joined++
	}
	w.flips[len(w.flips)-1].joins = int32(len(w.joins))
	w.reprice(i)
	w.q.fix(i)
	for h := w.m.head[i]; h >= 0; h = w.m.next[h] {
		j := w.m.other(h)
		w.reprice(j)
		w.q.fix(j)
	}
	return joined
}
