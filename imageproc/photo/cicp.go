package photo

import "math"

// codes are the coding-independent code points of a picture's colours.
// Source: ITU-T H.273.
type codes struct {
	primaries, transfer, matrix int
	full                        bool // the whole range of codes is used
}

// chroma is a pair of chromaticity coordinates.
type chroma struct{ x, y float64 }

// gamut is a white and three primaries.
type gamut struct{ white, red, green, blue chroma }

var d65 = chroma{0.3127, 0.3290}

// gamutOf returns the primaries of a code of H.273, table 2, and their usual
// name; "" for codes that are not known.
func gamutOf(code int) (gamut, string) {
	switch code {
	case 1:
		return gamut{d65, chroma{0.640, 0.330}, chroma{0.300, 0.600}, chroma{0.150, 0.060}}, "BT.709"
	case 5:
		return gamut{d65, chroma{0.640, 0.330}, chroma{0.290, 0.600}, chroma{0.150, 0.060}}, "BT.601 (625 lines)"
	case 6, 7:
		return gamut{d65, chroma{0.630, 0.340}, chroma{0.310, 0.595}, chroma{0.155, 0.070}}, "BT.601 (525 lines)"
	case 9:
		return gamut{d65, chroma{0.708, 0.292}, chroma{0.170, 0.797}, chroma{0.131, 0.046}}, "BT.2020"
	case 11:
		return gamut{chroma{0.314, 0.351}, chroma{0.680, 0.320}, chroma{0.265, 0.690}, chroma{0.150, 0.060}}, "DCI-P3"
	case 12:
		return gamut{d65, chroma{0.680, 0.320}, chroma{0.265, 0.690}, chroma{0.150, 0.060}}, "Display P3"
	}
	return gamut{}, ""
}

// toneOfCode returns the curve from code to light of a code of H.273, table 3,
// nil for sRGB's, and whether it is known. The curves of cameras (1, 6, 14, 15)
// count as sRGB's: pictures so marked were judged on a display, not measured.
func toneOfCode(code int) (f func(float64) float64, known bool) {
	switch code {
	case 1, 6, 13, 14, 15:
		return nil, true
	case 4:
		return func(c float64) float64 { return math.Pow(c, 2.2) }, true
	case 5:
		return func(c float64) float64 { return math.Pow(c, 2.8) }, true
	case 8:
		return func(c float64) float64 { return c }, true
	case 16:
		return pqLight, true
	case 18:
		return hlgLight, true
	}
	return nil, false
}

// bright reports whether a transfer code is one of pictures brighter than paper.
func bright(transfer int) bool { return transfer == 16 || transfer == 18 }

// pqLight returns the light of a PQ code, 1 at the white of 203 cd/m2, held there.
// Source: SMPTE ST 2084 as in ITU-R BT.2100-2, table 4; the white: ITU-R BT.2408-7.
func pqLight(c float64) float64 {
	const m1, m2, c1, c2, c3 = 2610.0 / 16384, 2523.0 / 32, 3424.0 / 4096, 2413.0 / 128, 2392.0 / 128
	p := math.Pow(c, 1/m2)
	return math.Min(1, math.Pow(math.Max(p-c1, 0)/(c2-c3*p), 1/m1)*10000/203)
}

// hlgLight returns the light of a HLG code, 1 at the code 0.75 of reference
// white, held there. Source: ITU-R BT.2100-2, table 5; the white: ITU-R BT.2408-7.
func hlgLight(c float64) float64 {
	const a, b, k = 0.17883277, 0.28466892, 0.55991073
	scene := func(c float64) float64 {
		if c <= 0.5 {
			return c * c / 3
		}
		return (math.Exp((c-k)/a) + b) / 12
	}
	return math.Min(1, scene(c)/scene(0.75))
}

// bradford leads from XYZ to the cone responses in which white is adapted.
// Source: ICC.1:2010, annex E.
var bradford = [9]float64{0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296}

// whiteD50 is the white of profiles. Source: ICC.1:2010, 7.2.16.
var whiteD50 = [3]float64{0.9642, 1, 0.8249}

// toXYZ returns the matrix, row-major, from light in g's primaries to XYZ
// adapted to D50; false if g's corners span no triangle.
// Source: SMPTE RP 177-1993; the adaptation is Bradford's.
func (g gamut) toXYZ() ([9]float64, bool) {
	column := func(c chroma) [3]float64 { return [3]float64{c.x / c.y, 1, (1 - c.x - c.y) / c.y} }
	for _, c := range []chroma{g.white, g.red, g.green, g.blue} {
		if !(c.y > 0.00005 && c.x >= 0 && c.x+c.y <= 1.001) {
			return [9]float64{}, false
		}
	}
	r, gr, b, w := column(g.red), column(g.green), column(g.blue), column(g.white)
	m := [9]float64{r[0], gr[0], b[0], r[1], gr[1], b[1], r[2], gr[2], b[2]}
	inv, ok := invert(m)
	if !ok {
		return [9]float64{}, false
	}
	sum := apply9(inv, w)
	for i := range m {
		m[i] *= sum[i%3]
	}
	from, to := apply9(bradford, w), apply9(bradford, whiteD50)
	back, _ := invert(bradford)
	var scale [9]float64
	for i := range 3 {
		if !(from[i] > 0) {
			return [9]float64{}, false
		}
		scale[4*i] = to[i] / from[i]
	}
	return times9(times9(back, times9(scale, bradford)), m), true
}

func apply9(m [9]float64, v [3]float64) (out [3]float64) {
	for i := range 3 {
		out[i] = float64(m[3*i]*v[0]) + float64(m[3*i+1]*v[1]) + float64(m[3*i+2]*v[2])
	}
	return out
}

func times9(a, b [9]float64) (out [9]float64) {
	for i := range 3 {
		for k := range 3 {
			out[3*i+k] = float64(a[3*i]*b[k]) + float64(a[3*i+1]*b[3+k]) + float64(a[3*i+2]*b[6+k])
		}
	}
	return out
}
