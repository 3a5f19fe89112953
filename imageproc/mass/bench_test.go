package mass

import (
	"context"
	"fmt"
	"testing"

	"atelier/halflid/imageproc"
)

// BenchmarkBuild measures the whole engine warm, by size of the longer side, on
// the harbour of the tests and, when HALFLID_PHOTOS is set, on a photograph.
func BenchmarkBuild(b *testing.B) {
	for _, long := range []int{256, 512, 768, 1024} {
		for _, threads := range []int{1, 2} {
			b.Run(fmt.Sprintf("side=%d/threads=%d", long, threads), func(b *testing.B) {
				benchBuild(b, harbour(long, long*2/3, 1), threads)
			})
		}
	}
}

func BenchmarkBuildPhoto(b *testing.B) {
	for _, p := range photographs(b, 768) {
		for _, threads := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/threads=%d", p.name, threads), func(b *testing.B) { benchBuild(b, p.pic, threads) })
		}
	}
}

func benchBuild(b *testing.B, pic imageproc.Picture, threads int) {
	b.ReportAllocs()
	var m Maker
	opt := Options{Threads: threads}
	if _, err := m.Build(context.Background(), pic, opt); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := m.Build(context.Background(), pic, opt); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPlan measures a new K and a new number of shapes.
func BenchmarkPlan(b *testing.B) {
	base, err := Build(context.Background(), harbour(768, 512, 1), Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Run("values/768x512", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			base.Values(Cutting{Values: 4})
		}
	})
	b.Run("shapes/768x512", func(b *testing.B) {
		b.ReportAllocs()
		l := base.Values(Cutting{Values: 4})
		var p Plan
		for b.Loop() {
			p = l.Shapes(p.Labels, 20)
		}
	})
}
