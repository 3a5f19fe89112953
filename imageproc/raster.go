package imageproc

import (
	"image"

	"atelier/halflid/palette"
)

// Raster is a finished picture for a screen or a file: 8-bit sRGB, three bytes
// a pixel in the order R, G, B, row-major without padding. Nothing is measured
// on a Raster.
type Raster struct {
	W, H int
	Pix  []uint8
}

// NewRaster returns a black raster of w by h.
func NewRaster(w, h int) Raster { return Raster{W: w, H: h, Pix: make([]uint8, 3*w*h)} }

// Size returns the width and height.
func (r Raster) Size() image.Point { return image.Pt(r.W, r.H) }

// At returns the colour at column x, row y.
func (r Raster) At(x, y int) palette.SRGB {
	i := 3 * (y*r.W + x)
	return palette.SRGB{R: r.Pix[i], G: r.Pix[i+1], B: r.Pix[i+2]}
}

// Set stores c at column x, row y.
func (r Raster) Set(x, y int, c palette.SRGB) {
	i := 3 * (y*r.W + x)
	r.Pix[i], r.Pix[i+1], r.Pix[i+2] = c.R, c.G, c.B
}
