package palette

import (
	"fmt"
	"testing"
)

// The size ladder of the project's benchmarks: long side of a 3:2 picture.
var ladder = []int{256, 512, 768, 1024}

func BenchmarkLightnessRow(b *testing.B) {
	for _, long := range ladder {
		src := ramp32(long*long*2/3, 0, 1)
		dst := make([]float32, len(src))
		b.Run(fmt.Sprintf("%d", long), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				LightnessRow(dst, src)
			}
			perPixel(b, len(src))
		})
	}
}

func BenchmarkEncodeRow(b *testing.B) {
	for _, long := range ladder {
		src := ramp32(long*long*2/3, 0, 1)
		dst := make([]uint8, len(src))
		b.Run(fmt.Sprintf("%d", long), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				EncodeRow(dst, src)
			}
			perPixel(b, len(src))
		})
	}
}

func BenchmarkNearest256(b *testing.B) {
	n := uint32(0)
	for b.Loop() {
		n = n*1664525 + 1013904223
		sink += int(Nearest256(SRGB{uint8(n >> 24), uint8(n >> 16), uint8(n >> 8)}))
	}
}

func BenchmarkValue(b *testing.B) {
	y := Y(0)
	for b.Loop() {
		if y += 0.001; y > 1 {
			y = 0
		}
		sink += int(y.Value())
	}
}

func BenchmarkEncode8(b *testing.B) {
	v := Light(0)
	for b.Loop() {
		if v += 0.001; v > 1 {
			v = 0
		}
		sink += int(Encode8(v))
	}
}

var sink int

func perPixel(b *testing.B, n int) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/pixel")
}

// ramp32 returns n numbers spread over lo..hi in a fixed scrambled order, so
// that the processor cannot guess its branches.
func ramp32(n int, lo, hi float32) []float32 {
	out := make([]float32, n)
	s := uint32(1)
	for i := range out {
		s = s*1664525 + 1013904223
		out[i] = lo + (hi-lo)*float32(s>>8)/(1<<24)
	}
	return out
}
