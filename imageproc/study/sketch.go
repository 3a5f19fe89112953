package study

import (
	"image"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Sketch is a plan's picture by itself, small enough to keep many of: a byte a
// pixel of the working picture. It is immutable.
type Sketch struct {
	w, h   int
	values []uint8
	tones  []palette.L
}

// Sketch returns the picture of the plan. Plan must have been made.
func (s *Study) Sketch() Sketch {
	s.check(Plan)
	g := &s.desk.shapes.drawing
	out := Sketch{w: g.labels.W, h: g.labels.H, values: make([]uint8, len(g.labels.Pix)), tones: slices.Clone(g.tones)}
	for i, v := range g.labels.Pix {
		out.values[i] = uint8(v)
	}
	return out
}

// None reports whether there is no picture.
func (k Sketch) None() bool { return k.w == 0 }

// Ratio returns its width over its height.
func (k Sketch) Ratio() float64 { return float64(k.w) / float64(k.h) }

// Tones returns the tones it is painted in, dark to light. They are the caller's.
func (k Sketch) Tones() []palette.L { return slices.Clone(k.tones) }

// Raster returns the picture at exactly size, as Study.Raster does for Plan. It
// panics on a size below 1 by 1 and if there is no picture.
func (k Sketch) Raster(size image.Point) imageproc.Raster {
	if size.X < 1 || size.Y < 1 || k.None() {
		panic("study: raster of no size")
	}
	labels := imageproc.NewLabels(k.w, k.h)
	for i, v := range k.values {
		labels.Pix[i] = int32(v)
	}
	if size != labels.Size() {
		labels = labels.Majority(imageproc.Labels{}, size.X, size.Y, len(k.tones))
	}
	return labels.Paint(imageproc.Raster{}, greys(k.tones))
}
