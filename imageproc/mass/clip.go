package mass

import (
	"fmt"
	"image"

	"atelier/halflid/imageproc"
)

// Clip returns the base shapes inside part of the picture, as if cut out with
// scissors: outlines and base values stay where they are, so that they do not
// move while a crop moves inside a larger region. Shapes cut in two become two;
// the counts of each base value follow its area inside. It panics if part is
// not inside the picture or is empty.
//
// Source: ours (TestClip).
func (b *Base) Clip(part image.Rectangle) *Base {
	if part.Empty() || !part.In(image.Rect(0, 0, b.w, b.h)) {
		panic(fmt.Sprintf("mass: clip %v out of shapes of %d by %d", part, b.w, b.h))
	}
	w, n := part.Dx(), part.Dx()*part.Dy()
	out := &Base{value: make([]uint16, n), light: make([]float32, n), rise: make([]uint16, n),
		focus: b.focus, at: b.at.Add(part.Min), long: float64(max(w, part.Dy()))}
	classes := imageproc.NewLabels(w, part.Dy())
	whole, inside := make([]float64, len(b.class)), make([]float64, len(b.class))
	for i := range b.shapes {
		whole[b.shapes[i].class] += b.shapes[i].area
	}
	for y := range classes.H {
		from := (y+part.Min.Y)*b.w + part.Min.X
		copy(out.value[y*w:][:w], b.value[from:])
		copy(out.light[y*w:][:w], b.light[from:])
		copy(out.rise[y*w:][:w], b.rise[from:])
		row := classes.Row(y)
		for x, s := range b.labels.Pix[from:][:w] {
			c := b.shapes[s].class
			row[x] = c
			inside[c]++
		}
	}
	counts := make([]moments, len(b.class))
	for c, m := range b.class {
		f := inside[c] / whole[c]
		counts[c] = moments{m.n * f, m.x * f, m.xx * f}
	}
	var label Labeller
	out.assemble(classes, counts, &label)
	return out
}
