package imageproc

import (
	"fmt"

	"atelier/halflid/palette"
)

// The weights of IEC 61966-2-1 as printed there, in the precision of a plane.
const (
	redY   float32 = 0.2126
	greenY float32 = 0.7152
	blueY  float32 = 0.0722
)

// Luminance returns relative luminance Y = 0.2126 R + 0.7152 G + 0.0722 B of
// each pixel, in dst's memory where that is large enough.
// Source: IEC 61966-2-1:1999.
func (p Picture) Luminance(dst Plane[palette.Y]) Plane[palette.Y] {
	dst = dst.Reshape(p.R.W, p.R.H)
	out := dst.Pix
	r, g, b := p.R.Pix[:len(out)], p.G.Pix[:len(out)], p.B.Pix[:len(out)]
	for i := range out {
		out[i] = float32(redY*r[i]) + float32(greenY*g[i]) + float32(blueY*b[i])
	}
	return dst
}

// Lightness returns CIE L* of each pixel of y, in dst's memory where that is
// large enough. Y outside 0..1 is treated as palette.LightnessRow treats it.
func Lightness(dst Plane[palette.L], y Plane[palette.Y]) Plane[palette.L] {
	dst = dst.Reshape(y.W, y.H)
	palette.LightnessRow(dst.Pix, y.Pix)
	return dst
}

// rasterChunk is how many pixels Raster encodes at a time: small enough for
// the stack.
const rasterChunk = 512

// Raster returns the picture encoded as 8-bit sRGB, in dst's memory where that
// is large enough. Light outside 0..1 is clamped, NaN is black.
func (p Picture) Raster(dst Raster) Raster {
	w, h := p.R.W, p.R.H
	if p.G.Size() != p.Size() || p.B.Size() != p.Size() {
		panic(fmt.Sprintf("imageproc: picture of unequal planes %v, %v, %v", p.R.Size(), p.G.Size(), p.B.Size()))
	}
	if cap(dst.Pix) < 3*w*h {
		dst = NewRaster(w, h)
	} else {
		dst = Raster{W: w, H: h, Pix: dst.Pix[:3*w*h]}
	}
	var code [rasterChunk]uint8
	for c, plane := range p.Planes() {
		for from := 0; from < w*h; from += rasterChunk {
			part := plane.Pix[from:min(from+rasterChunk, w*h)]
			codes := code[:len(part)]
			palette.EncodeRow(codes, part)
			out := dst.Pix[3*from+c:]
			for i, v := range codes {
				out[3*i] = v
			}
		}
	}
	return dst
}
