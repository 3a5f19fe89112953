package mass

import (
	"math"
	"slices"
)

// parter gives units other values until no shape holds both sides of a pair.
type parter struct {
	l       *Layout
	u       *units
	next    [][]int32    // neighbours of each unit
	members [][2][]int32 // units of both sides of each pair
	kept    *sides       // by unit, of the pairs that are settled
	seen    []int32      // the round in which a unit was last reached
	round   int32
	stack   []int32
	union   []uint64
	best    []change // the cheapest move found
	loss    float64
}

// change is a unit that takes a value.
type change struct{ unit, value int32 }

// mostRounds is how often pairs are gone through in another order when some
// cannot be settled.
const mostRounds = 8

// part settles the pairs of c one after another: where a shape holds both
// sides, those of its units that are on one side take the next value, lighter
// or darker, whichever costs least; if that would join what another pair parts,
// another value; then one value for all of A and one for all of B; then what
// lies between takes another value. Pairs that could not be settled come first in
// another round. Which pairs do not hold at the end is kept in l.
//
// Source: ours.
func (l *Layout) part(c *Cutting, u *units) {
	p := newParter(l, c, u)
	order := make([]int, len(c.Apart))
	for i := range order {
		order[i] = i
	}
	start, best, fewest := slices.Clone(u.value), []int32(nil), math.MaxInt
	for range mostRounds {
		copy(u.value, start)
		clear(p.kept.bits)
		var failed, rest []int
		for _, pair := range order {
			if p.settle(pair) {
				rest = append(rest, pair)
			} else {
				failed = append(failed, pair)
			}
		}
		if len(failed) < fewest {
			best, fewest = slices.Clone(u.value), len(failed)
		}
		if len(failed) == 0 {
			break
		}
		order = append(failed, rest...)
	}
	copy(u.value, best)
	l.apart = newSides(len(l.base.shapes), len(c.Apart))
	for pair, sets := range c.Apart {
		if p.clashing(pair) != nil {
			l.broken = append(l.broken, pair)
			continue
		}
		for side, shapes := range [2][]int{sets.A, sets.B} {
			for _, s := range shapes {
				l.apart.set(int32(s), pair, side, true)
			}
		}
	}
}

func newParter(l *Layout, c *Cutting, u *units) *parter {
	p := &parter{
		l: l, u: u, next: make([][]int32, u.n), members: make([][2][]int32, len(c.Apart)),
		kept: newSides(u.n, len(c.Apart)), seen: make([]int32, u.n),
	}
	p.union = make([]uint64, 2*p.kept.words)
	border := &l.base.border
	for e := range border.a {
		if i, j := u.of[border.a[e]], u.of[border.b[e]]; i != j {
			p.next[i], p.next[j] = append(p.next[i], j), append(p.next[j], i)
		}
	}
	for pair, sets := range c.Apart {
		for side, shapes := range [2][]int{sets.A, sets.B} {
			for _, s := range shapes {
				if k := u.of[s]; !slices.Contains(p.members[pair][side], k) {
					p.members[pair][side] = append(p.members[pair][side], k)
				}
			}
		}
	}
	return p
}

// reach adds to the stack the units of one value around i that were not reached
// in this round.
func (p *parter) reach(i int32) {
	if p.seen[i] == p.round {
		return
	}
	from := len(p.stack)
	p.stack = append(p.stack, i)
	p.seen[i] = p.round
	for ; from < len(p.stack); from++ {
		k := p.stack[from]
		for _, j := range p.next[k] {
			if p.seen[j] != p.round && p.u.value[j] == p.u.value[k] {
				p.seen[j] = p.round
				p.stack = append(p.stack, j)
			}
		}
	}
}

// clashing returns the units of a shape that holds both sides of the pair, nil
// if there is none. They are valid until the next call.
func (p *parter) clashing(pair int) []int32 {
	p.round++
	p.stack = p.stack[:0]
	for _, a := range p.members[pair][0] {
		if p.seen[a] == p.round {
			continue
		}
		from := len(p.stack)
		p.reach(a)
		for _, i := range p.stack[from:] {
			if slices.Contains(p.members[pair][1], i) {
				return p.stack[from:]
			}
		}
	}
	return nil
}

// settle parts the sides of a pair and says whether it could; if not, nothing
// changed.
func (p *parter) settle(pair int) bool {
	before := slices.Clone(p.u.value)
	p.mark(pair, true)
	for {
		shape := p.clashing(pair)
		if shape == nil {
			return true
		}
		if !p.move(pair, slices.Clone(shape)) {
			copy(p.u.value, before)
			p.mark(pair, false)
			return false
		}
	}
}

func (p *parter) mark(pair int, holds bool) {
	for side, units := range p.members[pair] {
		for _, i := range units {
			p.kept.set(i, pair, side, holds)
		}
	}
}
