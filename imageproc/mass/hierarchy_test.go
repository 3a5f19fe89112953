package mass

import (
	"testing"

	"atelier/halflid/imageproc"
)

// TestHierarchy: cuts are nested, have as many regions as they say, and end in
// one region.
func TestHierarchy(t *testing.T) {
	var m Maker
	s, err := m.Survey(t.Context(), harbour(150, 100, 4), Options{})
	if err != nil {
		t.Fatal(err)
	}
	h, err := s.Hierarchy(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	fine, most := h.Cut(imageproc.Labels{}, 0)
	if most < 20 {
		t.Errorf("%d leaves", most)
	}
	last := most
	for limit := 1.; limit < 1e7; limit *= 4 {
		coarse, n := h.Cut(imageproc.Labels{}, limit)
		if n > last || !coarser(coarse.Pix, fine.Pix) {
			t.Errorf("below %v: %d regions that are not joined from %d", limit, n, last)
		}
		compacted, used := compact(coarse.Pix)
		if used != n || len(compacted) != 150*100 {
			t.Errorf("below %v: %d regions, said %d", limit, used, n)
		}
		fine, last = coarse, n
	}
	if last != 1 {
		t.Errorf("%d regions are left", last)
	}
}

// TestColourLeaves: two colours of one lightness are two leaves only on demand.
func TestColourLeaves(t *testing.T) {
	pic := grey(60, 40, func(_, _ int) float64 { return 50 })
	y := float32(pic.R.At(0, 0))
	for i := range pic.R.Pix {
		if i%60 >= 30 {
			// Redder, with green so much darker that the light stays.
			pic.R.Pix[i], pic.G.Pix[i] = y*1.8, y-.8*y*.2126/.7152
		}
	}
	for _, colour := range []bool{false, true} {
		var m Maker
		s, err := m.Survey(t.Context(), pic, Options{ColourLeaves: colour})
		if err != nil {
			t.Fatal(err)
		}
		if got := len(s.sums.area) > 1; got != colour {
			t.Errorf("colour parts leaves: %v, got %d leaves", colour, len(s.sums.area))
		}
	}
}
