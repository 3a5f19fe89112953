package study

import (
	"fmt"
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// markStep is how much lighter or darker a mark is than what it lies on, in
// Munsell value: faint, and seen on every value.
const markStep palette.Value = 1.5

// MarkGoing outlines, on a raster of the Plan view, the places that would change
// their value if the plan were pulled together to at most wanted shapes: nothing
// if it has no more than that. It panics if wanted is less than 1 or if Plan was
// not made.
func (s *Study) MarkGoing(r imageproc.Raster, wanted int) {
	s.check(Plan)
	g := &s.desk.shapes.drawing
	if wanted < 1 {
		panic(fmt.Sprintf("study: plan of %d shapes", wanted))
	}
	if wanted >= len(g.plan.Shapes) {
		return
	}
	next := s.desk.smoothed(g.layout, g.layout.Shapes(imageproc.Labels{}, wanted), g.brush)
	after := valuesOf(imageproc.Labels{}, &next)
	going := imageproc.NewMask(r.W, r.H)
	for y := range r.H {
		yy := (2*y + 1) * after.H / (2 * r.H)
		for x := range r.W {
			i := yy*after.W + (2*x+1)*after.W/(2*r.W)
			going.Pix[y*r.W+x] = after.Pix[i] != g.labels.Pix[i]
		}
	}
	in := func(x, y int) bool {
		return image.Pt(x, y).In(image.Rect(0, 0, r.W, r.H)) && going.Pix[y*r.W+x]
	}
	for y := range r.H {
		for x := range r.W {
			if in(x, y) && !(in(x-1, y) && in(x+1, y) && in(x, y-1) && in(x, y+1)) {
				r.Set(x, y, marked(r.At(x, y)))
			}
		}
	}
}

// marked returns the grey that stands out from a grey by markStep.
func marked(c palette.SRGB) palette.SRGB {
	v := c.Linear().Y().Value()
	if v < 5 {
		return palette.Grey((v + markStep).Y())
	}
	return palette.Grey((v - markStep).Y())
}
