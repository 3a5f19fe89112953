package imageproc_test

import (
	"image"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

type plane = imageproc.Plane[palette.Y]

// counted returns a plane of 0, 1, 2, ... in reading order.
func counted(w, h int) plane {
	p := imageproc.NewPlane[palette.Y](w, h)
	for i := range p.Pix {
		p.Pix[i] = float32(i)
	}
	return p
}

func samePlane(t *testing.T, what string, got plane, w, h int, want ...float32) {
	t.Helper()
	if got.W != w || got.H != h || !slices.Equal(got.Pix, want) {
		t.Errorf("%s: %d by %d, %v; want %d by %d, %v", what, got.W, got.H, got.Pix, w, h, want)
	}
}

func TestPlaneIsAView(t *testing.T) {
	p := imageproc.NewPlane[palette.Y](3, 2)
	samePlane(t, "new", p, 3, 2, 0, 0, 0, 0, 0, 0)
	p.Set(1, 1, 4)
	p.Row(0)[2] = 2
	q := p
	q.Pix[0] = 9
	samePlane(t, "set", p, 3, 2, 9, 0, 2, 0, 4, 0)
	if p.At(1, 1) != 4 || p.Size() != image.Pt(3, 2) {
		t.Errorf("pixel 1, 1 is %v of %v", p.At(1, 1), p.Size())
	}
	if row := append(p.Row(0), 7); row[3] != 7 || p.At(0, 1) != 0 {
		t.Errorf("appending to row 0 changed row 1: %v", p.Pix)
	}
	wantPanic(t, "plane", "imageproc: plane of 2 by -1", func() { imageproc.NewPlane[palette.L](2, -1) })
}

func TestPlaneByHand(t *testing.T) {
	p := counted(3, 2) // 0 1 2 / 3 4 5
	samePlane(t, "mirror", p.Mirror(), 3, 2, 2, 1, 0, 5, 4, 3)
	samePlane(t, "transpose", p.Transpose(), 2, 3, 0, 3, 1, 4, 2, 5)
	samePlane(t, "crop", p.Crop(image.Rect(1, 0, 3, 2)), 2, 2, 1, 2, 4, 5)
	samePlane(t, "crop of all", p.Crop(image.Rect(0, 0, 3, 2)), 3, 2, p.Pix...)
	samePlane(t, "crop of nothing", p.Crop(image.Rect(1, 1, 1, 1)), 0, 0)
	wantPanic(t, "crop", "imageproc: crop", func() { p.Crop(image.Rect(2, 0, 4, 1)) })
	crop := p.Crop(image.Rect(0, 0, 1, 1))
	crop.Set(0, 0, 8)
	if p.At(0, 0) != 0 {
		t.Error("a crop shares memory")
	}
}

func TestPlaneTurns(t *testing.T) {
	r := seeded(t, 6)
	for range 100 {
		p := counted(r.IntN(9), r.IntN(9))
		samePlane(t, "mirrored twice", p.Mirror().Mirror(), p.W, p.H, p.Pix...)
		samePlane(t, "transposed twice", p.Transpose().Transpose(), p.W, p.H, p.Pix...)
		// A quarter turn, four times.
		q := p
		for range 4 {
			q = q.Transpose().Mirror()
		}
		samePlane(t, "turned four times", q, p.W, p.H, p.Pix...)
		if p.W > 0 && p.H > 0 {
			box := randomBox(r, p.W, p.H)
			flipped := image.Rect(p.W-box.Max.X, box.Min.Y, p.W-box.Min.X, box.Max.Y)
			c := p.Crop(box).Mirror()
			samePlane(t, "crop mirrored", p.Mirror().Crop(flipped), c.W, c.H, c.Pix...)
		}
	}
}

func randomBox(r *rand.Rand, w, h int) image.Rectangle {
	x, y := r.IntN(w), r.IntN(h)
	return image.Rect(x, y, x+1+r.IntN(w-x), y+1+r.IntN(h-y))
}

func TestPlaneReshape(t *testing.T) {
	p := counted(4, 3)
	if q := p.Reshape(2, 5); q.Size() != image.Pt(2, 5) || len(q.Pix) != 10 || &q.Pix[0] != &p.Pix[0] {
		t.Errorf("reshaped: %v with %d numbers", q.Size(), len(q.Pix))
	}
	if q := p.Reshape(13, 1); len(q.Pix) != 13 || &q.Pix[0] == &p.Pix[0] {
		t.Errorf("reshaped larger: %d numbers", len(q.Pix))
	}
	if q := p.Reshape(5, 3); q.Size() != image.Pt(5, 3) || len(q.Pix) != 15 || &q.Pix[0] == &p.Pix[0] {
		t.Errorf("reshaped wider: %d numbers", len(q.Pix))
	}
}

func TestPicture(t *testing.T) {
	p := imageproc.NewPicture(3, 2)
	if p.Size() != image.Pt(3, 2) {
		t.Fatalf("a new picture is %v", p.Size())
	}
	for c, plane := range p.Planes() {
		for i := range plane.Pix {
			plane.Pix[i] = float32(10*c + i)
		}
	}
	crop := p.Crop(image.Rect(1, 1, 3, 2))
	for c, plane := range crop.Planes() {
		if want := []float32{float32(10*c + 4), float32(10*c + 5)}; !slices.Equal(plane.Pix, want) {
			t.Errorf("plane %d of the crop is %v, want %v", c, plane.Pix, want)
		}
	}
	if p.R.Pix[1] != 1 || p.G.Pix[1] != 11 || p.B.Pix[1] != 21 {
		t.Errorf("planes are not in the order R, G, B: %v", p)
	}
	q := p.Reshape(2, 2)
	if q.Size() != image.Pt(2, 2) || &q.G.Pix[0] != &p.G.Pix[0] {
		t.Errorf("reshaped to %v in new memory", q.Size())
	}
}
