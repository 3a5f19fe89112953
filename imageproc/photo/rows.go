package photo

import (
	"image"
	"image/color"
)

// rows gives the rows of one image as light, in the file's own primaries, three
// floats a pixel in the order R, G, B. y counts from the top of the image
// whatever its bounds. Each goroutine has its own.
type rows interface {
	row(y int, dst []float32) // stores row y
	add(y int, acc []float32) // adds row y to acc
}

// rowsOf returns the rows of img. Every image type is met; the common ones
// without going through color.Color.
func rowsOf(img image.Image, c *curves) rows {
	switch m := img.(type) {
	case *image.YCbCr:
		return newYCC(m, jfif, c.wide)
	case *scaledImage:
		return newYCC(m.YCbCr, m.scale, c.wide)
	case *image.NYCbCrA:
		return newBlended(m, newYCC(&m.YCbCr, studio, c.wide)) // only WebP stores these
	}
	fill := fillFor(img, c)
	return &filled{fill: fill, scratch: make([]float32, 3*img.Bounds().Dx())}
}

// scaledImage is planes that lead to RGB in another way than JPEG's.
type scaledImage struct {
	*image.YCbCr
	scale yccScale
}

// filled adds by way of a row of scratch.
type filled struct {
	fill    func(y int, dst []float32)
	scratch []float32
}

func (f *filled) row(y int, dst []float32) { f.fill(y, dst) }

func (f *filled) add(y int, acc []float32) {
	f.fill(y, f.scratch)
	acc = acc[:len(f.scratch)]
	for i, v := range f.scratch {
		acc[i] += v
	}
}

// newBlended lays YCbCr with alpha over mid grey.
func newBlended(m *image.NYCbCrA, under *ycc) rows {
	w := m.Rect.Dx()
	return &filled{scratch: make([]float32, 3*w), fill: func(y int, dst []float32) {
		under.row(y, dst)
		at := m.AOffset(m.Rect.Min.X, m.Rect.Min.Y+y)
		for x, a := range m.A[at : at+w] {
			if a != 255 {
				overGrey(dst[3*x:3*x+3], float32(a)/255)
			}
		}
	}}
}

// overGrey lays the colour in p, of which the share a is opaque, over mid grey.
func overGrey(p []float32, a float32) {
	for i, v := range p {
		p[i] = float32(a*v) + float32((1-a)*midGrey)
	}
}

// deep reports whether img holds more than 8 bits or is of a type that is read
// through its 16-bit colours.
func deep(img image.Image) bool {
	switch img.(type) {
	case *image.YCbCr, *scaledImage, *image.NYCbCrA, *image.Gray, *image.RGBA, *image.NRGBA, *image.CMYK:
		return false
	}
	return true
}

// fillFor returns a function that stores row y of img.
func fillFor(img image.Image, c *curves) func(y int, dst []float32) {
	b := img.Bounds()
	w := b.Dx()
	at := func(pix []uint8, offset, n int) []uint8 { return pix[offset : offset+n*w : offset+n*w] }
	switch m := img.(type) {
	case *image.Gray:
		return func(y int, dst []float32) { grayRow(dst, at(m.Pix, m.PixOffset(b.Min.X, b.Min.Y+y), 1), c) }
	case *image.Gray16:
		return func(y int, dst []float32) { gray16Row(dst, at(m.Pix, m.PixOffset(b.Min.X, b.Min.Y+y), 2), c) }
	case *image.RGBA:
		return func(y int, dst []float32) { rgbaRow(dst, at(m.Pix, m.PixOffset(b.Min.X, b.Min.Y+y), 4), c, true) }
	case *image.NRGBA:
		return func(y int, dst []float32) { rgbaRow(dst, at(m.Pix, m.PixOffset(b.Min.X, b.Min.Y+y), 4), c, false) }
	case *image.RGBA64:
		return func(y int, dst []float32) {
			rgba64Row(dst, at(m.Pix, m.PixOffset(b.Min.X, b.Min.Y+y), 8), c, true)
		}
	case *image.NRGBA64:
		return func(y int, dst []float32) {
			rgba64Row(dst, at(m.Pix, m.PixOffset(b.Min.X, b.Min.Y+y), 8), c, false)
		}
	case *image.CMYK:
		return func(y int, dst []float32) { cmykRow(dst, at(m.Pix, m.PixOffset(b.Min.X, b.Min.Y+y), 4), c) }
	case *image.Paletted:
		colours := paletteLight(m.Palette, c)
		return func(y int, dst []float32) {
			for x, i := range at(m.Pix, m.PixOffset(b.Min.X, b.Min.Y+y), 1) {
				copy(dst[3*x:3*x+3], colours[i][:])
			}
		}
	}
	return func(y int, dst []float32) {
		for x := range w {
			v := colourLight(img.At(b.Min.X+x, b.Min.Y+y), c)
			copy(dst[3*x:3*x+3], v[:])
		}
	}
}

func grayRow(dst []float32, pix []uint8, c *curves) {
	r, g, b := c.low[0], c.low[1], c.low[2]
	for x, v := range pix {
		d := dst[3*x:][:3]
		d[0], d[1], d[2] = r[v], g[v], b[v]
	}
}

func gray16Row(dst []float32, pix []uint8, c *curves) {
	for x := 0; 2*x < len(pix); x++ {
		v := int(pix[2*x])<<8 | int(pix[2*x+1])
		d := dst[3*x:][:3]
		d[0], d[1], d[2] = c.deep[0][v], c.deep[1][v], c.deep[2][v]
	}
}

func rgbaRow(dst []float32, pix []uint8, c *curves, premultiplied bool) {
	r, g, b := c.low[0], c.low[1], c.low[2]
	for x := 0; 4*x < len(pix); x++ {
		p, d := pix[4*x:][:4], dst[3*x:][:3]
		a := p[3]
		if a == 255 || !premultiplied {
			d[0], d[1], d[2] = r[p[0]], g[p[1]], b[p[2]]
		} else if a != 0 {
			d[0], d[1], d[2] = r[undo8(p[0], a)], g[undo8(p[1], a)], b[undo8(p[2], a)]
		}
		if a != 255 {
			overGrey(d, float32(a)/255)
		}
	}
}

// undo8 takes alpha out of a premultiplied code, rounding to nearest.
func undo8(v, a uint8) uint8 { return uint8(min((int(v)*255+int(a)/2)/int(a), 255)) }

func rgba64Row(dst []float32, pix []uint8, c *curves, premultiplied bool) {
	for x := 0; 8*x < len(pix); x++ {
		p, d := pix[8*x:][:8], dst[3*x:][:3]
		a := int(p[6])<<8 | int(p[7])
		for i := range d {
			v := int(p[2*i])<<8 | int(p[2*i+1])
			if premultiplied && a != 65535 {
				v = undo16(v, a)
			}
			d[i] = c.deep[i][v]
		}
		if a != 65535 {
			overGrey(d, float32(a)/65535)
		}
	}
}

// undo16 takes alpha out of a premultiplied 16-bit code, rounding to nearest.
func undo16(v, a int) int {
	if a == 0 {
		return 0
	}
	return min((v*65535+a/2)/a, 65535)
}

// cmykRow mixes four inks as the standard library's image/color does.
func cmykRow(dst []float32, pix []uint8, c *curves) {
	for x := 0; 4*x < len(pix); x++ {
		p, d := pix[4*x:][:4], dst[3*x:][:3]
		white := 0xffff - uint32(p[3])*0x101
		for i := range d {
			d[i] = c.low[i][(0xffff-uint32(p[i])*0x101)*white/0xffff>>8]
		}
	}
}

// paletteLight returns all 256 colours that an index can name: a palette that
// is too short is extended with black, so that no index leads outside it.
func paletteLight(p color.Palette, c *curves) *[256][3]float32 {
	var t [256][3]float32
	for i := range t {
		t[i] = [3]float32{c.low[0][0], c.low[1][0], c.low[2][0]}
		if i < len(p) && p[i] != nil {
			t[i] = colourLight(p[i], c)
		}
	}
	return &t
}

// colourLight returns the light of any colour, laid over mid grey.
func colourLight(v color.Color, c *curves) (out [3]float32) {
	var code [3]int
	var a int
	if n, ok := v.(color.NRGBA); ok {
		code, a = [3]int{int(n.R) * 0x101, int(n.G) * 0x101, int(n.B) * 0x101}, int(n.A)*0x101
	} else {
		r, g, b, alpha := v.RGBA()
		a = int(alpha)
		code = [3]int{undo16(int(r), a), undo16(int(g), a), undo16(int(b), a)}
	}
	for i := range out {
		out[i] = c.deep[i][code[i]]
	}
	if a != 65535 {
		overGrey(out[:], float32(a)/65535)
	}
	return out
}
