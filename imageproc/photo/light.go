package photo

import (
	"sync"

	"atelier/halflid/palette"
)

// midGrey is the light of L* 50, over which transparent parts are laid.
// Source: CIE 15:2004, L* = 116 Y^(1/3) - 16.
const midGrey = float32(66.0 / 116 * 66 / 116 * 66 / 116)

// curves lead from a file's codes to light, one table per channel. They are
// shared by the goroutines of one conversion and not changed while it runs.
type curves struct {
	low  [3]*[256]float32 // 8-bit codes
	wide *wideTable       // codes of YCbCr sums, see ycc
	deep [3][]float32     // 16-bit codes, 65536 each; nil until prepareDeep
	mix  *mixer           // to the primaries of sRGB; nil where they are already
	tone [3]func(float64) float64
}

// decodeSRGB is the sRGB curve from code 0..1 to light 0..1.
func decodeSRGB(c float64) float64 { return float64(palette.Decode(c)) }

// srgbLow, srgbWide and srgbDeep are made at first use: 1 kB, 12 kB and 256 kB.
var (
	srgbLow  = sync.OnceValue(func() *[256]float32 { return lowTable(decodeSRGB) })
	srgbWide = sync.OnceValue(func() *wideTable { return newWide([3]*[256]float32{srgbLow(), srgbLow(), srgbLow()}) })
	srgbDeep = sync.OnceValue(func() []float32 { return deepTable(decodeSRGB) })
)

// srgbCurves returns the curves of sRGB.
func srgbCurves() *curves {
	t := srgbLow()
	return &curves{low: [3]*[256]float32{t, t, t}, wide: srgbWide()}
}

// toneCurves returns curves of three given tone curves, code 0..1 to light 0..1;
// a nil one stands for sRGB's.
func toneCurves(tone [3]func(float64) float64, mix *mixer) *curves {
	c := &curves{tone: tone, mix: mix}
	for i, f := range tone {
		if f == nil {
			c.low[i] = srgbLow()
		} else {
			c.low[i] = lowTable(f)
		}
	}
	c.wide = newWide(c.low)
	return c
}

// prepareDeep makes the tables for 16-bit codes.
func (c *curves) prepareDeep() {
	for i, f := range c.tone {
		switch {
		case c.deep[i] != nil:
		case f == nil:
			c.deep[i] = srgbDeep()
		default:
			c.deep[i] = deepTable(f)
		}
	}
}

func lowTable(f func(float64) float64) *[256]float32 {
	var t [256]float32
	for i := range t {
		t[i] = float32(f(float64(i) / 255))
	}
	return &t
}

func deepTable(f func(float64) float64) []float32 {
	t := make([]float32, 1<<16)
	for i := range t {
		t[i] = float32(f(float64(i) / 65535))
	}
	return t
}

// wideTable clamps and linearises in one load: index wideZero is code 0; what lies
// outside 0 to 255 is held at the ends. YCbCr sums reach -277 to 535 (in the
// narrow range; -227 to 482 in the full one).
type wideTable struct{ r, g, b [1024]float32 }

const wideZero = 320

func newWide(low [3]*[256]float32) *wideTable {
	t := new(wideTable)
	for i := range 1024 {
		code := max(0, min(i-wideZero, 255))
		t.r[i], t.g[i], t.b[i] = low[0][code], low[1][code], low[2][code]
	}
	return t
}

// mixer is a 3x3 matrix from a profile's primaries to those of sRGB, row-major.
type mixer [9]float32

func (m *mixer) apply(r, g, b float32) (float32, float32, float32) {
	return float32(m[0]*r) + float32(m[1]*g) + float32(m[2]*b),
		float32(m[3]*r) + float32(m[4]*g) + float32(m[5]*b),
		float32(m[6]*r) + float32(m[7]*g) + float32(m[8]*b)
}
