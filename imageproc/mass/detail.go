package mass

import (
	"math"
	"slices"
)

// details are the sets of base shapes that have a number of shapes of their own.
type details struct {
	l      *Layout
	most   []int
	in     []bool    // is a base shape in a set
	owner  []int32   // and in which, -1: none
	shapes []int32   // those that are
	next   [][]int32 // per entry of shapes: its base borders
}

// newDetails keeps the sets of c. Where sets meet the later has the shape; what
// is welded to a shape outside its set is in none.
func (l *Layout) newDetails(c *Cutting, u *units) *details {
	d := &details{l: l, in: make([]bool, len(l.fine)), owner: make([]int32, len(l.fine))}
	for i := range d.owner {
		d.owner[i] = -1
	}
	for n, set := range c.Detail {
		d.most = append(d.most, set.Most)
		for _, s := range set.Shapes {
			d.owner[s] = int32(n)
		}
	}
	const mixed = -2
	of := make([]int32, u.n)
	for k := range of {
		of[k] = math.MaxInt32
	}
	for i, k := range u.of {
		switch {
		case of[k] == math.MaxInt32:
			of[k] = d.owner[i]
		case of[k] != d.owner[i]:
			of[k] = mixed
		}
	}
	border := &l.base.border
	place := make([]int32, len(l.fine))
	for i, k := range u.of {
		d.owner[i], place[i] = max(-1, of[k]), -1
		if d.in[i] = of[k] >= 0; d.in[i] {
			place[i] = int32(len(d.shapes))
			d.shapes = append(d.shapes, int32(i))
		}
	}
	d.next = make([][]int32, len(d.shapes))
	for e := range border.a {
		for _, i := range [2]int32{border.a[e], border.b[e]} {
			if at := place[i]; at >= 0 {
				d.next[at] = append(d.next[at], int32(e))
			}
		}
	}
	return d
}

// work gives the base shapes inside the sets, whose values are those of a plan,
// the values that they have when they start again from the finest shapes and are
// pulled together there alone.
func (d *details) work(value []int32) {
	of, held := d.startAgain(value)
	c := d.newCloseUp(value, of, held)
	c.pull(d)
	for _, i := range d.shapes {
		value[i] = c.w.value[find(c.kept, c.node[of[i]])]
	}
}

// startAgain gives what is inside its value of the finest plan, but where that
// would join what the painter parted the value of the plan; it returns the
// connected shape of each base shape, and what these hold of pairs.
func (d *details) startAgain(value []int32) (of []int32, held *sides) {
	l := d.l
	plan := slices.Clone(value)
	for _, i := range d.shapes {
		value[i] = l.value[l.fine[i]]
	}
	for {
		of, n := l.connect(value)
		if l.apart == nil {
			return of, nil
		}
		held := l.apart.gather(of, n)
		back := false
		for _, i := range d.shapes {
			if value[i] != plan[i] && clash(held.of(of[i])) {
				value[i], back = plan[i], true
			}
		}
		if !back {
			return of, held
		}
	}
}

// several is the owner of a shape that lies in more than one set, or reaches
// outside.
const several = -1

// closeUp is the shapes inside the sets and those beside them while the former
// are pulled together. Shapes that reach outside the sets stay as they are.
type closeUp struct {
	w       *puller
	node    []int32 // of each connected shape, -1: not there
	outside []bool
	owner   []int32
	kept    []int32 // forest of joins
	left    []int   // shapes that lie wholly in each set
}

// newCloseUp prepares the shapes of base shapes of these values; of is the
// connected shape of each, held what that holds of pairs.
func (d *details) newCloseUp(value, of []int32, held *sides) *closeUp {
	c := &closeUp{node: make([]int32, len(of)), left: make([]int, len(d.most))}
	for i := range c.node {
		c.node[i] = -1
	}
	first, raw, weight := c.meet(d, of)
	n := len(first)
	c.outside, c.owner, c.kept = make([]bool, n), make([]int32, n), make([]int32, n)
	c.w = d.l.newPuller(n)
	for k, i := range first {
		c.kept[k], c.w.value[k] = int32(k), value[i]
	}
	for i, s := range of {
		if k := c.node[s]; k >= 0 && !d.in[i] {
			c.outside[k], c.w.fixed[k] = true, true
		}
	}
	c.own(d, of)
	if held != nil {
		mine := &sides{held.words, make([]uint64, 2*held.words*n)}
		for k, i := range first {
			copy(mine.of(int32(k)), held.of(of[i]))
		}
		c.w.part(mine)
	}
	weighed := &borderGraph{a: raw.a, b: raw.b, len: weight, rise: raw.rise, edge: raw.edge}
	var g, gw borderGraph
	g.contract(raw, c.kept)
	gw.contract(weighed, c.kept)
	c.w.load(&g, gw.len)
	return c
}

// meet makes nodes of the shapes inside the sets and of those beside them. It
// returns a base shape of each node, and the base borders between nodes with
// their weights.
func (c *closeUp) meet(d *details, of []int32) (first []int32, raw *borderGraph, weight []float64) {
	border := &d.l.base.border
	enter := func(i int32) int32 {
		k := &c.node[of[i]]
		if *k < 0 {
			*k = int32(len(first))
			first = append(first, i)
		}
		return *k
	}
	raw = &borderGraph{}
	for at, i := range d.shapes {
		k := enter(i)
		for _, e := range d.next[at] {
			j := border.a[e] + border.b[e] - i
			if d.in[j] && j < i || of[j] == of[i] {
				continue // met from the other side, or inside a shape
			}
			n := raw.add(k, enter(j))
			raw.len[n] = border.len[e]
			weight = append(weight, d.l.pull.weight[e])
		}
	}
	return first, raw, weight
}

// own measures the nodes and finds in which set each lies.
func (c *closeUp) own(d *details, of []int32) {
	const nobody = math.MaxInt32
	for k := range c.owner {
		c.owner[k] = nobody
	}
	for _, i := range d.shapes {
		k := c.node[of[i]]
		c.w.add(k, i)
		switch c.owner[k] {
		case nobody:
			c.owner[k] = d.owner[i]
		case d.owner[i]:
		default:
			c.owner[k] = several
		}
	}
	for k := range c.owner {
		if c.outside[k] {
			c.owner[k] = several
		}
		if c.owner[k] >= 0 {
			c.left[c.owner[k]]++
		}
	}
}

// pull joins brush marks, and shapes of those sets that have more than they may,
// the cheapest first.
func (c *closeUp) pull(d *details) {
	for len(c.w.q.items) > 0 {
		i := c.w.q.first()
		if math.IsInf(c.w.price[i], 1) {
			return
		}
		if o := c.owner[i]; !c.w.isMark(i) && (o < 0 || c.left[o] <= d.most[o]) {
			// Sets only lose shapes, so this one never has to go; only a
			// change beside it prices it again.
			c.w.price[i] = math.Inf(1)
			c.w.q.fix(i)
			continue
		}
		from := len(c.w.joins)
		c.w.flip(i)
		for _, j := range c.w.joins[from:] {
			c.join(j)
		}
	}
}

// join counts what a join does to the sets.
func (c *closeUp) join(j join) {
	a, b := c.owner[j.kept], c.owner[j.lost]
	if a >= 0 {
		c.left[a]--
	}
	if b >= 0 {
		c.left[b]--
	}
	if a != b {
		a = several
	}
	if a >= 0 {
		c.left[a]++
	}
	c.owner[j.kept] = a
	c.kept[j.lost] = j.kept
}
