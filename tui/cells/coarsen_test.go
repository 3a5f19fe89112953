package cells

import (
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// A line one pixel high fills its cells; what was not drawn on stays, also the
// last row of a picture of odd height.
func TestCoarsen(t *testing.T) {
	grey := func(g uint8) palette.SRGB { return palette.SRGB{R: g, G: g, B: g} }
	before := imageproc.NewRaster(3, 5)
	for y := range 5 {
		for x := range 3 {
			before.Set(x, y, grey(uint8(10*y+x)))
		}
	}
	r := imageproc.NewRaster(3, 5)
	copy(r.Pix, before.Pix)
	r.Set(0, 0, grey(200))
	r.Set(1, 3, grey(210))
	r.Set(2, 4, grey(220))
	Coarsen(r, before)
	for _, c := range []struct {
		x, y int
		want uint8
	}{{0, 0, 200}, {0, 1, 200}, {1, 2, 210}, {1, 3, 210}, {2, 4, 220}, {2, 2, 22}, {2, 3, 32}, {1, 1, 11}, {0, 4, 40}} {
		if got := r.At(c.x, c.y).R; got != c.want {
			t.Errorf("at %d,%d: %d, want %d", c.x, c.y, got, c.want)
		}
	}
}
