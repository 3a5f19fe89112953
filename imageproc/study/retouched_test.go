package study_test

import (
	"context"
	"errors"
	"image"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// What Retouched returns is what the whole photo shows, and a plan that goes by
// the retouched photo without them is the plan with them.
func TestRetouchedIsWhatIsShown(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 7))
	pic := patchwork(r)
	size := pic.Size()
	p := plan.Fit(plan.Default(size), plan.Frame{Photo: size})
	gone := plan.Choice{What: plan.LeaveOut, Area: plan.BoxArea(.3, .3, .5, .6)}
	post := plan.Choice{What: plan.Add, Area: plan.BoxArea(.7, .2, .75, .9), Tone: 2}
	one := with(p, gone, post)
	got, err := study.Retouched(t.Context(), pic, one)
	if err != nil {
		t.Fatal(err)
	}
	shown, err := study.NewDesk(pic).Make(t.Context(), one, study.Whole)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := study.NewDesk(got).Make(t.Context(), p, study.Whole)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := shown.Raster(study.Whole, size), plain.Raster(study.Whole, size); !slices.Equal(a.Pix, b.Pix) {
		t.Error("the retouched photo is not what is shown")
	}
	if got.R.At(size.X*72/100, size.Y/2) == pic.R.At(size.X*72/100, size.Y/2) {
		t.Error("the post is not there")
	}
	// Without retouches that count it is the photo, not a copy.
	off := gone
	off.Off = true
	value := plan.Choice{What: plan.GiveValue, Area: plan.BoxArea(.1, .1, .2, .2), Value: 1}
	for _, p := range []plan.Plan{p, with(p, off), with(p, value)} {
		if got, err := study.Retouched(t.Context(), pic, p); err != nil || &got.R.Pix[0] != &pic.R.Pix[0] {
			t.Errorf("%v: a copy, or %v", p.Choices.List(), err)
		}
	}
	ctx, end := context.WithCancel(t.Context())
	end()
	if _, err := study.Retouched(ctx, pic, one); !errors.Is(err, context.Canceled) {
		t.Errorf("ended: %v", err)
	}
}

// Retouches are equal where the retouched photo is.
func TestRetouchesOfAPlan(t *testing.T) {
	size := image.Pt(60, 40)
	p := plan.Fit(plan.Default(size), plan.Frame{Photo: size})
	gone := plan.Choice{What: plan.LeaveOut, Area: plan.BoxArea(.3, .3, .5, .6)}
	off := plan.Choice{What: plan.Add, Area: plan.BoxArea(.7, .2, .75, .9), Tone: 2, Off: true}
	value := plan.Choice{What: plan.GiveValue, Area: plan.BoxArea(.1, .1, .2, .2), Value: 1}
	want := study.Retouches(with(p, gone))
	if got := want.List(); len(got) != 1 || got[0].What != plan.LeaveOut {
		t.Fatalf("%v", got)
	}
	if study.Retouches(with(p, value, gone, off)) != want {
		t.Error("choices that change no photo count")
	}
	if study.Retouches(with(p, value)).Len() != 0 || study.Retouches(with(p, gone)) == study.Retouches(p) {
		t.Error("nothing left out is told from something")
	}
}
