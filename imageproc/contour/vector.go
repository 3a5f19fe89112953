package contour

import "math"

func minus(a, b Point) Point { return Point{a.X - b.X, a.Y - b.Y} }
func plus(a Point, k float64, d Point) Point {
	return Point{a.X + float64(k*d.X), a.Y + float64(k*d.Y)}
}
func cross(a, b Point) float64    { return float64(a.X*b.Y) - float64(a.Y*b.X) }
func dot(a, b Point) float64      { return float64(a.X*b.X) + float64(a.Y*b.Y) }
func length(a Point) float64      { return math.Sqrt(dot(a, a)) }
func distance(a, b Point) float64 { return length(minus(a, b)) }

// between returns the place t of the way from a to b; exactly b at 1.
func between(a, b Point, t float64) Point {
	if t == 1 {
		return b
	}
	return plus(a, t, minus(b, a))
}

// unit returns the direction of a, or the zero vector.
func unit(a Point) Point {
	l := length(a)
	if l == 0 {
		return Point{}
	}
	return Point{a.X / l, a.Y / l}
}

// toSegment returns the distance from p to the straight line from a to b.
func toSegment(p, a, b Point) float64 {
	d := minus(b, a)
	long := dot(d, d)
	if long == 0 {
		return distance(p, a)
	}
	t := min(max(dot(minus(p, a), d)/long, 0), 1)
	return distance(p, plus(a, t, d))
}
