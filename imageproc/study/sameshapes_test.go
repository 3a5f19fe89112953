package study_test

import (
	"image"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// Plans share base shapes unless they differ in what these are made of.
func TestSameShapes(t *testing.T) {
	size := image.Pt(300, 200)
	p := plan.Default(size)
	spot := plan.BoxArea(0.4, 0.4, 0.6, 0.6)
	for _, c := range []struct {
		what string
		edit plan.Edit
		want bool
	}{
		{"another number of values", plan.SetK(5), true},
		{"another number of shapes", plan.SetShapes(7), true},
		{"another brush", plan.SetBrush(9), true},
		{"a value given to a place", plan.Choose(plan.Choice{What: plan.GiveValue, Area: spot, Of: 3}), true},
		{"a place left out", plan.Choose(plan.Choice{What: plan.LeaveOut, Area: spot}), false},
		{"another crop", plan.SetCrop(plan.Crop{X: 0.1, W: 0.5}), false},
		{"another squint", plan.SetSquint(3), false},
		{"a focal point", plan.SetFocus(plan.Focus{X: 0.5, Y: 0.5, Radius: 0.2}), false},
	} {
		q := edited(p, size, c.edit)
		if got := study.SameShapes(p, q); q == p || got != c.want {
			t.Errorf("%s: same shapes %v, want %v", c.what, got, c.want)
		}
	}
	q := p
	q.Panel.Way = plan.Upright
	if study.SameShapes(p, q) {
		t.Error("a panel turned has the same shapes")
	}
}
