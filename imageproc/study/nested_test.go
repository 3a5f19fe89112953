package study_test

import (
	"image"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// shapesOf returns the shapes of a plan, by what is painted, in raster order.
func shapesOf(t *testing.T, s *study.Study) (imageproc.Labels, int) {
	t.Helper()
	out := imageproc.NewLabels(s.Figures.Size.X, s.Figures.Size.Y)
	n := mass.Components(out, labelled(s.PlanPicture(0).Pix, s.Figures.Size))
	return out, n
}

// within reports whether each shape of fine lies in one shape of coarse.
func within(fine imageproc.Labels, n int, coarse imageproc.Labels) bool {
	in := make([]int32, n)
	for i := range in {
		in[i] = -1
	}
	for i, s := range fine.Pix {
		if in[s] < 0 {
			in[s] = coarse.Pix[i]
		} else if in[s] != coarse.Pix[i] {
			return false
		}
	}
	return true
}

// From many shapes to few, each plan only joins shapes of the one before: all
// are unions of the base shapes, never more than wanted, and one at the end.
func TestPullingTogetherIsNested(t *testing.T) {
	size := image.Pt(160, 120)
	for seed := range uint64(2) {
		desk := study.NewDesk(harbour(seeded(t, 80+seed), size.X, size.Y))
		for k := 2; k <= 5; k++ {
			for _, crop := range []plan.Crop{{W: 1, H: 1}, {X: 0.3, Y: 0.2, W: 0.5, H: 0.5}} {
				p := edited(whole(size), size, plan.SetCrop(crop), plan.SetK(k), plan.SetToneMethod(plan.ToneFixed))
				s := make1(t, desk, p, study.Plan)
				most := s.Figures.Most
				if s.Figures.Shapes != most {
					t.Fatalf("%d shapes with all wanted, at most there are %d", s.Figures.Shapes, most)
				}
				last, _ := s.BaseShapes()
				n := 0
				for _, b := range last.Pix {
					n = max(n, int(b)+1)
				}
				for wanted := most + 1; wanted >= 1; wanted-- {
					s := make1(t, desk, edited(p, size, plan.SetShapes(wanted)), study.Plan)
					shapes, m := shapesOf(t, s)
					if m != s.Figures.Shapes || m > wanted || s.Figures.Most != most {
						t.Fatalf("%d shapes wanted: %d counted, %d of %d said", wanted, m, s.Figures.Shapes, s.Figures.Most)
					}
					if !within(last, n, shapes) {
						t.Fatalf("%d values, %d shapes: they do not only join those before", k, wanted)
					}
					last, n = shapes, m
				}
				if n != 1 {
					t.Fatalf("one shape was wanted, there are %d", n)
				}
			}
		}
	}
}

// Smaller shapes than the smallest are gone whatever is wanted, and the
// larger it is, the fewer there are.
func TestSmallestShape(t *testing.T) {
	size := image.Pt(160, 120)
	desk := study.NewDesk(harbour(seeded(t, 82), size.X, size.Y))
	last := 1 << 30
	for _, smallest := range []float64{0, 0.03, 0.2, 1, 5} {
		p := edited(whole(size), size, plan.SetSquint(0.5), plan.SetK(5), smallestShape(smallest))
		f := make1(t, desk, p, study.Plan).Figures
		for _, s := range f.List {
			if len(f.List) > 1 && s.Share < p.BrushShare() {
				t.Errorf("a shape of %.3f %% of the picture, the smallest is %v %%", 100*s.Share, smallest)
			}
		}
		if f.Shapes > last {
			t.Errorf("smallest %v %%: %d shapes, before %d", smallest, f.Shapes, last)
		}
		last = f.Shapes
	}
}
