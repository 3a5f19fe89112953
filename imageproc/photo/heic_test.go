//go:build !noheic

package photo

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"github.com/gen2brain/heic"
)

func TestHEICFixtures(t *testing.T) {
	for name, tol := range map[string]int{
		"boats-420.heic": 3, "boats-444.heic": 3, "boats-10bit.heic": 3, "boats-narrow.heic": 4,
	} {
		t.Run(name, func(t *testing.T) {
			p := mustDecode(t, fixture(t, name), name)
			checkQuarters(t, p, tol)
			if p.Format != "HEIC" || p.Profile != "sRGB" || len(p.Notes) != 0 || p.Orientation != 1 {
				t.Errorf("format %s, profile %s, orientation %d, notes %q", p.Format, p.Profile, p.Orientation, p.Notes)
			}
		})
	}
	grey := mustDecode(t, fixture(t, "boats-grey.heic"), "grey")
	for i, q := range quarters { // made grey by the weights of BT.709 on its codes
		want := int(0.2126*float64(q[0]) + 0.7152*float64(q[1]) + 0.0722*float64(q[2]) + 0.5)
		near(t, fmt.Sprint("grey quarter ", i), codeAt(grey.Master, 32*(i%2)+16, 32*(i/2)+16), [3]int{want, want, want}, 3)
	}
	odd := mustDecode(t, fixture(t, "boats-odd.heic"), "odd")
	if odd.Size != image.Pt(61, 45) {
		t.Errorf("odd size %v", odd.Size)
	}
	near(t, "odd", codeAt(odd.Master, 60, 44), quarters[3], 3)
}

// spoilt is how many pixels of the first row the heic package writes over: it
// hands out memory that it has given back to the decoder.
const spoilt = 32

// wholeDecode is the heic package's own way through a whole file.
func wholeDecode(t *testing.T, data []byte) image.Image {
	t.Helper()
	if heic.Dynamic() == nil {
		t.Skip("the heic package took a library of the machine: its results are that library's")
	}
	img, err := heic.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// TestTilesAgainstWholeDecode: the planes that we put together tile by tile are
// those of libheif's own way through the file; but for the chroma of a grid and
// a crop in 4:2:0, which libheif enlarges and reduces again on its way. (The
// package lays out pictures under 128 pixels wide wrongly, and knows no grey.)
// Source: libheif 1.18.2, as the heic package carries it.
func TestTilesAgainstWholeDecode(t *testing.T) {
	files := map[string][]byte{
		"grid": gridOf(t, "quay-420.heic", 3, 2, 500, 201), "exact grid": gridOf(t, "quay-444.heic", 2, 3, 384, 408),
		"cropped": buildHEIF("heic", 1, codedPart(t, "quay-420.heic", clap(140, 100, -8, 8))),
	}
	for _, name := range []string{"quay-420.heic", "quay-422.heic", "quay-444.heic", "quay-10bit.heic"} {
		files[name] = fixture(t, name)
	}
	for name, data := range files {
		t.Run(name, func(t *testing.T) {
			whole := wholeDecode(t, data)
			p, err := openHEIF(data)
			if err != nil {
				t.Fatal(err)
			}
			ours, err := decodeHEIC(context.Background(), p, func(float64) {})
			if err != nil {
				t.Fatal(err)
			}
			if ours.Bounds().Size() != whole.Bounds().Size() {
				t.Fatalf("size %v, want %v", ours.Bounds().Size(), whole.Bounds().Size())
			}
			a, b := ours.Bounds().Min, whole.Bounds().Min
			for y := range whole.Bounds().Dy() {
				for x := range whole.Bounds().Dx() {
					if y == 0 && x < spoilt {
						continue
					}
					g, w := ours.At(a.X+x, a.Y+y).(color.YCbCr), whole.At(b.X+x, b.Y+y).(color.YCbCr)
					resampled := (name == "grid" || name == "cropped") && abs8(g.Cb, w.Cb) <= 30 && abs8(g.Cr, w.Cr) <= 30
					if g != w && (g.Y != w.Y || !resampled) {
						t.Fatalf("pixel %d,%d: %v, want %v", x, y, g, w)
					}
				}
			}
		})
	}
}

func abs8(a, b uint8) int { return max(int(a)-int(b), int(b)-int(a)) }

// TestHEICTurns opens all eight orientations, alone and in a grid, by our
// table and as libheif itself turns them.
func TestHEICTurns(t *testing.T) {
	for o := 1; o <= 8; o++ {
		data := turnedHEIF(t, "heic", "boats-444.heic", o)
		p := mustDecode(t, data, "turned.heic")
		if p.Orientation != o {
			t.Errorf("orientation %d, want %d", p.Orientation, o)
		}
		for i, q := range shownQuarters(o) {
			x, y := 32*(i%2)+10, 32*(i/2)+20
			near(t, fmt.Sprintf("%d: quarter %d", o, i), codeAt(p.Master, x, y), quarters[q], 3)
		}
		data = turnedHEIF(t, "heic", "quay-444.heic", o)
		ours, whole := mustDecode(t, data, "quay.heic").Master, averaged(t, wholeDecode(t, data), MasterSide, 1)
		if ours.Size() != whole.Size() {
			t.Fatalf("%d: size %v, libheif's %v", o, ours.Size(), whole.Size())
		}
		for i, v := range ours.R.Pix {
			if i >= spoilt && v != whole.R.Pix[i] {
				t.Fatalf("%d: pixel %d: %g, as libheif turns it %g", o, i, v, whole.R.Pix[i])
			}
		}
		wide := mustDecode(t, gridOf(t, "boats-444.heic", 2, 1, 120, 64, turnBoxes(o)...), "grid.heic")
		want := image.Pt(120, 64)
		if o >= 5 {
			want = image.Pt(64, 120)
		}
		if wide.Size != want || wide.Orientation != o {
			t.Errorf("grid turned by %d: %v, %d", o, wide.Size, wide.Orientation)
		}
	}
}

// TestThen: doing one turn and then another is one of the eight, the same as
// with matrices written out by hand for two cases.
func TestThen(t *testing.T) {
	if got := then(6, 6); got != 3 {
		t.Errorf("two quarter turns make %d", got)
	}
	if got := then(8, 4); got != 5 { // to the left, then upside down: the transpose
		t.Errorf("turned and mirrored make %d", got)
	}
	for a := 1; a <= 8; a++ {
		if then(a, 1) != a || then(1, a) != a {
			t.Errorf("nothing changes %d", a)
		}
	}
}

// TestHEICColours: the same planes under other code points and profiles.
func TestHEICColours(t *testing.T) {
	part := func(more ...[]byte) []byte { return buildHEIF("heic", 1, codedPart(t, "boats-444.heic", more...)) }
	plain := mustDecode(t, part(), "plain")
	wide := box("colr", []byte("prof"), matrixProfile("Quay P3", p3D50, srgbPara))
	for _, c := range []struct {
		name, profile string
		data          []byte
		notes         int
	}{
		{"marked sRGB", "sRGB", part(nclx(1, 13, 6, true)), 0},
		{"marked as film", "sRGB", part(nclx(1, 1, 6, true)), 0},
		{"marked P3", "Display P3", part(nclx(12, 13, 6, true)), 1},
		{"profile", "embedded: Quay P3", part(wide), 1},
		{"profile before codes", "embedded: Quay P3", part(nclx(9, 16, 6, true), wide), 1},
		{"broken profile, then codes", "Display P3", part(nclx(12, 13, 6, true), box("colr", []byte("prof"), []byte("none"))), 2},
		{"marked linear", "BT.709 linear", part(nclx(1, 8, 6, true)), 1},
		{"bright", "BT.2020 PQ", part(nclx(9, 16, 6, true)), 1},
		{"bright HLG", "BT.2020 HLG", part(nclx(9, 18, 6, true)), 1},
		{"odd codes", "sRGB", part(nclx(77, 13, 6, true)), 1},
	} {
		p := mustDecode(t, c.data, c.name)
		if p.Profile != c.profile || len(p.Notes) != c.notes {
			t.Errorf("%s: profile %q, notes %q", c.name, p.Profile, p.Notes)
		}
	}
	// The published matrix from Display P3 (see TestDisplayP3) on the hull.
	p := mustDecode(t, part(nclx(12, 13, 6, true)), "P3")
	in := [3]float64{float64(plain.Master.R.At(10, 10)), float64(plain.Master.G.At(10, 10)), float64(plain.Master.B.At(10, 10))}
	if want := 1.2249402*in[0] - 0.2249402*in[1]; math.Abs(float64(p.Master.R.At(10, 10))-want) > 3e-4 {
		t.Errorf("red %g, want %g", p.Master.R.At(10, 10), want)
	}
	// A container that says BT.709 in the narrow range wins over the stream.
	gbr := mustDecode(t, part(nclx(1, 13, 0, true)), "green, blue, red")
	near(t, "planes of green, blue and red", codeAt(gbr.Master, 10, 10), [3]int{190, 114, 98}, 0) // the planes hold 114, 98 and 190
	q := mustDecode(t, part(nclx(1, 13, 1, false)), "narrow")
	near(t, "sand in the narrow range", codeAt(q.Master, 10, 50), [3]int{249, 238, 203}, 8)
}

func TestHEICRefused(t *testing.T) {
	part := codedPart(t, "boats-420.heic")
	sized := func(w, h int) []byte {
		p := part
		p.props = append([][]byte{ispe(w, h)}, part.props...)
		return buildHEIF("heic", 1, p)
	}
	good := fixture(t, "boats-420.heic")
	large := codedPart(t, "quay-444.heic")
	large.props = append([][]byte{ispe(3, 3)}, large.props...)
	quay := buildHEIF("heic", 1, large)
	about := append([]byte{0, 1, 0, 1}, be(4, 128, 64)...)
	mixed := buildHEIF("heic", 3, part, codedPart(t, "boats-444.heic"), heifPart{kind: "grid", data: about, props: [][]byte{ispe(128, 64)}, from: []int{1, 2}})
	for _, c := range []struct {
		name string
		data []byte
		kind error
		word string
	}{
		{"huge", sized(100000, 100000), ErrTooLarge, "100000 x 100000"},
		{"grid of claims", gridOf(t, "quay-420.heic", 2, 2, 60000, 60000), ErrTooLarge, "60000 x"},
		{"too few tiles", gridOf(t, "boats-420.heic", 2, 2, 300, 300), ErrDamaged, ""},
		{"tiles unused", gridOf(t, "boats-420.heic", 4, 4, 70, 70), ErrDamaged, ""},
		{"stream larger than told", quay, ErrDamaged, ""},
		{"tiles of two sorts", mixed, ErrDamaged, ""},
		{"size of nothing", sized(0, 9), ErrDamaged, ""},
		{"size against the stream", sized(80, 64), ErrDamaged, ""},
		{"cut in the pixels", good[:len(good)-60], ErrTruncated, ""},
		{"cut in the index", good[:100], ErrTruncated, ""},
		{"cut behind the mark", good[:28], ErrTruncated, ""},
		{"film", append(box("ftyp", []byte("hevc"), be(4, 0), []byte("hevc")), box("moov", be(4, 0))...), ErrUnsupported, "this sort of HEIC"},
		{"JPEG inside", buildHEIF("heic", 1, heifPart{kind: "jpeg", data: []byte("x"), props: [][]byte{ispe(4, 4)}}), ErrUnsupported, "this sort of HEIC"},
		{"no stream", buildHEIF("heic", 1, heifPart{kind: "hvc1", data: make([]byte, 50), props: part.props}), ErrDamaged, ""},
		{"no settings", buildHEIF("heic", 1, heifPart{kind: "hvc1", data: part.data, props: [][]byte{ispe(64, 64)}}), ErrDamaged, ""},
	} {
		p, err := Decode(context.Background(), c.data, c.name, Options{})
		if p != nil || !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.word) {
			t.Errorf("%s: %v; want %v with %q", c.name, err, c.kind, c.word)
		}
	}
	_, err := Decode(context.Background(), gridOf(t, "boats-420.heic", 3, 2, 180, 127), "grid", Options{MaxMemory: 60 << 20})
	if !errors.Is(err, ErrTooLarge) || !strings.Contains(err.Error(), "memory") {
		t.Errorf("little memory: %v", err)
	}
}

// TestHEICStopped: a context that ends stops the work within a tile.
func TestHEICStopped(t *testing.T) {
	data := gridOf(t, "boats-420.heic", 8, 8, 512, 512)
	ctx, cancel := context.WithCancel(context.Background())
	told := 0
	_, err := Decode(ctx, data, "grid.heic", Options{Progress: func(float64) {
		if told++; told == 5 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) || told > 30 {
		t.Errorf("%v after %d steps", err, told)
	}
	cancel()
}

// BenchmarkHEIC opens a picture of 6.7 million pixels in 256 tiles; the decoder
// is compiled beforehand.
func BenchmarkHEIC(b *testing.B) {
	data := gridOf(b, "quay-420.heic", 16, 16, 3072, 2176)
	for b.Loop() {
		if _, err := Decode(context.Background(), data, "grid.heic", Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
