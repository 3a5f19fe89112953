package reading

import (
	"context"
	"image"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// What a reading costs of a made study, 768 by 576, from few shapes to many.
func BenchmarkRead(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 4))
	size := image.Pt(768, 576)
	pic := lit(scattered(r, size.X, size.Y, 5, 400), r, 0.1)
	for _, c := range []struct {
		name string
		n    int
	}{{"24", 24}, {"100", 100}, {"500", 500}} {
		b.Run("shapes-"+c.name+"/768", func(b *testing.B) {
			f := plan.Frame{Photo: size}
			p := plan.SetFocus(plan.Focus{X: 0.4, Y: 0.5, Radius: 0.2})(plan.Default(size), f)
			p = plan.SetK(4)(plan.SetBrush(0.5)(plan.SetShapes(c.n)(p, f), f), f)
			s, err := study.NewDesk(pic).Make(context.Background(), p, study.Plan)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				Read(s)
			}
			b.ReportMetric(float64(s.Figures.Shapes), "shapes")
		})
	}
}

// BenchmarkLines is what the words cost.
func BenchmarkLines(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 4))
	reading := scattered(r, 768, 576, 4, 120).focused(0.4, 0.5, 0.2).Read()
	b.ReportAllocs()
	for b.Loop() {
		reading.Lines(plan.Centimetre)
	}
}

// lit returns a picture of a design's tones with some grain.
func lit(d Design, r *rand.Rand, grain float64) imageproc.Picture {
	p := imageproc.NewPicture(d.Map.W, d.Map.H)
	for i, id := range d.Map.Pix {
		y := float64(d.Shapes[id].Tone.Y()) * (1 + float64(grain*r.NormFloat64()))
		for _, plane := range p.Planes() {
			plane.Pix[i] = float32(min(max(y, 0), 1))
		}
	}
	return p
}
