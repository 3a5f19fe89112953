package study_test

import (
	"image"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc/study"
)

// A sketch is the plan's picture at every size, and stays when the desk goes on.
func TestSketchIsThePlan(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 5))
	for range 20 {
		pic := patchwork(r)
		s, _ := planned(t, pic, aPlan(r, pic.Size()))
		k := s.Sketch()
		if k.None() || k.Ratio() != s.Ratio(study.Plan) {
			t.Fatalf("a sketch of ratio %g of a plan of %g", k.Ratio(), s.Ratio(study.Plan))
		}
		for _, size := range []image.Point{{7, 5}, {24, 31}, s.Figures.Size} {
			if !slices.Equal(k.Raster(size).Pix, s.Raster(study.Plan, size).Pix) {
				t.Errorf("at %v the sketch is not the plan", size)
			}
		}
		if !slices.Equal(k.Tones(), s.Figures.Tones) {
			t.Errorf("tones %v, want %v", k.Tones(), s.Figures.Tones)
		}
	}
}
