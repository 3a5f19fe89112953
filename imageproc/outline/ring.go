// Package outline is the geometry of outlines: from marked pixels to closed
// rings of points and back, and how deep inside or how far outside a pixel lies.
// It knows nothing of values, shapes or plans.
package outline

import (
	"fmt"
	"math"
)

// Point is a place in pixels: pixel x covers X from x to x+1, so its middle lies
// at x+0.5. Y runs downwards.
type Point struct{ X, Y float64 }

// Ring is a closed line through its points: the last is joined to the first and
// is not the same point again.
type Ring []Point

// maxCoordinate bounds what a point may be, far above any picture, so that no
// product of two coordinates overflows or loses whole pixels.
const maxCoordinate = 1e7

// check panics on points that lie nowhere.
func (r Ring) check() {
	for _, p := range r {
		if !(math.Abs(p.X) <= maxCoordinate && math.Abs(p.Y) <= maxCoordinate) {
			panic(fmt.Sprintf("outline: point at %v, %v", p.X, p.Y))
		}
	}
}

// Area returns the area inside r in square pixels: positive if r runs clockwise
// as seen on the screen (Y down), as the outlines that Trace returns do, and
// negative for the other way, as their holes. A ring that crosses itself counts
// its parts each with its own sign; fewer than three points have none. Source:
// the shoelace formula (Meister 1769, Gauss).
func Area(r Ring) float64 {
	area, _, _ := moments(r)
	return area
}

// Length returns the length of r in pixels, the side that closes it included; 0
// for fewer than two points.
func Length(r Ring) float64 {
	sum := 0.0
	for i, p := range r {
		q := r[next(i, len(r))]
		sum += math.Hypot(q.X-p.X, q.Y-p.Y)
	}
	return sum
}

// Centroid returns the centre of gravity of the area inside r; of its corners if
// the area is 0. It panics on an empty ring. Source: the moments of the shoelace
// triangles (Bashein and Detmer 1994).
func Centroid(r Ring) Point {
	if len(r) == 0 {
		panic("outline: centre of an empty ring")
	}
	area, mx, my := moments(r)
	if area == 0 {
		x, y := 0.0, 0.0
		for _, p := range r {
			x, y = x+p.X, y+p.Y
		}
		return Point{x / float64(len(r)), y / float64(len(r))}
	}
	return Point{r[0].X + mx/area, r[0].Y + my/area}
}

// moments returns the area and the first moments about r's first point: small
// numbers, so that a ring far from the corner of the picture loses nothing.
func moments(r Ring) (area, mx, my float64) {
	for i, p := range r {
		q := r[next(i, len(r))]
		px, py, qx, qy := p.X-r[0].X, p.Y-r[0].Y, q.X-r[0].X, q.Y-r[0].Y
		twice := float64(px*qy) - float64(qx*py)
		area += twice / 2
		mx += float64(twice*(px+qx)) / 6
		my += float64(twice*(py+qy)) / 6
	}
	return area, mx, my
}

func next(i, n int) int {
	if i+1 == n {
		return 0
	}
	return i + 1
}
