package study_test

import (
	"bytes"
	"image"
	"math"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// area marks the pixels of two pictures that differ, seen from a raster of size
// by the middle of each of its pixels.
func area(a, b *image.Gray, size image.Point) func(x, y int) bool {
	return func(x, y int) bool {
		if x < 0 || y < 0 || x >= size.X || y >= size.Y {
			return false
		}
		at := image.Pt(
			int((float64(x)+0.5)*float64(a.Rect.Dx())/float64(size.X)),
			int((float64(y)+0.5)*float64(a.Rect.Dy())/float64(size.Y)))
		return a.GrayAt(at.X, at.Y) != b.GrayAt(at.X, at.Y)
	}
}

// What would go is outlined: each pixel on the edge of an area that the plan of
// fewer shapes paints otherwise is marked, and no other.
func TestMarkGoing(t *testing.T) {
	photo := image.Pt(160, 120)
	master := harbour(seeded(t, 90), photo.X, photo.Y)
	desk, other := study.NewDesk(master), study.NewDesk(master)
	marks := 0
	for k := 2; k <= 5; k++ {
		for _, crop := range []plan.Crop{{W: 1, H: 1}, {X: 0.2, Y: 0.3, W: 0.5, H: 0.6}} {
			p := edited(whole(photo), photo, plan.SetCrop(crop), plan.SetK(k), plan.SetToneMethod(plan.ToneFixed))
			s := make1(t, desk, p, study.Plan)
			now := s.PlanPicture(0)
			for _, wanted := range []int{1, 2, s.Figures.Shapes * 2 / 3, s.Figures.Shapes - 1} {
				wanted = max(1, wanted)
				after := make1(t, other, edited(p, photo, plan.SetShapes(wanted)), study.Plan).PlanPicture(0)
				for _, size := range []image.Point{s.Figures.Size, {X: 70, Y: 41}, {X: 300, Y: 200}, {X: 1, Y: 1}} {
					marks += checkMarks(t, s, wanted, size, area(now, after, size))
				}
			}
			if after := s.PlanPicture(0); !bytes.Equal(after.Pix, now.Pix) {
				t.Fatal("marking what goes changed the plan")
			}
			r := raster(t, s, study.Plan, photo)
			before := slices.Clone(r.Pix)
			for _, wanted := range []int{s.Figures.Shapes, s.Figures.Shapes + 1, s.Figures.Most, 500} {
				if s.MarkGoing(r, wanted); !bytes.Equal(before, r.Pix) {
					t.Fatalf("%d of %d shapes wanted: nothing goes, but something is marked", wanted, s.Figures.Shapes)
				}
			}
		}
	}
	if marks == 0 {
		t.Fatal("nothing was marked: this shows nothing")
	}
	s := make1(t, desk, edited(whole(photo), photo, plan.SetShapes(3)), study.Plan)
	r := raster(t, s, study.Plan, photo)
	before := slices.Clone(r.Pix)
	if s.MarkGoing(r, s.Figures.Most); !bytes.Equal(before, r.Pix) {
		t.Error("a plan that is pulled together already has marks of the shapes that it lost")
	}
	panics(t, "study: plan of 0 shapes", func() { s.MarkGoing(r, 0) })
}

func checkMarks(t *testing.T, s *study.Study, wanted int, size image.Point, going func(x, y int) bool) (marks int) {
	t.Helper()
	before := raster(t, s, study.Plan, size)
	r := imageproc.Raster{W: before.W, H: before.H, Pix: slices.Clone(before.Pix)}
	s.MarkGoing(r, wanted)
	for y := range size.Y {
		for x := range size.X {
			want := going(x, y) && !(going(x-1, y) && going(x+1, y) && going(x, y-1) && going(x, y+1))
			was, is := before.At(x, y), r.At(x, y)
			if (was != is) != want {
				t.Fatalf("%d shapes wanted, at %v: pixel %d, %d marked: %v, want %v", wanted, size, x, y, was != is, want)
			}
			if want {
				marks++
				a, b := was.Linear().Y().Value(), is.Linear().Y().Value()
				if d := math.Abs(float64(a - b)); d < 1.4 || d > 1.6 || is != palette.Grey(is.Linear().Y()) {
					t.Fatalf("a mark on value %v is of value %v", a, b)
				}
			}
		}
	}
	return marks
}
