package study

import (
	"image"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// What the outline and the steps are drawn in: a panel that nothing is on yet,
// and a soft pencil.
const (
	barePanel palette.Value = 9.5
	pencil    palette.Value = 2
)

// nearFocus is how closely curves keep to the pixels within the focal radius, in
// pixels of the working picture; elsewhere as usual (contour.Options).
const nearFocus = 0.75

// near is where curves keep closely to the pixels: a focal point, and the crop of
// the master that it is seen in. Without a focal point it is empty.
type near struct {
	focus plan.Focus
	crop  image.Rectangle
}

// Outlines returns the borders of the plan's masses as curves, in pixels of the
// working picture (Figures.Size), their labels the values from 0, the darkest.
// Near the focal point they keep closer to the photo. The screen's outline and
// all sheets are drawn with them. The map is shared: it is not to be changed.
// Plan must have been made.
func (s *Study) Outlines() *contour.Map {
	s.check(Plan)
	d, g := s.desk, &s.desk.shapes.drawing
	opt, of := contour.Options{}, near{}
	if f := s.plan.Focus; !f.None() {
		of = near{f, d.frame.rect}
	}
	if g.outlines != nil && g.outlinesFor == of {
		return g.outlines
	}
	if f := of.focus; !f.None() {
		m, long := d.master.Size(), float64(max(g.labels.W, g.labels.H))
		scale := float64(g.labels.W) / float64(d.frame.rect.Dx())
		fx := (float64(f.X*float64(m.X)) - float64(d.frame.rect.Min.X)) * scale
		fy := (float64(f.Y*float64(m.Y)) - float64(d.frame.rect.Min.Y)) * scale
		radius := f.Radius * float64(max(m.X, m.Y)) * scale
		usual := max(0.75, 0.004*long)
		opt.Near = func(x, y float64) float64 {
			if math.Hypot(x-fx, y-fy) < radius {
				return nearFocus
			}
			return usual
		}
	}
	g.outlines, g.outlinesFor = contour.Trace(g.labels, opt), of
	return g.outlines
}

// Numbered is a value's number at the most inner point of a mass.
type Numbered struct {
	X, Y  float64 // in parts of the crop's width and height
	Value int     // from 0, the darkest
	Room  float64 // from there to the mass's edge, in parts of the crop's long side
}

// Numbers returns where the number of each mass's value has most room, mass by
// mass in raster order. Plan must have been made.
func (s *Study) Numbers() []Numbered {
	m := s.Outlines()
	long := float64(max(m.W, m.H))
	var out []Numbered
	for i, p := range m.Inside() {
		out = append(out, Numbered{p.At.X / float64(m.W), p.At.Y / float64(m.H), int(m.Regions[i].Label), p.Depth / long})
	}
	return out
}

// Numeral is a value's number at a pixel of an outline.
type Numeral struct {
	At    image.Point
	Value int // from 0, the darkest
}

// NumbersOn returns where numbers stand on an outline of that size in pixels: those
// of Numbers whose masses have the room of lettering high pixels high. Plan must
// have been made.
func (s *Study) NumbersOn(size image.Point, high int) []Numeral {
	long := float64(max(size.X, size.Y))
	var out []Numeral
	for _, n := range s.Numbers() {
		if n.Room*long >= roomForNumber*float64(high) {
			out = append(out, Numeral{image.Pt(int(n.X*float64(size.X)), int(n.Y*float64(size.Y))), n.Value})
		}
	}
	return out
}

// roomForNumber is how far a mass must reach to all sides of its number, in parts of
// the lettering's height.
const roomForNumber = 0.9

// outlineRaster draws the curves as lines one pixel wide.
func (s *Study) outlineRaster(size image.Point) imageproc.Raster {
	m := s.Outlines()
	of := m.Fill(size.X, size.Y)
	out := imageproc.NewRaster(size.X, size.Y)
	out.Fill(palette.Grey(barePanel.Y()))
	line := palette.Grey(pencil.Y())
	for y := range of.H {
		for x := range of.W {
			v := of.At(x, y)
			if x+1 < of.W && of.At(x+1, y) != v || y+1 < of.H && of.At(x, y+1) != v {
				out.Set(x, y, line)
			}
		}
	}
	return out
}

// Order is in which order masses are blocked in.
type Order string

// The orders.
const (
	DarkFirst  Order = "dark"  // the darkest value first: the usual one
	LightFirst Order = "light" // the lightest first, as in transparent paint
	LargeFirst Order = "large" // the value with the largest share first
)

// BlockIn returns the values of a plan in the order in which they are laid in,
// each a number from 0, the darkest.
func (f Figures) BlockIn(o Order) []int {
	out := make([]int, len(f.Tones))
	for i := range out {
		out[i] = i
	}
	switch o {
	case LightFirst:
		for i := range out {
			out[i] = len(out) - 1 - i
		}
	case LargeFirst:
		for i := 1; i < len(out); i++ { // few: inserted one by one, equal ones dark first
			for j := i; j > 0 && f.Shares[out[j]] > f.Shares[out[j-1]]; j-- {
				out[j], out[j-1] = out[j-1], out[j]
			}
		}
	}
	return out
}

// Step returns the plan as it looks once the first n of the values of BlockIn are
// laid in on a bare panel, at exactly size. It panics on a size below 1 by 1.
// Plan must have been made.
func (s *Study) Step(o Order, n int, size image.Point) imageproc.Raster {
	s.check(Plan)
	if size.X < 1 || size.Y < 1 {
		panic("study: raster of no size")
	}
	d, g := s.desk, &s.desk.shapes.drawing
	tones := make([]palette.L, len(g.tones))
	for i := range tones {
		tones[i] = barePanel.L()
	}
	for _, v := range s.Figures.BlockIn(o)[:min(n, len(g.tones))] {
		tones[v] = g.tones[v]
	}
	return d.paint(g.labels, size, tones)
}

// stepsGap is the space between two steps, in parts of a step's width.
const stepsGap = 0.06

// across returns how many steps stand side by side, and below each other, in the
// raster of all of them: a row if the crop is upright, else two to a row.
func (s *Study) across() (across, down int) {
	n := max(1, len(s.Figures.Tones))
	r := s.desk.frame.rect
	if r.Dx() <= r.Dy() || n <= 2 {
		return n, 1
	}
	return (n + 1) / 2, 2
}

// stepsRatio is the width over the height of all the steps.
func (s *Study) stepsRatio() float64 {
	across, down := s.across()
	r := s.desk.frame.rect
	w, h := float64(r.Dx()), float64(r.Dy())
	gap := stepsGap * w
	return (w*float64(across) + gap*float64(across-1)) / (h*float64(down) + gap*float64(down-1))
}

// stepsRaster lays the steps out, the darkest value first.
func (s *Study) stepsRaster(size image.Point) imageproc.Raster {
	across, down := s.across()
	out := imageproc.NewRaster(size.X, size.Y)
	out.Fill(palette.Grey(stepsGround.Y()))
	gap := int(math.Round(stepsGap * float64(size.X) / (float64(across) + stepsGap*float64(across-1))))
	w, h := (size.X-gap*(across-1))/across, (size.Y-gap*(down-1))/down
	if w < 1 || h < 1 {
		return out
	}
	for i := range s.Figures.Tones {
		at := image.Pt(i%across*(w+gap), i/across*(h+gap))
		out.Lay(s.Step(DarkFirst, i+1, image.Pt(w, h)), at)
	}
	return out
}

// stepsGround is the ground between two steps: that of the studio.
const stepsGround palette.Value = 1.5

// MarkGrid lays a grid over a raster of a view, in thin lines: half the line and
// half what lies under it, so that the picture stays readable. On the whole photo it
// lies on the crop; over the steps there is none. It panics if the view was not made.
func (s *Study) MarkGrid(r imageproc.Raster, v View, g plan.Grid) {
	s.check(v)
	if v == Steps {
		return
	}
	to, shown, crop := scaling{}, s.shown(v), s.desk.frame.rect
	to.x = float64(crop.Dx()) * float64(r.W) / float64(shown.Dx())
	to.y = float64(crop.Dy()) * float64(r.H) / float64(shown.Dy())
	to.dx = float64(crop.Min.X-shown.Min.X) * float64(r.W) / float64(shown.Dx())
	to.dy = float64(crop.Min.Y-shown.Min.Y) * float64(r.H) / float64(shown.Dy())
	on := imageproc.NewMask(r.W, r.H)
	for _, l := range g.Lines(s.plan.Panel.Size(plan.Millimetre)) {
		x0, y0 := l.A.X*to.x+to.dx, l.A.Y*to.y+to.dy
		x1, y1 := l.B.X*to.x+to.dx, l.B.Y*to.y+to.dy
		n := 2 * int(math.Ceil(max(math.Abs(x1-x0), math.Abs(y1-y0), 1))) // no pixel is stepped over
		for i := range n + 1 {
			t := float64(i) / float64(n)
			x, y := int(x0+t*(x1-x0)), int(y0+t*(y1-y0))
			if x >= 0 && y >= 0 && x < r.W && y < r.H {
				on.Pix[y*r.W+x] = true
			}
		}
	}
	for i, is := range on.Pix {
		if is {
			x, y := i%r.W, i/r.W
			r.Set(x, y, mixed(r.At(x, y), lineOn(r.At(x, y))))
		}
	}
}

// mixed returns the half-way colour in linear light.
func mixed(a, b palette.SRGB) palette.SRGB {
	p, q := a.Linear(), b.Linear()
	return palette.RGB{R: (p.R + q.R) / 2, G: (p.G + q.G) / 2, B: (p.B + q.B) / 2}.SRGB()
}
