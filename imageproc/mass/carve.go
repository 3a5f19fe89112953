package mass

import (
	"fmt"

	"atelier/halflid/imageproc"
)

// Carve returns base shapes cut along knives as if with a knife: parts gives each
// pixel the number of the knife it lies in, 0 for none. What lies in one is parted
// from what does not, and each connected part of a base shape becomes one of its
// own with the same base value. Base values are grouped as b groups them. A cut
// along outlines that are there changes nothing. It panics if knives are not of the
// picture's size; their numbers are 0 or more.
func (b *Base) Carve(knives imageproc.Labels) *Base {
	if knives.W != b.w || knives.H != b.h {
		panic(fmt.Sprintf("mass: carve %d by %d with knives of %d by %d", b.w, b.h, knives.W, knives.H))
	}
	// Numbers of the parts: base shapes outside all knives keep theirs, the rest
	// have one more for each knife.
	n := int32(len(b.shapes))
	parts := imageproc.NewLabels(b.w, b.h)
	for p, l := range b.labels.Pix {
		parts.Pix[p] = l + n*knives.Pix[p]
	}
	out := &Base{
		value: b.value, light: b.light, rise: b.rise, focus: b.focus, at: b.at, long: b.long,
		class: b.class, chain: b.chain,
	}
	var label Labeller
	out.part(parts, &label, func(first int32) int32 { return b.shapes[b.labels.Pix[first]].class })
	return out
}

func (b *Base) sameSize(what string, m imageproc.Mask) {
	if m.W != b.w || m.H != b.h || len(m.Pix) != b.w*b.h {
		panic(fmt.Sprintf("mass: %s of a mask of %d by %d on a picture of %d by %d", what, m.W, m.H, b.w, b.h))
	}
}
