package study

import (
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// Marks are for the screen alone: they are drawn on a raster and never on what is
// measured or saved. An outline is drawn just inside what it goes around, nearly
// white on dark and nearly black on light, so that it reads on every value.

const (
	lineOnDark  palette.Value = 9
	lineOnLight palette.Value = 1
	lineParts   palette.Value = 5 // below it a ground is dark
)

// MarkShapes outlines, on a raster of a view, the shapes of the plan that lie
// under places of the photo, dotted if so asked. Places outside the crop mark
// nothing. It panics if the view or Plan was not made.
func (s *Study) MarkShapes(r imageproc.Raster, v View, dotted bool, at ...plan.Point) {
	s.check(v)
	s.check(Plan)
	labels := s.desk.shapes.drawing.plan.Labels
	m, crop := s.desk.master.Size(), s.desk.frame.rect
	chosen := map[int32]bool{}
	for _, p := range at {
		x := (p.X*float64(m.X) - float64(crop.Min.X)) / float64(crop.Dx()) * float64(labels.W)
		y := (p.Y*float64(m.Y) - float64(crop.Min.Y)) / float64(crop.Dy()) * float64(labels.H)
		if x >= 0 && y >= 0 && x < float64(labels.W) && y < float64(labels.H) {
			chosen[labels.At(int(x), int(y))] = true
		}
	}
	if len(chosen) == 0 {
		return
	}
	on := imageproc.NewMask(r.W, r.H)
	shown := s.shown(v)
	for y := range r.H {
		// The middle of each pixel, on the photo and then on the plan.
		py := float64(shown.Min.Y) + (float64(y)+0.5)*float64(shown.Dy())/float64(r.H)
		ly := (py - float64(crop.Min.Y)) / float64(crop.Dy()) * float64(labels.H)
		if ly < 0 || ly >= float64(labels.H) {
			continue
		}
		for x := range r.W {
			px := float64(shown.Min.X) + (float64(x)+0.5)*float64(shown.Dx())/float64(r.W)
			lx := (px - float64(crop.Min.X)) / float64(crop.Dx()) * float64(labels.W)
			if lx >= 0 && lx < float64(labels.W) {
				on.Pix[y*r.W+x] = chosen[labels.At(int(lx), int(ly))]
			}
		}
	}
	goAround(r, on, dotted)
}

// MarkArea outlines an area of the photo on a raster of a view. It panics if the
// view was not made.
func (s *Study) MarkArea(r imageproc.Raster, v View, a plan.Area) {
	s.check(v)
	if a.Empty() {
		return
	}
	on := imageproc.NewMask(r.W, r.H)
	outline.Fill(on, ringsOf(a, s.onto(r, v)))
	goAround(r, on, false)
}

// MarkPlace draws a cross at a place of the photo on a raster of a view. It
// panics if the view was not made.
func (s *Study) MarkPlace(r imageproc.Raster, v View, at plan.Point) {
	s.check(v)
	to := s.onto(r, v)
	cx, cy := int(at.X*to.x+to.dx), int(at.Y*to.y+to.dy)
	for i := -2; i <= 2; i++ {
		for _, p := range []image.Point{{cx + i, cy}, {cx, cy + i}} {
			if p.In(image.Rect(0, 0, r.W, r.H)) && (i != 0 || p.Y == cy) {
				r.Set(p.X, p.Y, lineOn(r.At(p.X, p.Y)))
			}
		}
	}
}

// shown is the part of the master that a view shows.
func (s *Study) shown(v View) image.Rectangle {
	if v == Whole {
		return image.Rectangle{Max: s.desk.master.Size()}
	}
	return s.desk.frame.rect
}

// onto leads from fractions of the photo to the pixels of a raster of a view.
func (s *Study) onto(r imageproc.Raster, v View) scaling {
	m, shown := s.desk.master.Size(), s.shown(v)
	x, y := float64(r.W)/float64(shown.Dx()), float64(r.H)/float64(shown.Dy())
	return scaling{
		x: float64(m.X) * x, y: float64(m.Y) * y,
		dx: -float64(shown.Min.X) * x, dy: -float64(shown.Min.Y) * y,
	}
}

// goAround draws the line around what is marked, along the edge of the picture
// too.
func goAround(r imageproc.Raster, on imageproc.Mask, dotted bool) {
	in := func(x, y int) bool { return on.Pix[y*on.W+x] }
	for y := range r.H {
		for x := range r.W {
			if !in(x, y) {
				continue
			}
			inner := (x == 0 || in(x-1, y)) && (x == r.W-1 || in(x+1, y)) && (y == 0 || in(x, y-1)) && (y == r.H-1 || in(x, y+1))
			edge := x == 0 || y == 0 || x == r.W-1 || y == r.H-1
			if (!inner || edge) && !(dotted && (x+y/2)%2 == 0) {
				r.Set(x, y, lineOn(r.At(x, y)))
			}
		}
	}
}

// lineOn returns the grey of a line that reads on a colour.
func lineOn(c palette.SRGB) palette.SRGB {
	if c.Linear().Y().Value() < lineParts {
		return palette.Grey(lineOnDark.Y())
	}
	return palette.Grey(lineOnLight.Y())
}
