package photo

import (
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func s15(v float64) []byte {
	return binary.BigEndian.AppendUint32(nil, uint32(int32(math.Round(v*65536))))
}

func para(kind uint16, v ...float64) []byte {
	b := binary.BigEndian.AppendUint16([]byte("para\x00\x00\x00\x00"), kind)
	b = append(b, 0, 0)
	for _, x := range v {
		b = append(b, s15(x)...)
	}
	return b
}

func curv(v ...uint16) []byte {
	b := binary.BigEndian.AppendUint32([]byte("curv\x00\x00\x00\x00"), uint32(len(v)))
	for _, x := range v {
		b = binary.BigEndian.AppendUint16(b, x)
	}
	return b
}

func mluc(name string) []byte {
	b := append([]byte("mluc\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x00\x0cenUS"), 0, 0, 0, byte(2*len(name)), 0, 0, 0, 28)
	for _, r := range name {
		b = binary.BigEndian.AppendUint16(b, uint16(r))
	}
	return b
}

// buildProfile makes a profile of the given tags, in order.
func buildProfile(space, pcs string, tags ...any) []byte {
	b := make([]byte, 128)
	copy(b[12:], "mntr")
	copy(b[16:], space)
	copy(b[20:], pcs)
	copy(b[36:], "acsp")
	n := len(tags) / 2
	b = binary.BigEndian.AppendUint32(b, uint32(n))
	at := 132 + 12*n
	var bodies []byte
	for i := 0; i < len(tags); i += 2 {
		body := tags[i+1].([]byte)
		b = append(b, tags[i].(string)...)
		b = binary.BigEndian.AppendUint32(b, uint32(at+len(bodies)))
		b = binary.BigEndian.AppendUint32(b, uint32(len(body)))
		bodies = append(bodies, body...)
	}
	return append(b, bodies...)
}

func matrixProfile(name string, m [9]float64, trc []byte) []byte {
	var tags []any
	tags = append(tags, "desc", mluc(name))
	for i, c := range "rgb" {
		body := []byte("XYZ \x00\x00\x00\x00")
		for k := range 3 {
			body = append(body, s15(m[3*k+i])...)
		}
		tags = append(tags, string(c)+"XYZ", body, string(c)+"TRC", trc)
	}
	return buildProfile("RGB ", "XYZ ", tags...)
}

// Primaries adapted to D50 by Bradford. Source: B. Lindbloom, RGB/XYZ matrices
// (Adobe RGB 1998); computed the same way for Display P3 (SMPTE EG 432-1
// primaries, white D65).
var (
	adobeD50 = [9]float64{0.6097559, 0.2052401, 0.1492240, 0.3111242, 0.6256560, 0.0632197, 0.0194811, 0.0608902, 0.7448387}
	p3D50    = [9]float64{0.5151187, 0.2919778, 0.1571035, 0.2411892, 0.6922441, 0.0665668, -0.0010505, 0.0418791, 0.7840713}
	srgbPara = para(3, 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045)
)

// TestDisplayP3 turns P3 colours with the published matrix between the two
// linear spaces.
// Source: CSS Color 4 sample code, linear P3 to linear sRGB.
func TestDisplayP3(t *testing.T) {
	to := [3][3]float64{{1.2249402, -0.2249402, 0}, {-0.0420569, 1.0420569, 0}, {-0.0196376, -0.0786361, 1.0982736}}
	profile := matrixProfile("Quay P3", p3D50, srgbPara)
	for _, c := range []color.NRGBA{{200, 80, 60, 255}, {40, 60, 90, 255}, {128, 128, 128, 255}, {255, 255, 255, 255}, {200, 190, 90, 255}} {
		m := image.NewNRGBA(image.Rect(0, 0, 1, 1))
		m.SetNRGBA(0, 0, c)
		icc := append([]byte("quay\x00\x00"), deflate(profile)...)
		p := mustDecode(t, withChunk(encodePNG(t, m), "iCCP", icc), "quay.png")
		in := [3]float64{float64(palette.Decode8(c.R)), float64(palette.Decode8(c.G)), float64(palette.Decode8(c.B))}
		for i, plane := range p.Master.Planes() {
			want := to[i][0]*in[0] + to[i][1]*in[1] + to[i][2]*in[2]
			if want < 0 || want > 1 {
				t.Fatalf("%v lies outside sRGB", c)
			}
			oracle.Close(t, fmt.Sprintf("%v channel %d", c, i), float64(plane.At(0, 0)), want, 3e-4)
		}
		if len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "Quay P3") {
			t.Errorf("notes %q", p.Notes)
		}
	}
}

// TestAdobeRGB: a power curve of 563/256 and other primaries, in a 16-bit PNG
// and in a JPEG whose profile comes in two pieces.
// Source: Adobe RGB (1998) Color Image Encoding, 4.3.4; linear Adobe RGB to
// linear sRGB by B. Lindbloom's matrices.
func TestAdobeRGB(t *testing.T) {
	profile := matrixProfile("Adobe RGB", adobeD50, curv(563))
	m := image.NewNRGBA64(image.Rect(0, 0, 32, 32))
	for i := range 32 * 32 {
		m.SetNRGBA64(i%32, i/32, color.NRGBA64{150 * 257, 110 * 257, 90 * 257, 65535})
	}
	pow := func(c float64) float64 { return math.Pow(c/255, 563.0/256) }
	r, g, b := pow(150), pow(110), pow(90)
	want := [3]float64{1.3983556*r - 0.3983556*g, g, -0.0429289*g + 1.0429289*b} // columns of the published matrix
	png16 := withChunk(encodePNG(t, m), "iCCP", append([]byte("a\x00\x00"), deflate(profile)...))
	jpg := encodeJPEG(t, m, 100)
	head := "ICC_PROFILE\x00"
	jpg = withSegment(withSegment(jpg, 0xe2, append([]byte(head+"\x02\x02"), profile[200:]...)), 0xe2, append([]byte(head+"\x01\x02"), profile[:200]...))
	for name, data := range map[string][]byte{"png": png16, "jpg": jpg} {
		p := mustDecode(t, data, name)
		tol := map[string]float64{"png": 3e-4, "jpg": 0.009}[name]
		for i, plane := range p.Master.Planes() {
			oracle.Close(t, fmt.Sprintf("%s channel %d", name, i), float64(plane.At(16, 16)), want[i], tol)
		}
		if len(p.Notes) != 1 {
			t.Errorf("%s: notes %q", name, p.Notes)
		}
	}
}

// TestSRGBProfileChangesNothing: profiles that say sRGB leave exact light.
func TestSRGBProfileChangesNothing(t *testing.T) {
	var table []uint16
	for i := range 1024 {
		table = append(table, uint16(math.Round(65535*float64(palette.Decode(float64(i)/1023)))))
	}
	want := mustDecode(t, fixture(t, "boats-interlaced.png"), "plain")
	for _, trc := range [][]byte{srgbPara, curv(table...)} {
		icc := append([]byte("s\x00\x00"), deflate(matrixProfile("sRGB", srgbD50, trc))...)
		p := mustDecode(t, withChunk(fixture(t, "boats-interlaced.png"), "iCCP", icc), "profiled")
		if len(p.Notes) != 0 {
			t.Errorf("notes %q", p.Notes)
		}
		for i, v := range p.Master.G.Pix {
			if v != want.Master.G.Pix[i] {
				t.Fatalf("pixel %d changed from %g to %g", i, want.Master.G.Pix[i], v)
			}
		}
	}
}

// TestGreyProfile and the other containers: TIFF and WebP carry one too.
func TestGreyProfile(t *testing.T) {
	linear := buildProfile("GRAY", "XYZ ", "kTRC", curv())
	m := letters(8)
	tif := buildTIFF(binary.LittleEndian, m.Pix, func(at uint32) [][]field {
		return [][]field{{
			short(256, 24), short(257, 16), short(258, 8), short(259, 1), short(262, 1), long(273, at),
			short(277, 1), short(278, 16), long(279, uint32(len(m.Pix))), undef(tagProfile, linear),
		}}
	})
	p := mustDecode(t, tif, "linear.tif")
	oracle.Close(t, "TIFF", float64(p.Master.G.At(0, 0)), float64(greyOf('a'))/255, 1e-6)
	webp := extendWebP(t, fixture(t, "boats-lossless.webp"), 0x20, 64, 64, webpChunk("ICCP", matrixProfile("Straight", srgbD50, curv())), nil)
	q := mustDecode(t, webp, "linear.webp")
	oracle.Close(t, "WebP", float64(q.Master.R.At(3, 3)), 200.0/255, 1e-6)
}

// TestCurves checks each kind of curve at points worked out by hand.
// Source: ICC.1:2010, 10.5 and table 65.
func TestCurves(t *testing.T) {
	for _, c := range []struct {
		name     string
		tag      []byte
		at, want float64
	}{
		{"straight", curv(), 0.25, 0.25},
		{"power 2", curv(512), 0.25, 0.0625},
		{"table", curv(0, 0, 65535), 0.75, 0.5},
		{"para 0", para(0, 2), 0.5, 0.25},
		{"para 1 below", para(1, 2, 1, -0.5), 0.25, 0},
		{"para 1", para(1, 2, 2, -1), 1, 1},
		{"para 2 below", para(2, 2, 1, -0.5, 0.125), 0.25, 0.125},
		{"para 3 below", para(3, 2, 1, 0, 0.5, 0.5), 0.25, 0.125},
		{"para 4 above", para(4, 2, 0.5, 0, 0.25, 0.5, 0.25, 0.0625), 1, 0.5},
		{"para 4 below", para(4, 2, 0.5, 0, 0.25, 0.5, 0.25, 0.0625), 0.25, 0.125},
	} {
		f, err := toneOf(c.tag)
		if err != nil || f == nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		oracle.Close(t, c.name, f(c.at), c.want, 2e-5)
	}
}

// TestBadProfiles: the picture opens as sRGB and a note says so.
func TestBadProfiles(t *testing.T) {
	good := matrixProfile("x", p3D50, srgbPara)
	for name, c := range map[string]struct {
		profile []byte
		word    string
	}{
		"inks":       {buildProfile("CMYK", "Lab ", "A2B0", make([]byte, 40)), "cannot be applied"},
		"tables":     {buildProfile("RGB ", "XYZ ", "A2B0", make([]byte, 40)), "cannot be applied"},
		"cut":        {good[:len(good)-30], "damaged"},
		"short":      {good[:100], "damaged"},
		"nonsense":   {[]byte(strings.Repeat("tide ", 60)), "damaged"},
		"black":      {matrixProfile("x", [9]float64{}, srgbPara), "damaged"},
		"wild curve": {matrixProfile("x", p3D50, para(0, -3)), "damaged"},
		"far curve":  {matrixProfile("x", p3D50, para(4, 2, 1, 0, 1, 0, 30, 0)), "damaged"},
		"kind 9":     {matrixProfile("x", p3D50, para(9, 1)), "damaged"},
	} {
		p := mustDecode(t, withChunk(fixture(t, "boats-interlaced.png"), "iCCP", append([]byte("s\x00\x00"), deflate(c.profile)...)), name)
		checkQuarters(t, p, 0)
		if len(p.Notes) != 1 || !strings.Contains(p.Notes[0], c.word) {
			t.Errorf("%s: notes %q", name, p.Notes)
		}
	}
}

// TestProfileName reads both versions' names and strips what a terminal obeys.
func TestProfileName(t *testing.T) {
	old := append([]byte("desc\x00\x00\x00\x00\x00\x00\x00\x05Quay\x00"), make([]byte, 80)...)
	if got := description(old); got != "Quay" {
		t.Errorf("old form: %q", got)
	}
	if got := description(mluc("Slipway 2")); got != "Slipway 2" {
		t.Errorf("new form: %q", got)
	}
	for _, b := range [][]byte{nil, []byte("desc\x00\x00\x00\x00\xff\xff\xff\xff"), []byte("mluc\x00\x00\x00\x00"), mluc("long")[:30]} {
		if got := description(b); got != "" {
			t.Errorf("%q gives %q", b, got)
		}
	}
	p := mustDecode(t, withChunk(fixture(t, "boats-interlaced.png"), "iCCP", append([]byte("s\x00\x00"), deflate(matrixProfile("a\x1b[31mb", p3D50, srgbPara))...)), "x")
	if len(p.Notes) != 1 || strings.Contains(p.Notes[0], "\x1b") || !strings.Contains(p.Notes[0], "ab") {
		t.Errorf("notes %q", p.Notes)
	}
}
