package outline

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc"
)

// leastTolerance is below what any step of pixels needs to be left as it is.
const leastTolerance = 0.3

// Faithful is Simplify that spares what is thin: each ring for itself is
// simplified by tolerance, or half of it, a quarter and so on, until the pixels
// inside it agree with those that were (intersection over union, 0..1) at least
// to agreement; a ring that never does, none being left, stays as it is. No ring
// that has pixels is dropped, so a thin hole stays a hole. Rings without pixels
// are as after Simplify. It panics as Simplify does, and on an agreement outside
// 0..1. Source: ours (TestFaithful).
func Faithful(rings []Ring, tolerance, agreement float64) []Ring {
	if !(agreement >= 0 && agreement <= 1) {
		panic(fmt.Sprintf("outline: agreement %v", agreement))
	}
	var out []Ring
	for _, r := range rings {
		out = append(out, faithful(r, tolerance, agreement)...)
	}
	return out
}

func faithful(r Ring, tolerance, agreement float64) []Ring {
	one := []Ring{r}
	simple := Simplify(one, tolerance) // checks the points
	if len(r) == 0 {
		return nil
	}
	was, some := pixelsIn(r, r)
	if !some {
		return simple
	}
	for {
		if len(simple) > 0 {
			if is, _ := pixelsIn(simple[0], r); agreementOf(was, is) >= agreement {
				return simple
			}
		}
		if tolerance /= 2; tolerance < leastTolerance {
			return []Ring{append(Ring(nil), r...)}
		}
		simple = Simplify(one, tolerance)
	}
}

// pixelsIn marks the pixels inside r within the bounds of another ring, and
// reports whether there are any.
func pixelsIn(r, bounds Ring) (m imageproc.Mask, some bool) {
	lo, hi := bounds[0], bounds[0]
	for _, p := range bounds {
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	lo = Point{math.Floor(lo.X), math.Floor(lo.Y)}
	m = imageproc.NewMask(int(math.Ceil(hi.X-lo.X)), int(math.Ceil(hi.Y-lo.Y)))
	at := make(Ring, len(r))
	for i, p := range r {
		at[i] = Point{p.X - lo.X, p.Y - lo.Y}
	}
	Fill(m, []Ring{at})
	for _, in := range m.Pix {
		if in {
			return m, true
		}
	}
	return m, false
}

// agreementOf returns the intersection of two masks of one size over their union.
func agreementOf(a, b imageproc.Mask) float64 {
	both, either := 0, 0
	for i, in := range a.Pix {
		if in && b.Pix[i] {
			both++
		}
		if in || b.Pix[i] {
			either++
		}
	}
	return float64(both) / float64(either)
}
