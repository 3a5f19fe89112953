package photo

import (
	"encoding/binary"
	"errors"
	"math"
	"unicode/utf16"

	"atelier/halflid/palette"
)

// profile is an ICC profile of the kind that is applied: a tone curve per
// channel and a matrix.
type profile struct {
	name   string
	tone   [3]func(float64) float64 // nil: sRGB's, near enough
	mix    *mixer                   // nil: sRGB's primaries, near enough
	grey   bool                     // for pictures of one channel
	tables bool                     // it holds finer tables besides, which are not read
}

var (
	errNotProfile = errors.New("photo: not a colour profile")
	errTable      = errors.New("photo: profile works by tables or inks")
)

// parseProfile reads an RGB or grey matrix profile. Source: ICC.1:2010, 7, 8.3,
// 8.4, 10.5, 10.15, 10.18, 10.31 and Annex F (relative colorimetric).
func parseProfile(b []byte) (*profile, error) {
	if len(b) < 132 || string(b[36:40]) != "acsp" {
		return nil, errNotProfile
	}
	p := &profile{name: description(profileTag(b, "desc"))}
	inXYZ := string(b[20:24]) == "XYZ "
	switch string(b[16:20]) {
	case "GRAY":
		return p, p.readGrey(profileTag(b, "kTRC"), inXYZ)
	case "RGB ":
	default:
		return nil, errTable
	}
	if !inXYZ {
		return nil, errTable
	}
	p.tables = profileTag(b, "A2B0") != nil || profileTag(b, "A2B1") != nil
	var toXYZ [9]float64
	for i, c := range "rgb" {
		x := profileTag(b, string(c)+"XYZ")
		if x == nil {
			return nil, errTable
		}
		if len(x) < 20 || string(x[:4]) != "XYZ " {
			return nil, errNotProfile
		}
		for k := range 3 {
			toXYZ[3*k+i] = fixed(x[8+4*k:])
		}
		f, err := toneOf(profileTag(b, string(c)+"TRC"))
		if err != nil {
			return nil, err
		}
		p.tone[i] = f
	}
	var err error
	p.mix, err = mixOf(toXYZ)
	return p, err
}

// readGrey reads the one curve of a grey profile: to light, or to lightness
// where the profile connects by L*a*b*.
func (p *profile) readGrey(tag []byte, inXYZ bool) error {
	f, err := toneOf(tag)
	if err != nil {
		return err
	}
	if !inXYZ {
		lightness := f
		if f == nil {
			lightness = decodeSRGB
		}
		f = func(c float64) float64 { return float64(palette.L(100 * lightness(c)).Y()) }
	}
	p.grey, p.tone = true, [3]func(float64) float64{f, f, f}
	return nil
}

// profileTag returns the body of a tag; nil if it is missing or not whole.
func profileTag(b []byte, sig string) []byte {
	n := int(min(binary.BigEndian.Uint32(b[128:]), 200))
	for i := range n {
		e := b[min(132+12*i, len(b)):]
		if len(e) < 12 {
			return nil
		}
		if string(e[:4]) == sig {
			at, size := int64(binary.BigEndian.Uint32(e[4:])), int64(binary.BigEndian.Uint32(e[8:]))
			if at+size > int64(len(b)) || size < 8 {
				return nil
			}
			return b[at : at+size]
		}
	}
	return nil
}

// fixed reads an s15Fixed16Number.
func fixed(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

// toneOf reads a curveType or parametricCurveType; nil stands for sRGB's curve
// when the two never differ by a third of an 8-bit code.
func toneOf(b []byte) (func(float64) float64, error) {
	if len(b) < 12 {
		return nil, errNotProfile
	}
	var f func(float64) float64
	switch string(b[:4]) {
	case "curv":
		n := int(min(binary.BigEndian.Uint32(b[8:]), 1<<16))
		if len(b) < 12+2*n {
			return nil, errNotProfile
		}
		f = curveOf(b[12:12+2*n], n)
	case "para":
		f = parametric(b)
	}
	if f == nil {
		return nil, errNotProfile
	}
	near := true
	for i := range 256 {
		c := float64(i) / 255
		v := f(c)
		if !(v >= 0 && v <= 1.0001) {
			return nil, errNotProfile
		}
		slope := 255 * (decodeSRGB(math.Min(c+1/255.0, 1)) - decodeSRGB(math.Max(c-1/255.0, 0))) / 2
		near = near && math.Abs(v-decodeSRGB(c)) <= slope/(3*255)
	}
	if near {
		return nil, nil
	}
	return f, nil
}

// curveOf returns the curve of n 16-bit samples: none is a straight line, one
// is a power in 1/256.
func curveOf(b []byte, n int) func(float64) float64 {
	at := func(i int) float64 { return float64(binary.BigEndian.Uint16(b[2*i:])) }
	switch n {
	case 0:
		return func(c float64) float64 { return c }
	case 1:
		g := at(0) / 256
		return func(c float64) float64 { return math.Pow(c, g) }
	}
	samples := make([]float64, n)
	for i := range samples {
		samples[i] = at(i) / 65535
	}
	return func(c float64) float64 {
		p := c * float64(n-1)
		i := min(int(p), n-2)
		t := p - float64(i)
		return samples[i]*(1-t) + samples[i+1]*t
	}
}

// parametric returns the curve of a parametricCurveType; nil if unknown.
// Source: ICC.1:2010, table 65.
func parametric(b []byte) func(float64) float64 {
	counts := [...]int{1, 3, 4, 5, 7}
	kind := int(binary.BigEndian.Uint16(b[8:]))
	if kind >= len(counts) || len(b) < 12+4*counts[kind] {
		return nil
	}
	var v [7]float64 // g a b c d e f
	for i := range counts[kind] {
		v[i] = fixed(b[12+4*i:])
	}
	g, a, off, c, d, e, f := v[0], v[1], v[2], v[3], v[4], v[5], v[6]
	power := func(x float64) float64 { return math.Pow(math.Max(a*x+off, 0), g) }
	switch kind {
	case 0:
		return func(x float64) float64 { return math.Pow(x, g) }
	case 1, 2:
		return func(x float64) float64 {
			if a*x+off >= 0 {
				return power(x) + c
			}
			return c
		}
	}
	return func(x float64) float64 {
		if x >= d {
			return power(x) + e
		}
		return c*x + f
	}
}

// srgbD50 are the primaries of sRGB as a profile gives them, adapted to D50.
// Source: B. Lindbloom, RGB/XYZ matrices, sRGB with Bradford adaptation.
var srgbD50 = [9]float64{
	0.4360747, 0.3850649, 0.1430804,
	0.2225045, 0.7168786, 0.0606169,
	0.0139322, 0.0971045, 0.7141733,
}

// mixOf returns the matrix from a profile's primaries to sRGB's, its rows scaled
// so that white stays exactly white and greys stay grey; nil where it changes
// nothing that 8 bits can show.
func mixOf(toXYZ [9]float64) (*mixer, error) {
	inv, ok := invert(srgbD50)
	if !ok {
		panic("photo: singular matrix of sRGB")
	}
	var m mixer
	worst := 0.0
	for r := range 3 {
		var row [3]float64
		sum := 0.0
		for c := range 3 {
			for k := range 3 {
				row[c] += inv[3*r+k] * toXYZ[3*k+c]
			}
			sum += row[c]
		}
		if !(sum > 0.5 && sum < 2) {
			return nil, errNotProfile
		}
		for c := range 3 {
			m[3*r+c] = float32(row[c] / sum)
			want := 0.0
			if r == c {
				want = 1
			}
			worst = math.Max(worst, math.Abs(row[c]/sum-want))
		}
	}
	if worst < 0.002 {
		return nil, nil
	}
	return &m, nil
}

func invert(m [9]float64) ([9]float64, bool) {
	cof := func(a, b, c, d int) float64 { return m[a]*m[d] - m[b]*m[c] }
	out := [9]float64{
		cof(4, 5, 7, 8), cof(2, 1, 8, 7), cof(1, 2, 4, 5),
		cof(5, 3, 8, 6), cof(0, 2, 6, 8), cof(2, 0, 5, 3),
		cof(3, 4, 6, 7), cof(1, 0, 7, 6), cof(0, 1, 3, 4),
	}
	det := m[0]*out[0] + m[1]*out[3] + m[2]*out[6]
	if math.Abs(det) < 1e-9 {
		return out, false
	}
	for i := range out {
		out[i] /= det
	}
	return out, true
}

// description reads a profile's name from its desc tag, of either version; ""
// if it cannot.
func description(b []byte) string {
	if len(b) < 12 {
		return ""
	}
	switch string(b[:4]) {
	case "desc": // ASCII, its count including the final zero
		n := int64(binary.BigEndian.Uint32(b[8:]))
		if n < 1 || 12+n > int64(len(b)) || n > 256 {
			return ""
		}
		return string(b[12 : 12+n-1])
	case "mluc": // the first of its languages, UTF-16
		if len(b) < 28 {
			return ""
		}
		n, at := int64(binary.BigEndian.Uint32(b[20:])), int64(binary.BigEndian.Uint32(b[24:]))
		if n > 512 || at+n > int64(len(b)) {
			return ""
		}
		var u []uint16
		for s := b[at : at+n]; len(s) >= 2; s = s[2:] {
			u = append(u, binary.BigEndian.Uint16(s))
		}
		return string(utf16.Decode(u))
	}
	return ""
}
