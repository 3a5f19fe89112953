package study

import (
	"math"

	"atelier/halflid/imageproc"
)

// MarkFocus draws the plan's focal point on a raster of a view: a small cross,
// and a faint broken ring at its radius. It is for the screen alone and does
// nothing without a focal point. It panics if the view was not made.
func (s *Study) MarkFocus(r imageproc.Raster, v View) {
	s.check(v)
	f := s.plan.Focus
	if f.None() {
		return
	}
	to, m, shown := s.onto(r, v), s.desk.master.Size(), s.shown(v)
	perX, perY := float64(r.W)/float64(shown.Dx()), float64(r.H)/float64(shown.Dy())
	cx, cy := f.X*to.x+to.dx, f.Y*to.y+to.dy
	radius := f.Radius * float64(max(m.X, m.Y))
	for y := range r.H {
		for x := range r.W {
			dx, dy := float64(x)+0.5-cx, float64(y)+0.5-cy
			along := math.Hypot(dx/perX, dy/perY)
			onRing := math.Abs(along-radius)*max(perX, perY) < 0.6 && int(math.Atan2(dy, dx)*12/math.Pi+24)%2 == 0
			onCross := math.Abs(dx) <= 2.5 && math.Abs(dy) <= 0.5 || math.Abs(dy) <= 2.5 && math.Abs(dx) <= 0.5
			switch {
			case onCross:
				r.Set(x, y, marked(marked(r.At(x, y))))
			case onRing:
				r.Set(x, y, marked(r.At(x, y)))
			}
		}
	}
}
