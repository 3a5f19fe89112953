package mass

import (
	"fmt"

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
// only shapes of that value join it. Of two for one shape the later holds.
type Fixed struct {
	Shape int // see Base.At
	Value int // 0 the darkest
}

// Pair is two sets of base shapes that must not become one shape: no shape of
// any plan holds one of A and one of B, whether they touch or something else
// would join them around a corner.
type Pair struct{ A, B []int }

// Detail is a set of base shapes with a number of shapes of its own: at most
// Most, 1 or more, whatever the number of the whole plan.
type Detail struct {
	Shapes []int
	Most   int
}

// Cutting says how base shapes get few values, and what the painter decided
// about single ones. The sets of one field have no base shape in common.
type Cutting struct {
	Values int // K, 1 or more
	Method Method
	// Hand are the K-1 cuts of ByHand in L*, rising. A base value lies above a
	// cut if its mean does.
	Hand []palette.L
	// BrushMark is the share of the picture, 0..1, that a shape must have to be
	// painted; smaller ones go first, and so do those narrower than half of the
	// brush, whose width is the root of that area. Far from the focal point it
	// takes more of both. DefaultBrushMark if zero, none if negative.
	BrushMark float64
	Fixed     []Fixed
	// Weld are sets of base shapes; those of one set that touch, directly or over
	// others of the set, are one shape in every plan (see the package).
	Weld   [][]int
	Apart  []Pair
	Detail []Detail
}

// check panics if c does not fit a layout of values values on n base shapes.
func (c *Cutting) check(n, values int) {
	within := func(what string, shapes []int) {
		for _, s := range shapes {
			if s < 0 || s >= n {
				panic(fmt.Sprintf("mass: %s base shape %d of %d", what, s, n))
			}
		}
	}
	for _, f := range c.Fixed {
		if f.Shape < 0 || f.Shape >= n || f.Value < 0 || f.Value >= values {
			panic(fmt.Sprintf("mass: base shape %d of %d fixed to value %d of %d", f.Shape, n, f.Value, values))
		}
	}
	for _, set := range c.Weld {
		within("weld", set)
	}
	for _, p := range c.Apart {
		within("apart", p.A)
		within("apart", p.B)
	}
	for _, d := range c.Detail {
		within("detail of", d.Shapes)
		if d.Most < 1 {
			panic(fmt.Sprintf("mass: detail of %d shapes", d.Most))
		}
	}
}
