package main

import (
	"context"
	"fmt"
	"image"
	"testing"
	"time"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// wallFigures times what a wall of 24 thumbnails of one photo costs: one desk, as
// in the studio, and the sketches drawn at the size of a tile.
func wallFigures(t *testing.T, data []byte) {
	p, err := photo.Decode(context.Background(), data, "camera.jpg", photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var sketches []study.Sketch
	var first time.Duration
	begin := time.Now()
	desk := study.NewDesk(p.Master)
	for _, q := range differentPlans(p.Size, 24) {
		s, err := desk.Make(context.Background(), q, study.Plan)
		if err != nil {
			t.Fatal(err)
		}
		sketches = append(sketches, s.Sketch())
		if first == 0 {
			first = time.Since(begin)
		}
	}
	cold := time.Since(begin)
	again := took(func() {
		for _, k := range sketches {
			k.Raster(image.Pt(28, 21))
		}
	})
	row("wall of 24 thumbnails of one photo: first, all", fmt.Sprintf("%s, %s ms", ms(first), ms(cold)), "all <= 1500 ms", cold <= 1500*time.Millisecond)
	row("the same revisited", ms(again)+" ms", "<= 100 ms", again <= 100*time.Millisecond)
}

// differentPlans are plans as a painter tries them: other crops, squints, numbers
// of values and panels.
func differentPlans(size image.Point, n int) []plan.Plan {
	f := plan.Frame{Photo: size}
	p := plan.Default(size)
	var out []plan.Plan
	for i := range n {
		q := plan.SetK(2+i%3)(p, f)
		if i%3 == 2 {
			p = plan.MoveCrop(0.1, 0.05)(plan.ResizeCrop(0.9)(p, f), f)
		}
		if i%6 == 5 {
			p = plan.SquintMore(plan.NextPanel(p, f), f)
		}
		out = append(out, q)
	}
	return out
}
