package palette

import "math"

// OKLab is a colour in the OKLab space: L 0 (black) to 1 (white), A from green
// to red, B from blue to yellow, inside sRGB both within -0.32..0.28. Equal
// distances look about equally large; used for distances, never for value.
type OKLab struct{ L, A, B float64 }

// From linear sRGB to the three cone-like signals, and from their cube roots to
// OKLab.
//
// Source: Ottosson 2020, "A perceptual color space for image processing", the
// matrices for linear sRGB.
const (
	okLR, okLG, okLB = 0.4122214708, 0.5363325363, 0.0514459929
	okMR, okMG, okMB = 0.2119034982, 0.6806995451, 0.1073969566
	okSR, okSG, okSB = 0.0883024619, 0.2817188376, 0.6299787005

	okLl, okLm, okLs = 0.2104542553, 0.7936177850, -0.0040720468
	okAl, okAm, okAs = 1.9779984951, -2.4285922050, 0.4505937099
	okBl, okBm, okBs = 0.0259040371, 0.7827717662, -0.8086757660
)

// From XYZ to the same signals.
//
// Source: Ottosson 2020, the matrix M1.
const (
	okLX, okLY, okLZ = 0.8189330101, 0.3618667424, -0.1288597137
	okMX, okMY, okMZ = 0.0329845436, 0.9293118715, 0.0361456387
	okSX, okSY, okSZ = 0.0482003018, 0.2643662691, 0.6338517070
)

// The inverses, as cofactors over the determinant, worked out by the compiler
// in exact arithmetic: the ten printed digits of the published inverses would
// lose the round trip.
const (
	okDet = okLR*(okMG*okSB-okMB*okSG) - okLG*(okMR*okSB-okMB*okSR) + okLB*(okMR*okSG-okMG*okSR)
	okRL  = (okMG*okSB - okMB*okSG) / okDet
	okRM  = (okLB*okSG - okLG*okSB) / okDet
	okRS  = (okLG*okMB - okLB*okMG) / okDet
	okGL  = (okMB*okSR - okMR*okSB) / okDet
	okGM  = (okLR*okSB - okLB*okSR) / okDet
	okGS  = (okLB*okMR - okLR*okMB) / okDet
	okBL  = (okMR*okSG - okMG*okSR) / okDet
	okBM  = (okLG*okSR - okLR*okSG) / okDet
	okBS  = (okLR*okMG - okLG*okMR) / okDet

	rootDet = okLl*(okAm*okBs-okAs*okBm) - okLm*(okAl*okBs-okAs*okBl) + okLs*(okAl*okBm-okAm*okBl)
	rootLL  = (okAm*okBs - okAs*okBm) / rootDet
	rootLA  = (okLs*okBm - okLm*okBs) / rootDet
	rootLB  = (okLm*okAs - okLs*okAm) / rootDet
	rootML  = (okAs*okBl - okAl*okBs) / rootDet
	rootMA  = (okLl*okBs - okLs*okBl) / rootDet
	rootMB  = (okLs*okAl - okLl*okAs) / rootDet
	rootSL  = (okAl*okBm - okAm*okBl) / rootDet
	rootSA  = (okLm*okBl - okLl*okBm) / rootDet
	rootSB  = (okLl*okAm - okLm*okAl) / rootDet
)

// OKLab returns the colour in OKLab; greys have A and B within 1e-7 of 0.
// Channels outside 0..1 are taken as they are.
//
// Source: Ottosson 2020.
func (c RGB) OKLab() OKLab {
	r, g, b := float64(c.R), float64(c.G), float64(c.B)
	return okFromSignals(
		sum3(okLR, r, okLG, g, okLB, b),
		sum3(okMR, r, okMG, g, okMB, b),
		sum3(okSR, r, okSG, g, okSB, b))
}

// OKLab returns the colour in OKLab by the published matrix for XYZ. That one
// is rounded for another writing of the white, so it differs from the form for
// RGB by up to 4e-4; colours of pictures take the form for RGB.
//
// Source: Ottosson 2020.
func (c XYZ) OKLab() OKLab {
	return okFromSignals(
		sum3(okLX, c.X, okLY, c.Y, okLZ, c.Z),
		sum3(okMX, c.X, okMY, c.Y, okMZ, c.Z),
		sum3(okSX, c.X, okSY, c.Y, okSZ, c.Z))
}

func okFromSignals(l, m, s float64) OKLab {
	l, m, s = math.Cbrt(l), math.Cbrt(m), math.Cbrt(s)
	return OKLab{
		L: sum3(okLl, l, okLm, m, okLs, s),
		A: sum3(okAl, l, okAm, m, okAs, s),
		B: sum3(okBl, l, okBm, m, okBs, s),
	}
}

// RGB returns the colour in linear sRGB, the inverse of RGB.OKLab. Colours
// outside sRGB have channels outside 0..1; they are not clamped.
func (c OKLab) RGB() RGB {
	l := sum3(rootLL, c.L, rootLA, c.A, rootLB, c.B)
	m := sum3(rootML, c.L, rootMA, c.A, rootMB, c.B)
	s := sum3(rootSL, c.L, rootSA, c.A, rootSB, c.B)
	l, m, s = l*l*l, m*m*m, s*s*s
	return RGB{
		R: Light(sum3(okRL, l, okRM, m, okRS, s)),
		G: Light(sum3(okGL, l, okGM, m, okGS, s)),
		B: Light(sum3(okBL, l, okBM, m, okBS, s)),
	}
}

// Distance returns the straight distance between two colours in OKLab; 0.02 is
// about what the eye just notices side by side (from memory).
func (c OKLab) Distance(d OKLab) float64 {
	l, a, b := c.L-d.L, c.A-d.A, c.B-d.B
	return math.Sqrt(sum3(l, l, a, a, b, b))
}
