package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"
	"time"
)

// camera is a 24-megapixel JPEG, 6000 x 4000, 4:2:0, quality 92, of smooth
// shapes with sensor noise, about as large as a camera's.
var camera = sync.OnceValue(func() []byte {
	rng := rand.New(rand.NewPCG(24, 92))
	m := image.NewYCbCr(image.Rect(0, 0, 6000, 4000), image.YCbCrSubsampleRatio420)
	for y := range 4000 {
		for x := range 6000 {
			v := 120 + 60*math.Sin(float64(x)/310)*math.Cos(float64(y)/270) + 25*math.Sin(float64(x*y)/90000)
			m.Y[y*m.YStride+x] = uint8(v + 5*rng.NormFloat64())
		}
	}
	for y := range 2000 {
		for x := range 3000 {
			m.Cb[y*m.CStride+x] = uint8(128 + 30*math.Sin(float64(x)/200) + 2*rng.NormFloat64())
			m.Cr[y*m.CStride+x] = uint8(128 + 30*math.Cos(float64(y)/240) + 2*rng.NormFloat64())
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 92}); err != nil {
		panic(err)
	}
	return b.Bytes()
})

func bare(b *testing.B, data []byte) {
	if _, err := jpeg.Decode(bytes.NewReader(data)); err != nil {
		b.Fatal(err)
	}
}

func opened(b *testing.B, data []byte) {
	if _, err := Decode(context.Background(), data, "camera.jpg", Options{}); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkDecode/24MP opens the file; /24MP-bare is the standard decoder alone;
// /24MP-ratio runs the two in turn and reports what the whole costs against the
// decoder (goal: 1.3), the memory taken from the system and the file's size.
func BenchmarkDecode(b *testing.B) {
	data := camera()
	b.Run("24MP", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			opened(b, data)
		}
	})
	b.Run("24MP-bare", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			bare(b, data)
		}
	})
	b.Run("24MP-ratio", func(b *testing.B) {
		var ours, theirs time.Duration
		for b.Loop() {
			t0 := time.Now()
			bare(b, data)
			t1 := time.Now()
			opened(b, data)
			theirs += t1.Sub(t0)
			ours += time.Since(t1)
		}
		var mem runtime.MemStats
		runtime.ReadMemStats(&mem)
		b.ReportMetric(float64(ours)/float64(theirs), "x-bare")
		b.ReportMetric(float64(mem.Sys)/1e6, "MB-system")
		b.ReportMetric(float64(len(data))/1e6, "MB-file")
	})
}

// BenchmarkAverage is the part of Decode behind the decoder.
func BenchmarkAverage(b *testing.B) {
	ycc, err := jpeg.Decode(bytes.NewReader(camera()))
	if err != nil {
		b.Fatal(err)
	}
	for name, m := range map[string]image.Image{"24MP-420": ycc, "24MP-RGBA": image.NewRGBA(ycc.Bounds()), "24MP-RGBA64": image.NewRGBA64(ycc.Bounds())} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := average(context.Background(), m, srgbCurves(), MasterSide, 1, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkPreview(b *testing.B) {
	thumb := encodeJPEG(b, harbour(160, 120), 90)
	data := withEXIF(encodeJPEG(b, harbour(1600, 1200), 90), exifBlock(binary.LittleEndian, 6, thumb))
	for b.Loop() {
		if _, err := Preview(data); err != nil {
			b.Fatal(err)
		}
	}
}
