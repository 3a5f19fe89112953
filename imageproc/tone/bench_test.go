package tone

import (
	"fmt"
	"image"
	"math/rand"
	"testing"
	"time"

	"github.com/disintegration/imaging"

	"atelier/halflid/imageproc"
)

func noisePicture(w, h int) imageproc.Picture {
	r := rand.New(rand.NewSource(1))
	p := imageproc.NewPicture(w, h)
	for _, q := range p.Planes() {
		for i := range q.Pix {
			q.Pix[i] = r.Float32()
		}
	}
	return p
}

func BenchmarkBlur(b *testing.B) {
	sizes := []image.Point{{256, 192}, {512, 384}, {768, 576}, {767, 511}, {1024, 768}, {1200, 800}}
	for _, z := range sizes {
		src, dst := noisePicture(z.X, z.Y), imageproc.NewPicture(z.X, z.Y)
		var bl Blurrer
		for _, sigma := range []float64{1, 2, 2.8, 4, 7.68, 8, 30, 77} {
			b.Run(fmt.Sprintf("blur/%dx%d/sigma=%g", z.X, z.Y, sigma), func(b *testing.B) {
				b.ReportAllocs()
				for range b.N {
					bl.Blur(dst, src, sigma)
				}
			})
		}
	}
}

// BenchmarkAgainstReference blurs the same 1200 by 800 picture in turn with the
// Blurrer (three planes of linear light) and with the general-purpose blur that
// our ratios refer to (8-bit codes), and reports the ratio of their best times.
func BenchmarkAgainstReference(b *testing.B) {
	img := image.NewNRGBA(image.Rect(0, 0, 1200, 800))
	rand.New(rand.NewSource(1)).Read(img.Pix)
	src, dst := noisePicture(1200, 800), imageproc.NewPicture(1200, 800)
	var bl Blurrer
	for _, sigma := range []float64{2, 8, 30} {
		b.Run(fmt.Sprintf("imaging/1200x800/sigma=%g", sigma), func(b *testing.B) {
			ours, theirs := time.Hour, time.Hour
			for range b.N {
				t := time.Now()
				bl.Blur(dst, src, sigma)
				ours = min(ours, time.Since(t))
				t = time.Now()
				imaging.Blur(img, sigma)
				theirs = min(theirs, time.Since(t))
			}
			b.ReportMetric(float64(theirs)/float64(ours), "times")
			b.ReportMetric(ours.Seconds()*1e3, "ms-ours")
			b.ReportMetric(theirs.Seconds()*1e3, "ms-reference")
		})
	}
}
