package imageproc_test

import (
	"image"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
)

func TestLabelsAreAView(t *testing.T) {
	l := imageproc.NewLabels(3, 2)
	if l.Size() != image.Pt(3, 2) || !slices.Equal(l.Pix, make([]int32, 6)) {
		t.Fatalf("new labels are %v", l)
	}
	l.Row(1)[2] = 7
	other := l
	other.Pix[0] = 5
	if l.At(2, 1) != 7 || l.At(0, 0) != 5 || !slices.Equal(l.Pix, []int32{5, 0, 0, 0, 0, 7}) {
		t.Errorf("labels are %v", l.Pix)
	}
	// A row cannot grow into the next one.
	if row := append(l.Row(0), 9); row[3] != 9 || l.At(0, 1) != 0 {
		t.Errorf("appending to row 0 changed row 1: %v", l.Pix)
	}
	wantPanic(t, "labels", "imageproc: labels of -1 by 2", func() { imageproc.NewLabels(-1, 2) })
	wantPanic(t, "labels", "imageproc: labels of 2 by -1", func() { imageproc.NewLabels(2, -1) })
	for _, z := range []image.Point{{}, {X: 3}, {Y: 3}} {
		if got := imageproc.NewLabels(z.X, z.Y); got.Size() != z || len(got.Pix) != 0 {
			t.Errorf("labels of %v have %d pixels", z, len(got.Pix))
		}
	}
}

func TestLabelsReshape(t *testing.T) {
	l := imageproc.NewLabels(4, 3)
	if got := l.Reshape(6, 2); got.Size() != image.Pt(6, 2) || len(got.Pix) != 12 || &got.Pix[0] != &l.Pix[0] {
		t.Errorf("reshaped: %v with %d pixels", got.Size(), len(got.Pix))
	}
	if got := l.Reshape(5, 3); len(got.Pix) != 15 || &got.Pix[0] == &l.Pix[0] {
		t.Errorf("reshaped larger: %d pixels", len(got.Pix))
	}
	if got := (imageproc.Labels{}).Reshape(0, 0); got.Size() != (image.Point{}) {
		t.Errorf("empty labels reshaped to %v", got.Size())
	}
}

func TestNewMask(t *testing.T) {
	m := imageproc.NewMask(3, 2)
	if m.W != 3 || m.H != 2 || !slices.Equal(m.Pix, make([]bool, 6)) {
		t.Errorf("a new mask is %v", m)
	}
}
