package mass

import (
	"fmt"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
)

// TestPhotographs holds what is true of every plan on the photographs in
// HALFLID_PHOTOS, and that two threads and used memory change nothing.
func TestPhotographs(t *testing.T) {
	var m Maker
	for _, ph := range photographs(t, 512) {
		b := build(t, ph.pic, Options{Threads: 1})
		again, err := m.Build(t.Context(), ph.pic, Options{Threads: 2})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(b.labels.Pix, again.labels.Pix) || !slices.Equal(b.shapes, again.shapes) {
			t.Errorf("%s: two threads make other shapes", ph.name)
		}
		var coarse Plan
		for k := 2; k <= mostValues; k++ {
			l := b.Values(Cutting{Values: k})
			checkLayout(t, fmt.Sprintf("%s, %d values", ph.name, k), b, l)
			fine := b.Values(Cutting{Values: k, BrushMark: -1}).Shapes(imageproc.Labels{}, len(b.shapes))
			if k > 2 && !coarser(coarse.Labels.Pix, fine.Labels.Pix) {
				t.Errorf("%s: %d values are not joined from %d", ph.name, k-1, k)
			}
			coarse = fine
		}
	}
}
