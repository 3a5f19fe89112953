package outline_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
)

// ragged returns a mask of 768 by 512 with one ragged shape that covers about a
// third of it, holes and islets along its border.
func ragged() imageproc.Mask {
	m := imageproc.NewMask(768, 512)
	r := rand.New(rand.NewPCG(12, 0x0471))
	for i := range m.Pix {
		x, y := float64(i%768)-384, 1.2*(float64(i/768)-256)
		a := math.Atan2(y, x)
		edge := 225 + 18*math.Sin(7*a) + 9*math.Sin(23*a+1) + 4*math.Sin(71*a)
		m.Pix[i] = math.Hypot(x, y)+6*(r.Float64()-0.5) < edge
	}
	return m
}

func BenchmarkTraceSimplify(b *testing.B) {
	m := ragged()
	b.ReportAllocs()
	for b.Loop() {
		outline.Simplify(outline.Trace(m), 2.3)
	}
}

func BenchmarkTrace(b *testing.B) {
	m := ragged()
	b.ReportAllocs()
	for b.Loop() {
		outline.Trace(m)
	}
}

func BenchmarkFill100(b *testing.B) {
	ring := star(rand.New(rand.NewPCG(13, 0x0471)), 384, 256, 300, 100)
	m := imageproc.NewMask(768, 512)
	b.ReportAllocs()
	for b.Loop() {
		outline.Fill(m, []outline.Ring{ring})
	}
}

func BenchmarkDistance(b *testing.B) {
	m := ragged()
	d := make([]float32, len(m.Pix))
	b.ReportAllocs()
	for b.Loop() {
		outline.Distance(d, m)
	}
}

func BenchmarkDepth(b *testing.B) {
	m := ragged()
	l := imageproc.NewLabels(m.W, m.H)
	for i, marked := range m.Pix {
		l.Pix[i] = int32(btoi(marked))
	}
	d := make([]float32, len(m.Pix))
	b.ReportAllocs()
	for b.Loop() {
		outline.Depth(d, l)
	}
}

func BenchmarkGrow8(b *testing.B) {
	m := ragged()
	b.ReportAllocs()
	for b.Loop() {
		outline.Grow(m, 8)
	}
}

func BenchmarkInside(b *testing.B) {
	m := ragged()
	b.ReportAllocs()
	for b.Loop() {
		outline.Inside(m)
	}
}
