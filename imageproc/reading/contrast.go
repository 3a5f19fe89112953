package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
)

// Contrast is where light and dark meet most. Strength is border length times
// the difference of the two tones in steps of Munsell value, gathered in a round
// window 6 % of the long side wide and divided by that width: one straight border
// of 5 steps right through the window has strength 5. Source: ours; that the
// strongest contrast belongs to the focal point is common practice.
type Contrast struct {
	// Total is border length times steps of value over the whole picture, length
	// as a share of the long side.
	Total float64
	// Strongest are up to three places, strongest first, two windows apart at
	// least; none if nothing differs.
	Strongest []Spot
	// Distance is how far the strongest lies from the focal point, share of the
	// long side; -1 if there is no focal point in the crop, or no contrast.
	Distance float64
	// Focal is the strongest within the focal radius, Elsewhere the strongest
	// outside it and a window's width or more from Focal, so that the two never are
	// one border; both without a place if there is no focal point in the crop.
	Focal, Elsewhere Spot
	// Stands are the shapes at the focal point that stand out from what lies
	// around them, the most clearly first, at most three.
	Stands []Stand
}

// Stand is how a shape stands out, within the focal radius, from the shapes
// beside it.
type Stand struct {
	Shape int
	At    plan.Point // in the shape and within the focal radius
	// Steps is the shape's tone less the mean tone beside it, by border length, in
	// steps of Munsell value: above 0 it is the lighter.
	Steps float64
	// Length of its border there, share of the long side.
	Length float64
}

// gather lays the contrast of all borders into the field and through the window.
func (s *scene) gather() {
	f := newField(s.w, s.h)
	s.contrasts = make([]int64, len(s.cracks))
	for i, c := range s.cracks {
		v := parts(c.length * steps(s.tone[c.a], s.tone[c.b]))
		s.contrasts[i] = v
		s.all += v
		f.add(float64(c.x2)/2, float64(c.y2)/2, v)
	}
	s.windows = f.gathered(s.windowPx / 2)
}

// strength returns a sum of parts in a window as a strength.
func (s *scene) strength(v int64) float64 { return float64(v) / unit / s.windowPx }

// spot returns the strongest place among those that may be taken.
func (s *scene) spot(f *field, may func(x, y float64) bool) (Spot, spot, bool) {
	x, y, v, ok := f.strongest(may)
	if !ok {
		return Spot{}, spot{}, false
	}
	return Spot{s.at(x, y), s.strength(v)}, spot{x, y}, true
}

func (s *scene) contrast() Contrast {
	out := Contrast{Total: float64(s.all) / unit / s.long, Distance: -1}
	var taken []spot
	for len(taken) < 3 {
		one, at, ok := s.spot(s.windows, func(x, y float64) bool {
			for _, t := range taken {
				if dx, dy := x-t.x, y-t.y; float64(dx*dx)+float64(dy*dy) < 4*s.windowPx*s.windowPx {
					return false
				}
			}
			return true
		})
		if !ok {
			break
		}
		taken, out.Strongest = append(taken, at), append(out.Strongest, one)
	}
	if !s.hasFocal {
		return out
	}
	if len(taken) > 0 {
		out.Distance = s.fromFocal(taken[0].x, taken[0].y) / s.long
	}
	out.Focal = s.focalSpot
	out.Elsewhere, _, _ = s.spot(s.windows, s.elsewhere)
	out.Stands = s.stands()
	return out
}

// leastStand is the share of the focal disc's width that the border of a shape
// must have to stand out there.
const leastStand = 0.1

// stands compares shapes with what lies beside them within the focal radius. Of
// two that differ by as much, to a hundredth of a step, the smaller one stands
// before the larger.
func (s *scene) stands() []Stand {
	n := len(s.share)
	length, other := make([]int64, n), make([]int64, n)
	for _, c := range s.cracks {
		if s.fromFocal(float64(c.x2)/2, float64(c.y2)/2) > s.fr {
			continue
		}
		add := func(one, two int32) {
			length[one] += parts(c.length)
			other[one] += parts(c.length * float64(s.tone[two]))
		}
		add(c.a, c.b)
		add(c.b, c.a)
	}
	var out []Stand
	for i, l := range length {
		px := float64(l) / unit
		if l == 0 || px < leastStand*2*s.fr {
			continue
		}
		one := Stand{i, plan.Point{}, float64(s.tone[i]) - float64(other[i])/float64(l), px / s.long}
		out = insert(out, one, func(a, b Stand) bool {
			if x, y := math.Round(100*math.Abs(a.Steps)), math.Round(100*math.Abs(b.Steps)); x != y {
				return x > y
			}
			return s.share[a.Shape] < s.share[b.Shape]
		})
	}
	out = out[:min(3, len(out))]
	for i := range out {
		out[i].At = s.onFocal(int32(out[i].Shape))
	}
	return out
}

// onFocal returns a place in a shape that lies in part within the focal radius:
// the middle of its longest stretch there in a row, of equals of the one nearest
// to the focal point, then of the upper and the left one.
func (s *scene) onFocal(shape int32) plan.Point {
	long, off, at := 0, 0.0, s.inside[shape]
	for y := max(0, int(s.fy-s.fr)); y < min(s.h, int(s.fy+s.fr)+1); y++ {
		dy := float64(y) + 0.5 - s.fy
		half := math.Sqrt(max(0, float64(s.fr*s.fr)-float64(dy*dy)))
		from, to := max(0, int(math.Ceil(s.fx-half-0.5))), min(s.w, int(math.Floor(s.fx+half-0.5))+1)
		if from >= to {
			continue
		}
		stretches(s.d.Map.Row(y)[from:to], func(x0, x1 int, id int32) {
			if id != shape || x1-x0 < long {
				return
			}
			place := spot{float64(2*from+x0+x1) / 2, float64(y) + 0.5}
			if d := s.fromFocal(place.x, place.y); x1-x0 > long || d < off-1e-9 {
				long, off, at = x1-x0, d, place
			}
		})
	}
	return s.at(at.x, at.y)
}
