// Package contour turns labels into outlines that can be drawn: every border
// between two regions becomes one chain of straight lines and cubic Bézier
// curves, which both neighbours share, so that nothing gapes or overlaps. It
// knows nothing of values, plans or paper.
package contour

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc"
)

// Point is a place in pixels of the labels: pixel x covers X from x to x+1.
type Point struct{ X, Y float64 }

// Outside is the region beyond the picture's edge.
const Outside = -1

// Map is the outlines of labels. All coordinates are pixels of the labels. It is
// not changed after Trace and may be read by several at once; its slices are its
// own.
type Map struct {
	W, H    int
	Regions []Region // in raster order of their first pixels
	Chains  []Chain  // those between junctions first, then closed ones
	Level   Level

	labels imageproc.Labels // the region of each pixel
	joints []joint
	leaves []leaving // per half of a chain: twice the chain, odd if walked backwards
	starts [][]int32 // per region: one half of a chain for each of its rings
}

// Region is pixels of one label that touch along a side.
type Region struct {
	Label  int32
	Pixels int
	Area   float64 // inside the curves, square pixels
}

// Chain is one border, traced once: Left and Right are the regions beside it,
// walking from its first point to its last with Y downwards.
type Chain struct {
	Left, Right int       // regions; one of them Outside along the picture's edge
	Segments    []Segment // joined end to end; the last of a closed chain ends where the first begins
	Closed      bool      // a loop that meets no junction
	Edge        bool      // runs along the picture's edge
	Length      int       // of the border that it follows, pixel sides
}

// Level counts what had to be kept closer to the pixels than a smooth line is.
type Level struct {
	Junctions int // where chains meet; fixed before smoothing
	Sides     int // pixel sides of all chains that are not along the picture's edge
	Closer    int // of these, kept within half a pixel
	AsPixels  int // of these, left as they are
}

// Segment is a cubic Bézier curve from From to To; a straight line if Straight,
// its controls then lie at thirds of the way.
type Segment struct {
	From, C1, C2, To Point
	Straight         bool
}

func straight(a, b Point) Segment {
	third := func(p, q Point) Point {
		return Point{p.X + (q.X-p.X)/3, p.Y + (q.Y-p.Y)/3}
	}
	return Segment{a, third(a, b), third(b, a), b, true}
}

// Reverse returns the same curve walked from To to From.
func (s Segment) Reverse() Segment {
	return Segment{s.To, s.C2, s.C1, s.From, s.Straight}
}

// At returns the point at t, 0 (From) to 1 (To).
func (s Segment) At(t float64) Point {
	u := 1 - t
	b0, b1, b2, b3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return Point{
		float64(b0*s.From.X) + float64(b1*s.C1.X) + float64(b2*s.C2.X) + float64(b3*s.To.X),
		float64(b0*s.From.Y) + float64(b1*s.C1.Y) + float64(b2*s.C2.Y) + float64(b3*s.To.Y),
	}
}

// sweep returns the area that the line from o to the moving point of the curve
// sweeps over, positive clockwise on the screen: summed over closed rings their
// area, whatever o. Source: Green's theorem on the Bernstein polynomials.
func (s Segment) sweep(o Point) float64 {
	a, b, c, d := minus(s.From, o), minus(s.C1, o), minus(s.C2, o), minus(s.To, o)
	return (6*cross(a, b) + 3*cross(a, c) + cross(a, d) + 3*cross(b, c) + 3*cross(b, d) + 6*cross(c, d)) / 20
}

// Options says how closely Trace keeps to the pixels.
type Options struct {
	// Tolerance is how far a line may lie from the border of the pixels, in
	// pixels. 0 stands for 0.4 % of the long side, at least 0.75. Lines keep much
	// closer than that where nothing forces them away.
	Tolerance float64
	// Near gives a smaller tolerance for some places (near a focal point), in
	// pixels; nil for none. It must give the same for the same place. Below 0.36
	// the border is left as the pixels have it: no slanting line is nearer.
	Near func(x, y float64) float64
}

// leastTolerance lets lines slant in pictures however small.
const leastTolerance = 0.75

func (o Options) tolerance(w, h int) float64 {
	if math.IsNaN(o.Tolerance) || o.Tolerance < 0 {
		panic(fmt.Sprintf("contour: tolerance %v", o.Tolerance))
	}
	if o.Tolerance == 0 {
		return max(leastTolerance, 0.004*float64(max(w, h)))
	}
	return o.Tolerance
}
