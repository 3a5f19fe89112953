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
	if allWith > 25 || all > 25 {
		t.Errorf("%d and %d shapes, 25 wanted", all, allWith)
	}
}
