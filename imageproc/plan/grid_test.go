package plan_test

import (
	"math"
	"testing"

	"atelier/halflid/imageproc/plan"
)

// Lines counted by hand on a sheet of squared paper: 6x8 in has five and seven
// inner inch lines, 18x24 cm eight and eleven at 2 cm, the last no whole square
// from the far edge where the side is odd.
func TestGridLines(t *testing.T) {
	in := plan.Panel{Short: 6, Long: 8, Unit: plan.Inch}
	cm := plan.Panel{Short: 13, Long: 18, Unit: plan.Centimetre}
	for _, c := range []struct {
		grid          string
		panel         plan.Panel
		upright, wide int
		first         float64 // place of the first upright line
		diagonals     int
	}{
		{"none", in, 0, 0, 0, 0},
		{"inch", in, 5, 7, 1. / 6, 0},
		{"0.5in", in, 11, 15, 1. / 12, 0},
		{"2cm", in, 7, 10, 20 / 152.4, 0},
		{"2cm", cm, 6, 8, 2. / 13, 0},
		{"thirds", in, 2, 2, 1. / 3, 0},
		{"halves", cm, 1, 1, 0.5, 2},
		{"4x3", in, 3, 2, 0.25, 0},
		{"1x3", in, 0, 2, 0, 0},
		{"inch", plan.Panel{}, 0, 0, 0, 0},
		{"thirds", plan.Panel{}, 2, 2, 1. / 3, 0},
		{"2mm", plan.Panel{Short: 100, Long: 150, Unit: plan.Centimetre}, 0, 0, 0, 0},
	} {
		g, err := plan.ParseGrid(c.grid)
		if err != nil {
			t.Fatal(err)
		}
		upright, wide, diagonals := 0, 0, 0
		for _, l := range g.Lines(c.panel.Size(plan.Millimetre)) {
			switch {
			case l.Diagonal:
				diagonals++
			case l.A.X == l.B.X:
				if upright == 0 && math.Abs(l.A.X-c.first) > 1e-12 {
					t.Errorf("%s on %v: first line at %v, want %v", c.grid, c.panel, l.A.X, c.first)
				}
				upright++
			case l.A.Y == l.B.Y:
				wide++
			}
		}
		if upright != c.upright || wide != c.wide || diagonals != c.diagonals {
			t.Errorf("%s on %v: %d upright, %d across, %d diagonals; want %d, %d, %d", c.grid, c.panel, upright, wide, diagonals, c.upright, c.wide, c.diagonals)
		}
	}
}

func TestParseGridRefuses(t *testing.T) {
	for _, s := range []string{"", "grid", "0x3", "3x0", "1x1", "41x2", "-2cm", "0cm", "1mm", "NaNcm", "infin", "3x", "x3", "3 by 4"} {
		if g, err := plan.ParseGrid(s); err == nil {
			t.Errorf("%q is taken for %v", s, g)
		}
	}
}

// What is on offer says what it is, each in other words, and squares are in the
// panel's own kind of unit.
func TestGridsOnOffer(t *testing.T) {
	for _, p := range append(plan.Panels(), plan.Panel{}) {
		words := map[string]bool{}
		for i, g := range plan.Grids(p) {
			if g.None() != (i == 0) || words[g.String()] {
				t.Errorf("%v: grid %d is %v", p, i, g)
			}
			words[g.String()] = true
			if g.Every > 0 && (g.Unit == plan.Inch) != (p.Unit == plan.Inch) {
				t.Errorf("%v: squares of %v", p, g)
			}
		}
	}
}

// Lengths on a panel are told in its own unit, but never in millimetres.
func TestPanelRuler(t *testing.T) {
	for _, p := range append(plan.Panels(), plan.Panel{}) {
		want := map[plan.Unit]plan.Unit{plan.Inch: plan.Inch, plan.Centimetre: plan.Centimetre, plan.Millimetre: plan.Centimetre}[p.Unit]
		if got := p.Ruler(); got != want {
			t.Errorf("%v is measured in %q, want %q", p, got, want)
		}
	}
}
