package study_test

import (
	"image"
	"math/rand/v2"
	"reflect"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// A crop that is larger than the working size and moves by single pixels of the
// photo, or becomes a pixel wider, often keeps its region and its place in it to
// the pixel; what is tied to the photo all the same lies a fraction of a pixel
// elsewhere: areas of choices, and how far from the focal point a curve is. A desk
// that has seen the crop beside it makes what a fresh one makes.
func TestSmallMovesLeaveNothingBehind(t *testing.T) {
	size := image.Pt(1700, 48) // long and low: cheap, and halved for work
	f := plan.Frame{Photo: size}
	master := harbour(seeded(t, 1601), size.X, size.Y)
	start := edited(plan.Default(size), size, plan.SetFree(36), plan.SetK(4), smallestShape(0.02))
	desk := study.NewDesk(master)
	check := func(p plan.Plan, i int, wide float64) {
		p.Crop = plan.Crop{X: float64(45+i) / 1700, Y: 0.05, W: wide / 1700, H: 0.9}
		p = plan.Fit(p, f)
		fresh := make1(t, study.NewDesk(master), p)
		s := make1(t, desk, p)
		if !reflect.DeepEqual(s.Outlines().Chains, fresh.Outlines().Chains) {
			t.Errorf("crop %v: the curves are not those of a fresh desk", s.Figures.Crop)
		}
		look(t, s).compare(t, look(t, fresh))
	}
	r := rand.New(rand.NewPCG(12, 16))
	for i := range 6 {
		chosen := start
		for range 20 {
			chosen = plan.Choose(aChoice(r, 0.1, 0, 0.9, 1))(chosen, f)
		}
		tiny := start // areas that the middle of a pixel lies in, or just not
		for range 20 {
			x, y := 0.1+0.8*r.Float64(), 0.1+0.8*r.Float64()
			tiny = plan.Choose(plan.Choice{What: plan.DepthIs, Depth: plan.Near, Area: plan.BoxArea(x, y, x+0.0008, y+0.03)})(tiny, f)
		}
		check(tiny, 0, 1590)
		check(tiny, 1, 1590)
		check(chosen, 0, 1590)
		check(chosen, 1, 1590+float64(i%2))
		// The photo's edge cuts both regions to one, at another scale.
		check(start, 0, 1590)
		check(start, 0, 1600+8*float64(i))
		focus := plan.Focus{X: 0.2 + 0.1*float64(i), Y: 0.5, Radius: 0.06}
		check(plan.SetFocus(focus)(start, f), 0, 1590)
		check(plan.SetFocus(focus)(start, f), 1, 1590)
	}
}
