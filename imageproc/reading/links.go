package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
)

// Darks is how the darks hang together: those of the darkest value, and the
// shadow family, all values on the dark side of the cut at which the plan's tones
// part best into two (least squared error of L* weighted by share; Otsu 1979, on
// tones).
type Darks struct{ Darkest, Shadow Linked }

// Lights is the same for the lightest value and for all that is not shadow.
type Lights struct{ Lightest, Light Linked }

// Linked is how the parts of one or more values hang together.
type Linked struct {
	Values int     // how many values these are; 0: there is no such family
	Share  float64 // of the picture
	Masses int     // parts, touching along a side, of at least 0.5 % of the picture; if none is, the largest counts
	Small  int     // parts below that
	// Largest is the share of the family that its largest part holds, 0..1; At a
	// place in it.
	Largest float64
	At      plan.Point
	// Gaps are the places where two of the masses almost link, within 1 % of the
	// long side, one a pair, narrowest first.
	Gaps []Gap
	// Reach is how near the largest part, with all that almost links with it,
	// comes to the focal point: share of the long side, 0 if the point lies on it;
	// -1 without a focal point in the crop or without a family. Reaches is whether
	// that is within the focal radius (FocalRadius).
	Reach   float64
	Reaches bool
}

// Gap is a place where two parts almost meet.
type Gap struct {
	Width float64 // between the nearest sides of pixels, share of the long side, 0 at a corner
	At    plan.Point
	A, B  plan.Point // places in the two parts
}

// Limits of masses and gaps, shares of the picture and of the long side. Source:
// ours.
const (
	leastMass = 0.005
	almost    = 0.01
)

// parting returns how many values are shadow: 1 to k-1, or with one value 1 if it
// is darker than middle grey and 0 if not.
func (s *scene) parting() int {
	k := len(s.d.Tones)
	if k == 1 {
		if s.d.Tones[0].Value() < 5 {
			return 1
		}
		return 0
	}
	spread := func(from, to int) float64 {
		n, sum, square := 0.0, 0.0, 0.0
		for v := from; v < to; v++ {
			w, t := s.shares[v], float64(s.d.Tones[v])
			n, sum, square = n+w, sum+float64(w*t), square+float64(w*t*t)
		}
		return square - ratio(sum*sum, n, 0)
	}
	best, least := 1, math.Inf(1)
	for cut := 1; cut < k; cut++ {
		if e := spread(0, cut) + spread(cut, k); e < least-1e-9 {
			best, least = cut, e
		}
	}
	return best
}

func (s *scene) darks() Darks {
	return Darks{s.linked(0, 1), s.linked(0, s.parting())}
}

func (s *scene) lights() Lights {
	k := len(s.d.Tones)
	return Lights{s.linked(k-1, k), s.linked(s.parting(), k)}
}

// linked measures how the values from..to-1 hang together.
func (s *scene) linked(from, to int) Linked {
	out := Linked{Values: to - from, Reach: -1}
	part, shares := s.partsOf(from, to)
	if len(shares) == 0 {
		return out
	}
	largest, in := 0, 0
	for i, v := range shares {
		out.Share += v
		if v >= leastMass {
			out.Masses++
		}
		if v > shares[largest] {
			largest = i
		}
	}
	out.Small = len(shares) - out.Masses
	if out.Masses == 0 {
		out.Masses, out.Small = 1, out.Small-1
	}
	out.Largest = shares[largest] / out.Share
	most, biggest := make([]float64, len(shares)), make([]int, len(shares))
	for i, p := range part {
		if p >= 0 && s.share[i] > most[p] {
			most[p], biggest[p] = s.share[i], i
		}
	}
	in = biggest[largest]
	out.At = s.on(in)

	group := newGroups(len(shares))
	for _, g := range s.gapsOf(part, func(p int32) bool { return shares[p] >= leastMass }) {
		group.join(g.a, g.c)
		out.Gaps = append(out.Gaps, Gap{g.width / s.long, s.at(g.at.x, g.at.y), s.on(biggest[g.a]), s.on(biggest[g.c])})
	}
	if s.hasFocal {
		chain := group.of(int32(largest))
		out.Reach = s.reach(func(shape int32) bool { return part[shape] >= 0 && group.of(part[shape]) == chain }) / s.long
		out.Reaches = out.Reach <= s.fr/s.long
	}
	return out
}

// partsOf numbers the connected parts of some values: part of each shape, -1 if
// it is of another value, and the share of each part.
func (s *scene) partsOf(from, to int) (part []int32, shares []float64) {
	n := len(s.share)
	part = make([]int32, n)
	mine := func(i int32) bool { v := s.d.Shapes[i].Value; return v >= from && v < to && s.share[i] > 0 }
	g := newGroups(n)
	for _, p := range s.pairs {
		if mine(p.a) && mine(p.b) {
			g.join(p.a, p.b)
		}
	}
	number := make([]int32, n)
	for i := range int32(n) {
		part[i] = -1
		if !mine(i) {
			continue
		}
		root := g.of(i)
		if root == i {
			number[i] = int32(len(shares))
			shares = append(shares, 0)
		}
		part[i] = number[root]
		shares[part[i]] += s.share[i]
	}
	return part, shares
}

// reach returns how far shapes lie from the focal point, pixels; 0 if it lies in
// one of them.
func (s *scene) reach(in func(shape int32) bool) float64 {
	if in(int32(s.shapeAt(s.fx, s.fy))) {
		return 0
	}
	least := math.Inf(1)
	for _, c := range s.cracks {
		if in(c.a) != in(c.b) {
			least = min(least, s.fromFocal(float64(c.x2)/2, float64(c.y2)/2))
		}
	}
	if math.IsInf(least, 1) {
		return s.long
	}
	return least
}

// groups is a union-find forest; the smallest number of a group stands for it.
type groups []int32

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = int32(i)
	}
	return g
}

func (g groups) of(i int32) int32 {
	for g[i] != i {
		g[i] = g[g[i]]
		i = g[i]
	}
	return i
}

func (g groups) join(a, b int32) {
	a, b = g.of(a), g.of(b)
	g[max(a, b)] = min(a, b)
}
