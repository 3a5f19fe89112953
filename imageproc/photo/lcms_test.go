package photo

import (
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"atelier/halflid/palette"
)

// transicc returns the path of Little CMS's calculator (Debian: liblcms2-utils).
func transicc(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("transicc")
	if err != nil {
		if os.Getenv("CI") != "" || os.Getenv("HALFLID_NEED_SERVERS") != "" {
			t.Fatal("transicc is not installed: install liblcms2-utils")
		}
		t.Skip("transicc is not installed (liblcms2-utils)")
	}
	return path
}

// completed fills in what another reader wants of a profile's header.
func completed(b []byte, version byte) []byte {
	b = append([]byte{}, b...)
	binary.BigEndian.PutUint32(b, uint32(len(b)))
	b[8] = version
	if version == 2 {
		b[9] = 0x40
	}
	copy(b[68:], []byte{0, 0, 0xf6, 0xd6, 0, 1, 0, 0, 0, 0, 0xd3, 0x2d}) // D50
	return b
}

func primaries(t *testing.T, r, g, b, w chroma) [9]float64 {
	t.Helper()
	m, ok := gamut{w, r, g, b}.toXYZ()
	if !ok {
		t.Fatal("primaries without a matrix")
	}
	return m
}

// table samples a curve.
func table(n int, f func(float64) float64) []byte {
	v := make([]uint16, n)
	for i := range v {
		v[i] = uint16(math.Round(65535 * f(float64(i)/float64(n-1))))
	}
	return curv(v...)
}

// TestAgainstLCMS holds colours of generated profiles against Little CMS:
// relative colorimetric, no black point compensation, its calculation in
// floating point. No channel of a colour that sRGB can show may differ by more
// than one code of 255; what was found lies far below.
// Sources of primaries: SMPTE EG 432-1 (Display P3); Adobe RGB (1998), 4.3.1;
// ROMM RGB, ISO 22028-2 (ProPhoto); ITU-R BT.2020-2; Apple's old RGB from memory.
func TestAgainstLCMS(t *testing.T) {
	tool := transicc(t)
	d50 := chroma{0.3457, 0.3585}
	p3 := primaries(t, chroma{0.680, 0.320}, chroma{0.265, 0.690}, chroma{0.150, 0.060}, d65)
	adobe := primaries(t, chroma{0.64, 0.33}, chroma{0.21, 0.71}, chroma{0.15, 0.06}, d65)
	romm := primaries(t, chroma{0.7347, 0.2653}, chroma{0.1596, 0.8404}, chroma{0.0366, 0.0001}, d50)
	rec2020 := primaries(t, chroma{0.708, 0.292}, chroma{0.170, 0.797}, chroma{0.131, 0.046}, d65)
	old := primaries(t, chroma{0.625, 0.340}, chroma{0.280, 0.595}, chroma{0.155, 0.070}, d65)
	srgb := primaries(t, chroma{0.64, 0.33}, chroma{0.30, 0.60}, chroma{0.15, 0.06}, d65)
	grey := func(pcs string, trc []byte) []byte {
		return buildProfile("GRAY", pcs, "desc", mluc("Grey"), "wtpt", append([]byte("XYZ \x00\x00\x00\x00"), be(4, 0xf6d6, 0x10000, 0xd32d)...), "kTRC", trc)
	}
	for _, c := range []struct {
		name    string
		version byte
		data    []byte
	}{
		{"Display P3, para 3", 4, matrixProfile("x", p3, srgbPara)},
		{"Display P3, table of 1024", 2, matrixProfile("x", p3, table(1024, decodeSRGB))},
		{"Adobe RGB, power", 2, matrixProfile("x", adobe, curv(563))},
		{"Adobe RGB, para 0", 4, matrixProfile("x", adobe, para(0, 563.0/256))},
		{"ProPhoto, power 1.8", 2, matrixProfile("x", romm, curv(461))},
		{"ProPhoto, para 3", 4, matrixProfile("x", romm, para(3, 1.8, 1, 0, 1.0/16, 1.0/32))},
		{"BT.2020, para 4", 4, matrixProfile("x", rec2020, para(4, 1/0.45, 1/1.0993, 0.0993/1.0993, 1/4.5, 0.08145, 0, 0))},
		{"old RGB, para 1", 4, matrixProfile("x", old, para(1, 1.8, 0.98, 0.02))},
		{"old RGB, para 2", 4, matrixProfile("x", old, para(2, 1.8, 0.96, 0.02, 0.002))},
		{"sRGB primaries, straight", 2, matrixProfile("x", srgb, curv())},
		{"sRGB", 4, matrixProfile("x", srgb, srgbPara)},
		{"sRGB primaries, coarse table", 2, matrixProfile("x", srgb, table(17, func(c float64) float64 { return math.Pow(c, 2.1) }))},
		{"grey 2.2", 2, grey("XYZ ", curv(563))},
		{"grey 1.8, para", 4, grey("XYZ ", para(0, 1.8))},
		{"grey table", 2, grey("XYZ ", table(256, func(c float64) float64 { return math.Pow(c, 2.4) }))},
		{"grey by lightness", 4, grey("Lab ", para(0, 1.1))},
	} {
		t.Run(c.name, func(t *testing.T) {
			worst, seen := compareLCMS(t, tool, completed(c.data, c.version), strings.HasPrefix(c.name, "grey"))
			t.Logf("largest difference %.3f of 255, %d channels compared", worst, seen)
			if worst > 1 || seen < 200 {
				t.Errorf("differs by %.3f of 255 in %d channels", worst, seen)
			}
		})
	}
}

// compareLCMS returns the largest difference in codes and how many were compared.
func compareLCMS(t *testing.T, tool string, profile []byte, isGrey bool) (worst float64, seen int) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "p.icc")
	if err := os.WriteFile(file, profile, 0o600); err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(4, 44))
	const n = 1024
	var ask strings.Builder
	rgb := image.NewNRGBA(image.Rect(0, 0, n, 1))
	one := image.NewGray(image.Rect(0, 0, n, 1))
	for x := range n {
		c := color.NRGBA{uint8(rng.UintN(256)), uint8(rng.UintN(256)), uint8(rng.UintN(256)), 255}
		if x < 256 {
			c = color.NRGBA{uint8(x), uint8(x), uint8(x), 255}
		} else if x%2 == 0 { // nearer to grey, where photographs are
			c.R, c.B = c.R/4+c.G/2+c.B/4, c.B/4+c.G/4*3
		}
		rgb.SetNRGBA(x, 0, c)
		one.SetGray(x, 0, color.Gray{c.R})
		if isGrey {
			fmt.Fprintf(&ask, "%d\n", c.R)
		} else {
			fmt.Fprintf(&ask, "%d\n%d\n%d\n", c.R, c.G, c.B)
		}
	}
	cmd := exec.Command(tool, "-n", "-t1", "-c0", "-i"+file, "-o*sRGB")
	cmd.Stdin = strings.NewReader(ask.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("transicc: %v", err)
	}
	words := strings.Fields(string(out))
	if len(words) < 3*n {
		t.Fatalf("transicc gave %d numbers for %d colours: %.300s", len(words), n, out)
	}
	var picture []byte
	if isGrey {
		picture = encodePNG(t, one)
	} else {
		picture = encodePNG(t, rgb)
	}
	p := mustDecode(t, withChunk(picture, "iCCP", append([]byte("p\x00\x00"), deflate(profile)...)), "p.png")
	for x := range n {
		var want [3]float64
		inside := true
		for i := range want {
			v, err := strconv.ParseFloat(words[3*x+i], 64)
			if err != nil {
				t.Fatal(err)
			}
			want[i] = v
			inside = inside && v >= -0.01 && v <= 255.01
		}
		if !inside {
			continue
		}
		for i, plane := range p.Master.Planes() {
			seen++
			worst = math.Max(worst, math.Abs(255*palette.Encode(palette.Light(plane.At(x, 0)))-want[i]))
		}
	}
	return worst, seen
}
