package contour

import (
	"testing"

	"atelier/halflid/imageproc"
)

// shifted returns the borders of a small square left of an upright border, as
// they are drawn, but the square moved so that it ends at right.
func shifted(right float64) *work {
	l := imageproc.NewLabels(40, 30)
	for i := range l.Pix {
		switch x, y := i%40, i/40; {
		case x >= 20:
			l.Pix[i] = 1
		case x >= 12 && x < 17 && y >= 10 && y < 15:
			l.Pix[i] = 2
		}
	}
	var t tracer
	w := work{w: l.W, h: l.H}
	t.regions, w.regions = regionsOf(l)
	t.trace(t.regions)
	w.labels, w.joints, w.borders = t.regions, t.joints, t.borders
	for _, b := range w.borders {
		b.limit = make([]float64, len(b.at))
		for i := range b.limit {
			b.limit[i] = 3
		}
	}
	w.draw()
	for _, b := range w.borders {
		if !b.closed {
			continue
		}
		most := 0.0
		for _, p := range b.flat {
			most = max(most, p.X)
		}
		for i := range b.flat {
			b.flat[i].X += right - most
		}
	}
	w.grid.fill(w.borders, l.W, l.H)
	return &w
}

// The checks find a shape that crosses a border, one that all but touches it, and
// one that has passed it, and find nothing where there is nothing.
func TestChecks(t *testing.T) {
	for _, c := range []struct {
		right            float64
		clash, misplaced bool
	}{
		{17, false, false},
		{20 - clearance - 0.01, false, false},
		{20 - clearance + 0.01, true, false},
		{20.01, true, false},
		{22, true, false},
		{27, false, true},
	} {
		w := shifted(c.right)
		if got := len(w.clashes()) > 0; got != c.clash {
			t.Errorf("up to %v: clash %v", c.right, got)
		}
		if got := len(w.misplaced()) > 0; !c.clash && got != c.misplaced {
			t.Errorf("up to %v: misplaced %v", c.right, got)
		}
		strays := 0
		for i, b := range w.borders {
			strays += len(w.strays(i, b))
		}
		if (strays > 0) != (c.right > 20) { // the square was within 17, the tolerance is 3
			t.Errorf("up to %v: %d strays", c.right, strays)
		}
	}
}
