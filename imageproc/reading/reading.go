// Package reading answers what a painter asks of a design: is the pattern
// simple, do the darks link, is the strongest contrast at the focal point, does
// anything pull the eye to an edge, is it balanced, does it recede. Figures come
// first; Lines puts them into words. What practice would ask is a question, never
// an error, and taste is not scored.
//
// Every place is in fractions of the photo, every length, unless it says
// otherwise, a share of the long side of what the crop shows. A measure that does
// not apply is 0 and the field that says so is documented beside it; no figure is
// ever NaN or infinite. All of it follows from the masses of the plan and from
// the working picture, never from a window, and is the same for a mirrored
// picture but for left and right.
package reading

import (
	"image"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// Reading is what is measured about a design. It shares no memory with what it
// was read from.
type Reading struct {
	Panel      plan.Panel // the support: what lengths on the panel are worked out for
	Focal      Focal
	Values     Values
	Simplicity Simplicity
	Darks      Darks
	Lights     Lights
	Contrast   Contrast
	Edges      Edges
	Placement  Placement
	Directions Directions
	Planes     Planes
	Recession  Recession
	Borders    Borders

	long float64 // long side of the working picture, pixels
	frame
}

// Focal is the focal point as the crop shows it.
type Focal struct {
	Set    bool       // the plan has one
	Inside bool       // and it lies in the crop: where it does not, measures about it are 0
	At     plan.Point // on the photo
	X, Y   float64    // in fractions of the crop, 0..1 if Inside
	Radius float64    // how far around it a place counts as at it, share of the crop's long side (FocalRadius)
}

// Design is what is read: the masses of a plan and the picture they were made
// from. Read fills it from a Study; a coarse plan or a hand-made one can be read
// as well. Nothing in it is written to.
type Design struct {
	Map    imageproc.Labels // the shape of each pixel of the working picture, by its place in Shapes
	Shapes []study.Shape    // of which Value, Tone, Plane, PlaneSure, Depth and DepthSure are read
	Tones  []palette.L      // what is painted for each value, dark to light
	Kept   float64          // share of the squinted photo's variance that the values keep, 0..1

	Light   imageproc.Plane[palette.Y] // luminance of the working picture, not squinted; empty: no borders in the photo
	Colours []palette.RGB              // mean light of each shape; empty: Recession goes without colour

	Photo image.Point     // pixels of the photo
	Crop  image.Rectangle // what Map shows, in pixels of the photo
	Focus plan.Focus
	Panel plan.Panel
}

// Read reads a study's plan. It is pure and deterministic and takes about
// 15 ms for a working picture of 768 by 576. It panics unless Plan was made.
func Read(s *study.Study) Reading { return DesignOf(s).Read() }

// DesignOf returns the design of a study's plan; it shares the study's planes and
// holds as long as they do. It panics unless Plan was made.
func DesignOf(s *study.Study) Design {
	r, f, p := s.Readable(), s.Figures, s.Plan()
	return Design{
		Map: f.Map, Shapes: f.List, Tones: f.Tones, Kept: f.Kept,
		Light: r.Light, Colours: r.Colours,
		Photo: r.Photo, Crop: f.Crop, Focus: p.Focus, Panel: p.Panel,
	}
}

// Read reads the design. It panics if it has no pixels, or pixels of shapes that
// it does not have, or Light or Colours of another size.
func (d Design) Read() Reading {
	d.check()
	s := newScene(d)
	r := Reading{Panel: d.Panel, long: s.long, frame: s.frame, Focal: s.focal(d)}
	r.Values = s.values()
	r.Simplicity = s.simplicity()
	r.Darks, r.Lights = s.darks(), s.lights()
	r.Contrast = s.contrast()
	r.Edges = s.edges()
	r.Placement = s.placement()
	r.Directions = s.directions()
	r.Planes = s.planes()
	r.Recession = s.recession()
	r.Borders = s.photoBorders()
	return r
}

func (d Design) check() {
	n := len(d.Map.Pix)
	switch {
	case n == 0 || len(d.Shapes) == 0 || len(d.Tones) == 0:
		panic("reading: a design without shapes")
	case len(d.Light.Pix) != 0 && d.Light.Size() != d.Map.Size():
		panic("reading: light of another size than the map")
	case len(d.Colours) != 0 && len(d.Colours) != len(d.Shapes):
		panic("reading: not one colour a shape")
	case d.Crop.Empty() || !d.Crop.In(image.Rectangle{Max: d.Photo}):
		panic("reading: a crop outside the photo")
	}
}

// focal returns the focal point as the crop shows it.
func (s *scene) focal(d Design) Focal {
	if d.Focus.None() {
		return Focal{}
	}
	return Focal{
		Set: true, Inside: s.hasFocal, At: plan.Point{X: d.Focus.X, Y: d.Focus.Y},
		X: s.fx / float64(s.w), Y: s.fy / float64(s.h), Radius: s.fr / s.long,
	}
}

// frame leads from pixels of the working picture to the photo.
type frame struct {
	w, h           int
	x0, y0, dx, dy float64 // the crop's corner and a pixel's size, in fractions of the photo
}

func frameOf(d Design) frame {
	pw, ph := float64(d.Photo.X), float64(d.Photo.Y)
	return frame{
		w: d.Map.W, h: d.Map.H,
		x0: float64(d.Crop.Min.X) / pw, y0: float64(d.Crop.Min.Y) / ph,
		dx: float64(d.Crop.Dx()) / pw / float64(d.Map.W), dy: float64(d.Crop.Dy()) / ph / float64(d.Map.H),
	}
}

// at returns the place on the photo of a place in pixels.
func (f frame) at(x, y float64) plan.Point {
	return plan.Point{X: f.x0 + float64(x*f.dx), Y: f.y0 + float64(y*f.dy)}
}

// box returns a rectangle in pixels as an area of the photo.
func (f frame) box(x0, y0, x1, y1 float64) plan.Area {
	a, b := f.at(x0, y0), f.at(x1, y1)
	return plan.BoxArea(a.X, a.Y, b.X, b.Y)
}

// disc returns a disc in pixels as an area of the photo.
func (f frame) disc(at plan.Point, radius float64) plan.Area {
	rx, ry := radius*f.dx, radius*f.dy
	return plan.EllipseArea(at.X-rx, at.Y-ry, at.X+rx, at.Y+ry)
}

// apart returns how far two places on the photo lie apart, share of the long side.
func (f frame) apart(a, b plan.Point) float64 {
	return math.Hypot((a.X-b.X)/f.dx, (a.Y-b.Y)/f.dy) / float64(max(f.w, f.h))
}

// ratio returns a/b, and none where b is 0.
func ratio(a, b, none float64) float64 {
	if b == 0 {
		return none
	}
	return a / b
}

// steps returns how far apart two tones lie, in steps of Munsell value.
func steps(a, b palette.Value) float64 { return math.Abs(float64(a - b)) }
