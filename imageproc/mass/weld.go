package mass

import "math"

// units are base shapes that are never parted: those welded together are one,
// every other is one of its own. Units are numbered by their first base shape.
type units struct {
	of               []int32 // unit of each base shape
	n                int
	size             []int // base shapes
	area, focus, sum []float64
	value            []int32
	fixed            []bool
}

// weld joins what c welds and gives each unit its value: that of a base shape
// alone is the value of its base value; that of several is the one whose centre
// is nearest their mean, the darker of two. A fixed base shape alone has its
// fixed value; several have the fixed value of more than half of their area, if
// there is one.
func (l *Layout) weld(c *Cutting) *units {
	b := l.base
	u := l.joinWelded(c.Weld)
	u.size = make([]int, u.n)
	u.area, u.focus, u.sum = make([]float64, u.n), make([]float64, u.n), make([]float64, u.n)
	u.value, u.fixed = make([]int32, u.n), make([]bool, u.n)
	for i := range b.shapes {
		s, k := &b.shapes[i], u.of[i]
		u.size[k]++
		u.area[k] += s.area
		u.focus[k] += s.focus
		u.sum[k] += s.value
		u.value[k] = l.group[s.class]
	}
	for k, size := range u.size {
		if size > 1 {
			u.value[k] = l.nearest(u.sum[k] / u.area[k] / stepsL)
		}
	}
	u.fix(l, c.Fixed)
	return u
}

// joinWelded numbers the units.
func (l *Layout) joinWelded(sets [][]int) *units {
	b := l.base
	set, parent := make([]int32, len(b.shapes)), make([]int32, len(b.shapes))
	for i := range parent {
		parent[i] = int32(i)
	}
	for n, shapes := range sets {
		for _, s := range shapes {
			set[s] = int32(n + 1)
		}
	}
	if len(sets) > 0 {
		for e := range b.border.a {
			if i, j := b.border.a[e], b.border.b[e]; set[i] > 0 && set[i] == set[j] {
				i, j = find(parent, i), find(parent, j)
				parent[max(i, j)] = min(i, j)
			}
		}
	}
	u := &units{of: make([]int32, len(parent))}
	u.n = numberRoots(u.of, parent)
	return u
}

// numberRoots numbers the trees of a forest, whose roots are the smallest of
// each, in rising order and returns how many there are.
func numberRoots(number, parent []int32) int {
	n := 0
	for i := range parent {
		if int(parent[i]) == i {
			number[i] = int32(n)
			n++
		} else {
			number[i] = number[find(parent, int32(i))]
		}
	}
	return n
}

// fix gives units the values that the painter fixed and notes which did not hold.
func (u *units) fix(l *Layout, fixed []Fixed) {
	if len(fixed) == 0 {
		return
	}
	wanted := make([]int32, len(u.of))
	for i := range wanted {
		wanted[i] = -1
	}
	for _, f := range fixed {
		wanted[f.Shape] = int32(f.Value)
	}
	area := make([]float64, u.n*l.values)
	for i, v := range wanted {
		if v >= 0 {
			area[int(u.of[i])*l.values+int(v)] += l.base.shapes[i].area
		}
	}
	for k := range u.n {
		for v, a := range area[k*l.values:][:l.values] {
			if 2*a > u.area[k] {
				u.value[k], u.fixed[k] = int32(v), true
			}
		}
	}
	for n, f := range fixed {
		if k := u.of[f.Shape]; !u.fixed[k] || int(u.value[k]) != f.Value {
			l.overruled = append(l.overruled, n)
		}
	}
}

// nearest returns the value whose centre is nearest to mean, the darker of two.
func (l *Layout) nearest(mean float64) int32 {
	best, off := int32(0), math.Inf(1)
	for k, c := range l.centre {
		if d := math.Abs(c - mean); d < off { // no centre is NaN
			best, off = int32(k), d
		}
	}
	return best
}

// distance returns how far mean lies from the centre of value k in L*; a value
// without pixels is as far as can be.
func (l *Layout) distance(mean float64, k int32) float64 {
	if l.isEmpty(k) {
		return 100
	}
	return mean - l.centre[k]
}
