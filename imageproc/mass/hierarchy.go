package mass

import (
	"context"

	"atelier/halflid/imageproc"
)

// Hierarchy is the order in which the leaves of a picture grow together to one
// region, to be compared with divisions that people drew. Immutable.
type Hierarchy struct {
	leaf imageproc.Labels
	tree *tree
}

// Hierarchy returns the order in which s's leaves grow together, without a
// focus. The error is that of ctx.
func (s *Survey) Hierarchy(ctx context.Context) (*Hierarchy, error) {
	t, err := growTree(ctx, &s.sums, &s.border)
	if err != nil {
		return nil, err
	}
	return &Hierarchy{s.leaf, t}, nil
}

// Cut returns the region of each pixel after all joins that cost less than
// limit, and the number of regions, 1 or more; a larger limit only joins
// regions of a smaller one. dst's memory is used where it is large enough. Costs
// grow with the square of lightness and with the size in pixels.
func (h *Hierarchy) Cut(dst imageproc.Labels, limit float64) (imageproc.Labels, int) {
	region, n := h.tree.cut(h.tree.joinsBelow(limit))
	dst = imageproc.Labels{W: h.leaf.W, H: h.leaf.H, Pix: resize(dst.Pix, len(h.leaf.Pix))}
	for i, l := range h.leaf.Pix {
		dst.Pix[i] = region[l]
	}
	return dst, n
}
