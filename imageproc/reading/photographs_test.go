package reading

import (
	"context"
	"image"
	_ "image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// photographs loads the JPEG and PNG files of the folder that HALFLID_PHOTOS
// names, in linear light; the test is skipped without one.
func photographs(t testing.TB) map[string]imageproc.Picture {
	t.Helper()
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" {
		t.Skip("HALFLID_PHOTOS names no folder of photographs")
	}
	out := map[string]imageproc.Picture{}
	for _, ext := range []string{"*.jpg", "*.png"} {
		names, err := filepath.Glob(filepath.Join(dir, ext))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			f, err := os.Open(name)
			if err != nil {
				t.Fatal(err)
			}
			img, _, err := image.Decode(f)
			f.Close()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			out[filepath.Base(name)] = pictureOf(img)
		}
	}
	return out
}

func pictureOf(img image.Image) imageproc.Picture {
	b := img.Bounds()
	p := imageproc.NewPicture(b.Dx(), b.Dy())
	for y := range b.Dy() {
		for x := range b.Dx() {
			r, g, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			c := palette.SRGB{R: uint8(r >> 8), G: uint8(g >> 8), B: uint8(bl >> 8)}.Linear()
			p.R.Set(x, y, float32(c.R))
			p.G.Set(x, y, float32(c.G))
			p.B.Set(x, y, float32(c.B))
		}
	}
	return p
}

// focusOn returns the plan a photo opens with, with a focal point and so many
// shapes.
func focusOn(size image.Point, x, y float64) plan.Plan {
	f := plan.Frame{Photo: size}
	p := plan.SetFocus(plan.Focus{X: x, Y: y, Radius: 0.12})(plan.Default(size), f)
	return plan.SetShapes(24)(p, f)
}

// Every photograph is read with several focal points: figures sound, lines short.
// HALFLID_PHOTOS_OUT, if set, takes a picture of each with the places marked.
func TestPhotographs(t *testing.T) {
	pics := photographs(t)
	var names []string
	for name := range pics {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		pic := pics[name]
		desk := study.NewDesk(pic)
		for _, at := range []plan.Point{{X: 0.4, Y: 0.5}, {X: 0.7, Y: 0.35}} {
			p := focusOn(pic.Size(), at.X, at.Y)
			s, err := desk.Make(context.Background(), p, study.Plan, study.Photo)
			if err != nil {
				t.Fatal(err)
			}
			r := Read(s)
			sound(t, r)
			if at.X > 0.5 {
				continue
			}
			for _, l := range r.Lines(plan.Centimetre) {
				t.Logf("%s %v %.2f %-12s %s", name, l.Asks, l.Weight, l.Topic, l.Words)
			}
			markAll(t, name, s, r)
		}
	}
}

func markAll(t *testing.T, name string, s *study.Study, r Reading) {
	dir := os.Getenv("HALFLID_PHOTOS_OUT")
	if dir == "" {
		return
	}
	size := s.Figures.Size
	lines := r.Lines(plan.Centimetre)
	for v, view := range []study.View{study.Photo, study.Plan} {
		img := s.Raster(view, size)
		s.MarkFocus(img, view)
		for i, l := range lines {
			if l.Asks && i < 14 {
				s.MarkArea(img, view, l.Area)
				for _, p := range l.At {
					s.MarkPlace(img, view, p)
				}
			}
		}
		out := image.NewRGBA(image.Rect(0, 0, size.X, size.Y))
		for i := range size.X * size.Y {
			copy(out.Pix[4*i:], img.Pix[3*i:3*i+3])
			out.Pix[4*i+3] = 255
		}
		f, err := os.Create(filepath.Join(dir, strings.TrimSuffix(name, filepath.Ext(name))+[]string{"-photo", "-plan"}[v]+".png"))
		if err != nil {
			t.Fatal(err)
		}
		if err := png.Encode(f, out); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
}
