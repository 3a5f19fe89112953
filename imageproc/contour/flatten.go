package contour

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc/outline"
)

// mostPieces bounds the lines that one curve is broken into.
const mostPieces = 512

// pieces returns into how many lines s is broken so that none lies farther than
// tolerance from the curve. Source: the bound on a chord by the second derivative
// (Wang 1984), as in Farin 2002, Curves and Surfaces for CAGD.
func (s *Segment) pieces(tolerance float64) int {
	if s.Straight {
		return 1
	}
	a := Point{s.From.X - 2*s.C1.X + s.C2.X, s.From.Y - 2*s.C1.Y + s.C2.Y}
	b := Point{s.C1.X - 2*s.C2.X + s.To.X, s.C1.Y - 2*s.C2.Y + s.To.Y}
	bend := max(length(a), length(b))
	n := math.Ceil(math.Sqrt(0.75 * bend / tolerance))
	return int(min(max(n, 1), mostPieces))
}

// Flatten returns the chains as polylines in pixels, one for each of m.Chains, no
// place of a curve farther than tolerance from its polyline (for curves that
// need more than 512 lines for that, 512). Neighbours share them, so whatever the
// tolerance nothing gapes; up to a tolerance of 0.05 none crosses another. The
// first point of a closed one is also its last. It panics if tolerance is not
// above 0.
func (m *Map) Flatten(tolerance float64) [][]Point {
	checkTolerance(tolerance)
	out := make([][]Point, len(m.Chains))
	for i, c := range m.Chains {
		out[i] = appendFlat(nil, c.Segments, tolerance)
	}
	return out
}

// Flat returns segments that join end to end into a ring, as Rings gives them, as
// straight lines, as Flatten does.
func Flat(ring []Segment, tolerance float64) outline.Ring {
	checkTolerance(tolerance)
	flat := appendFlat(nil, ring, tolerance)
	out := make(outline.Ring, max(0, len(flat)-1))
	for i := range out {
		out[i] = outline.Point(flat[i])
	}
	return out
}

func checkTolerance(tolerance float64) {
	if !(tolerance > 0) {
		panic(fmt.Sprintf("contour: flattened with a tolerance of %v", tolerance))
	}
}

// appendFlat puts the same points for a curve walked either way.
func appendFlat(dst []Point, segments []Segment, tolerance float64) []Point {
	for i := range segments {
		s := &segments[i]
		if i == 0 {
			dst = append(dst, s.From)
		}
		n := s.pieces(tolerance)
		for k := 1; k < n; k++ {
			dst = append(dst, s.At(float64(k)/float64(n)))
		}
		dst = append(dst, s.To)
	}
	return dst
}
