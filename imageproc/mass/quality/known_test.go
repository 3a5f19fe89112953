package quality

import (
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
)

// found says how well a plan finds the shapes that were drawn: how well its
// shapes cover them, and the share of their borders that has a border of the
// plan within a hundredth of the longer side.
func found(d drawn, f Flat) (covering, border float64) {
	covering = mass.NewOverlap(d.region, shapesOf(f)).Covering()
	w, h := d.region.W, d.region.H
	want, _ := borders(d.region)
	have, _ := borders(f.Values)
	near := within(have, w, h, .01*float64(max(w, h)))
	all, met := 0, 0
	for i, b := range want {
		if b {
			all++
			if near[i] {
				met++
			}
		}
	}
	return covering, float64(met) / float64(all)
}

// TestKnownShapes: the plan's shapes cover the shapes that were drawn better
// than those of any generic way, in the mean over the settings: in two values
// things of one value are one shape, so that no setting alone says much. A border that a generic way finds among many
// that are none is no merit, so borders are held to a share only.
func TestKnownShapes(t *testing.T) {
	all := allDrawn()
	covering, border := make([][4]float64, len(methods)), make([][4]float64, len(methods))
	for _, d := range all {
		base := baseOf(t, d.pic, mass.Options{})
		for m, how := range methods {
			for i, ks := range settings {
				c, b := found(d, how.plan(d.pic, base, ks[0], ks[1]))
				covering[m][i] += c / float64(len(all))
				border[m][i] += b / float64(len(all))
			}
		}
	}
	say(t, "\nshapes known from drawing\n%-26s %-30s %s", "", "covering at 2:6 3:12 4:24 5:40", "share of borders found")
	for m, how := range methods {
		say(t, "%-26s %6.3f %.3f %.3f %.3f       %6.3f %.3f %.3f %.3f", how.name, covering[m][0], covering[m][1], covering[m][2], covering[m][3],
			border[m][0], border[m][1], border[m][2], border[m][3])
		mean := func(v [4]float64) float64 { return (v[0] + v[1] + v[2] + v[3]) / 4 }
		if own, other := mean(covering[1]), mean(covering[m]); !how.ours && !(own > other) {
			t.Errorf("mean covering %.3f, %s has %.3f", own, how.name, other)
		}
	}
	if border[1][3] < .75 {
		t.Errorf("%.3f of the borders found in 5 values, 40 shapes", border[1][3])
	}
}

// TestFoundOfTheTruth: the drawing itself as a plan is found whole.
func TestFoundOfTheTruth(t *testing.T) {
	d := drawMotif(0, 120, 80, 1)
	d.region = shapesOf(Flat{Values: d.region})
	if c, b := found(d, Flat{Values: d.region}); c != 1 || b != 1 {
		t.Errorf("covering %v, borders %v", c, b)
	}
	if c, b := found(d, Flat{Values: imageproc.NewLabels(120, 80)}); !(c < .5) || b != 0 {
		t.Errorf("one shape: covering %v, borders %v", c, b)
	}
}
