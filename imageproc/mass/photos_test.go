package mass

import (
	"bytes"
	"image"
	"image/draw"
	_ "image/jpeg"
	_ "image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// photograph is one picture of the folder HALFLID_PHOTOS at a working size.
type photograph struct {
	name string
	pic  imageproc.Picture
}

// photographs loads the JPEG and PNG files of the folder that HALFLID_PHOTOS
// names, long side at most long; the test is skipped without one.
func photographs(t testing.TB, long int) []photograph {
	t.Helper()
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" {
		t.Skip("HALFLID_PHOTOS names no folder of photographs")
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []photograph
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
		out = append(out, photograph{e.Name(), fromImage(img, long)})
	}
	if len(out) == 0 {
		t.Skipf("no .jpg or .png in %s", dir)
	}
	slices.SortFunc(out, func(a, b photograph) int { return strings.Compare(a.name, b.name) })
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
	w, h := max(1, int(float64(b.Dx())*f+.5)), max(1, int(float64(b.Dy())*f+.5))
	out := imageproc.NewPicture(w, h)
	imageproc.Average(out, pic, imageproc.Box{X0: 0, Y0: 0, X1: float64(b.Dx()), Y1: float64(b.Dy())})
	return out
}
