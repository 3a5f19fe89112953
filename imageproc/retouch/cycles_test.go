package retouch

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/palette/oracle"
)

// The change shrinks by a factor that hardly depends on the size, whatever the
// shape, and wherever in its coarse cells the border lies.
func TestCyclesAreFew(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	size := image.Pt(300, 300)
	for _, test := range []struct {
		name string
		p    Patch
		most float64 // mean factor from the 2nd to the 6th cycle
	}{
		{"box 256", Patch{image.Pt(9, 9), maskOf(256, 256, markAll)}, .25},
		{"box 257x259", Patch{image.Pt(9, 9), maskOf(257, 259, markAll)}, .25},
		{"box 201x103", Patch{image.Pt(9, 9), maskOf(201, 103, markAll)}, .25},
		{"free corner", Patch{image.Pt(0, 0), maskOf(256, 256, markAll)}, .25},
		{"box 273x279", Patch{image.Pt(9, 9), maskOf(273, 279, markAll)}, .25},
		{"strip 290x33", Patch{image.Pt(5, 9), maskOf(290, 33, markAll)}, .25},
		{"disc", Patch{image.Pt(9, 9), maskOf(256, 256, markDisc(256, 256))}, .35},
		{"figure", Patch{image.Pt(9, 9), maskOf(256, 256, markFigure(256, 256))}, .45},
		{"walls", Patch{image.Pt(9, 9), maskOf(256, 256, func(x, y int) bool { return x%50 != 0 || y%220 < 30 })}, .35},
		{"half the pixels", Patch{image.Pt(9, 9), maskOf(256, 256, func(int, int) bool { return rng.Float64() < .5 })}, .3},
		{"nine in ten", Patch{image.Pt(9, 9), maskOf(256, 256, func(int, int) bool { return rng.Float64() < .9 })}, .5},
		{"all but two", Patch{image.Pt(0, 0), maskOf(300, 300, func(x, y int) bool { return x*y != 200*83 && x*y != 91*210 })}, .5},
		{"all but few", Patch{image.Pt(9, 9), maskOf(256, 256, func(int, int) bool { return rng.Float64() < .999 })}, .5},
	} {
		var g grid
		var s sheet
		g.lay(test.p, test.p.bounds(image.Rectangle{Max: size}), size)
		s.size(&g)
		for _, i := range g.rim {
			s.u[i] = rng.Float32()
		}
		s.fill(&g, .5)
		var change [6]float64
		for n := range change {
			change[n] = float64(s.cycle(&g, n == 0))
		}
		mean := math.Pow(change[5]/change[1], 1./4)
		t.Logf("%-16s %.2f", test.name, mean)
		if !(mean <= test.most) {
			oracle.Close(t, test.name, mean, 0, test.most)
		}
	}
}
