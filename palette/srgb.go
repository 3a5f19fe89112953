package palette

import (
	"math"
	"sync"
)

// RedY, GreenY and BlueY are the shares of the three sRGB primaries in
// luminance: Y = RedY R + GreenY G + BlueY B. They are the middle row of the
// matrix derived in cie.go, in full precision, and add up to 1; the standard
// prints 0.2126, 0.7152, 0.0722.
//
// Source: IEC 61966-2-1:1999, primaries and white; derived here.
const (
	RedY   = rgbToXYZ10
	GreenY = rgbToXYZ11
	BlueY  = rgbToXYZ12
)

// Decode returns the linear light of an encoded sRGB number c, 0..1 both. The
// formula carries on outside: a straight line below 0, the power above 1. NaN
// stays NaN.
//
// Source: IEC 61966-2-1:1999, 5.2.
func Decode(c float64) Light {
	if c <= 0.04045 {
		return Light(c / 12.92)
	}
	return Light(math.Pow((c+0.055)/1.055, 2.4))
}

// Encode returns the encoded sRGB number of linear light v, 0..1 both. The
// formula carries on outside like Decode's. NaN stays NaN. The two are inverse
// to 2e-8, where the printed limits of their straight parts do not quite meet,
// and to 1e-15 elsewhere.
//
// Source: IEC 61966-2-1:1999, 5.2.
func Encode(v Light) float64 {
	if v <= 0.0031308 {
		return float64(v) * 12.92
	}
	return 1.055*math.Pow(float64(v), 1/2.4) - 0.055
}

// codes holds what the 8-bit forms need; built at the first use.
var codes struct {
	once   sync.Once
	light  [256]Light   // linear light of each code
	from   [256]float64 // from[c] is the least light that rounds to code c; from[0] is -Inf
	narrow [256]float32 // light as float32
}

func loadCodes() {
	codes.once.Do(func() {
		for c := range 256 {
			codes.light[c] = Decode(float64(c) / 255)
			codes.narrow[c] = float32(codes.light[c])
			codes.from[c] = float64(Decode((float64(c) - 0.5) / 255))
		}
		codes.from[0] = math.Inf(-1)
	})
}

// Decode8 returns the linear light of an 8-bit sRGB code.
//
// Source: IEC 61966-2-1:1999, 5.2.
func Decode8(code uint8) Light {
	loadCodes()
	return codes.light[code]
}

// Encode8 returns the 8-bit sRGB code nearest to linear light v: nearest in the
// encoded scale, a half going up. Light below 0 gives 0, above 1 gives 255, NaN
// gives 0. Encode8(Decode8(c)) == c for every code.
//
// Source: IEC 61966-2-1:1999, 5.2.
func Encode8(v Light) uint8 {
	if v != v {
		return 0
	}
	loadCodes()
	loadRows()
	// The row form is exact for the float32 next to v, which may lie across
	// one limit from v itself.
	c := encode32(float32(v))
	switch {
	case c < 255 && float64(v) >= codes.from[c+1]:
		c++
	case float64(v) < codes.from[c]:
		c--
	}
	return c
}

// DecodeTable8 returns the linear light of each 8-bit code as float32, for the
// loops of decoders. The table is shared: it must not be written to. Coding it
// again with Encode8 or EncodeRow gives every code back.
func DecodeTable8() *[256]float32 {
	loadCodes()
	return &codes.narrow
}

// Linear returns the colour in linear light, each channel 0..1.
func (c SRGB) Linear() RGB { return RGB{Decode8(c.R), Decode8(c.G), Decode8(c.B)} }

// SRGB returns the nearest 8-bit codes. A channel outside 0..1 is clamped by
// itself, which shifts hue: colours outside sRGB have no exact code.
func (c RGB) SRGB() SRGB { return SRGB{Encode8(c.R), Encode8(c.G), Encode8(c.B)} }

// Y returns the relative luminance of the colour, 0..1 for channels in 0..1.
//
// Source: IEC 61966-2-1:1999; see RedY.
func (c RGB) Y() Y {
	return Y(sum3(RedY, float64(c.R), GreenY, float64(c.G), BlueY, float64(c.B)))
}

// Grey returns the grey whose 8-bit code is nearest to luminance y; y outside
// 0..1 is clamped, NaN gives black.
func Grey(y Y) SRGB {
	g := Encode8(Light(y))
	return SRGB{g, g, g}
}

// sum3 returns a*x + b*y + c*z, each product rounded by itself, so that every
// machine gives the same bits.
func sum3(a, x, b, y, c, z float64) float64 {
	return float64(a*x) + float64(b*y) + float64(c*z)
}
