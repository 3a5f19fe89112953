package contour

import (
	"sort"
)

// border is one chain as the pixels have it, and what is known of smoothing it.
type border struct {
	closed, edge bool
	left, right  int
	from, to     int     // joints; -1 for a closed one
	at           []Point // its corners, both ends too; a closed one ends where it begins
	along        []float64
	sums         []moments // up to each corner, about at[0]
	level        []uint8   // how closely each corner is followed
	limit        []float64 // tolerance at each corner

	corners  []int  // of the polygon, as places in at
	lines    []line // least squares of its sides
	segments []Segment
	reach    []float64 // how far along the border each segment ends
	begin    float64   // where the first begins
	flat     []Point   // the segments as a fine polyline
	place    []float64 // of each of its points along the border, nearly
}

// moments are integrals along the pixel sides, and the area swept from at[0].
type moments struct{ l, x, y, xx, xy, yy, area float64 }

func newBorder(at []Point) *border {
	b := &border{at: at, along: make([]float64, len(at)), sums: make([]moments, len(at)), level: make([]uint8, len(at))}
	var m moments
	for i := 1; i < len(at); i++ {
		p, q := minus(at[i-1], at[0]), minus(at[i], at[0])
		l := distance(p, q)
		m.l += l
		m.x += l * (p.X + q.X) / 2
		m.y += l * (p.Y + q.Y) / 2
		m.xx += l * (float64(p.X*p.X) + float64(p.X*q.X) + float64(q.X*q.X)) / 3
		m.yy += l * (float64(p.Y*p.Y) + float64(p.Y*q.Y) + float64(q.Y*q.Y)) / 3
		m.xy += l * (float64(2*p.X*p.Y) + float64(p.X*q.Y) + float64(q.X*p.Y) + float64(2*q.X*q.Y)) / 6
		m.area += cross(p, q) / 2
		b.sums[i] = m
		b.along[i] = m.l
	}
	return b
}

func (b *border) length() float64 { return b.along[len(b.along)-1] }

// pointAt returns the place on the pixel border s pixels along it; a closed one
// goes on round.
func (b *border) pointAt(s float64) Point {
	p, _ := b.walk(s)
	return p
}

// walk returns that place and the area swept up to it from at[0].
func (b *border) walk(s float64) (Point, float64) {
	area, total := 0.0, b.length()
	for s > total && b.closed {
		s -= total
		area += b.sums[len(b.sums)-1].area
	}
	i := b.corner(s)
	p, q := b.at[i], b.at[i+1]
	r := between(p, q, min((s-b.along[i])/(b.along[i+1]-b.along[i]), 1))
	return r, area + b.sums[i].area + cross(minus(p, b.at[0]), minus(r, b.at[0]))/2
}

// corner returns the last corner at or before s that another follows.
func (b *border) corner(s float64) int {
	i := sort.SearchFloat64s(b.along, s)
	if i > 0 && (i == len(b.along) || b.along[i] > s) {
		i--
	}
	return min(i, len(b.along)-2)
}

// swept returns the area between the pixel border from s to t and the straight
// line from p to q, its ends being joined to p and q by straight lines.
func (b *border) swept(s, t float64, p, q Point) float64 {
	u, au := b.walk(s)
	v, av := b.walk(t)
	o := b.at[0]
	p, q, u, v = minus(p, o), minus(q, o), minus(u, o), minus(v, o)
	return (cross(p, u)+cross(v, q)+cross(q, p))/2 + av - au
}

// line is a straight line through mean in a direction of length 1.
type line struct{ mean, way Point }

// fitLine returns the line of least squares of the pixel sides between corners i
// and j, pointing from i to j.
func (b *border) fitLine(i, j int) line {
	p, q := b.sums[i], b.sums[j]
	l := q.l - p.l
	mx, my := (q.x-p.x)/l, (q.y-p.y)/l
	xx := (q.xx-p.xx)/l - float64(mx*mx)
	yy := (q.yy-p.yy)/l - float64(my*my)
	xy := (q.xy-p.xy)/l - float64(mx*my)
	return line{Point{b.at[0].X + mx, b.at[0].Y + my}, principal(xx, xy, yy, minus(b.at[j], b.at[i]))}
}
