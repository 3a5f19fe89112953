package study_test

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// With a focal point the plan of as many shapes has more of them near it and
// fewer far away; the same scene of scattered boxes, seen from either side.
// Source: ours.
func TestFocalPointDrawsShapes(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	const w, h = 600, 400
	master := imageproc.NewPicture(w, h)
	grey := make([]float32, w*h)
	for i := range grey {
		grey[i] = 0.35
	}
	for range 160 {
		x0, y0, v := r.IntN(w-30), r.IntN(h-30), float32(r.Float64())
		for y := y0; y < y0+8+r.IntN(20); y++ {
			for x := x0; x < x0+18; x++ {
				grey[y*w+x] = v
			}
		}
	}
	for _, p := range master.Planes() {
		copy(p.Pix, grey)
	}
	size := image.Pt(w, h)
	near := func(focus plan.Focus) (inside int, all int) {
		p := plan.SetFree(1.5)(plan.Default(size), plan.Frame{Photo: size})
		p = plan.SetShapes(25)(plan.SetFocus(focus)(p, plan.Frame{Photo: size}), plan.Frame{Photo: size})
		s, err := study.NewDesk(master).Make(context.Background(), p, study.Plan)
		if err != nil {
			t.Fatal(err)
		}
		for _, shape := range s.Figures.List {
			if math.Hypot(shape.X-150, shape.Y-200) < 120 {
				inside++
			}
		}
		return inside, s.Figures.Shapes
	}
	without, all := near(plan.Focus{})
	with, allWith := near(plan.Focus{X: 0.25, Y: 0.5, Radius: 0.15})
	away, _ := near(plan.Focus{X: 0.85, Y: 0.5, Radius: 0.15})
	t.Logf("near the place: %d of %d shapes without a focal point, %d of %d with it there, %d with it elsewhere", without, all, with, allWith, away)
	if !(with > without && without >= away) {
		t.Errorf("shapes near the place: %d without a focal point, %d with it there, %d with it elsewhere", without, with, away)
	}
	there := func(f plan.Fall) plan.Focus { return plan.Focus{X: 0.25, Y: 0.5, Radius: 0.15, Fall: f} }
	gentle, _ := near(there(plan.FallGentle))
	strong, _ := near(there(plan.FallStrong))
	if !(gentle < with && with <= strong) {
		t.Errorf("shapes near the place: %d when detail falls off gently, %d as usual, %d strongly", gentle, with, strong)
	}
	if allWith > 25 || all > 25 {
		t.Errorf("%d and %d shapes, 25 wanted", all, allWith)
	}
}

// The mark lies where the focal point is, in the whole photo and in the crop; the
// saved picture has none.
func TestMarkFocus(t *testing.T) {
	const w, h = 400, 300
	master := imageproc.NewPicture(w, h)
	for _, p := range master.Planes() {
		for i := range p.Pix {
			p.Pix[i] = 0.5
		}
	}
	size := image.Pt(w, h)
	f := plan.Frame{Photo: size}
	p := plan.SetCrop(plan.Crop{X: 0.5, Y: 0.5, W: 0.5})(plan.Default(size), f)
	p = plan.SetFocus(plan.Focus{X: 0.75, Y: 0.7, Radius: 0.1})(p, f)
	s, err := study.NewDesk(master).Make(context.Background(), p, study.Whole, study.Photo, study.Plan)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		view   study.View
		x, y   int // of the focal point on a raster of 200 by 150
		radius float64
	}{{study.Whole, 150, 105, 20}, {study.Photo, 100, 60, 40}, {study.Plan, 100, 60, 40}} {
		plain, marked := s.Raster(c.view, image.Pt(200, 150)), s.Raster(c.view, image.Pt(200, 150))
		s.MarkFocus(marked, c.view)
		centre, ring := 0, 0
		for y := range 150 {
			for x := range 200 {
				if plain.At(x, y) == marked.At(x, y) {
					continue
				}
				switch d := math.Hypot(float64(x-c.x), float64(y-c.y)); {
				case d < 4:
					centre++
				case math.Abs(d-c.radius) < 2:
					ring++
				default:
					t.Errorf("%v: pixel %d,%d is marked, %.1f from the focal point", c.view, x, y, d)
				}
			}
		}
		if centre < 5 || ring < 20 {
			t.Errorf("%v: %d pixels of the cross and %d of the ring", c.view, centre, ring)
		}
	}
}
