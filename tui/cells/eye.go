package cells

import (
	"math"
	"sync"

	"atelier/halflid/palette"
)

// lab is a colour in OKLab, in the float32 that cells are divided by.
type lab struct{ l, a, b float32 }

// code is an 8-bit sRGB colour as 0xRRGGBB.
type code uint32

func codeOf(c palette.SRGB) code { return code(c.R)<<16 | code(c.G)<<8 | code(c.B) }

func (c code) srgb() palette.SRGB {
	return palette.SRGB{R: uint8(c >> 16), G: uint8(c >> 8), B: uint8(c)}
}

// Cube roots are looked up by the high 16 bits of a float32, which cut every
// doubling into 128 equal parts, and follow the chord of their part. Part 0 is
// all below 2^-13; less light than that only black has.
const (
	rootLow   = 0x39000000 >> 16
	rootParts = 13*128 + 1
)

// eyes is what turns codes into OKLab at some 10 ns a colour: palette.OKLab
// takes ten times as long, which a picture of 200x60 cells cannot spare.
type eyes struct {
	// What each code of red, green and blue adds to the three signals.
	signal [3][256][3]float32
	root   [rootParts]struct{ a, b float32 }
}

// Source: Ottosson 2020, "A perceptual color space for image processing", the
// matrices for linear sRGB; TestEye compares with palette.OKLab.
var signals = [3][3]float64{
	{0.4122214708, 0.2119034982, 0.0883024619},
	{0.5363325363, 0.6806995451, 0.2817188376},
	{0.0514459929, 0.1073969566, 0.6299787005},
}

var eye = sync.OnceValue(func() *eyes {
	e := new(eyes)
	for channel := range signals {
		for c, v := range palette.DecodeTable8() {
			for s, share := range signals[channel] {
				e.signal[channel][c][s] = float32(share * float64(v))
			}
		}
	}
	start := func(i int) float64 { return float64(math.Float32frombits(uint32(rootLow+i) << 16)) }
	for i := range e.root {
		x0, x1 := start(i), start(i+1)
		if i == 0 {
			x0 = 0
		}
		y0, y1 := math.Cbrt(x0), math.Cbrt(x1)
		slope := (y1 - y0) / (x1 - x0)
		e.root[i].b = float32(slope)
		e.root[i].a = float32(y0 - float64(slope*x0))
	}
	return e
})

// lab returns the colour in OKLab, within 2e-4 of palette.OKLab.
func (e *eyes) lab(c code) lab {
	r, g, b := &e.signal[0][c>>16&255], &e.signal[1][c>>8&255], &e.signal[2][c&255]
	l, m, s := e.cbrt(r[0]+g[0]+b[0]), e.cbrt(r[1]+g[1]+b[1]), e.cbrt(r[2]+g[2]+b[2])
	return lab{
		l: float32(0.2104542553*l) + float32(0.7936177850*m) - float32(0.0040720468*s),
		a: float32(1.9779984951*l) - float32(2.4285922050*m) + float32(0.4505937099*s),
		b: float32(0.0259040371*l) + float32(0.7827717662*m) - float32(0.8086757660*s),
	}
}

func (e *eyes) cbrt(x float32) float32 {
	part := int32(math.Float32bits(x)>>16) - rootLow
	r := &e.root[min(max(part, 0), rootParts-1)]
	return r.a + float32(r.b*x)
}

// apart returns the squared distance of two colours.
func (c lab) apart(d lab) float32 {
	l, a, b := c.l-d.l, c.a-d.a, c.b-d.b
	return float32(l*l) + float32(a*a) + float32(b*b)
}
