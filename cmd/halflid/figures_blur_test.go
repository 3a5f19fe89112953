package main

import (
	"context"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/disintegration/imaging"

	"atelier/halflid/cmd/halflid/demo"
	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
	blur "atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// blurFigures compares the squint with a general-purpose blur of the same
// picture, and with the exact Gaussian.
func blurFigures(t *testing.T) {
	name, data := demo.Photo()
	p, err := photo.Decode(context.Background(), data, name, photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	src, dst := imageproc.NewPicture(1200, 800), imageproc.NewPicture(1200, 800)
	imageproc.Average(src, p.Master, imageproc.Box{X0: 0, Y0: 60, X1: 1600, Y1: 60 + 3200.0/3})
	coded := image.NewNRGBA(image.Rect(0, 0, 1200, 800))
	for i, px := 0, src.Raster(imageproc.Raster{}).Pix; i < len(px)/3; i++ {
		copy(coded.Pix[4*i:], []uint8{px[3*i], px[3*i+1], px[3*i+2], 255})
	}
	all := runtime.GOMAXPROCS(0)
	for _, procs := range []int{1, all} {
		runtime.GOMAXPROCS(procs)
		for _, c := range []struct{ sigma, goal float64 }{{2, 3.5}, {8, 12}, {30, 60}} {
			ratio, ours := blurRatio(dst, src, coded, c.sigma)
			row(fmt.Sprintf("Gaussian of 3 planes of 1200x800, sigma %g, against imaging.Blur, GOMAXPROCS %d", c.sigma, procs),
				fmt.Sprintf("%.1f times as fast (%s ms)", ratio, ms(ours)), fmt.Sprintf(">= %gx", c.goal), ratio >= c.goal)
		}
		if all == 1 {
			break
		}
	}
	runtime.GOMAXPROCS(all)
	errorFigures("the demo scene, 1200x800", src.Luminance(imageproc.Plane[palette.Y]{}))
	errorFigures("black and white, 601x399", hardPlane(601, 399))
}

// blurRatio returns the median ratio of paired runs, and our median time.
func blurRatio(dst, src imageproc.Picture, coded image.Image, sigma float64) (ratio float64, ours time.Duration) {
	var b blur.Blurrer
	b.Blur(dst, src, sigma) // warm
	var ratios []float64
	var times []time.Duration
	for range 9 {
		runtime.GC()
		const again = 3
		d := took(func() {
			for range again {
				b.Blur(dst, src, sigma)
			}
		}) / again
		theirs := took(func() { imaging.Blur(coded, sigma) })
		ratios = append(ratios, float64(theirs)/float64(d))
		times = append(times, d)
	}
	return median(ratios), median(times)
}

// errorFigures gives the largest error in L* over a sweep of sigmas.
func errorFigures(name string, y imageproc.Plane[palette.Y]) {
	var b blur.Blurrer
	dst := imageproc.NewPlane[palette.Y](y.W, y.H)
	var worst, worstRMS, at, atRMS float64
	long := float64(max(y.W, y.H))
	sweep := []float64{.3, .5, .8, 1, 1.5, 2, 2.5, 3, 3.5, 4, 5, 6, 8, 10, 12, 16, 20, 24, 30, 45, 60, .1 * long, .25 * long}
	for _, sigma := range sweep {
		blur.BlurPlane(&b, dst, y, sigma)
		most, sum := 0.0, 0.0
		for i, want := range exactGaussian(y, sigma) {
			d := math.Abs(float64(palette.Y(dst.Pix[i]).L() - palette.Y(want).L()))
			if !(d <= most) {
				most = d
			}
			sum += d * d
		}
		rms := math.Sqrt(sum / float64(len(dst.Pix)))
		if !(most <= worst) {
			worst, at = most, sigma
		}
		if !(rms <= worstRMS) {
			worstRMS, atRMS = rms, sigma
		}
	}
	row(fmt.Sprintf("its error in L*, %d sigmas from 0.3 to a quarter of the long side, %s", len(sweep), name),
		fmt.Sprintf("max %.3f (sigma %g), rms %.4f (sigma %g)", worst, at, worstRMS, atRMS),
		"max <= 0.1, rms <= 0.01", worst <= 0.1 && worstRMS <= 0.01)
}

// hardPlane is all that a blur finds hard: noise of black and white, bars of
// every width, a hard corner, single points, each in its own part.
func hardPlane(w, h int) imageproc.Plane[palette.Y] {
	rng := rand.New(rand.NewPCG(1, 2))
	p := imageproc.NewPlane[palette.Y](w, h)
	for y := range h {
		for x := range w {
			on := false
			switch left, top := x < w/2, y < h/2; {
			case left && top:
				on = rng.IntN(2) == 0
			case top:
				on = math.Sin(float64((x-w/2)*(x-w/2))/60) > 0
			case left:
				on = x > w/4 && y > 3*h/4
			default:
				on = x%37 == 5 && y%31 == 3
			}
			if on {
				p.Set(x, y, 1)
			}
		}
	}
	return p
}

// exactGaussian is the blur by its definition, in double precision, out to 8
// sigma, the picture mirrored at its edges half a sample outside.
func exactGaussian(y imageproc.Plane[palette.Y], sigma float64) []float64 {
	across, down := foldedRows(y.W, sigma), foldedRows(y.H, sigma)
	mid := make([]float64, y.W*y.H)
	for r := range y.H {
		line := y.Row(r)
		for x, k := range across {
			s := 0.0
			for i, w := range k.weights {
				s += w * float64(line[k.first+i])
			}
			mid[r*y.W+x] = s
		}
	}
	out := make([]float64, y.W*y.H)
	for r, k := range down {
		line := out[r*y.W : (r+1)*y.W]
		for i, w := range k.weights {
			from := mid[(k.first+i)*y.W:]
			for x := range line {
				line[x] += w * from[x]
			}
		}
	}
	return out
}

// folded is what one result takes of a row: weights from sample first on.
type folded struct {
	first   int
	weights []float64
}

func foldedRows(n int, sigma float64) []folded {
	r := int(math.Ceil(8*sigma)) + 1
	w := make([]float64, 2*r+1)
	sum := 0.0
	for i := range w {
		u := float64(i-r) / sigma
		w[i] = math.Exp(-u * u / 2)
		sum += w[i]
	}
	out := make([]folded, n)
	for x := range out {
		whole := make([]float64, n)
		lo, hi := n, 0
		for i, v := range w {
			k := ((x+i-r)%(2*n) + 2*n) % (2 * n)
			if k >= n {
				k = 2*n - 1 - k
			}
			whole[k] += v / sum
			lo, hi = min(lo, k), max(hi, k+1)
		}
		out[x] = folded{lo, whole[lo:hi]}
	}
	return out
}
