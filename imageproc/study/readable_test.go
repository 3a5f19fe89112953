package study_test

import (
	"image"
	"math"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// Two flat colours side by side: each shape's mean is its own colour, and the
// planes are the crop's. Counted by hand.
func TestReadable(t *testing.T) {
	const w, h = 120, 80
	left, right := palette.RGB{R: 0.1, G: 0.05, B: 0.02}, palette.RGB{R: 0.5, G: 0.6, B: 0.8}
	master := painted(w, h, func(x, _ int) palette.RGB {
		if x < w/3 {
			return left
		}
		return right
	})
	size := image.Pt(w, h)
	s := make1(t, study.NewDesk(master), edited(whole(size), size, plan.SetSquint(0)), study.Plan)
	r := s.Readable()
	if r.Photo != size || r.Working.Size() != size || r.Light.Size() != size || r.Squinted.Size() != size {
		t.Fatalf("sizes %v %v %v %v", r.Photo, r.Working.Size(), r.Light.Size(), r.Squinted.Size())
	}
	if len(r.Colours) != len(s.Figures.List) || len(r.Colours) != 2 {
		t.Fatalf("%d colours of %d shapes", len(r.Colours), len(s.Figures.List))
	}
	near := func(a, b palette.RGB) bool {
		return math.Abs(float64(a.R-b.R))+math.Abs(float64(a.G-b.G))+math.Abs(float64(a.B-b.B)) < 1e-5
	}
	one, other := r.Colours[s.Figures.At(0.1, 0.5)], r.Colours[s.Figures.At(0.9, 0.5)]
	if !near(one, left) || !near(other, right) {
		t.Errorf("colours %v and %v, not %v and %v", one, other, left, right)
	}
}

func TestReadableNeedsThePlan(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic without the plan")
		}
	}()
	make1(t, study.NewDesk(flat(20, 20, 0.3)), whole(image.Pt(20, 20)), study.Values).Readable()
}
