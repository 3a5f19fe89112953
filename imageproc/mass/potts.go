package mass

import "math"

// baseValues is how many values the base shapes have, fewShapes how many of
// them are wanted at least.
const (
	baseValues = 8
	fewShapes  = 80
)

// edgeWeight is what a unit of border costs where an edge of step L* lies
// under it: a strong edge is nearly free, a border on no edge costs five times.
//
// Source: ours.
func edgeWeight(step float64) float64 {
	h := step / 2
	return max(.1, expNeg(step/8)) * (1 + float64(4*expNeg(h*h)))
}

// labelling gives leaves base values by the energy of Potts: the error of value
// plus the length of the borders, each weighed.
type labelling struct {
	value  []float64 // L* of each leaf
	weight []float64 // area times focal weight
	area   []float64
	centre []float64 // L* of each class, NaN while no leaf had it
	class  []int32

	first []int32 // neighbours of leaf i: first[i]..first[i+1]
	to    []int32
	pull  []float64 // weighed length of the border
	long  float64
}

func newLabelling(value []float64, s *regionSums, g *borderGraph, long float64) *labelling {
	n := len(value)
	l := &labelling{value: value, weight: s.focus, area: s.area, long: long, class: make([]int32, n)}
	l.first = make([]int32, n+1)
	for e := range g.a {
		l.first[g.a[e]+1]++
		l.first[g.b[e]+1]++
	}
	for i := range n {
		l.first[i+1] += l.first[i]
	}
	l.to, l.pull = make([]int32, 2*len(g.a)), make([]float64, 2*len(g.a))
	fill := append([]int32(nil), l.first[:n]...)
	for e := range g.a {
		w := edgeWeight(g.step(e)) * g.len[e]
		for _, ab := range [2][2]int32{{g.a[e], g.b[e]}, {g.b[e], g.a[e]}} {
			at := fill[ab[0]]
			l.to[at], l.pull[at] = ab[1], w
			fill[ab[0]]++
		}
	}
	return l
}

// run labels the leaves from the value cuts on, with ever less weight on
// borders until there are enough shapes, and returns how many there are.
//
// Source: energy of Potts; iterated conditional modes, Besag 1986, JRSS B 48.
func (l *labelling) run(starts []int) int {
	n := 0
	for _, c := range [5]float64{1, .5, .25, .125, 0} {
		l.centre = resize(l.centre, len(starts))
		for k := range l.centre {
			l.centre[k] = math.NaN()
		}
		for i, v := range l.value {
			l.class[i] = classOf(starts, binOf(v))
		}
		l.recentre()
		for range 2 {
			for range 8 {
				if !l.sweep(c) {
					break
				}
			}
			l.recentre()
		}
		if n = l.shapes(); n >= fewShapes {
			break
		}
	}
	return n
}

// sweep gives each leaf in turn its cheapest class; it says whether any changed.
func (l *labelling) sweep(c float64) bool {
	changed := false
	support := make([]float64, len(l.centre))
	for i, v := range l.value {
		clear(support)
		for e := l.first[i]; e < l.first[i+1]; e++ {
			support[l.class[l.to[e]]] += l.pull[e]
		}
		best, least := l.class[i], math.Inf(1)
		for k, centre := range l.centre {
			d := v - centre // NaN for a class that no leaf ever had: never less
			cost := float64(l.weight[i]*float64(d*d)) - float64(c*l.long*support[k])
			if cost < least {
				best, least = int32(k), cost
			}
		}
		if best != l.class[i] {
			l.class[i] = best
			changed = true
		}
	}
	return changed
}

// recentre sets each class to the mean value of its leaves; a class without
// any keeps its own.
func (l *labelling) recentre() {
	n, x := make([]float64, len(l.centre)), make([]float64, len(l.centre))
	for i, c := range l.class {
		n[c] += l.area[i]
		x[c] += float64(l.area[i] * l.value[i])
	}
	for c := range n {
		if n[c] > 0 {
			l.centre[c] = x[c] / n[c]
		}
	}
}

// shapes counts the connected groups of leaves of one class.
func (l *labelling) shapes() int {
	parent := make([]int32, len(l.class))
	for i := range parent {
		parent[i] = int32(i)
	}
	n := len(parent)
	for i := range parent {
		for e := l.first[i]; e < l.first[i+1]; e++ {
			if j := l.to[e]; l.class[j] == l.class[i] {
				if a, b := find(parent, int32(i)), find(parent, j); a != b {
					parent[max(a, b)] = min(a, b)
					n--
				}
			}
		}
	}
	return n
}
