package photo

import (
	"encoding/binary"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// chunked is a PNG of one colour with chunks before its pixels, in order.
func chunked(t *testing.T, c color.NRGBA, chunks ...any) []byte {
	t.Helper()
	m := image.NewNRGBA(image.Rect(0, 0, 1, 1))
	m.SetNRGBA(0, 0, c)
	file := encodePNG(t, m)
	for i := len(chunks) - 2; i >= 0; i -= 2 {
		file = withChunk(file, chunks[i].(string), chunks[i+1].([]byte))
	}
	return file
}

func gama(v uint32) []byte { return binary.BigEndian.AppendUint32(nil, v) }

func chrm(v ...int) []byte { return be(4, v...) }

// TestPNGRank: of several descriptions the highest in rank counts: cICP, iCCP,
// sRGB, then gAMA with cHRM.
// Source: PNG specification, third edition (W3C, 2025), 4.3 and 11.3.2.
func TestPNGRank(t *testing.T) {
	hull := color.NRGBA{200, 80, 60, 255}
	icc := append([]byte("q\x00\x00"), deflate(matrixProfile("Quay", adobeD50, curv(563)))...)
	p3cicp, srgbcicp := []byte{12, 13, 0, 1}, []byte{1, 13, 0, 1}
	corners := chrm(31270, 32900, 68000, 32000, 26500, 69000, 15000, 6000)
	for _, c := range []struct {
		name   string
		want   string
		notes  int
		chunks []any
	}{
		{"nothing", "sRGB", 0, nil},
		{"sRGB", "sRGB", 0, []any{"sRGB", []byte{0}}},
		{"sRGB before gamma", "sRGB", 0, []any{"sRGB", []byte{0}, "gAMA", gama(100000), "cHRM", corners}},
		{"gamma", "PNG gamma 1.00", 1, []any{"gAMA", gama(100000)}},
		{"gamma and primaries", "PNG gamma 2.20 with its own primaries", 1, []any{"gAMA", gama(45455), "cHRM", corners}},
		{"primaries alone", "sRGB with its own primaries", 1, []any{"cHRM", corners}},
		{"the numbers of sRGB", "sRGB", 0, []any{"gAMA", gama(45455), "cHRM", chrm(31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000)}},
		{"profile before sRGB", "embedded: Quay", 1, []any{"iCCP", icc, "sRGB", []byte{0}, "gAMA", gama(100000)}},
		{"code points before all", "Display P3", 1, []any{"cICP", p3cicp, "iCCP", icc, "sRGB", []byte{0}}},
		{"code points of sRGB", "sRGB", 0, []any{"cICP", srgbcicp, "iCCP", icc}},
		{"code points that say nothing", "embedded: Quay", 1, []any{"cICP", []byte{2, 2, 0, 1}, "iCCP", icc}},
		{"code points of YCbCr", "embedded: Quay", 1, []any{"cICP", []byte{12, 13, 6, 1}, "iCCP", icc}},
		{"bright", "BT.2020 PQ", 1, []any{"cICP", []byte{9, 16, 0, 1}}},
		{"broken profile, then gamma", "PNG gamma 1.00", 2, []any{"iCCP", append([]byte("q\x00\x00"), deflate([]byte("none"))...), "gAMA", gama(100000)}},
		{"gamma of nothing", "sRGB", 0, []any{"gAMA", gama(0)}},
		{"gamma beyond sense", "sRGB", 1, []any{"gAMA", gama(1)}},
		{"primaries on a line", "sRGB", 1, []any{"cHRM", chrm(31270, 32900, 10000, 10000, 20000, 20000, 30000, 30000)}},
		{"first gamma counts", "PNG gamma 1.00", 1, []any{"gAMA", gama(100000), "gAMA", gama(50000)}},
	} {
		p := mustDecode(t, chunked(t, hull, c.chunks...), c.name)
		if p.Profile != c.want || len(p.Notes) != c.notes {
			t.Errorf("%s: profile %q (want %q), notes %q", c.name, p.Profile, c.want, p.Notes)
		}
	}
}

// TestPNGGamma: light is the code to the power of 100000/gAMA.
// Source: PNG specification, third edition, 13.13.
func TestPNGGamma(t *testing.T) {
	for _, g := range []uint32{100000, 55556, 45455, 41667, 38462} {
		p := mustDecode(t, chunked(t, color.NRGBA{64, 128, 200, 255}, "gAMA", gama(g)), "gamma")
		for i, code := range []float64{64, 128, 200} {
			oracle.Close(t, "light", float64(p.Master.Planes()[i].At(0, 0)), math.Pow(code/255, 100000/float64(g)), 2e-6)
		}
	}
}

// TestPNGPrimaries: cHRM of Display P3 gives what the published matrix gives
// (see TestDisplayP3), and so does its cICP.
func TestPNGPrimaries(t *testing.T) {
	c := color.NRGBA{200, 80, 60, 255}
	r, g, b := float64(palette.Decode8(200)), float64(palette.Decode8(80)), float64(palette.Decode8(60))
	want := []float64{1.2249402*r - 0.2249402*g, -0.0420569*r + 1.0420569*g, -0.0196376*r - 0.0786361*g + 1.0982736*b}
	for name, data := range map[string][]byte{
		"cHRM": chunked(t, c, "cHRM", chrm(31270, 32900, 68000, 32000, 26500, 69000, 15000, 6000)),
		"cICP": chunked(t, c, "cICP", []byte{12, 13, 0, 1}),
	} {
		p := mustDecode(t, data, name)
		for i, plane := range p.Master.Planes() {
			oracle.Close(t, name+" "+"RGB"[i:i+1], float64(plane.At(0, 0)), want[i], 3e-4)
		}
	}
}

// TestBrightPNG: PQ and HLG at the codes of reference white and below.
// Sources: ITU-R BT.2408-7, table 1 (reference white 203 cd/m2 is PQ 58 percent,
// HLG 75 percent); SMPTE ST 2084: 100 cd/m2 is PQ 50.8 percent (BT.2408, same table).
func TestBrightPNG(t *testing.T) {
	oracle.Close(t, "PQ 58 percent", pqLight(0.58), 1, 0.02)
	oracle.Close(t, "PQ 50.8 percent", pqLight(0.508), 100.0/203, 0.005)
	oracle.Close(t, "PQ of all", pqLight(1), 1, 0)
	oracle.Close(t, "PQ of nothing", pqLight(0), 0, 1e-9)
	oracle.Close(t, "HLG 75 percent", hlgLight(0.75), 1, 1e-12)
	oracle.Close(t, "HLG 50 percent", hlgLight(0.5)*0.26496, 1.0/12, 1e-5) // BT.2100-2, table 5: half the code is a twelfth of the light
	p := mustDecode(t, chunked(t, color.NRGBA{255, 255, 255, 255}, "cICP", []byte{9, 16, 0, 1}), "lamp")
	if !strings.Contains(p.Notes[0], "bright displays") || strings.Contains(p.Notes[0], "\n") {
		t.Errorf("notes %q", p.Notes)
	}
}

// adobeEXIF is an EXIF block with a colour space and an interoperability index.
func adobeEXIF(space uint32, index string) []byte {
	order := binary.LittleEndian
	const first, second, third = 8, 8 + 2 + 12 + 4, 8 + 2 + 12 + 4 + 2 + 24 + 4
	b := order.AppendUint32([]byte("II*\x00"), first)
	entry := func(tag, typ uint16, n, v uint32) {
		b = order.AppendUint16(order.AppendUint16(b, tag), typ)
		b = order.AppendUint32(order.AppendUint32(b, n), v)
	}
	b = order.AppendUint16(b, 1)
	entry(tagExif, 4, 1, second)
	b = order.AppendUint32(b, 0)
	b = order.AppendUint16(b, 2)
	entry(tagColorSpace, 3, 1, space)
	entry(tagInterop, 4, 1, third)
	b = order.AppendUint32(b, 0)
	b = order.AppendUint16(b, 1)
	entry(tagInteropIndex, 2, 4, binary.LittleEndian.Uint32(append([]byte(index), 0)))
	return order.AppendUint32(b, 0)
}

// TestAdobeMarker: a camera's mark counts where there is no profile.
// Source: DCF 2.0, 4.6; the colours as in TestAdobeRGB.
func TestAdobeMarker(t *testing.T) {
	m := image.NewNRGBA(image.Rect(0, 0, 32, 32))
	for i := range 32 * 32 {
		m.SetNRGBA(i%32, i/32, color.NRGBA{150, 110, 90, 255})
	}
	jpg := encodeJPEG(t, m, 100)
	pow := func(c float64) float64 { return math.Pow(c/255, 563.0/256) }
	r, g, b := pow(150), pow(110), pow(90)
	want := [3]float64{1.3983556*r - 0.3983556*g, g, -0.0429289*g + 1.0429289*b}
	for _, c := range []struct {
		name, profile string
		data          []byte
	}{
		{"marked", "Adobe RGB (1998)", withEXIF(jpg, adobeEXIF(65535, "R03"))},
		{"old mark", "Adobe RGB (1998)", withEXIF(jpg, adobeEXIF(2, "R98"))},
		{"sRGB", "sRGB", withEXIF(jpg, adobeEXIF(1, "R98"))},
		{"uncalibrated alone", "sRGB", withEXIF(jpg, adobeEXIF(65535, "R98"))},
		{"a profile as well", "embedded: Quay", withSegment(withEXIF(jpg, adobeEXIF(65535, "R03")), 0xe2,
			append([]byte("ICC_PROFILE\x00\x01\x01"), matrixProfile("Quay", p3D50, curv(461))...))},
		{"cut", "sRGB", withEXIF(jpg, adobeEXIF(65535, "R03")[:40])},
	} {
		p := mustDecode(t, c.data, c.name)
		if p.Profile != c.profile {
			t.Errorf("%s: profile %q", c.name, p.Profile)
		}
		if c.profile != "Adobe RGB (1998)" {
			continue
		}
		for i, plane := range p.Master.Planes() {
			oracle.Close(t, c.name+" "+"RGB"[i:i+1], float64(plane.At(16, 16)), want[i], 0.009)
		}
		if len(p.Notes) != 1 {
			t.Errorf("%s: notes %q", c.name, p.Notes)
		}
	}
}

// TestProfileKinds: what cannot be applied is said; the profile's name is cut.
func TestProfileKinds(t *testing.T) {
	png := fixture(t, "boats-interlaced.png")
	with := func(profile []byte) *Photo {
		return mustDecode(t, withChunk(png, "iCCP", append([]byte("s\x00\x00"), deflate(profile)...)), "x.png")
	}
	if p := with(buildProfile("GRAY", "XYZ ", "kTRC", curv(563))); p.Profile != "sRGB" || len(p.Notes) != 1 {
		t.Errorf("a grey profile in a coloured PNG: %q %q", p.Profile, p.Notes)
	}
	long := matrixProfile(strings.Repeat("Quay ", 20), p3D50, srgbPara)
	if p := with(long); len([]rune(p.Profile)) > 70 || !strings.HasSuffix(p.Profile, "…") {
		t.Errorf("long name: %q", p.Profile)
	}
	var tags []any
	tags = append(tags, "A2B0", make([]byte, 40))
	for i, c := range "rgb" {
		body := []byte("XYZ \x00\x00\x00\x00")
		for k := range 3 {
			body = append(body, s15(p3D50[3*k+i])...)
		}
		tags = append(tags, string(c)+"XYZ", body, string(c)+"TRC", srgbPara)
	}
	if p := with(buildProfile("RGB ", "XYZ ", tags...)); len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "simpler") {
		t.Errorf("tables and a matrix: %q", p.Notes)
	}
	if p := mustDecode(t, fixture(t, "boats-cmyk.jpg"), "inks.jpg"); p.Profile != "four inks taken as sRGB" {
		t.Errorf("inks: %q", p.Profile)
	}
}
