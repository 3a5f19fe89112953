package photo

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"strings"
	"testing"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"

	"atelier/halflid/palette"
)

// quarters are the colours of the fixture picture: see testdata/fixtures.
var quarters = [4][3]int{{200, 80, 60}, {40, 60, 90}, {230, 220, 190}, {20, 24, 28}}

func checkQuarters(t *testing.T, p *Photo, tol int) {
	t.Helper()
	if p.Master.Size() != image.Pt(64, 64) || p.Size != image.Pt(64, 64) {
		t.Fatalf("sizes %v, %v", p.Master.Size(), p.Size)
	}
	for i, want := range quarters {
		for _, d := range []int{4, 16, 27} {
			x, y := 32*(i%2)+d, 32*(i/2)+d
			near(t, fmt.Sprintf("%s at %d,%d", p.Name, x, y), codeAt(p.Master, x, y), want, tol)
		}
	}
}

func TestFixtures(t *testing.T) {
	for _, c := range []struct {
		name, format string
		tol, notes   int
	}{
		{"boats-444.jpg", "JPEG", 2, 0},
		{"boats-422.jpg", "JPEG", 2, 0},
		{"boats-420.jpg", "JPEG", 2, 0},
		{"boats-440.jpg", "JPEG", 2, 0},
		{"boats-411.jpg", "JPEG", 2, 0},
		{"boats-410.jpg", "JPEG", 2, 0},
		{"boats-progressive.jpg", "JPEG", 2, 0},
		{"boats-cmyk.jpg", "JPEG", 3, 1},
		{"boats-lossy.webp", "WebP", 3, 0},
		{"boats-lossless.webp", "WebP", 0, 0},
		{"boats-interlaced.png", "PNG", 0, 0},
		{"boats-palette2.png", "PNG", 0, 0},
		{"boats-lzw.tif", "TIFF", 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := mustDecode(t, fixture(t, c.name), "folder/"+c.name)
			checkQuarters(t, p, c.tol)
			if p.Format != c.format || p.Name != c.name || p.Orientation != 1 || len(p.Notes) != c.notes {
				t.Errorf("format %s, name %s, orientation %d, notes %q", p.Format, p.Name, p.Orientation, p.Notes)
			}
		})
	}
}

func TestGreyJPEG(t *testing.T) {
	p := mustDecode(t, fixture(t, "boats-grey.jpg"), "boats-grey.jpg")
	for i, q := range quarters { // the fixture was made grey by the weights of BT.709 on its codes
		want := int(0.2126*float64(q[0]) + 0.7152*float64(q[1]) + 0.0722*float64(q[2]) + 0.5)
		near(t, fmt.Sprint("quarter ", i), codeAt(p.Master, 32*(i%2)+16, 32*(i/2)+16), [3]int{want, want, want}, 2)
	}
}

// TestPlainFourInks opens the four-ink fixture marked as plain CMYK instead of
// YCCK: its planes are then inks, inverted as Adobe stores them.
func TestPlainFourInks(t *testing.T) {
	data := bytes.Clone(fixture(t, "boats-cmyk.jpg"))
	i := bytes.Index(data, []byte("Adobe"))
	data[i+11] = 0
	p := mustDecode(t, data, "inks.jpg")
	m, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []image.Point{{16, 16}, {48, 16}, {16, 48}, {48, 48}} {
		c := m.(*image.CMYK).CMYKAt(at.X, at.Y)
		r, g, b := color.CMYKToRGB(c.C, c.M, c.Y, c.K)
		near(t, fmt.Sprint(at), codeAt(p.Master, at.X, at.Y), [3]int{int(r), int(g), int(b)}, 0)
	}
	copy(data[i:], "Nobel")
	_, err = Decode(context.Background(), data, "inks.jpg", Options{})
	if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "four inks") {
		t.Errorf("without a marker: %v", err)
	}
}

// TestWebPAlpha: opaque above, clear below, where mid grey shows.
func TestWebPAlpha(t *testing.T) {
	p := mustDecode(t, fixture(t, "boats-alpha.webp"), "boats-alpha.webp")
	near(t, "opaque", codeAt(p.Master, 30, 10), quarters[0], 3)
	grey := int(palette.Encode8(palette.Light(palette.L(50).Y())))
	near(t, "clear", codeAt(p.Master, 30, 50), [3]int{grey, grey, grey}, 0)
}

// TestAlphaInLight: half a white over L* 50 is their mean in light, not in codes.
// Source: CIE 15:2004, Y of L* 50 = 0.184187.
func TestAlphaInLight(t *testing.T) {
	m := image.NewNRGBA64(image.Rect(0, 0, 3, 1))
	m.SetNRGBA64(0, 0, color.NRGBA64{65535, 65535, 65535, 32768})
	m.SetNRGBA64(1, 0, color.NRGBA64{1, 2, 3, 0})
	m.SetNRGBA64(2, 0, color.NRGBA64{65535, 0, 0, 65535})
	p := mustDecode(t, encodePNG(t, m), "glass.png").Master
	for x, want := range [][3]float64{{0.592093, 0.592093, 0.592093}, {0.184187, 0.184187, 0.184187}, {1, 0, 0}} {
		for i, plane := range p.Planes() {
			if d := float64(plane.At(x, 0)) - want[i]; !(d < 1e-5 && d > -1e-5) {
				t.Errorf("pixel %d channel %d: %g, want %g", x, i, plane.At(x, 0), want[i])
			}
		}
	}
}

// TestLosslessFormats writes one scene through each lossless encoder and wants
// the same light back.
func TestLosslessFormats(t *testing.T) {
	scene := harbour(61, 47)
	want := averaged(t, scene, MasterSide, 1)
	few := color.Palette{}
	seen := map[color.Color]bool{}
	for i := 0; i < len(scene.Pix); i += 4 {
		if c := (color.RGBA{scene.Pix[i], scene.Pix[i+1], scene.Pix[i+2], 255}); !seen[c] && len(few) < 256 {
			seen[c] = true
			few = append(few, c)
		}
	}
	paletted := image.NewPaletted(scene.Rect, few)
	for y := range 47 {
		for x := range 61 {
			paletted.Set(x, y, scene.At(x, y))
		}
	}
	wide := image.NewNRGBA64(scene.Rect)
	for y := range 47 {
		for x := range 61 {
			wide.Set(x, y, scene.At(x, y))
		}
	}
	files := map[string]func(*bytes.Buffer) error{
		"GIF": func(b *bytes.Buffer) error {
			return gif.EncodeAll(b, &gif.GIF{Image: []*image.Paletted{paletted}, Delay: []int{0}})
		},
		"BMP":         func(b *bytes.Buffer) error { return bmp.Encode(b, scene) },
		"BMP palette": func(b *bytes.Buffer) error { return bmp.Encode(b, paletted) },
		"TIFF":        func(b *bytes.Buffer) error { return tiff.Encode(b, scene, nil) },
		"TIFF deflated": func(b *bytes.Buffer) error {
			return tiff.Encode(b, scene, &tiff.Options{Compression: tiff.Deflate, Predictor: true})
		},
		"TIFF 16 bit":  func(b *bytes.Buffer) error { return tiff.Encode(b, wide, nil) },
		"TIFF palette": func(b *bytes.Buffer) error { return tiff.Encode(b, paletted, nil) },
		"PNG":          func(b *bytes.Buffer) error { b.Write(encodePNG(t, scene)); return nil },
		"PNG palette":  func(b *bytes.Buffer) error { b.Write(encodePNG(t, paletted)); return nil },
		"PNG 16 bit":   func(b *bytes.Buffer) error { b.Write(encodePNG(t, wide)); return nil },
	}
	for name, write := range files {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			if err := write(&b); err != nil {
				t.Fatal(err)
			}
			p := mustDecode(t, b.Bytes(), "scene")
			if kind, _, _ := strings.Cut(name, " "); p.Format != kind {
				t.Errorf("format %s", p.Format)
			}
			for i, plane := range p.Master.Planes() {
				for k, v := range plane.Pix {
					if w := want.Planes()[i].Pix[k]; v < w-1e-6 || v > w+1e-6 {
						t.Fatalf("channel %d pixel %d: %g, want %g", i, k, v, w)
					}
				}
			}
		})
	}
}

// TestFewBitPNG opens greys of 1, 2 and 4 bits, written by hand.
func TestFewBitPNG(t *testing.T) {
	for _, bits := range []int{1, 2, 4} {
		n := 1 << bits
		rowBytes := (n*bits + 7) / 8
		row := make([]byte, 1+rowBytes)
		for v := range n {
			row[1+v*bits/8] |= byte(v << (8 - bits - v*bits%8))
		}
		file := append([]byte("\x89PNG\r\n\x1a\n"), pngChunk("IHDR", []byte{0, 0, 0, byte(n), 0, 0, 0, 1, byte(bits), 0, 0, 0, 0})...)
		file = append(append(file, pngChunk("IDAT", deflate(row))...), pngChunk("IEND", nil)...)
		p := mustDecode(t, file, "few.png")
		for v := range n {
			want := v * 255 / (n - 1)
			near(t, fmt.Sprintf("%d bits, %d", bits, v), codeAt(p.Master, v, 0), [3]int{want, want, want}, 0)
		}
	}
}

func TestFirstGIFFrame(t *testing.T) {
	pal := color.Palette{color.White, color.Black}
	one, two := image.NewPaletted(image.Rect(0, 0, 8, 8), pal), image.NewPaletted(image.Rect(0, 0, 8, 8), pal)
	for i := range two.Pix {
		two.Pix[i] = 1
	}
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, &gif.GIF{Image: []*image.Paletted{one, two}, Delay: []int{1, 1}}); err != nil {
		t.Fatal(err)
	}
	near(t, "first frame", codeAt(mustDecode(t, b.Bytes(), "waves.gif").Master, 3, 3), [3]int{255, 255, 255}, 0)
}

// TestFirstFrames: of a moving WebP the first frame, on its canvas where it is
// smaller; of a moving PNG the still picture that it is for other readers.
func TestFirstFrames(t *testing.T) {
	checkQuarters(t, mustDecode(t, fixture(t, "boats-moving.webp"), "boats-moving.webp"), 0)
	p := mustDecode(t, fixture(t, "boats-patch.webp"), "boats-patch.webp").Master
	for i, q := range quarters { // a half as large, at 16, 8
		near(t, fmt.Sprint("patch ", i), codeAt(p, 16+16*(i%2)+8, 8+16*(i/2)+8), q, 4)
	}
	grey := int(palette.Encode8(palette.Light(palette.L(50).Y())))
	near(t, "beside the patch", codeAt(p, 8, 20), [3]int{grey, grey, grey}, 0)
	moving := withChunk(fixture(t, "boats-interlaced.png"), "acTL", []byte{0, 0, 0, 1, 0, 0, 0, 0})
	checkQuarters(t, mustDecode(t, moving, "moving.png"), 0)
}

func TestPhotoFields(t *testing.T) {
	data := encodeJPEG(t, harbour(300, 200), 90)
	p := mustDecode(t, data, "/somewhere/Low tide.JPG")
	sum := sha256.Sum256(data)
	if p.Name != "Low tide.JPG" || p.Bytes != int64(len(data)) || p.SHA256 != hex.EncodeToString(sum[:]) || p.Size != image.Pt(300, 200) || len(p.Notes) != 0 {
		t.Errorf("%+v", p)
	}
}

func TestMasterIsBounded(t *testing.T) {
	p := mustDecode(t, encodeJPEG(t, harbour(2500, 1250), 80), "wide.jpg")
	if p.Master.Size() != image.Pt(2048, 1024) || p.Size != image.Pt(2500, 1250) {
		t.Errorf("master %v of %v", p.Master.Size(), p.Size)
	}
	near(t, "hull", codeAt(p.Master, 768, 512), [3]int{190, 70, 40}, 6)
}

func TestProgress(t *testing.T) {
	files := map[string][]byte{"a.jpg": encodeJPEG(t, harbour(800, 600), 90), "a.png": encodePNG(t, harbour(800, 600)), "a.tif": fixture(t, "boats-lzw.tif")}
	for name, data := range files {
		var told []float64
		_, err := Decode(context.Background(), data, name, Options{Progress: func(v float64) { told = append(told, v) }})
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(told); i++ {
			if told[i] <= told[i-1] {
				t.Fatalf("%s: progress went from %g to %g", name, told[i-1], told[i])
			}
		}
		if n := len(told); n < 3 || n > 101 || told[n-1] != 1 {
			t.Errorf("%s: progress %v", name, told)
		}
	}
}

// TestCancel ends the context before, during decoding, and during averaging.
func TestCancel(t *testing.T) {
	late, end := context.WithTimeout(context.Background(), 0)
	defer end()
	if _, err := Decode(late, fixture(t, "boats-420.jpg"), "late.jpg", Options{}); !errors.Is(err, context.DeadlineExceeded) || !strings.Contains(err.Error(), "longer than it may") {
		t.Errorf("too late: %v", err)
	}
	for name, data := range map[string][]byte{
		"a.jpg": encodeJPEG(t, harbour(1600, 1200), 95), "a.png": encodePNG(t, harbour(900, 700)),
		"a.tif": fixture(t, "boats-lzw.tif"), "a.webp": fixture(t, "boats-lossy.webp"),
	} {
		for _, at := range []float64{0, 0.02, 0.85} {
			ctx, cancel := context.WithCancel(context.Background())
			if at == 0 {
				cancel()
			}
			p, err := Decode(ctx, data, name, Options{Progress: func(v float64) {
				if v >= at {
					cancel()
				}
			}})
			cancel()
			if at == 0.85 && err == nil {
				continue // small pictures are done at one step
			}
			if !errors.Is(err, context.Canceled) || p != nil {
				t.Errorf("%s stopped at %g: %v", name, at, err)
			}
		}
	}
}
