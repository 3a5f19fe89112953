package quality

import (
	"bytes"
	"context"
	"image"
	"image/draw"
	_ "image/jpeg"
	_ "image/png"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"atelier/halflid/cmd/halflid/demo"
	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/palette"
)

// sample is a picture to make plans of.
type sample struct {
	name string
	pic  imageproc.Picture
}

// heavy says whether everything is wanted, not only what fits into a few
// seconds.
func heavy() bool { return os.Getenv("HALFLID_HEAVY") != "" }

// allDrawn returns the pictures made in the test: each motif once, small, or
// four times over at twice the size when everything is wanted. Shared: not to be
// changed.
var allDrawn = sync.OnceValue(func() []drawn {
	var out []drawn
	w, h, looks := 240, 160, uint64(1)
	if heavy() {
		w, h, looks = 480, 320, 4
	}
	for m := range motifs {
		for seed := range looks {
			out = append(out, drawMotif(m, w, h, seed+1))
		}
	}
	return out
})

// carried returns every picture that the project carries: those made in the
// test and the demo scene.
func carried(t testing.TB) []sample {
	t.Helper()
	var out []sample
	for _, d := range allDrawn() {
		out = append(out, d.sample)
	}
	long := 288
	if heavy() {
		long = 768
	}
	name, data := demo.Photo()
	return append(out, decoded(t, strings.TrimSuffix(name, ".jpg"), data, long))
}

// photographs returns the JPEG and PNG files of the folder that HALFLID_PHOTOS
// names, none if it is unset.
func photographs(t testing.TB, long int) []sample {
	t.Helper()
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" {
		return nil
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
		out = append(out, decoded(t, e.Name(), data, long))
	}
	return out
}

func decoded(t testing.TB, name string, data []byte, long int) sample {
	t.Helper()
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return sample{name, fromImage(img, long)}
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

func baseOf(t testing.TB, pic imageproc.Picture, opt mass.Options) *mass.Base {
	t.Helper()
	b, err := mass.Build(context.Background(), pic, opt)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// flatOf returns a plan of base, each pixel with its value.
func flatOf(base *mass.Base, how mass.Method, k, s int) Flat {
	p := base.Values(mass.Cutting{Values: k, Method: how}).Shapes(imageproc.Labels{}, s)
	f := Flat{Values: p.Labels, Shapes: len(p.Shapes), Tones: p.Tones}
	for i, l := range f.Values.Pix {
		f.Values.Pix[i] = int32(p.Shapes[l].Value)
	}
	return f
}

// shapesOf numbers the shapes of a plan.
func shapesOf(f Flat) imageproc.Labels {
	out := imageproc.NewLabels(f.Values.W, f.Values.H)
	mass.Components(out, f.Values)
	return out
}
