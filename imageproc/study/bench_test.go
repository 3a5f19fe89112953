package study_test

import (
	"fmt"
	"image"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// benchPhoto is a master of the largest size, worked on at 768 by 576.
var benchPhoto = image.Pt(2048, 1536)

func benchMaster() imageproc.Picture {
	return harbour(rand.New(rand.NewPCG(40, 0x5eed)), benchPhoto.X, benchPhoto.Y)
}

// What one held key costs, warm: two plans in turn.
func BenchmarkKey(b *testing.B) {
	desk := study.NewDesk(benchMaster())
	base := whole(benchPhoto)
	near := edited(base, benchPhoto, plan.SetCrop(plan.Crop{W: 0.8, H: 0.8}))
	fine := edited(base, benchPhoto, plan.SetSquint(0.18), plan.SetK(5), smallestShape(0))
	for _, c := range []struct {
		name     string
		from, to plan.Plan
	}{
		{"squint", base, edited(base, benchPhoto, plan.SetSquint(1.4))},
		{"squint-wide", edited(base, benchPhoto, plan.SetSquint(8)), edited(base, benchPhoto, plan.SetSquint(11))},
		{"k", base, edited(base, benchPhoto, plan.SetK(4))},
		{"tones", base, edited(base, benchPhoto, plan.SetToneMethod(plan.ToneFixed))},
		{"smallest", base, edited(base, benchPhoto, smallestShape(0.5))},
		{"wanted", edited(fine, benchPhoto, plan.SetShapes(20)), edited(fine, benchPhoto, plan.SetShapes(21))},
		{"crop", near, edited(near, benchPhoto, plan.MoveCrop(0.02, 0.02))},
		{"same", base, base},
	} {
		for _, v := range []study.View{study.Values, study.Plan} {
			b.Run(fmt.Sprint(c.name, "-", v, "/768"), func(b *testing.B) {
				make1(b, desk, c.from, v)
				make1(b, desk, c.to, v)
				b.ReportAllocs()
				for i := 0; b.Loop(); i++ {
					if i%2 == 0 {
						make1(b, desk, c.from, v)
					} else {
						make1(b, desk, c.to, v)
					}
				}
			})
		}
	}
}

// What a choice costs, warm: the hierarchy is not built again.
func BenchmarkChoice(b *testing.B) {
	desk := study.NewDesk(benchMaster())
	base := whole(benchPhoto)
	s := make1(b, desk, base, study.Plan)
	f := s.Figures
	area := f.Area([]int{f.At(0.5, 0.6)}, base, benchPhoto)
	other := f.Area([]int{f.At(0.2, 0.2)}, base, benchPhoto)
	say := func(cs ...plan.Choice) plan.Plan {
		p := base
		p.Choices = plan.ListOf(cs...)
		return p
	}
	var many []plan.Choice
	for i := range 200 {
		x, y := float64(i%20)/20, float64(i/20)/10
		many = append(many, plan.Choice{What: plan.GiveValue, Area: plan.BoxArea(x, y, x+0.04, y+0.08), Value: i % 3, Of: 3})
	}
	for _, c := range []struct {
		name     string
		from, to plan.Plan
	}{
		{"value", base, say(plan.Choice{What: plan.GiveValue, Area: area, Value: 1, Of: 3})},
		{"together", base, say(plan.Choice{What: plan.Together, Area: area.Union(other)})},
		{"detail", base, say(plan.Choice{What: plan.Detail, Area: area, Shapes: 5})},
		{"smooth", base, say(plan.Choice{What: plan.Outline, Area: area, Smooth: 1})},
		{"the 200th", say(many[:199]...), say(many...)},
		{"leave out", base, say(plan.Choice{What: plan.LeaveOut, Area: plan.BoxArea(0.4, 0.4, 0.55, 0.6)})},
	} {
		b.Run(c.name, func(b *testing.B) {
			make1(b, desk, c.from, study.Plan)
			make1(b, desk, c.to, study.Plan)
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if i%2 == 0 {
					make1(b, desk, c.from, study.Plan)
				} else {
					make1(b, desk, c.to, study.Plan)
				}
			}
		})
	}
}

// What it costs to show a study that is made, warm.
func BenchmarkRaster(b *testing.B) {
	desk := study.NewDesk(benchMaster())
	p := edited(whole(benchPhoto), benchPhoto, plan.SetCrop(plan.Crop{W: 0.9, H: 0.9}))
	s := make1(b, desk, p)
	for _, v := range allViews {
		size := image.Pt(200, 120)
		b.Run(fmt.Sprint(v, "/200x120"), func(b *testing.B) {
			raster(b, s, v, size)
			b.ReportAllocs()
			for b.Loop() {
				raster(b, s, v, size)
			}
		})
	}
	other := edited(p, benchPhoto, plan.SetSquint(1.4))
	for _, v := range []study.View{study.Squint, study.Values, study.Notan} {
		size := image.Pt(200, 120)
		b.Run(fmt.Sprint("key-squint-", v, "/200x120"), func(b *testing.B) {
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				s := make1(b, desk, []plan.Plan{p, other}[i%2], v)
				raster(b, s, v, size)
			}
		})
	}
}
