package palette

import "math"

// XYZ is a colour as CIE 1931 tristimulus values, Y = 1 for the white of sRGB.
type XYZ struct{ X, Y, Z float64 }

// Lab is a colour in CIELAB for the white of sRGB: L* 0..100, a* from green to
// red, b* from blue to yellow; inside sRGB both within about -110..100.
type Lab struct {
	L    L
	A, B float64
}

// LCh is a Lab colour by lightness L*, chroma C* (0 and up) and hue H in
// degrees, 0 <= H < 360. A grey has H = 0.
type LCh struct {
	L    L
	C, H float64
}

// Chromaticities of the sRGB primaries and of its white.
//
// Source: IEC 61966-2-1:1999, table 1.
const (
	xR, yR = 0.64, 0.33
	xG, yG = 0.30, 0.60
	xB, yB = 0.15, 0.06
	xW, yW = 0.3127, 0.3290
)

// The white point in XYZ, and XYZ of each primary at Y = 1.
const (
	whiteX = xW / yW
	whiteZ = (1 - xW - yW) / yW
	uR, wR = xR / yR, (1 - xR - yR) / yR
	uG, wG = xG / yG, (1 - xG - yG) / yG
	uB, wB = xB / yB, (1 - xB - yB) / yB
)

// The matrix from linear sRGB to XYZ: the columns are the primaries, each
// scaled so that equal parts of all three make the white (Cramer's rule). Worked
// out by the compiler in exact arithmetic, so nothing is rounded twice.
//
// Source: IEC 61966-2-1:1999 (primaries); derivation as in SMPTE RP 177-1993.
const (
	detP       = uR*(wB-wG) + uG*(wR-wB) + uB*(wG-wR)
	rgbToXYZ10 = (whiteX*(wB-wG) + uG*(whiteZ-wB) + uB*(wG-whiteZ)) / detP
	rgbToXYZ11 = (uR*(wB-whiteZ) + whiteX*(wR-wB) + uB*(whiteZ-wR)) / detP
	rgbToXYZ12 = 1 - rgbToXYZ10 - rgbToXYZ11
	rgbToXYZ00 = uR * rgbToXYZ10
	rgbToXYZ01 = uG * rgbToXYZ11
	rgbToXYZ02 = uB * rgbToXYZ12
	rgbToXYZ20 = wR * rgbToXYZ10
	rgbToXYZ21 = wG * rgbToXYZ11
	rgbToXYZ22 = wB * rgbToXYZ12
)

// The inverse, from XYZ to linear sRGB: cofactors over the determinant.
const (
	det = rgbToXYZ00*(rgbToXYZ11*rgbToXYZ22-rgbToXYZ12*rgbToXYZ21) -
		rgbToXYZ01*(rgbToXYZ10*rgbToXYZ22-rgbToXYZ12*rgbToXYZ20) +
		rgbToXYZ02*(rgbToXYZ10*rgbToXYZ21-rgbToXYZ11*rgbToXYZ20)
	xyzToRGB00 = (rgbToXYZ11*rgbToXYZ22 - rgbToXYZ12*rgbToXYZ21) / det
	xyzToRGB01 = (rgbToXYZ02*rgbToXYZ21 - rgbToXYZ01*rgbToXYZ22) / det
	xyzToRGB02 = (rgbToXYZ01*rgbToXYZ12 - rgbToXYZ02*rgbToXYZ11) / det
	xyzToRGB10 = (rgbToXYZ12*rgbToXYZ20 - rgbToXYZ10*rgbToXYZ22) / det
	xyzToRGB11 = (rgbToXYZ00*rgbToXYZ22 - rgbToXYZ02*rgbToXYZ20) / det
	xyzToRGB12 = (rgbToXYZ02*rgbToXYZ10 - rgbToXYZ00*rgbToXYZ12) / det
	xyzToRGB20 = (rgbToXYZ10*rgbToXYZ21 - rgbToXYZ11*rgbToXYZ20) / det
	xyzToRGB21 = (rgbToXYZ01*rgbToXYZ20 - rgbToXYZ00*rgbToXYZ21) / det
	xyzToRGB22 = (rgbToXYZ00*rgbToXYZ11 - rgbToXYZ01*rgbToXYZ10) / det
)

// The exact constants of CIELAB: below labLimit the cube root gives way to a
// straight line of slope labSlope.
//
// Source: CIE 15:2004, 8.2.1; ISO/CIE 11664-4.
const (
	labLimit = 216.0 / 24389
	labSlope = 24389.0 / 27
)

// XYZ returns the colour's tristimulus values; channels outside 0..1 are kept.
func (c RGB) XYZ() XYZ {
	r, g, b := float64(c.R), float64(c.G), float64(c.B)
	return XYZ{
		X: sum3(rgbToXYZ00, r, rgbToXYZ01, g, rgbToXYZ02, b),
		Y: sum3(rgbToXYZ10, r, rgbToXYZ11, g, rgbToXYZ12, b),
		Z: sum3(rgbToXYZ20, r, rgbToXYZ21, g, rgbToXYZ22, b),
	}
}

// RGB returns the colour in linear sRGB. Colours outside sRGB have channels
// outside 0..1; they are not clamped.
func (c XYZ) RGB() RGB {
	return RGB{
		R: Light(sum3(xyzToRGB00, c.X, xyzToRGB01, c.Y, xyzToRGB02, c.Z)),
		G: Light(sum3(xyzToRGB10, c.X, xyzToRGB11, c.Y, xyzToRGB12, c.Z)),
		B: Light(sum3(xyzToRGB20, c.X, xyzToRGB21, c.Y, xyzToRGB22, c.Z)),
	}
}

// labF is the f of CIELAB; labF(1) = 1.
func labF(t float64) float64 {
	if t > labLimit {
		return math.Cbrt(t)
	}
	return (float64(labSlope*t) + 16) / 116
}

// labG is the inverse of labF.
func labG(f float64) float64 {
	if t := f * f * f; t > labLimit {
		return t
	}
	return (116*f - 16) / labSlope
}

// Lab returns the colour in CIELAB, for any X, Y, Z.
//
// Source: CIE 15:2004, 8.2.1.
func (c XYZ) Lab() Lab {
	fx, fy, fz := labF(c.X/whiteX), labF(c.Y), labF(c.Z/whiteZ)
	return Lab{L: L(float64(116*fy) - 16), A: 500 * (fx - fy), B: 200 * (fy - fz)}
}

// XYZ returns the tristimulus values of a CIELAB colour.
//
// Source: CIE 15:2004, annex D.
func (c Lab) XYZ() XYZ {
	fy := (float64(c.L) + 16) / 116
	return XYZ{
		X: whiteX * labG(fy+c.A/500),
		Y: labG(fy),
		Z: whiteZ * labG(fy-c.B/200),
	}
}

// LCh returns the colour by chroma and hue. Where the chroma is below 1e-9, so
// that a hue would be rounding noise, H is 0.
func (c Lab) LCh() LCh {
	chroma := math.Hypot(c.A, c.B)
	if chroma < 1e-9 {
		return LCh{L: c.L, C: chroma}
	}
	return LCh{L: c.L, C: chroma, H: hueDegrees(c.A, c.B)}
}

// Lab returns the colour by a* and b*; any hue in degrees is taken.
func (c LCh) Lab() Lab {
	s, k := math.Sincos(c.H * math.Pi / 180)
	return Lab{L: c.L, A: c.C * k, B: c.C * s}
}

// hueDegrees returns the angle of (a, b), 0 <= angle < 360; 0 for (0, 0).
func hueDegrees(a, b float64) float64 {
	h := math.Atan2(b, a) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	if h >= 360 { // a tiny negative angle plus 360 rounds to 360
		h = 0
	}
	return h
}

// L returns CIE L* of the luminance. It rises strictly from 0 to 100; y outside
// 0..1 is clamped, NaN stays NaN.
//
// Source: CIE 15:2004, 8.2.1, with the exact constants.
func (y Y) L() L {
	switch {
	case y <= 0:
		return 0
	case y >= 1:
		return 100
	}
	return L(float64(116*labF(float64(y))) - 16)
}

// Y returns the luminance of CIE L*, 0..1; l outside 0..100 is clamped, NaN
// stays NaN.
//
// Source: CIE 15:2004, annex D.
func (l L) Y() Y {
	switch {
	case l <= 0:
		return 0
	case l >= 100:
		return 1
	}
	return Y(labG((float64(l) + 16) / 116))
}
