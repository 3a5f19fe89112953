package mass

import (
	"fmt"
	"slices"

	"atelier/halflid/palette"
)

// Method is how base values are grouped into few values.
type Method int

const (
	// Nested: the cuts of K values are among those of K + 1.
	Nested Method = iota
	// LeastError: for each K the least error alone; cuts may jump with K.
	LeastError
	// EqualSteps: cuts at equal steps of L*.
	EqualSteps
	// ByHand: cuts where the painter put them.
	ByHand
)

// DefaultBrushMark is the share of the picture below which a shape is smaller
// than a brush mark.
const DefaultBrushMark = .0003

// Fixed is a base shape to which the painter gave a value: it keeps it, and
// only shapes of that value join it.
type Fixed struct {
	Shape int // see Base.At
	Value int // 0 the darkest
}

// Cutting says how base shapes get few values.
type Cutting struct {
	Values int // K, 1 or more
	Method Method
	// Hand are the K-1 cuts of ByHand in L*, rising. A base value lies above a
	// cut if its mean does.
	Hand []palette.L
	// BrushMark is the share of the picture, 0..1, that a shape must have to be
	// painted; smaller ones go first. Near the focal point it takes less area to
	// have it. DefaultBrushMark if zero, none if negative.
	BrushMark float64
	Fixed     []Fixed
}

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
	flips []flip
	joins []join
	brush int // flips that take brush marks away
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
// on fewer than one value, cuts by hand that do not fit, or a fixed shape or
// value that is not there. About a millisecond.
func (b *Base) Values(c Cutting) *Layout {
	if c.Values < 1 {
		panic(fmt.Sprintf("mass: %d values", c.Values))
	}
	l := &Layout{base: b}
	l.groupValues(c)
	l.fuse(c.Fixed)
	l.pullTogether(c)
	return l
}

// groupValues sets the value of each base value and where the cuts lie.
func (l *Layout) groupValues(c Cutting) {
	b, n := l.base, len(l.base.class)
	l.group = make([]int32, n)
	mean := groupMeans(b, 1<<(n-1)-1)
	switch c.Method {
	case Nested, LeastError:
		k := min(c.Values, n, mostValues)
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

// fuse joins touching base shapes of one value; a fixed shape has its own.
func (l *Layout) fuse(fixed []Fixed) {
	b := l.base
	value := make([]int32, len(b.shapes))
	for i := range value {
		value[i] = l.group[b.shapes[i].class]
	}
	for _, f := range fixed {
		if f.Shape < 0 || f.Shape >= len(value) || f.Value < 0 || f.Value >= l.values {
			panic(fmt.Sprintf("mass: base shape %d of %d fixed to value %d of %d", f.Shape, len(value), f.Value, l.values))
		}
		value[f.Shape] = int32(f.Value)
	}
	parent := make([]int32, len(value))
	for i := range parent {
		parent[i] = int32(i)
	}
	for e := range b.border.a {
		if u, v := b.border.a[e], b.border.b[e]; value[u] == value[v] {
			u, v = find(parent, u), find(parent, v)
			parent[max(u, v)] = min(u, v)
		}
	}
	l.fine = make([]int32, len(value))
	for i := range parent {
		if int(parent[i]) == i {
			l.fine[i] = int32(len(l.value))
			l.value = append(l.value, value[i])
		} else {
			l.fine[i] = l.fine[find(parent, int32(i))]
		}
	}
}

// K returns how many values the layout has; some may have no shape.
func (l *Layout) K() int { return l.values }

// Cuts returns the limits between the values in L*, rising, one fewer than
// values. Between nested and least-error values a limit is shown halfway
// between the base values beside it.
func (l *Layout) Cuts() []palette.L { return slices.Clone(l.cuts) }

// Most returns how many shapes the finest plan has, brush marks gone.
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
