package mass

import (
	"math"
	"slices"
)

// move makes the cheapest move that parts a shape of both sides of a pair.
func (p *parter) move(pair int, shape []int32) bool {
	var in [2][]int32 // the shape's units of each side
	for side, units := range p.members[pair] {
		for _, i := range shape {
			if slices.Contains(units, i) {
				in[side] = append(in[side], i)
			}
		}
	}
	p.best, p.loss = nil, math.Inf(1)
	watch := slices.Concat(in[0], in[1])
	own := p.u.value[shape[0]]
	for step := int32(1); step < int32(p.l.values) && p.best == nil; step++ {
		for _, units := range in {
			for _, v := range [2]int32{own - step, own + step} {
				p.try(changes(units, v), watch)
			}
		}
	}
	if p.best == nil {
		p.tryBoth(pair)
	}
	for side := 0; side < 2 && p.best == nil; side++ {
		between := p.around(in[side])
		for v := range int32(p.l.values) {
			p.try(changes(between, v), watch)
		}
	}
	for _, c := range p.best {
		p.u.value[c.unit] = c.value
	}
	return p.best != nil
}

// tryBoth tries one value for all of A and another for all of B.
func (p *parter) tryBoth(pair int) {
	a, b := p.members[pair][0], p.members[pair][1]
	watch := slices.Concat(a, b)
	for va := range int32(p.l.values) {
		for vb := range int32(p.l.values) {
			if va != vb {
				p.try(slices.Concat(p.free(a, va), p.free(b, vb)), watch)
			}
		}
	}
}

// free returns the changes of those units that may take value v.
func (p *parter) free(units []int32, v int32) []change {
	var out []change
	for _, i := range units {
		if !p.u.fixed[i] {
			out = append(out, change{i, v})
		}
	}
	return out
}

// around returns the units of the same value that touch units but are none of
// them.
func (p *parter) around(units []int32) []int32 {
	var out []int32
	for _, i := range units {
		for _, j := range p.next[i] {
			if p.u.value[j] == p.u.value[i] && !slices.Contains(units, j) && !slices.Contains(out, j) {
				out = append(out, j)
			}
		}
	}
	return out
}

func changes(units []int32, v int32) []change {
	out := make([]change, len(units))
	for k, i := range units {
		out[k] = change{i, v}
	}
	return out
}

// try makes the changes the best move if they may be made, settle what they and
// watch belong to, and cost less than the best so far.
func (p *parter) try(move []change, watch []int32) {
	loss := 0.0
	before := make([]int32, len(move))
	for n, c := range move {
		if c.value < 0 || int(c.value) >= p.l.values || p.u.fixed[c.unit] && p.u.value[c.unit] != c.value {
			return
		}
		before[n] = p.u.value[c.unit]
		mean := p.u.sum[c.unit] / p.u.area[c.unit] / stepsL
		d, own := p.l.distance(mean, c.value), p.l.distance(mean, before[n])
		loss += float64(p.u.focus[c.unit] * (float64(d*d) - float64(own*own)))
	}
	if !(loss < p.loss) || len(move) == 0 {
		return
	}
	for _, c := range move {
		p.u.value[c.unit] = c.value
	}
	if p.holds(move, watch) {
		p.best, p.loss = move, loss
	}
	for n, c := range move {
		p.u.value[c.unit] = before[n]
	}
}

// holds says whether no shape of what was moved or is watched holds both sides
// of a settled pair.
func (p *parter) holds(move []change, watch []int32) bool {
	p.round++
	p.stack = p.stack[:0]
	whole := func(i int32) bool {
		from := len(p.stack)
		p.reach(i)
		clear(p.union)
		for _, j := range p.stack[from:] {
			unite(p.union, p.kept.of(j))
		}
		return !clash(p.union)
	}
	for _, c := range move {
		if !whole(c.unit) {
			return false
		}
	}
	for _, i := range watch {
		if !whole(i) {
			return false
		}
	}
	return true
}
