package contour

import "math"

// span is a stretch of border between two places with known directions that one
// curve is to follow.
type span struct {
	from, to        Point
	leaving, coming Point // unit vectors, both forwards
	area            float64
	samples         []sample
	start, end      float64 // of the samples' way
	aim             float64
}

// sample is a place on the pixel border and how far it is along the polygon.
type sample struct {
	at  Point
	way float64
}

// Limits of a curve, in parts of the polygon's length: longer handles make loops,
// shorter ones kinks.
const (
	shortHandle = 0.04
	longHandle  = 0.75
)

// fit returns the curve of the least squared distance from the samples among
// those that enclose the border's area, and whether it is near enough. Source:
// Schneider 1990, "An algorithm for automatically fitting digitized curves"
// (least squares for two handles, places found again by Newton's method); that
// the area is kept as in Selinger 2003, section 2.4.
func (s *span) fit() (Segment, bool) {
	d := minus(s.to, s.from)
	way := s.end - s.start
	var us [64]float64
	n := len(s.samples)
	stride := (n + len(us) - 1) / len(us)
	stride = max(stride, 1)
	m := 0
	for i := stride / 2; i < n; i += stride {
		us[m] = (s.samples[i].way - s.start) / way
		m++
	}
	var c Segment
	for round := range 2 {
		a, b, ok := s.handles(us[:m], stride)
		if !ok {
			a, b = way/3, way/3
		}
		a, b = s.keepArea(a, b, d, way)
		c = Segment{s.from, plus(s.from, a, s.leaving), plus(s.to, -b, s.coming), s.to, false}
		if a < shortHandle*way || b < shortHandle*way || a > longHandle*way || b > longHandle*way {
			return c, false
		}
		if round == 0 {
			for k := range m {
				us[k] = nearer(&c, s.samples[stride/2+k*stride].at, us[k])
			}
		}
	}
	left := s.area - c.sweep(s.from)
	if math.Abs(left) > 0.1*way+0.02 {
		return c, false
	}
	sum := 0.0
	for k := range m {
		p := s.samples[stride/2+k*stride].at
		off := minus(c.At(us[k]), p)
		slope := unit(c.slope(us[k]))
		e := math.Abs(cross(off, slope))
		if e > s.aim {
			return c, false
		}
		sum += float64(e * e)
	}
	return c, sum <= float64(m)*(s.aim*s.aim)/4
}

// handles solves the normal equations for the lengths of the two handles.
func (s *span) handles(us []float64, stride int) (a, b float64, ok bool) {
	var c11, c12, c22, x1, x2 float64
	for k, u := range us {
		v := 1 - u
		b0, b1, b2, b3 := v*v*v, 3*v*v*u, 3*v*u*u, u*u*u
		p := s.samples[stride/2+k*stride].at
		r := Point{
			p.X - float64((b0+b1)*s.from.X) - float64((b2+b3)*s.to.X),
			p.Y - float64((b0+b1)*s.from.Y) - float64((b2+b3)*s.to.Y),
		}
		c11 += float64(b1 * b1)
		c12 += float64(b1 * b2)
		c22 += float64(b2 * b2)
		x1 += float64(b1 * dot(s.leaving, r))
		x2 -= float64(b2 * dot(s.coming, r))
	}
	c12 *= -dot(s.leaving, s.coming)
	det := float64(c11*c22) - float64(c12*c12)
	if det < 1e-9*c11*c22 || c11 == 0 || c22 == 0 {
		return 0, 0, false
	}
	return (float64(c22*x1) - float64(c12*x2)) / det, (float64(c11*x2) - float64(c12*x1)) / det, true
}

// keepArea changes the handles as little as it can so that the curve encloses the
// border's area; where hardly any length would do it leaves them.
func (s *span) keepArea(a, b float64, d Point, way float64) (float64, float64) {
	td, cd, tc := cross(s.leaving, d), cross(s.coming, d), cross(s.leaving, s.coming)
	for range 3 {
		off := s.area - (6*a*td-3*a*b*tc-6*b*cd)/20
		da, db := (6*td-3*b*tc)/20, (-6*cd-3*a*tc)/20
		g := float64(da*da) + float64(db*db)
		if g < 1e-4*way*way {
			return a, b
		}
		a, b = a+off*da/g, b+off*db/g
	}
	return a, b
}

// slope returns the derivative at t.
func (s *Segment) slope(t float64) Point {
	u := 1 - t
	a, b, c := minus(s.C1, s.From), minus(s.C2, s.C1), minus(s.To, s.C2)
	return Point{
		3 * (float64(u*u*a.X) + float64(2*u*t*b.X) + float64(t*t*c.X)),
		3 * (float64(u*u*a.Y) + float64(2*u*t*b.Y) + float64(t*t*c.Y)),
	}
}

// nearer returns a better guess of where c is nearest to p: one step of Gauss and
// Newton.
func nearer(c *Segment, p Point, t float64) float64 {
	d := c.slope(t)
	g := dot(d, d)
	if g == 0 {
		return t
	}
	return min(max(t-dot(minus(c.At(t), p), d)/g, 0), 1)
}

// round returns the curve about one corner of the polygon that encloses the
// border's area as nearly as its form allows: within the triangle of its ends and
// the corner, it can neither loop nor leave. Source: Selinger 2003, section 2.3.3.
func (s *span) round(corner Point) Segment {
	a, b := minus(corner, s.from), minus(corner, s.to)
	// With both handles k of the way to the corner the area is (12k - 3k^2)/20 of
	// the parallelogram of its sides.
	whole := cross(a, minus(s.to, s.from))
	k := 0.8
	if whole != 0 {
		want := min(max(s.area*20/(3*whole), 0), 4)
		k = 2 - math.Sqrt(max(4-want, 0))
	}
	k = min(max(k, 0.55), 1)
	return Segment{s.from, plus(s.from, k, a), plus(s.to, k, b), s.to, false}
}
