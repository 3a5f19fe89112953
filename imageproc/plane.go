// Package imageproc is the vocabulary of pictures: planes, pictures, labels,
// masks, rasters, and the geometry and averaging they share. It does no input
// or output and knows nothing of screens.
package imageproc

import (
	"fmt"
	"image"

	"atelier/halflid/palette"
)

// Plane is one channel of numbers of unit U, row-major, stride equal to W.
// The unit lives in the type only, so that light cannot be passed where
// lightness is meant; the numbers are float32 whatever the unit. A Plane is a
// view: copies share Pix. The zero Plane is empty.
type Plane[U palette.Unit] struct {
	W, H int
	Pix  []float32
}

// NewPlane returns a zeroed plane of w by h. It panics on a negative size.
func NewPlane[U palette.Unit](w, h int) Plane[U] {
	if w < 0 || h < 0 {
		panic(fmt.Sprintf("imageproc: plane of %d by %d", w, h))
	}
	return Plane[U]{W: w, H: h, Pix: make([]float32, w*h)}
}

// Row returns row y as a slice into the plane.
func (p Plane[U]) Row(y int) []float32 { return p.Pix[y*p.W : (y+1)*p.W : (y+1)*p.W] }

// At returns the number at column x, row y.
func (p Plane[U]) At(x, y int) float32 { return p.Pix[y*p.W+x] }

// Set stores v at column x, row y.
func (p Plane[U]) Set(x, y int, v float32) { p.Pix[y*p.W+x] = v }

// Size returns the width and height.
func (p Plane[U]) Size() image.Point { return image.Pt(p.W, p.H) }

// Reshape returns a plane of w by h that reuses p's memory where it is large
// enough; its contents are undefined. Fresh memory is dear: stages that run at
// every key keep their planes and reshape them.
func (p Plane[U]) Reshape(w, h int) Plane[U] {
	if cap(p.Pix) < w*h {
		return NewPlane[U](w, h)
	}
	return Plane[U]{W: w, H: h, Pix: p.Pix[:w*h]}
}

// Crop returns a copy of the part of p inside r. It panics if r is not inside p.
func (p Plane[U]) Crop(r image.Rectangle) Plane[U] {
	if !r.In(image.Rect(0, 0, p.W, p.H)) {
		panic(fmt.Sprintf("imageproc: crop %v of a plane of %d by %d", r, p.W, p.H))
	}
	out := NewPlane[U](r.Dx(), r.Dy())
	for y := range out.H {
		copy(out.Row(y), p.Row(r.Min.Y + y)[r.Min.X:r.Max.X])
	}
	return out
}

// Mirror returns a copy with left and right exchanged.
func (p Plane[U]) Mirror() Plane[U] {
	out := NewPlane[U](p.W, p.H)
	for y := range p.H {
		src, dst := p.Row(y), out.Row(y)
		for x, v := range src {
			dst[p.W-1-x] = v
		}
	}
	return out
}

// Transpose returns a copy with rows and columns exchanged.
func (p Plane[U]) Transpose() Plane[U] {
	out := NewPlane[U](p.H, p.W)
	for y := range p.H {
		for x, v := range p.Row(y) {
			out.Pix[x*out.W+y] = v
		}
	}
	return out
}

// Picture is a colour picture in linear-light sRGB: three planes of one size.
type Picture struct {
	R, G, B Plane[palette.Light]
}

// NewPicture returns a black picture of w by h.
func NewPicture(w, h int) Picture {
	return Picture{NewPlane[palette.Light](w, h), NewPlane[palette.Light](w, h), NewPlane[palette.Light](w, h)}
}

// Size returns the width and height.
func (p Picture) Size() image.Point { return p.R.Size() }

// Planes returns the three planes in the order R, G, B.
func (p Picture) Planes() [3]Plane[palette.Light] {
	return [3]Plane[palette.Light]{p.R, p.G, p.B}
}

// Reshape returns a picture of w by h that reuses p's memory where it can; its
// contents are undefined.
func (p Picture) Reshape(w, h int) Picture {
	return Picture{p.R.Reshape(w, h), p.G.Reshape(w, h), p.B.Reshape(w, h)}
}

// Crop returns a copy of the part of p inside r. It panics if r is not inside p.
func (p Picture) Crop(r image.Rectangle) Picture {
	return Picture{p.R.Crop(r), p.G.Crop(r), p.B.Crop(r)}
}
