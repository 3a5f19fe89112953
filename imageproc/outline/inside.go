package outline

import (
	"image"

	"atelier/halflid/imageproc"
)

// Inside returns the pixel deepest inside m: the one with the greatest Distance,
// of several the first in raster order. ok is false if nothing is marked.
func Inside(m imageproc.Mask) (x, y int, ok bool) {
	b := Bounds(m)
	if b.Empty() {
		return 0, 0, false
	}
	// Outside the bounds nothing is marked, as outside the picture: the part alone
	// gives the same depths.
	part := imageproc.NewMask(b.Dx(), b.Dy())
	for y := range part.H {
		from := (b.Min.Y+y)*m.W + b.Min.X
		copy(part.Pix[y*part.W:(y+1)*part.W], m.Pix[from:from+part.W])
	}
	depth := make([]float32, len(part.Pix))
	Distance(depth, part)
	at := 0
	for i, d := range depth {
		if d > depth[at] {
			at = i
		}
	}
	return b.Min.X + at%part.W, b.Min.Y + at/part.W, true
}

// Bounds returns the smallest rectangle that holds all marked pixels; empty if
// there are none.
func Bounds(m imageproc.Mask) image.Rectangle {
	var b image.Rectangle
	for y := range m.H {
		row := m.Pix[y*m.W : (y+1)*m.W]
		x0 := 0
		for x0 < m.W && !row[x0] {
			x0++
		}
		if x0 == m.W {
			continue
		}
		x1 := m.W
		for !row[x1-1] {
			x1--
		}
		b = b.Union(image.Rect(x0, y, x1, y+1))
	}
	return b
}
