package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
)

// Placement is where the focal point lies and how the masses balance.
type Placement struct {
	// Left, Right, Top, Bottom are the focal point's distances from the sides, in
	// fractions of the picture's width or height, 0..1; 0 without a focal point in
	// the crop.
	Left, Right, Top, Bottom float64
	// Middle is whether it lies within 5 % of the middle both ways.
	Middle bool

	// The weight of a place is how far its tone lies from the ground, the value
	// with the largest share. LeftWeight and TopWeight are the shares of all weight
	// in the left and in the upper half, 0..1; both 0.5 if nothing weighs.
	LeftWeight, TopWeight float64
	// Balance is where the weight balances, the picture's middle if nothing
	// weighs; Off how far that lies from the middle, share of the long side.
	// Source: weight by area and difference from the ground: ours, after the
	// steelyard of Poore 1903 (from memory).
	Balance plan.Point
	Off     float64
}

// middleShare is how near the middle is the middle. Source: ours.
const middleShare = 0.05

func (s *scene) placement() Placement {
	var out Placement
	if s.hasFocal {
		x, y := s.fx/float64(s.w), s.fy/float64(s.h)
		out.Left, out.Right, out.Top, out.Bottom = x, 1-x, y, 1-y
		out.Middle = math.Abs(x-0.5) <= middleShare && math.Abs(y-0.5) <= middleShare
	}
	ground := 0
	for v, share := range s.shares {
		if share > s.shares[ground] {
			ground = v
		}
	}
	base := s.d.Tones[ground].Value()
	// Sums of pixels by value are whole numbers. Places are counted in half
	// pixels from the middle, so that the mirrored picture has the mirrored sums.
	k := len(s.shares)
	n, left, top, sx, sy := make([]int, k), make([]int, k), make([]int, k), make([]int, k), make([]int, k)
	for y := range s.h {
		v := 2*y + 1 - s.h
		upper := 1 - sign(v) // of 2: all, half or nothing of the row
		stretches(s.d.Map.Row(y), func(x0, x1 int, id int32) {
			c, count := s.d.Shapes[id].Value, x1-x0
			n[c] += count
			top[c] += upper * count
			left[c] += max(0, min(2*x1, s.w)-min(2*x0, s.w))
			sx[c] += count * (x0 + x1 - s.w)
			sy[c] += count * v
		})
	}
	var all, l, t, x, y float64
	for c := range k {
		w := steps(s.d.Tones[c].Value(), base)
		all += float64(w * float64(n[c]))
		l += float64(w*float64(left[c])) / 2
		t += float64(w*float64(top[c])) / 2
		x += float64(w*float64(sx[c])) / 2
		y += float64(w*float64(sy[c])) / 2
	}
	out.LeftWeight, out.TopWeight = ratio(l, all, 0.5), ratio(t, all, 0.5)
	x, y = ratio(x, all, 0), ratio(y, all, 0)
	out.Balance = s.at(float64(s.w)/2+x, float64(s.h)/2+y)
	out.Off = math.Hypot(x, y) / s.long
	return out
}

func sign(v int) int { return min(max(v, -1), 1) }
