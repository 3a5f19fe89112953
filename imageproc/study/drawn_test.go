package study_test

import (
	"image"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// twoHalves is a photo that is dark on the left and light on the right.
func twoHalves(w, h int) imageproc.Picture {
	return painted(w, h, func(x, _ int) palette.RGB {
		if x < w/2 {
			return palette.RGB{R: 0.03, G: 0.03, B: 0.03}
		}
		return palette.RGB{R: 0.7, G: 0.7, B: 0.7}
	})
}

// A border down the middle is one line of one pixel down the middle, and each
// half carries its number in its own middle.
func TestOutlineView(t *testing.T) {
	size := image.Pt(120, 90)
	p := edited(whole(size), size, plan.SetK(2), plan.SetSquint(0))
	s := make1(t, study.NewDesk(twoHalves(size.X, size.Y)), p, study.Outline)
	r := raster(t, s, study.Outline, image.Pt(60, 45))
	bare := r.At(0, 0)
	for y := range r.H {
		for x := range r.W {
			if on := r.At(x, y) != bare; on != (x == 29) {
				t.Fatalf("pixel %d,%d: line %v", x, y, on)
			}
		}
	}
	numbers := s.Numbers()
	if len(numbers) != 2 {
		t.Fatalf("%d numbers", len(numbers))
	}
	for i, n := range numbers {
		if middle := 0.25 + 0.5*float64(i); n.Value != i || n.X < middle-0.13 || n.X > middle+0.13 || n.Y < 0.2 || n.Y > 0.8 || n.Room < 0.2 || n.Room > 0.26 {
			t.Errorf("number %d: %+v", i, n)
		}
	}
}

// Filled again, the curves give the plan but for less than a pixel in a hundred,
// also close to a focal point; and another focal point gives other curves.
func TestOutlinesGiveThePlan(t *testing.T) {
	for seed := range uint64(4) {
		size := image.Pt(320, 240)
		desk := study.NewDesk(harbour(seeded(t, 60+seed), size.X, size.Y))
		p := edited(whole(size), size, plan.SetK(3+int(seed)%3), plan.SetShapes(24))
		for _, focus := range []plan.Focus{{}, {X: 0.4, Y: 0.5, Radius: 0.2, Fall: plan.FallUsual}} {
			p := edited(p, size, plan.SetFocus(focus))
			s := make1(t, desk, p, study.Plan)
			m := s.Outlines()
			again := m.Fill(m.W, m.H)
			off := 0
			for i, shape := range s.Figures.Map.Pix {
				if int(again.Pix[i]) != s.Figures.List[shape].Value {
					off++
				}
			}
			if share := float64(off) / float64(len(again.Pix)); share > 0.01 {
				t.Errorf("seed %d, focus %v: %.2f %% of the pixels differ", seed, focus.X, 100*share)
			}
			if s.Outlines() != m {
				t.Error("the same plan is traced twice")
			}
		}
	}
}

// A step has what is laid in in its tone and the rest bare; the last one is the
// plan, whatever the order.
func TestSteps(t *testing.T) {
	size := image.Pt(160, 120)
	p := edited(whole(size), size, plan.SetK(4))
	s := make1(t, study.NewDesk(harbour(seeded(t, 70), size.X, size.Y)), p, study.Steps)
	all := raster(t, s, study.Plan, size)
	k := len(s.Figures.Tones)
	for _, o := range []study.Order{study.DarkFirst, study.LightFirst, study.LargeFirst} {
		order := s.Figures.BlockIn(o)
		if got := slices.Sorted(slices.Values(order)); !slices.Equal(got, []int{0, 1, 2, 3}[:k]) {
			t.Fatalf("%s: %v", o, order)
		}
		for n := range k + 1 {
			step := s.Step(o, n, size)
			for i := range size.X * size.Y {
				x, y := i%size.X, i/size.X
				v := s.Figures.List[s.Figures.Map.Pix[i]].Value
				laid := slices.Contains(order[:n], v)
				want := all.At(x, y)
				if !laid {
					want = palette.Grey(palette.Value(9.5).Y())
				}
				if step.At(x, y) != want {
					t.Fatalf("%s, step %d, pixel %d,%d of value %d: %v, want %v", o, n, x, y, v, step.At(x, y), want)
				}
			}
		}
	}
	if f := (study.Figures{Tones: make([]palette.L, 3), Shares: []float64{0.2, 0.5, 0.3}}); !slices.Equal(f.BlockIn(study.LargeFirst), []int{1, 2, 0}) ||
		!slices.Equal(f.BlockIn(study.LightFirst), []int{2, 1, 0}) || !slices.Equal(f.BlockIn(study.DarkFirst), []int{0, 1, 2}) {
		t.Error("the order of blocking in")
	}
}

// The steps lie two to a row for a picture across, in one row for an upright one,
// at the pictures' own proportions.
func TestStepsLieInRows(t *testing.T) {
	for _, c := range []struct {
		size image.Point
		want float64
	}{
		{image.Pt(160, 120), (2*160 + 0.06*160) / (2*120 + 0.06*160)},
		{image.Pt(120, 160), (4*120 + 3*0.06*120) / 160},
	} {
		p := edited(whole(c.size), c.size, plan.SetK(4))
		s := make1(t, study.NewDesk(harbour(seeded(t, 71), c.size.X, c.size.Y)), p, study.Steps)
		if len(s.Figures.Tones) != 4 {
			t.Fatalf("%d values", len(s.Figures.Tones))
		}
		if got := s.Ratio(study.Steps); got < c.want-1e-9 || got > c.want+1e-9 {
			t.Errorf("%v: ratio %v, want %v", c.size, got, c.want)
		}
	}
}

// A grid's line lies where it is said to, over the crop on the whole photo too,
// and leaves all else as it was.
func TestMarkGrid(t *testing.T) {
	size := image.Pt(200, 100)
	p := edited(whole(size), size, plan.SetCrop(plan.Crop{X: 0.5, Y: 0, W: 0.5, H: 1}))
	s := make1(t, study.NewDesk(twoHalves(size.X, size.Y)), p, study.Whole, study.Photo)
	grid := plan.Grid{Across: 2, Down: 1}
	for _, c := range []struct {
		view study.View
		size image.Point
		at   int
	}{{study.Photo, image.Pt(50, 50), 25}, {study.Whole, image.Pt(100, 50), 75}} {
		before, r := raster(t, s, c.view, c.size), raster(t, s, c.view, c.size)
		s.MarkGrid(r, c.view, grid)
		for y := range r.H {
			for x := range r.W {
				if changed := r.At(x, y) != before.At(x, y); changed != (x == c.at) {
					t.Fatalf("%v: pixel %d,%d changed: %v", c.view, x, y, changed)
				}
			}
		}
	}
}
