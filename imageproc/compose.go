package imageproc

import (
	"image"

	"atelier/halflid/palette"
)

// Fill paints the whole raster in one colour.
func (r Raster) Fill(c palette.SRGB) {
	for i := 0; i < len(r.Pix); i += 3 {
		r.Pix[i], r.Pix[i+1], r.Pix[i+2] = c.R, c.G, c.B
	}
}

// FillRect paints a part of the raster in one colour; what of it falls outside is
// left away.
func (r Raster) FillRect(part image.Rectangle, c palette.SRGB) {
	part = part.Intersect(image.Rectangle{Max: r.Size()})
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			r.Set(x, y, c)
		}
	}
}

// Reshape returns a raster of w by h that reuses r's memory where it is large
// enough; its contents are undefined.
func (r Raster) Reshape(w, h int) Raster {
	if cap(r.Pix) < 3*w*h {
		return NewRaster(w, h)
	}
	return Raster{W: w, H: h, Pix: r.Pix[:3*w*h]}
}

// Lay copies src into r with its top left corner at at; what falls outside r
// is left away.
func (r Raster) Lay(src Raster, at image.Point) {
	part := image.Rectangle{Min: at, Max: at.Add(src.Size())}.Intersect(image.Rectangle{Max: r.Size()})
	for y := part.Min.Y; y < part.Max.Y; y++ {
		from := 3 * ((y-at.Y)*src.W + part.Min.X - at.X)
		to := 3 * (y*r.W + part.Min.X)
		copy(r.Pix[to:to+3*part.Dx()], src.Pix[from:])
	}
}

// Fit returns the largest whole-pixel size inside room whose width to height,
// seen on pixels that are aspect times as wide as high, is ratio: one side is
// the room's, the other the nearest whole number. It is at least 1 by 1,
// however extreme the ratio. Room, ratio and aspect must be positive; it panics
// if they are not, or if ratio and aspect are both infinite.
func Fit(ratio, aspect float64, room image.Point) image.Point {
	inPixels := ratio / aspect
	if !(ratio > 0) || !(aspect > 0) || !(inPixels >= 0) || room.X < 1 || room.Y < 1 {
		panic("imageproc: Fit needs a positive ratio, aspect and room")
	}
	// Compared before they become whole numbers, which hold no extremes.
	if tall := float64(room.X) / inPixels; tall < float64(room.Y)+0.5 {
		return image.Pt(room.X, max(1, int(tall+0.5)))
	}
	return image.Pt(max(1, int(float64(float64(room.Y)*inPixels)+0.5)), room.Y)
}

// Paint returns the labels as flat colours, in dst's memory where that is large
// enough: label k is painted colours[k]. It panics on a label without a colour.
func (l Labels) Paint(dst Raster, colours []palette.SRGB) Raster {
	dst = dst.Reshape(l.W, l.H)
	for i, k := range l.Pix {
		c := colours[k]
		dst.Pix[3*i], dst.Pix[3*i+1], dst.Pix[3*i+2] = c.R, c.G, c.B
	}
	return dst
}

// Dim darkens the raster outside inside to share of its light (0..1) and draws a
// line of one pixel just outside it, light on dark and dark on light in turn so
// that it reads on any ground. Nothing within inside changes; what lies outside
// the raster is left away. An empty inside darkens everything and is still lined.
func (r Raster) Dim(inside image.Rectangle, share palette.Light) {
	var dimmed [256]uint8
	for c := range dimmed {
		dimmed[c] = palette.Encode8(palette.Decode8(uint8(c)) * share)
	}
	dim := func(pix []uint8) {
		for i, c := range pix {
			pix[i] = dimmed[c]
		}
	}
	keep := inside.Intersect(image.Rectangle{Max: r.Size()})
	for y := range r.H {
		row := r.Pix[3*y*r.W : 3*(y+1)*r.W]
		if y < keep.Min.Y || y >= keep.Max.Y {
			dim(row)
			continue
		}
		dim(row[:3*keep.Min.X])
		dim(row[3*keep.Max.X:])
	}
	line := inside.Inset(-1)
	for x := line.Min.X; x < line.Max.X; x++ {
		r.dash(x, line.Min.Y)
		r.dash(x, line.Max.Y-1)
	}
	for y := line.Min.Y; y < line.Max.Y; y++ {
		r.dash(line.Min.X, y)
		r.dash(line.Max.X-1, y)
	}
}

// dash draws one pixel of the line, if it lies on the raster.
func (r Raster) dash(x, y int) {
	if !(image.Point{X: x, Y: y}).In(image.Rectangle{Max: r.Size()}) {
		return
	}
	code := uint8(230)
	if (x+y)/2%2 == 1 {
		code = 20
	}
	r.Set(x, y, palette.SRGB{R: code, G: code, B: code})
}
