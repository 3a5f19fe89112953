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
	h := plan.NewHistory(plan.Default(frame.Photo))
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
