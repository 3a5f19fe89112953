package plan_test

import (
	"fmt"
	"image"

	"atelier/halflid/imageproc/plan"
)

// A morning's decisions about one photo: each key is an edit, each edit a step
// that can be taken back.
func Example() {
	frame := plan.Frame{Photo: image.Pt(6000, 4000)}
	h := plan.NewHistory(plan.State{Plan: plan.Default(frame.Photo)})
	for _, key := range []struct {
		action string
		edit   plan.Edit
	}{
		{"turn", plan.Turn},
		{"smaller", plan.ResizeCrop(0.9)},
		{"smaller", plan.ResizeCrop(0.9)}, // the key is held: one step
		{"squint", plan.SquintMore},
	} {
		h = h.Do(key.action, key.edit(h.Plan(), frame))
	}
	p := h.Plan()
	fmt.Println(p.Panel, "=", p.Panel.In(plan.Centimetre), "squint", p.Squint, "%")
	fmt.Println(p.PixelRect(frame.Photo), plan.Hash(p))
	h = h.Undo().Undo()
	fmt.Println(h.Plan().PixelRect(frame.Photo))
	// Output:
	// 6x8 in upright = 15.2 x 20.3 cm squint 1.4 %
	// (1785,380)-(4215,3620) 732318ab7a03
	// (1500,0)-(4500,4000)
}

// What is decided about one place is anchored to the photo, so it stays where it
// is whatever becomes of crop, values and shapes.
func ExampleChoose() {
	frame := plan.Frame{Photo: image.Pt(6000, 4000)}
	mast, shed := plan.BoxArea(0.42, 0.1, 0.44, 0.5), plan.EllipseArea(0.6, 0.3, 0.9, 0.6)
	p := plan.Default(frame.Photo)
	for _, edit := range []plan.Edit{
		plan.Choose(plan.Choice{What: plan.LeaveOut, Area: mast}),
		plan.Choose(plan.Choice{What: plan.GiveValue, Area: shed, Value: 0, Of: 3}),
		plan.Choose(plan.Choice{What: plan.GiveValue, Area: shed, Value: 1, Of: 3}), // a second thought
		plan.SwitchChoice(0),
		plan.SetK(5),
	} {
		p = edit(p, frame)
	}
	for _, c := range p.Choices.List() {
		fmt.Println(c.Words(), "| off:", c.Off, "| value here:", c.ValueIn(p.Values.K))
	}
	// Output:
	// left out | off: true | value here: 0
	// value 2 of 3 | off: false | value here: 2
}
