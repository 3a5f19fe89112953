package quality

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/draw"
	_ "image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// settings are the numbers of values and shapes that plans are compared at.
var settings = [4][2]int{{2, 6}, {3, 12}, {4, 24}, {5, 40}}

type sample struct {
	name string
	pic  imageproc.Picture
}

// method makes a plan of at most s shapes in k values.
type method struct {
	name string
	plan func(pic imageproc.Picture, base *mass.Base, k, s int) Flat
}

func ours(how mass.Method) func(imageproc.Picture, *mass.Base, int, int) Flat {
	return func(_ imageproc.Picture, base *mass.Base, k, s int) Flat {
		p := base.Values(mass.Cutting{Values: k, Method: how}).Shapes(imageproc.Labels{}, s)
		f := Flat{Values: p.Labels, Shapes: len(p.Shapes), Tones: p.Tones}
		for i, l := range f.Values.Pix {
			f.Values.Pix[i] = int32(p.Shapes[l].Value)
		}
		return f
	}
}

func blurred(share float64, equal bool) func(imageproc.Picture, *mass.Base, int, int) Flat {
	return func(pic imageproc.Picture, _ *mass.Base, k, s int) Flat { return Blurred(pic, share, k, s, equal) }
}

// methods are compared; the first is the reference, the second ours.
var methods = []method{
	{"blur 1 % + least error", blurred(.01, false)},
	{"plan, nested values", ours(mass.Nested)},
	{"plan, least error", ours(mass.LeastError)},
	{"blur 0.5 % + least error", blurred(.005, false)},
	{"blur 1 % + equal steps", blurred(.01, true)},
	{"least error, no blur", blurred(0, false)},
}

// compare returns the mean measures by method and setting, and prints a table.
func compare(t testing.TB, samples []sample) [][4]Measures {
	t.Helper()
	all := make([][4][]Measures, len(methods))
	for _, s := range samples {
		photo := New(s.pic)
		base, err := mass.Build(context.Background(), s.pic, mass.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var tiles []imageproc.Raster
		for m, how := range methods {
			for i, ks := range settings {
				f := how.plan(s.pic, base, ks[0], ks[1])
				all[m][i] = append(all[m][i], photo.Measure(f.Values, f.Shapes, f.Tones))
				if m == 0 && i == 1 || m == 1 && i < 3 {
					tiles = append(tiles, painted(f))
				}
			}
		}
		writeSheet(t, s, tiles)
	}
	out := make([][4]Measures, len(methods))
	for m := range methods {
		for i := range settings {
			out[m][i] = Mean(all[m][i])
		}
	}
	t.Logf("%-26s %4s %6s %6s %6s %5s %5s %5s %5s %5s  %s", "", "S", "err1", "err2", "blen", "thin", "prec", "rec", "ef", "inv", "cost, and at 2:6 3:12 4:24 5:40")
	for m, how := range methods {
		mean, cost, each := Mean(out[m][:]), 0.0, ""
		for i := range settings {
			c := Cost(out[m][i], out[0][i])
			cost += c / 4
			each += fmt.Sprintf(" %.3f", c)
		}
		t.Logf("%-26s %4d %6.2f %6.2f %6.2f %5.3f %5.3f %5.3f %5.3f %5.3f  %.3f%s", how.name, mean.Shapes, mean.Error1, mean.Error2,
			mean.Outline, mean.Thin, mean.Precision, mean.Recall, mean.F, mean.Invented, cost, each)
	}
	return out
}

// painted is a plan in its tones.
func painted(f Flat) imageproc.Raster {
	colours := make([]palette.SRGB, len(f.Tones))
	for i, l := range f.Tones {
		colours[i] = palette.Grey(l.Y())
	}
	return f.Values.Paint(imageproc.Raster{}, colours)
}

// writeSheet writes photograph, squinted, the reference at 3:12, and ours at
// 2:6, 3:12 and 4:24 side by side into the folder that HALFLID_SHEETS names, to
// be looked at: could I block this in?
func writeSheet(t testing.TB, s sample, plans []imageproc.Raster) {
	t.Helper()
	dir := os.Getenv("HALFLID_SHEETS")
	if dir == "" {
		return
	}
	w, h := s.pic.R.W, s.pic.R.H
	squinted := imageproc.NewPicture(w, h)
	var b tone.Blurrer
	b.Blur(squinted, s.pic, .01*float64(max(w, h)))
	tiles := append([]imageproc.Raster{s.pic.Raster(imageproc.Raster{}), squinted.Raster(imageproc.Raster{})}, plans...)
	sheet := imageproc.NewRaster(3*w+16, 2*h+8)
	for i, tile := range tiles {
		sheet.Lay(tile, image.Pt(i%3*(w+8), i/3*(h+8)))
	}
	img := image.NewNRGBA(image.Rect(0, 0, sheet.W, sheet.H))
	for i := range sheet.W * sheet.H {
		copy(img.Pix[4*i:], sheet.Pix[3*i:3*i+3])
		img.Pix[4*i+3] = 255
	}
	f, err := os.Create(filepath.Join(dir, s.name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

// checkBest holds that our plan costs no more than any generic way (.01 is
// left for chance) and invents the least border, and returns our measures.
func checkBest(t testing.TB, out [][4]Measures) [4]Measures {
	t.Helper()
	for i, ks := range settings {
		ours := out[1][i]
		for m, how := range methods {
			if m == 1 || m == 2 {
				continue
			}
			if c, other := Cost(ours, out[0][i]), Cost(out[m][i], out[0][i]); !(c < other+.01) {
				t.Errorf("%d values, %d shapes: cost %.3f, %s has %.3f", ks[0], ks[1], c, how.name, other)
			}
			if !(ours.Invented < out[m][i].Invented+.01) {
				t.Errorf("%d values, %d shapes: invented border %.3f, %s has %.3f", ks[0], ks[1], ours.Invented, how.name, out[m][i].Invented)
			}
		}
	}
	return out[1]
}

// TestComparePhotographs prints the table for the photographs in HALFLID_PHOTOS
// and holds our plan to it. Slow: some ten seconds.
func TestComparePhotographs(t *testing.T) {
	if os.Getenv("HALFLID_HEAVY") == "" {
		t.Skip("slow: set HALFLID_HEAVY=1")
	}
	checkBest(t, compare(t, photographs(t, 768)))
}

func photographs(t testing.TB, long int) []sample {
	t.Helper()
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" {
		t.Skip("HALFLID_PHOTOS names no folder of photographs")
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []sample
	for _, e := range entries {
		if ext := strings.ToLower(filepath.Ext(e.Name())); ext != ".jpg" && ext != ".png" {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		img, _, err := image.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("%s: %v", e.Name(), err)
		}
		out = append(out, sample{e.Name(), fromImage(img, long)})
	}
	if len(out) == 0 {
		t.Skipf("no .jpg or .png in %s", dir)
	}
	return out
}

// fromImage returns img in linear light, averaged down to the long side.
func fromImage(img image.Image, long int) imageproc.Picture {
	b := img.Bounds()
	rgba := image.NewNRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(rgba, rgba.Bounds(), img, b.Min, draw.Src)
	pic := imageproc.NewPicture(b.Dx(), b.Dy())
	for i := range pic.R.Pix {
		pic.R.Pix[i] = float32(palette.Decode8(rgba.Pix[4*i]))
		pic.G.Pix[i] = float32(palette.Decode8(rgba.Pix[4*i+1]))
		pic.B.Pix[i] = float32(palette.Decode8(rgba.Pix[4*i+2]))
	}
	if max(b.Dx(), b.Dy()) <= long {
		return pic
	}
	f := float64(long) / float64(max(b.Dx(), b.Dy()))
	out := imageproc.NewPicture(max(1, int(float64(b.Dx())*f+.5)), max(1, int(float64(b.Dy())*f+.5)))
	imageproc.Average(out, pic, imageproc.WholeBox(b.Dx(), b.Dy()))
	return out
}
