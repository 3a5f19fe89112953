package mass

import (
	"fmt"
	"slices"

	"atelier/halflid/palette"
)

// Layout is the base shapes of a picture in few values, and the order in which
// they are pulled together, from the finest plan to one shape. Immutable and
// safe for concurrent use.
type Layout struct {
	base   *Base
	values int       // values that were asked for or are there, whichever is fewer
	group  []int32   // value of each base value
	centre []float64 // L* of each value, NaN where no pixel has it
	cuts   []palette.L

	fine  []int32 // touching base shapes of one value: the finest plan's shapes
	value []int32 // of each of these, before any flip
	first []int32 // the first base shape of each
	pull  pull
	flips []flip
	joins []join
	brush int // flips that take brush marks away

	said []bool // base shapes that have another value than the photo's; nil if none

	apart     *sides // by base shape, of the pairs that hold; nil without any
	broken    []int
	overruled []int
	details   *details // nil without any
}

// flip is one step of pulling together: a shape takes a neighbour's value.
type flip struct {
	shape, value int32
	left         int32 // shapes left after it
	joins        int32 // joins made up to and with it
}

// join is one shape becoming part of another.
type join struct{ lost, kept int32 }

// Values groups the base values and finds the order of pulling together. Fewer
// values than asked for come out of a picture that has not as many. It panics
// on fewer than one value, cuts by hand that do not fit, or a base shape or
// value that is not there. About a millisecond.
func (b *Base) Values(c Cutting) *Layout {
	l := b.grouped(c)
	c.check(len(b.shapes), l.values)
	u := l.weld(&c)
	if len(c.Fixed) > 0 {
		l.said = make([]bool, len(b.shapes))
		for i, k := range u.of {
			l.said[i] = u.fixed[k] && u.value[k] != l.group[b.shapes[i].class]
		}
	}
	if len(c.Apart) > 0 {
		l.part(&c, u)
	}
	l.fuse(u)
	l.pull = l.pulling(&c, u)
	l.pullTogether()
	if len(c.Detail) > 0 {
		l.details = l.newDetails(&c, u)
	}
	return l
}

// CountValues returns the K that Values(c) would have, whatever the painter
// decided about single shapes: decisions about values must be below it.
func (b *Base) CountValues(c Cutting) int { return b.grouped(c).values }

// grouped returns a layout with its values alone.
func (b *Base) grouped(c Cutting) *Layout {
	if c.Values < 1 {
		panic(fmt.Sprintf("mass: %d values", c.Values))
	}
	l := &Layout{base: b}
	l.groupValues(c)
	return l
}

// groupValues sets the value of each base value and where the cuts lie.
func (l *Layout) groupValues(c Cutting) {
	b, n := l.base, len(l.base.class)
	l.group = make([]int32, n)
	mean := groupMeans(b, 1<<(n-1)-1)
	switch c.Method {
	case Nested, LeastError:
		k := min(c.Values, len(b.chain.nested)-1)
		set := b.chain.nested[k]
		if c.Method == LeastError {
			set = b.chain.free[k]
		}
		l.values = k
		for i := range l.group {
			l.group[i] = int32(groupOf(set, i))
			if i > 0 && l.group[i] > l.group[i-1] {
				l.cuts = append(l.cuts, palette.L((mean[i]+mean[i-1])/2))
			}
		}
	case EqualSteps:
		for i := 1; i < c.Values; i++ {
			l.cuts = append(l.cuts, palette.L(100*float64(i)/float64(c.Values)))
		}
	case ByHand:
		if len(c.Hand) != c.Values-1 || !slices.IsSorted(c.Hand) {
			panic(fmt.Sprintf("mass: cuts %v by hand for %d values", c.Hand, c.Values))
		}
		l.cuts = slices.Clone(c.Hand)
	default:
		panic(fmt.Sprintf("mass: method %d of cutting values", c.Method))
	}
	if c.Method == EqualSteps || c.Method == ByHand {
		l.values = c.Values
		for i := range l.group {
			for _, cut := range l.cuts {
				if mean[i] >= float64(cut) {
					l.group[i]++
				}
			}
		}
	}
	area := make([]float64, l.values)
	l.centre = make([]float64, l.values)
	for i := range b.shapes {
		k := l.group[b.shapes[i].class]
		area[k] += b.shapes[i].area
		l.centre[k] += b.shapes[i].value
	}
	for k := range area {
		l.centre[k] /= area[k] * stepsL
	}
}

// fuse joins touching units of one value.
func (l *Layout) fuse(u *units) {
	b := l.base
	value := make([]int32, len(b.shapes))
	for i := range value {
		value[i] = u.value[u.of[i]]
	}
	var n int
	l.fine, n = l.connect(value)
	l.value, l.first = make([]int32, n), make([]int32, n)
	for i := len(l.fine) - 1; i >= 0; i-- {
		l.value[l.fine[i]], l.first[l.fine[i]] = value[i], int32(i)
	}
}

// connect numbers the connected shapes of equal value by their first base shape
// and returns the number of each base shape and how many there are.
func (l *Layout) connect(value []int32) ([]int32, int) {
	parent := make([]int32, len(value))
	for i := range parent {
		parent[i] = int32(i)
	}
	border := &l.base.border
	for e := range border.a {
		if u, v := border.a[e], border.b[e]; value[u] == value[v] {
			u, v = find(parent, u), find(parent, v)
			parent[max(u, v)] = min(u, v)
		}
	}
	of := make([]int32, len(parent))
	return of, numberRoots(of, parent)
}

// K returns how many values the layout has; some may have no shape.
func (l *Layout) K() int { return l.values }

// Cuts returns the limits between the values in L*, rising, one fewer than
// values. Between nested and least-error values a limit is shown halfway
// between the base values beside it.
func (l *Layout) Cuts() []palette.L { return slices.Clone(l.cuts) }

// Broken returns which of Cutting.Apart do not hold, rising: all that one value
// joins, pairs of one fixed value that meet, sides that were welded together, and
// some of those that are too many for the values. It must not be changed.
func (l *Layout) Broken() []int { return l.broken }

// Overruled returns which of Cutting.Fixed do not hold, rising: those of a shape
// that was fixed again later, and those that have half or less of a welded shape.
// It must not be changed.
func (l *Layout) Overruled() []int { return l.overruled }

// Most returns how many shapes the finest plan has, brush marks gone, whatever
// details add.
func (l *Layout) Most() int { return l.leftAfter(l.brush) }

// leftAfter returns the number of shapes after t flips.
func (l *Layout) leftAfter(t int) int {
	if t == 0 {
		return len(l.value)
	}
	return int(l.flips[t-1].left)
}

// Cost returns what the grouping of values costs: the mean square error of
// lightness in L*^2, and the mean square contrast lost along real edges, half
// of which is counted beside it when cuts are chosen.
func (l *Layout) Cost() (square, contrast float64) {
	set := uint8(0)
	for i := 1; i < len(l.group); i++ {
		if l.group[i] != l.group[i-1] {
			set |= 1 << (i - 1)
		}
	}
	return groupError(l.base.class, set), gaps(l.base).lost(l.base, set)
}
