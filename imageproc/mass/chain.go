package mass

import (
	"math"
	"math/bits"
	"slices"
)

// mostValues is how many values the chain of nested cuts goes up to.
const mostValues = 6

// chain knows what each way to group the base values costs. A set of cuts is a
// word whose bit i says that base values i and i + 1 are parted.
type chain struct {
	cost   []float64 // by set of cuts
	nested []uint8   // nested[k]: the cuts of k values, one more than nested[k-1]
	free   []uint8   // free[k]: the cheapest cuts of k values
}

// contrastWeight is how much a square L* of contrast lost along edges counts
// beside one of error.
const contrastWeight = .5

// chainWeight is how much k values count in the choice of the chain. Light and
// shadow part first, so two values count most.
var chainWeight = [mostValues + 1]float64{0, 0, 3, 2, 1, .5, .1}

// leastStep is how far apart in L* the tones of two neighbouring values must lie
// where there are three or more: a quarter of a step of the value scale, less than
// a brush mixes. What lies nearer is one value, however many were asked for.
//
// Source: ours.
const leastStep = 2.5

// newChain weighs all groupings of b's base values: by the square error of
// lightness that they leave, and beside it by the contrast that is lost along real
// edges, so that a small tower that stands out against its sky is not lost for being
// small. Where that chooses values that are hard to tell from each other, such
// groupings are left out.
//
// Source: ours.
func newChain(b *Base) *chain {
	n := len(b.class)
	c := &chain{cost: make([]float64, 1<<(n-1))}
	g := gaps(b)
	for set := range c.cost {
		c.cost[set] = groupError(b.class, uint8(set)) + float64(contrastWeight*g.lost(b, uint8(set)))
	}
	c.choose(n)
	if slices.ContainsFunc(slices.Concat(c.nested, c.free), func(set uint8) bool { return tooNear(b, set) }) {
		for set := range c.cost {
			if tooNear(b, uint8(set)) {
				c.cost[set] = math.Inf(1)
			}
		}
		c.choose(n)
	}
	return c
}

// tooNear reports whether a grouping into three values or more has two that are
// hard to tell from each other. Of six, which only lead the chain on, none is.
func tooNear(b *Base, set uint8) bool {
	k := bits.OnesCount8(set) + 1
	return k > 2 && k < mostValues && narrowest(b, set) < leastStep
}

// narrowest returns the least difference in L* between the tones of neighbouring
// groups: what is painted for them before any shape is pulled into another value.
func narrowest(b *Base, set uint8) float64 {
	group := make([]sums, bits.OnesCount8(set)+1)
	for i := range b.shapes {
		s := &b.shapes[i]
		group[groupOf(set, int(s.class))].add(s)
	}
	least := math.Inf(1)
	for k := range group[1:] {
		least = min(least, float64(group[k+1].mean()-group[k].mean()))
	}
	return least
}

// choose picks the cuts of n base values by what they cost, up to as many values
// as can be told from each other.
func (c *chain) choose(n int) {
	for most := min(n, mostValues); !c.chooseUpTo(most); most-- {
	}
}

// chooseUpTo picks the cuts of up to most values and reports whether there are
// some of each number, each holding those of the number before.
func (c *chain) chooseUpTo(most int) bool {
	c.free = make([]uint8, most+1)
	least := make([]float64, most+1)
	for k := range least {
		least[k] = math.Inf(1)
	}
	for set, v := range c.cost {
		if k := bits.OnesCount8(uint8(set)) + 1; k <= most && (v < least[k] || v == least[k] && before(uint8(set), c.free[k])) {
			least[k], c.free[k] = v, uint8(set)
		}
	}
	return c.link(least, most)
}

// among returns the chain of the base values of, rising, of those that c is of,
// at what their cuts cost in c.
func (c *chain) among(of []int32) *chain {
	out := &chain{cost: make([]float64, 1<<(len(of)-1))}
	for set := range out.cost {
		whole := uint8(0)
		for i, p := range of[:len(of)-1] {
			if set>>i&1 == 1 {
				whole |= 1 << p
			}
		}
		out.cost[set] = c.cost[whole]
	}
	out.choose(len(of))
	return out
}

// before says whether set a, of as many cuts as b, lists lower cuts first.
func before(a, b uint8) bool {
	if d := a ^ b; d != 0 {
		return a&(d&-d) != 0
	}
	return false
}

// link finds the chain of sets, each holding the one before, with the least sum
// of cost over least possible cost, and reports whether there is one.
func (c *chain) link(least []float64, most int) bool {
	best := make([]float64, len(c.cost))
	from := make([]uint8, len(c.cost))
	last, lastCost := uint8(0), math.Inf(1)
	for set := 1; set < len(c.cost); set++ {
		k := bits.OnesCount8(uint8(set)) + 1
		if k > most {
			continue
		}
		if best[set] = c.cost[set]; math.IsInf(best[set], 1) {
			continue
		}
		ratio := 1.0
		if least[k] > 0 {
			ratio = c.cost[set] / least[k]
		}
		found := math.Inf(1)
		for rest := uint8(set); rest != 0; rest &= rest - 1 {
			sub := uint8(set) &^ (rest & -rest)
			// Subsets are smaller numbers, so they are done.
			if best[sub] < found || best[sub] == found && before(sub, from[set]) {
				found, from[set] = best[sub], sub
			}
		}
		best[set] = float64(chainWeight[k]*ratio) + found
		if k == most && (best[set] < lastCost || best[set] == lastCost && before(uint8(set), last)) {
			last, lastCost = uint8(set), best[set]
		}
	}
	c.nested = make([]uint8, most+1)
	for k := most; k >= 2; k-- {
		c.nested[k] = last
		last = from[last]
	}
	return !math.IsInf(lastCost, 1) || most < 2
}

// groupError returns the mean square error of lightness when base values are
// grouped by set.
func groupError(class []moments, set uint8) float64 {
	sum, total, group := 0.0, 0.0, moments{}
	for i, m := range class {
		group = group.plus(m)
		total += m.n
		if i == len(class)-1 || set>>i&1 == 1 {
			sum += group.spread()
			group = moments{}
		}
	}
	return sum / total
}

// valueGaps is, per pair of base values, how much real edge lies between them
// and the difference in value along it: weight, weighed sum and square sum.
type valueGaps struct {
	gap   [baseValues][baseValues]moments
	total float64
}

func gaps(b *Base) *valueGaps {
	var g valueGaps
	for e := range b.border.a {
		u, v := &b.shapes[b.border.a[e]], &b.shapes[b.border.b[e]]
		if u.class == v.class {
			continue // a knife's cut: no contrast to be lost
		}
		if u.class > v.class {
			u, v = v, u
		}
		focus := (u.focus/u.area + v.focus/v.area) / 2
		a := float64(b.border.len[e] * (1 - expNeg(b.border.step(e)/8)) * focus)
		d := v.mean() - u.mean()
		m := &g.gap[u.class][v.class]
		*m = m.plus(moments{a, float64(a * d), float64(float64(a*d) * d)})
		g.total += a
	}
	return &g
}

// lost returns the mean square difference between the contrast along edges and
// what groups by set leave of it.
func (g *valueGaps) lost(b *Base, set uint8) float64 {
	if g.total == 0 {
		return 0
	}
	centre := groupMeans(b, set)
	sum := 0.0
	for p := range b.class {
		for q := p + 1; q < len(b.class); q++ {
			m := &g.gap[p][q]
			if m.n == 0 {
				continue
			}
			d := centre[groupOf(set, q)] - centre[groupOf(set, p)]
			sum += m.xx - float64(2*d*m.x) + float64(d*d*m.n)
		}
	}
	return sum / g.total
}

// groupOf returns the group of base value c.
func groupOf(set uint8, c int) int { return bits.OnesCount8(set & (1<<c - 1)) }

// groupMeans returns the mean value in L* of the pixels of each group.
func groupMeans(b *Base, set uint8) []float64 {
	n := bits.OnesCount8(set) + 1
	area, mean := make([]float64, n), make([]float64, n)
	for i := range b.shapes {
		s := &b.shapes[i]
		k := groupOf(set, int(s.class))
		area[k] += s.area
		mean[k] += s.value
	}
	for k := range mean {
		mean[k] /= area[k] * stepsL
	}
	return mean
}
