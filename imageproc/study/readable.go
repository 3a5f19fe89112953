package study

import (
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Readable is what a reading of a plan needs beside its Figures. The planes are
// the desk's: they hold until its next Make and are not to be written to.
type Readable struct {
	Photo    image.Point                // pixels of the master, which Figures.Crop lies on
	Working  imageproc.Picture          // the crop at working size, linear light, retouched, not squinted
	Light    imageproc.Plane[palette.Y] // its luminance
	Squinted imageproc.Plane[palette.L] // lightness after the squint

	// Colours is the mean light of each shape in Figures.List, over the working
	// picture: what the eye would mix of it. It is the caller's.
	Colours []palette.RGB
}

// Readable returns what a reading needs. It panics unless Plan was made.
func (s *Study) Readable() Readable {
	s.check(Plan)
	d := s.desk
	return Readable{
		Photo: d.master.Size(), Working: d.frame.pic, Light: d.frame.y, Squinted: d.squint.l,
		Colours: meanColours(d.frame.pic, d.shapes.drawing.plan.Labels, len(d.shapes.drawing.plan.Shapes)),
	}
}

// meanColours returns the mean of each of n labels in linear light; black for a
// label that no pixel carries. Each row of a shape is summed by itself, so that
// long sums lose nothing.
func meanColours(pic imageproc.Picture, labels imageproc.Labels, n int) []palette.RGB {
	type sum struct{ r, g, b, n float64 }
	sums := make([]sum, n)
	for y := range labels.H {
		row, r, g, b := labels.Row(y), pic.R.Row(y), pic.G.Row(y), pic.B.Row(y)
		for x := 0; x < len(row); {
			x0, id := x, row[x]
			var sr, sg, sb float32
			for ; x < len(row) && row[x] == id; x++ {
				sr, sg, sb = sr+r[x], sg+g[x], sb+b[x]
			}
			t := &sums[id]
			t.r, t.g, t.b, t.n = t.r+float64(sr), t.g+float64(sg), t.b+float64(sb), t.n+float64(x-x0)
		}
	}
	out := make([]palette.RGB, n)
	for i, t := range sums {
		if t.n > 0 {
			out[i] = palette.RGB{R: palette.Light(t.r / t.n), G: palette.Light(t.g / t.n), B: palette.Light(t.b / t.n)}
		}
	}
	return out
}
