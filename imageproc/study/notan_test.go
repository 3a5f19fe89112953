package study_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// The shares of the notan are those of its pixels, counted in the picture at its
// own size; a flat photo is all dark or all light.
func TestNotanSharesAreCounted(t *testing.T) {
	flat := func(light float32) imageproc.Picture {
		pic := imageproc.NewPicture(90, 60)
		for _, p := range pic.Planes() {
			for i := range p.Pix {
				p.Pix[i] = light
			}
		}
		return pic
	}
	for name, pic := range map[string]imageproc.Picture{
		"patches": patchwork(rand.New(rand.NewPCG(3, 4))), "more": patchwork(rand.New(rand.NewPCG(8, 1))),
		"dark": flat(.02), "light": flat(.8),
	} {
		p := plan.Fit(plan.Default(pic.Size()), plan.Frame{Photo: pic.Size()})
		s, err := study.NewDesk(pic).Make(t.Context(), p, study.Notan, study.Plan)
		if err != nil {
			t.Fatal(err)
		}
		r := s.Raster(study.Notan, s.Figures.Size)
		darks, n := 0, len(r.Pix)/3
		for i := range n {
			if r.Pix[3*i] < 128 {
				darks++
			}
		}
		dark, light := s.NotanShares()
		if want := float64(darks) / float64(n); math.Abs(dark-want) > 1e-9 || math.Abs(dark+light-1) > 1e-9 {
			t.Errorf("%s: dark %v, light %v, counted %v", name, dark, light, want)
		}
		if one := name == "dark" || name == "light"; one != (dark == 0 || dark == 1) {
			t.Errorf("%s: dark %v", name, dark)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("shares of a notan that was not made")
		}
	}()
	pic := flat(.5)
	s, err := study.NewDesk(pic).Make(t.Context(), plan.Fit(plan.Default(pic.Size()), plan.Frame{Photo: pic.Size()}), study.Plan)
	if err != nil {
		t.Fatal(err)
	}
	s.NotanShares()
}
