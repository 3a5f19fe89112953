package plan

import (
	"fmt"

	"atelier/halflid/palette"
)

// linkSteps are how much lighter the limit of the darkest value is made, in
// Munsell value, so that more of the darks run together. Source: ours.
var linkSteps = []palette.Value{0.5, 1}

// Variations returns plans to try beside p, each named for what is different in
// it: other numbers of values, a stronger and a weaker squint, other panels
// through the focal point (or about the middle), and darks that link more
// strongly. cuts are the limits between the values that p has now, dark to
// light, from which the last start; without them they are left away. The crop
// of another panel keeps its area and the focal point its place in the crop, as
// far as the photo goes. No two are equal, and none is p.
func Variations(p Plan, f Frame, cuts []palette.Value) []Thumbnail {
	p = Fit(p, f)
	var out []Thumbnail
	add := func(name string, q Plan) {
		q = Fit(q, f)
		if q == p {
			return
		}
		for _, t := range out {
			if t.Plan == q {
				return
			}
		}
		out = append(out, Thumbnail{Name: name, Plan: q})
	}
	for k, word := range []string{2: "two values", 3: "three values", 4: "four values"} {
		if word != "" {
			add(word, SetK(k)(p, f))
		}
	}
	add("more squint", SetSquint(max(2*p.Squint, 0.5))(p, f))
	add("less squint", SetSquint(p.Squint/2)(p, f))
	turned := Turn(p, f)
	add(turned.Panel.String(), turned.through(p, f))
	for _, panel := range []Panel{{Short: 6, Long: 6, Unit: Inch}, {Short: 5, Long: 7, Unit: Inch}, {Short: 6, Long: 8, Unit: Inch}, {Short: 8, Long: 10, Unit: Inch}} {
		q := SetPanel(panel)(p, f)
		add(q.Panel.String(), q.through(p, f))
	}
	if len(cuts) == p.Values.K-1 {
		for _, step := range linkSteps {
			add(fmt.Sprintf("darks reach +%.1f", float64(step)), MoveCut(cuts, 0, step)(p, f))
		}
	}
	return out
}

// through moves the crop so that the focal point lies where it lies in the crop
// of was.
func (p Plan) through(was Plan, f Frame) Plan {
	if p.Focus.None() {
		return p
	}
	x0, y0, x1, y1 := was.Rect(f.Photo)
	px, py := (p.Focus.X-x0)/(x1-x0), (p.Focus.Y-y0)/(y1-y0)
	p.Crop.X = p.Focus.X - float64(px*p.Crop.W)
	p.Crop.Y = p.Focus.Y - float64(py*p.height(f))
	return Fit(p, f)
}
