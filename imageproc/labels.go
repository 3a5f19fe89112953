package imageproc

import (
	"fmt"
	"image"
)

// Labels gives each pixel a small number: a value, a shape, a mass. Row-major,
// stride equal to W. Like Plane it is a view: copies share Pix.
type Labels struct {
	W, H int
	Pix  []int32
}

// NewLabels returns labels of w by h, all zero. It panics on a negative size.
func NewLabels(w, h int) Labels {
	if w < 0 || h < 0 {
		panic(fmt.Sprintf("imageproc: labels of %d by %d", w, h))
	}
	return Labels{W: w, H: h, Pix: make([]int32, w*h)}
}

// Row returns row y as a slice into the labels.
func (l Labels) Row(y int) []int32 { return l.Pix[y*l.W : (y+1)*l.W : (y+1)*l.W] }

// At returns the label at column x, row y.
func (l Labels) At(x, y int) int32 { return l.Pix[y*l.W+x] }

// Size returns the width and height.
func (l Labels) Size() image.Point { return image.Pt(l.W, l.H) }

// Mask marks pixels. Row-major, stride equal to W.
type Mask struct {
	W, H int
	Pix  []bool
}

// NewMask returns a mask of w by h with nothing marked.
func NewMask(w, h int) Mask { return Mask{W: w, H: h, Pix: make([]bool, w*h)} }
