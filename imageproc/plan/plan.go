// Package plan holds what the painter decides about a photo as one small
// immutable value: the crop and the panel it is for, the squint, the values, the
// shapes wanted, and choices about single places. It holds the edits that lead
// from one plan to the next, the history of them, and the plan file. Everything
// else that is seen, measured or printed follows from photo and plan.
//
// A Plan is copied by assignment and shares nothing. Each edit returns a plan
// that Fit leaves alone: inside the photo, within every range, and rounded to
// the decimals of the plan file, so a plan in memory is the plan on disk.
package plan

import (
	"fmt"
	"image"
	"math"

	"atelier/halflid/palette"
)

// Ranges of the decisions. A plan file outside them is refused; an edit stops
// at them.
const (
	MaxSquint = 25.0 // percent of the crop's long side
	MinK      = 2
	MaxK      = 5
	MaxWanted = 500    // shapes
	MaxBrush  = 50.0   // mm on the panel
	MaxSide   = 100000 // pixels of a photo's side

	// MinGap is the least distance between neighbouring cuts, and between
	// neighbouring tones, in Munsell value: about the smallest step a painter
	// can mix on purpose. Source: ours.
	MinGap palette.Value = 0.1
)

// Plan is the painter's decisions about one photo. It is comparable with == and
// with Equal, safe to copy and to share between goroutines. The zero Plan means
// nothing: start with Default, or make a literal sound with Fit.
type Plan struct {
	Crop   Crop
	Panel  Panel
	Squint float64 // standard deviation of the blur, percent of the crop's long side, 0 to MaxSquint
	Values Values
	Shapes Shapes
	Focus  Focus

	// Choices is what the painter decided about single places, oldest first.
	Choices Choices

	// unknown holds the fields of a plan file that this version does not know,
	// so that they travel with the plan through edits, history and thumbnails.
	unknown unknown
}

// Crop is the part of the photo that is painted. X and W are fractions of the
// photo's width, Y and H of its height, all 0 to 1, from the left and from the
// top. H is 0 unless the panel is free: otherwise the height follows from the
// width, the panel's sides and the photo's (see Plan.Rect).
type Crop struct{ X, Y, W, H float64 }

// Values says how many values carry the plan, where one ends and the next
// begins (cuts), and what is painted for each (tones).
type Values struct {
	K          int // how many values, MinK to MaxK
	CutMethod  CutMethod
	Cuts       [MaxK - 1]palette.Value // the first K-1, dark to light, with CutByHand only; the others 0
	ToneMethod ToneMethod
	Tones      [MaxK]palette.Value // the first K, dark to light, with ToneByHand only; the others 0
}

// CutMethod names how the cuts between the values are found.
type CutMethod string

// The ways to cut.
const (
	CutNested     CutMethod = "nested"      // light and shadow part first; more values only divide what is there
	CutLeastError CutMethod = "least error" // where the values come nearest to the photo
	CutEqualSteps CutMethod = "equal steps" // evenly on the value scale
	CutByHand     CutMethod = "by hand"     // where Values.Cuts says
)

// CutMethods returns the ways to cut, in the order in which they are offered.
func CutMethods() []CutMethod {
	return []CutMethod{CutNested, CutLeastError, CutEqualSteps, CutByHand}
}

// ToneMethod names how the tone that is painted for each value is found.
type ToneMethod string

// The ways to choose tones.
const (
	ToneMean   ToneMethod = "mean"    // the mean of what the value covers
	ToneFixed  ToneMethod = "fixed"   // fixed steps of the value scale
	ToneByHand ToneMethod = "by hand" // what Values.Tones says
)

// ToneMethods returns the ways to choose tones, in the order in which they are
// offered.
func ToneMethods() []ToneMethod { return []ToneMethod{ToneMean, ToneFixed, ToneByHand} }

// HandCuts returns a copy of the cuts set by hand, dark to light, K-1 of them;
// nil with another method.
func (v Values) HandCuts() []palette.Value {
	if v.CutMethod != CutByHand {
		return nil
	}
	return append([]palette.Value(nil), v.Cuts[:v.K-1]...)
}

// HandTones returns a copy of the tones set by hand, dark to light, K of them;
// nil with another method.
func (v Values) HandTones() []palette.Value {
	if v.ToneMethod != ToneByHand {
		return nil
	}
	return append([]palette.Value(nil), v.Tones[:v.K]...)
}

// Shapes says how far the picture is pulled together.
type Shapes struct {
	Wanted int     // how many shapes, 0 to MaxWanted; 0: all that are not too small
	Brush  float64 // width in mm on the panel of the smallest mark: what is smaller in area is no shape, 0 to MaxBrush
}

// Focus is the focal point: what the picture is about. Near it the plan keeps
// more and finer shapes, far from it fewer. X and Y are fractions of the photo's
// width and height, Radius of its long side, up to MaxRadius. The zero Focus
// means none.
type Focus struct {
	X, Y, Radius float64
	Fall         Fall
}

// Fall says how fast detail falls off away from the focal point.
type Fall string

// The ways to fall off. The usual one is the empty word.
const (
	FallGentle Fall = "gentle"
	FallUsual  Fall = ""
	FallStrong Fall = "strong"
)

// Falls returns the ways to fall off, from gentle to strong.
func Falls() []Fall { return []Fall{FallGentle, FallUsual, FallStrong} }

// Far returns the weight of detail far from the focal point, where it is 1: what
// is left of it when the fall is over. Source: ours (TestFocus of package mass).
func (f Fall) Far() float64 {
	switch f {
	case FallGentle:
		return 0.4
	case FallStrong:
		return 0.05
	}
	return 0.15
}

// None reports whether there is no focal point.
func (f Focus) None() bool { return f.Radius == 0 }

// The radius of a focal point, in parts of the photo's long side: how far the eye
// rests without moving on. What a reading calls at the focal point reaches no
// further than a part of the crop (reading.MostRadius). Source: ours.
const (
	UsualRadius = 0.2
	minRadius   = 0.02
	MaxRadius   = 1.0
)

// BrushShare returns the share of the picture that a mark of the brush covers on
// the panel, 0..1. A free panel counts as one of 6x8 in.
func (p Plan) BrushShare() float64 {
	panel := p.Panel
	if panel.Free() {
		panel = Panel{Short: 6, Long: 8, Unit: Inch}
	}
	w, h := panel.Size(Millimetre)
	return min(1, p.Shapes.Brush*p.Shapes.Brush/(w*h))
}

// Frame is what an edit must know of the photo: its upright size in pixels.
type Frame struct{ Photo image.Point }

func (f Frame) check() {
	if f.Photo.X < 1 || f.Photo.Y < 1 {
		panic(fmt.Sprintf("plan: photo of %d by %d pixels", f.Photo.X, f.Photo.Y))
	}
}

func (f Frame) size() (w, h float64) { return float64(f.Photo.X), float64(f.Photo.Y) }

// Default returns the plan a photo opens with: the largest centred 6x8 in crop
// in the photo's own direction (a square photo: upright), squint 1 %, three
// values with nested cuts and mean tones, all shapes of at least a
// mark of a 3 mm brush. It panics if photo has no pixels. Source: ours.
func Default(photo image.Point) Plan {
	p := Plan{
		Crop:   Crop{W: 1},
		Panel:  Panel{Short: 6, Long: 8, Unit: Inch, Way: Upright},
		Squint: 1,
		Values: Values{K: 3, CutMethod: CutNested, ToneMethod: ToneMean},
		Shapes: Shapes{Brush: 3},
	}
	if photo.X > photo.Y {
		p.Panel.Way = Across
	}
	f := Frame{photo}
	f.check()
	w, h := f.size()
	a := p.Panel.Aspect()
	return p.place(box{cx: w / 2, cy: h / 2, w: min(w, h*a), h: min(w, h*a) / a}, f)
}

// Equal reports whether p and q are the same decisions.
func (p Plan) Equal(q Plan) bool { return p == q }

// Aspect returns the crop's width over its height in photo pixels: the panel's,
// or for a free panel what was drawn. It panics if photo has no pixels.
func (p Plan) Aspect(photo image.Point) float64 {
	if !p.Panel.Free() {
		return p.Panel.Aspect()
	}
	b := p.box(Frame{photo})
	return b.w / b.h
}

// Rect returns the crop's edges, 0 <= x0 < x1 <= 1 in fractions of the photo's
// width and 0 <= y0 < y1 <= 1 in fractions of its height. For a panel that is
// not free the height follows from the width, the panel's sides and the photo's
// pixels. It panics if photo has no pixels.
func (p Plan) Rect(photo image.Point) (x0, y0, x1, y1 float64) {
	h := p.height(Frame{photo})
	return p.Crop.X, p.Crop.Y, min(1, p.Crop.X+p.Crop.W), min(1, p.Crop.Y+h)
}

// PixelRect returns the crop on a picture of the whole photo of that size,
// snapped to whole pixels: never outside it and never empty. The rectangle's
// size is rounded first and its place second, so a crop that moves keeps its
// size. It panics if size has no pixels.
func (p Plan) PixelRect(size image.Point) image.Rectangle {
	f := Frame{size}
	h := p.height(f)
	x, w := snap(p.Crop.X, p.Crop.W, size.X)
	y, d := snap(p.Crop.Y, h, size.Y)
	return image.Rect(x, y, x+w, y+d)
}

// snap rounds a stretch given in fractions to whole pixels within n.
func snap(at, length float64, n int) (start, size int) {
	size = min(max(int(math.Round(length*float64(n))), 1), n)
	start = min(max(int(math.Round(at*float64(n))), 0), n-size)
	return start, size
}

// Whole returns how large the whole photo would be at the scale at which the
// crop fills the panel, in u. ok is false for a free panel, which has no size.
// It panics if photo has no pixels.
func (p Plan) Whole(photo image.Point, u Unit) (w, h float64, ok bool) {
	f := Frame{photo}
	f.check()
	if p.Panel.Free() {
		return 0, 0, false
	}
	pw, ph := f.size()
	w, _ = p.Panel.Size(u)
	w /= p.Crop.W
	return w, w * ph / pw, true
}

// height returns the crop's height as a fraction of the photo's, at most 1.
func (p Plan) height(f Frame) float64 {
	f.check()
	if p.Panel.Free() {
		return p.Crop.H
	}
	w, h := f.size()
	return min(1, p.Crop.W*w/h/p.Panel.Aspect())
}
