package mass

import (
	"cmp"
	"math"
)

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
	price  []float64
	target []int32 // the value a shape would take

	long  float64 // what lengths are fractions of
	brush float64 // weighed area of a brush mark
	gain  []float64
	seen  []float64
}

// neighbourGain is what a flip gains for each shape that it joins, in lengths of
// the longer side: of two flips that tidy as much border, the one that joins
// more shapes goes first. At .05 plans cost one or two percent less, but one
// step of pulling together changes more of the picture.
const neighbourGain = .02

// pullTogether flips the cheapest shape to a neighbour's value until one shape
// is left. The price is the error of value that a flip adds, per border that
// goes: long borders on no edge go first. Shapes smaller than a brush mark go
// before all others, the smallest first.
//
// Source: ours.
func (l *Layout) pullTogether(c Cutting) {
	w := newPuller(l, c)
	left := len(l.value)
	for left > 1 {
		i := w.q.first()
		if math.IsInf(w.price[i], 1) {
			return // only fixed shapes are left
		}
		isMark := w.price[i] < -1e11
		left -= w.flip(i)
		l.flips[len(l.flips)-1].left = int32(left)
		if isMark {
			l.brush = len(l.flips)
		}
	}
}

func newPuller(l *Layout, c Cutting) *puller {
	n := len(l.value)
	b := l.base
	w := &puller{
		l: l, area: make([]float64, n), focus: make([]float64, n), sum: make([]float64, n),
		value: append([]int32(nil), l.value...), fixed: make([]bool, n), price: make([]float64, n), target: make([]int32, n),
		long: b.long, gain: make([]float64, l.values), seen: make([]float64, l.values),
	}
	switch {
	case c.BrushMark == 0:
		w.brush = DefaultBrushMark * float64(b.w*b.h)
	case c.BrushMark > 0:
		w.brush = c.BrushMark * float64(b.w*b.h)
	}
	for i := range b.shapes {
		f, s := l.fine[i], &b.shapes[i]
		w.area[f] += s.area
		w.focus[f] += s.focus
		w.sum[f] += s.value
	}
	for _, f := range c.Fixed {
		w.fixed[l.fine[f.Shape]] = true
	}
	var g borderGraph
	g.contract(&b.border, l.fine)
	weighed := w.weighBorders(&g)
	w.m.load(n, g.a, g.b, g.len, weighed)
	for i := range int32(n) {
		w.reprice(i)
	}
	w.q.load(n, w.before)
	return w
}

// weighBorders returns the weighed length of each border of g: the sum over the
// base borders that it is made of.
func (w *puller) weighBorders(g *borderGraph) []float64 {
	b := &w.l.base.border
	weigh := borderGraph{a: b.a, b: b.b, len: make([]float64, len(b.a)), rise: b.rise, edge: b.edge}
	for e := range b.a {
		weigh.len[e] = b.len[e] * edgeWeight(b.step(e))
	}
	var out borderGraph
	out.contract(&weigh, w.l.fine)
	return out.len
}

// before orders shapes by price; ties by what they are.
func (w *puller) before(i, j int32) bool {
	return cmp.Or(cmp.Compare(w.price[i], w.price[j]), cmp.Compare(w.area[i], w.area[j]),
		cmp.Compare(w.sum[i], w.sum[j]), cmp.Compare(i, j)) < 0
}

// reprice finds the cheapest value for shape i to take.
func (w *puller) reprice(i int32) {
	if w.fixed[i] {
		w.price[i] = math.Inf(1)
		return
	}
	clear(w.gain)
	clear(w.seen)
	for h := w.m.head[i]; h >= 0; h = w.m.next[h] {
		k := w.value[w.m.other(h)]
		w.gain[k] += w.m.q[h>>1]
		w.seen[k]++
	}
	mean := w.sum[i] / w.area[i] / stepsL
	d := mean - w.l.centre[w.value[i]]
	own := float64(d * d)
	if w.l.isEmpty(w.value[i]) {
		own = 0 // a value only by the painter's hand
	}
	w.price[i] = math.Inf(1)
	for k, n := range w.seen {
		if n == 0 {
			continue
		}
		d := mean - w.l.centre[k]
		if w.l.isEmpty(int32(k)) {
			d = 100
		}
		loss := w.focus[i] * (float64(d*d) - own)
		gain := w.gain[k] + float64(neighbourGain*w.long*n)
		price := loss * gain
		if loss > 0 {
			price = loss / gain
		}
		if price < w.price[i] {
			w.price[i], w.target[i] = price, int32(k)
		}
	}
	if w.focus[i] < w.brush {
		w.price[i] = w.area[i] - 1e12
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
	w.l.flips = append(w.l.flips, flip{shape: i, value: k})
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
		w.q.remove(lost)
		w.l.joins = append(w.l.joins, join{lost, kept})
		i = kept
		joined++
	}
	w.l.flips[len(w.l.flips)-1].joins = int32(len(w.l.joins))
	w.reprice(i)
	w.q.fix(i)
	for h := w.m.head[i]; h >= 0; h = w.m.next[h] {
		j := w.m.other(h)
		w.reprice(j)
		w.q.fix(j)
	}
	return joined
}
