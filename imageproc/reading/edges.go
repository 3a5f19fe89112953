package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
)

// Side is a side of the picture.
type Side int

// The sides.
const (
	Left Side = iota
	Right
	Top
	Bottom
)

// String returns the side in words.
func (s Side) String() string { return [...]string{"left", "right", "upper", "lower"}[s] }

// cornerNames are the words for Corners.
var cornerNames = [...]string{"upper left", "upper right", "lower left", "lower right"}

// Edges is what happens along the picture's own edges. Source of what is asked:
// common practice, no source; the limits are ours.
type Edges struct {
	Sides   [4]Edge // by Side: the band within 5 % of the long side
	Corners [4]Edge // upper left, upper right, lower left, lower right: squares of 5 % of the long side
	// Tangents are the shapes that touch a side in passing, or come within 1 % of
	// it without touching, the largest first. A shape touches in passing if 2 % of
	// the long side farther in it is more than twice as wide as where it touches.
	Tangents []Tangent
	// Near are shapes that nowhere touch but almost do, within 1 % of the long
	// side and for at most 10 % of it, narrowest first. Parts of one value that
	// almost meet are among the Gaps of Darks and Lights instead.
	Near []Touch
	// Cuts are the shapes that a side cuts, by side, the largest first.
	Cuts []Cut
}

// Edge is the contrast along a side or in a corner.
type Edge struct {
	Share     float64 // of the picture's contrast that lies there, 0..1
	Area      float64 // share of the picture that it is: what Share would be if contrast lay everywhere alike
	Strongest Spot    // the strongest window with its middle there that is not at the focal point (as Contrast.Elsewhere); may be without a place
}

// Tangent is a shape that touches a side in passing.
type Tangent struct {
	Shape int
	Side  Side
	Gap   float64    // to the side, share of the long side; 0: it touches
	At    plan.Point // where it comes nearest
}

// Touch is two shapes that almost touch.
type Touch struct {
	A, B     int
	Gap      float64 // share of the long side
	At       plan.Point
	AtA, AtB plan.Point // places in the two shapes
}

// Cut is a shape that a side cuts.
type Cut struct {
	Shape int
	Side  Side
	Share float64 // of the side's length that the shape takes, 0..1
	// Depth is how far the shape comes in from the side, share of the picture's
	// width or height across that side, 0..1.
	Depth float64
	At    plan.Point // a place in the shape
}

const (
	edgeShare    = 0.05  // depth of the band, share of the long side
	tangentDeep  = 0.02  // where a shape that touches is measured again
	leastTouch   = 0.003 // shapes below that share of the picture are too small to be asked about
	touchLong    = 0.1   // longer narrow places run side by side and do not just touch
	tangentRatio = 0.5
)

func (s *scene) edges() Edges {
	var out Edges
	s.alongEdges(&out)
	out.Near = s.nearTouches()
	boxes := s.boxes()
	for side := Left; side <= Bottom; side++ {
		out.Tangents = append(out.Tangents, s.tangents(side, boxes)...)
		out.Cuts = append(out.Cuts, s.cutBy(side, boxes)...)
	}
	var sorted []Tangent
	for _, t := range out.Tangents {
		sorted = insert(sorted, t, func(a, b Tangent) bool { return s.share[a.Shape] > s.share[b.Shape] })
	}
	out.Tangents = sorted
	return out
}

// alongEdges gathers the contrast in the bands and corners.
func (s *scene) alongEdges(out *Edges) {
	band := edgeShare * s.long
	w, h := float64(s.w), float64(s.h)
	var sides, corners [4]int64
	for i, c := range s.cracks {
		x, y := float64(c.x2)/2, float64(c.y2)/2
		near := [4]bool{x <= band, w-x <= band, y <= band, h-y <= band}
		for k, in := range near {
			if in {
				sides[k] += s.contrasts[i]
			}
		}
		for k := range corners {
			if near[k%2] && near[2+k/2] {
				corners[k] += s.contrasts[i]
			}
		}
	}
	reach := [4]func(x, y float64) bool{
		func(x, _ float64) bool { return x <= band }, func(x, _ float64) bool { return w-x <= band },
		func(_, y float64) bool { return y <= band }, func(_, y float64) bool { return h-y <= band },
	}
	areas := [4]float64{min(1, band/w), min(1, band/w), min(1, band/h), min(1, band/h)}
	for k := range 4 {
		one := Edge{Share: ratio(float64(sides[k]), float64(s.all), 0), Area: areas[k]}
		one.Strongest, _, _ = s.spot(s.windows, func(x, y float64) bool { return reach[k](x, y) && s.elsewhere(x, y) })
		out.Sides[k] = one
		two := Edge{Share: ratio(float64(corners[k]), float64(s.all), 0), Area: areas[0] * areas[2]}
		two.Strongest, _, _ = s.spot(s.windows, func(x, y float64) bool { return reach[k%2](x, y) && reach[2+k/2](x, y) && s.elsewhere(x, y) })
		out.Corners[k] = two
	}
}

// edgeRow is the row of pixels that lies deep pixels in from a side, from the
// left or from the top.
func (s *scene) edgeRow(side Side, deep int) []int32 {
	m := s.d.Map
	switch side {
	case Top:
		return m.Row(min(deep, m.H-1))
	case Bottom:
		return m.Row(max(0, m.H-1-deep))
	}
	x := min(deep, m.W-1)
	if side == Right {
		x = m.W - 1 - x
	}
	row := make([]int32, m.H)
	for y := range row {
		row[y] = m.Pix[y*m.W+x]
	}
	return row
}

// onEdge returns the place that lies along pixels along a side and deep pixels in.
func (s *scene) onEdge(side Side, along, deep float64) plan.Point {
	switch side {
	case Left:
		return s.at(deep, along)
	case Right:
		return s.at(float64(s.w)-deep, along)
	case Top:
		return s.at(along, deep)
	}
	return s.at(along, float64(s.h)-deep)
}

// gapTo returns how far a shape stays from a side, pixels.
func (s *scene) gapTo(side Side, b bounds) int {
	switch side {
	case Left:
		return b.x0
	case Right:
		return s.w - b.x1
	case Top:
		return b.y0
	}
	return s.h - b.y1
}

// depthFrom returns how far in from a side a shape reaches, as a share of the
// picture.
func (s *scene) depthFrom(side Side, b bounds) float64 {
	switch side {
	case Left:
		return float64(b.x1) / float64(s.w)
	case Right:
		return float64(s.w-b.x0) / float64(s.w)
	case Top:
		return float64(b.y1) / float64(s.h)
	}
	return float64(s.h-b.y0) / float64(s.h)
}

// tangents finds the shapes that touch or almost touch a side in passing.
func (s *scene) tangents(side Side, boxes []bounds) []Tangent {
	var out []Tangent
	limit, deep := almost*s.long, int(math.Round(tangentDeep*s.long))
	rows := map[int][]int32{}
	row := func(at int) []int32 {
		if rows[at] == nil {
			rows[at] = s.edgeRow(side, at)
		}
		return rows[at]
	}
	for i, b := range boxes {
		gap := s.gapTo(side, b)
		if s.share[i] < leastTouch || float64(gap) > limit || deep < 1 {
			continue
		}
		if gap > 0 {
			// The longest stretch that comes nearest.
			from, to := longest(row(gap), int32(i))
			out = append(out, Tangent{i, side, float64(gap) / s.long, s.onEdge(side, float64(from+to)/2, float64(gap)+0.5)})
			continue
		}
		outer, inner := row(0), row(deep)
		stretches(outer, func(from, to int, id int32) {
			if int(id) == i && from > 0 && to < len(outer) && float64(to-from) < tangentRatio*float64(spread(inner, from, to, id)) {
				out = append(out, Tangent{i, side, 0, s.onEdge(side, float64(from+to)/2, 0.5)})
			}
		})
	}
	return out
}

// longest returns the longest stretch of a label in a row, the first of equals.
func longest(row []int32, label int32) (from, to int) {
	stretches(row, func(a, b int, id int32) {
		if id == label && b-a > to-from {
			from, to = a, b
		}
	})
	return from, to
}

// spread returns how wide a label is in a row, over the stretch from..to and what
// hangs together with it.
func spread(row []int32, from, to int, label int32) int {
	wide := 0
	stretches(row, func(a, b int, id int32) {
		if id == label && a < to && b > from {
			wide += b - a
		}
	})
	return wide
}

// cutBy lists the shapes that a side cuts.
func (s *scene) cutBy(side Side, boxes []bounds) []Cut {
	row := s.edgeRow(side, 0)
	taken := make(map[int32]int)
	var order []int32
	stretches(row, func(from, to int, id int32) {
		if taken[id] == 0 {
			order = append(order, id)
		}
		taken[id] += to - from
	})
	var out []Cut
	for _, id := range order {
		one := Cut{int(id), side, float64(taken[id]) / float64(len(row)), s.depthFrom(side, boxes[id]), s.on(int(id))}
		out = insert(out, one, func(a, b Cut) bool { return s.share[a.Shape] > s.share[b.Shape] })
	}
	return out
}
