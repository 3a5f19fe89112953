package mass

import (
	"fmt"
	"image"
	"slices"

	"atelier/halflid/imageproc"
)

// Clip returns the base shapes inside part of the picture, as if cut out with
// scissors: outlines and base values stay where they are, so that they do not
// move while a crop moves inside a larger region. Shapes cut in two become two.
// Base values are grouped as the larger region groups them, among those that
// are left: groups by what lies inside alone cost 1 % less, but jump while the
// crop moves. It panics if part is not inside the picture or is empty.
//
// Source: ours (TestClip).
func (b *Base) Clip(part image.Rectangle) *Base {
	if part.Empty() || !part.In(image.Rect(0, 0, b.w, b.h)) {
		panic(fmt.Sprintf("mass: clip %v out of shapes of %d by %d", part, b.w, b.h))
	}
	w, n := part.Dx(), part.Dx()*part.Dy()
	out := &Base{
		value: make([]uint16, n), light: make([]float32, n), rise: make([]uint16, n),
		focus: b.focus, at: b.at.Add(part.Min), long: float64(max(w, part.Dy())),
	}
	shapes := imageproc.NewLabels(w, part.Dy())
	for y := range shapes.H {
		from := (y+part.Min.Y)*b.w + part.Min.X
		copy(out.value[y*w:][:w], b.value[from:])
		copy(out.light[y*w:][:w], b.light[from:])
		copy(out.rise[y*w:][:w], b.rise[from:])
		copy(shapes.Row(y), b.labels.Pix[from:])
	}
	class := func(first int32) int32 { return b.shapes[shapes.Pix[first]].class }
	var label Labeller
	out.part(shapes, &label, class)
	out.sortClasses(len(b.class))
	out.chain = newChain(out)
	of := make([]int32, len(out.class))
	for i := range out.shapes {
		s := &out.shapes[i]
		of[s.class] = class(s.first)
	}
	// What is left of two values can lie the other way round: those are grouped anew.
	if slices.IsSorted(of) {
		out.chain = b.chain.among(of)
	}
	return out
}
