package imageproc

import (
	"fmt"
	"image"
	"math"
	"math/rand"
	"runtime"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func noise(w, h int, seed int64) Picture {
	r := rand.New(rand.NewSource(seed))
	p := NewPicture(w, h)
	for _, q := range p.Planes() {
		for i := range q.Pix {
			q.Pix[i] = r.Float32()
		}
	}
	return p
}

// overlap is the length that a..b and c..d share.
func overlap(a, b, c, d float64) float64 { return max(0, min(b, d)-max(a, c)) }

// areaMean is the mean of src over box by adding up every pixel's share of it.
func areaMean(src Plane[palette.Light], box Box) float64 {
	sum, area := 0.0, 0.0
	for y := range src.H {
		for x := range src.W {
			a := overlap(float64(x), float64(x+1), box.X0, box.X1) * overlap(float64(y), float64(y+1), box.Y0, box.Y1)
			sum += a * float64(src.At(x, y))
			area += a
		}
	}
	return sum / area
}

func TestAverageIsTheAreaMean(t *testing.T) {
	src := noise(23, 17, 1)
	cases := []struct {
		size image.Point
		box  Box
	}{
		{image.Pt(5, 4), Box{0, 0, 23, 17}},
		{image.Pt(23, 17), Box{0, 0, 23, 17}},
		{image.Pt(1, 1), Box{0, 0, 23, 17}},
		{image.Pt(7, 6), Box{1.25, 2.5, 20.75, 16.1}},
		{image.Pt(9, 9), Box{3.3, 4.4, 7.7, 6.6}},     // dst finer than src
		{image.Pt(4, 3), Box{11.2, 8.1, 11.9, 8.8}},   // inside one pixel
		{image.Pt(3, 2), Box{21.5, 15.5, 23, 17}},     // the last corner
		{image.Pt(46, 34), Box{0, 0, 23, 17}},         // twice as large
		{image.Pt(6, 1), Box{0.999999, 0, 7, 16.999}}, // slivers
	}
	for _, c := range cases {
		dst := NewPicture(c.size.X, c.size.Y)
		Average(dst, src, c.box)
		dx, dy := (c.box.X1-c.box.X0)/float64(c.size.X), (c.box.Y1-c.box.Y0)/float64(c.size.Y)
		for i, p := range dst.Planes() {
			for y := range p.H {
				for x := range p.W {
					cell := Box{
						c.box.X0 + float64(x)*dx, c.box.Y0 + float64(y)*dy,
						c.box.X0 + float64(x+1)*dx, c.box.Y0 + float64(y+1)*dy,
					}
					what := fmt.Sprintf("plane %d of %v from %v at %d,%d", i, c.size, c.box, x, y)
					oracle.Close(t, what, float64(p.At(x, y)), areaMean(src.Planes()[i], cell), 2e-6)
				}
			}
		}
	}
}

func TestAverageOfTheSameSizeCopies(t *testing.T) {
	src := noise(31, 9, 2)
	dst := NewPicture(31, 9)
	Average(dst, src, WholeBox(31, 9))
	for i, v := range dst.R.Pix {
		if v != src.R.Pix[i] {
			t.Fatalf("pixel %d is %v, was %v", i, v, src.R.Pix[i])
		}
	}
}

func TestAverageWorksInLinearLight(t *testing.T) {
	// Half black, half white: half the light is code 188, not 128.
	src, dst := NewPicture(2, 2), NewPicture(1, 1)
	for _, p := range src.Planes() {
		p.Set(0, 0, 1)
		p.Set(1, 1, 1)
	}
	Average(dst, src, WholeBox(2, 2))
	if got := dst.Raster(Raster{}).At(0, 0); got != (palette.SRGB{R: 188, G: 188, B: 188}) {
		t.Errorf("a checker of black and white averages to %v, want 188", got)
	}
}

func TestAverageKeepsTheMean(t *testing.T) {
	src := noise(205, 154, 3)
	for _, z := range []image.Point{{77, 58}, {13, 154}, {1, 3}} {
		dst := NewPlane[palette.Light](z.X, z.Y)
		AveragePlane(dst, src.G, WholeBox(205, 154))
		oracle.Close(t, fmt.Sprint("mean at ", z), mean(dst.Pix), mean(src.G.Pix), 3e-7)
	}
}

func mean(p []float32) float64 {
	sum := 0.0
	for _, v := range p {
		sum += float64(v)
	}
	return sum / float64(len(p))
}

func TestAverageCutsTheBoxToThePicture(t *testing.T) {
	src := noise(8, 8, 4)
	a, b := NewPicture(4, 4), NewPicture(4, 4)
	Average(a, src, Box{-1e-9, 0, 8, 8 + 1e-9})
	Average(b, src, WholeBox(8, 8))
	for i, v := range a.B.Pix {
		oracle.Close(t, "overshooting box", float64(v), float64(b.B.Pix[i]), 1e-7)
	}
}

func TestAverageRefusesAnEmptyBox(t *testing.T) {
	src, dst := noise(8, 8, 5), NewPicture(2, 2)
	for _, b := range []Box{{3, 3, 3, 5}, {3, 3, 5, 3}, {9, 0, 12, 8}, {5, 0, 2, 8}, {math.NaN(), 0, 8, 8}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("box %v was accepted", b)
				}
			}()
			Average(dst, src, b)
		}()
	}
	for _, z := range []image.Point{{}, {X: 5}, {Y: 5}} {
		Average(NewPicture(z.X, z.Y), src, WholeBox(8, 8)) // nothing to fill, nothing to say
	}
}

func TestAverageIsTheSameOnAnyNumberOfProcessors(t *testing.T) {
	src := noise(900, 700, 6)
	box := Box{3.7, 1.2, 880.1, 650.4}
	one := NewPicture(333, 256)
	before := runtime.GOMAXPROCS(1)
	Average(one, src, box)
	runtime.GOMAXPROCS(5)
	var a Averager
	many := NewPicture(333, 256)
	for range 3 {
		a.Average(many, src, box)
	}
	runtime.GOMAXPROCS(before)
	for i, p := range one.Planes() {
		q := many.Planes()[i]
		for j, v := range p.Pix {
			if v != q.Pix[j] {
				t.Fatalf("plane %d pixel %d: %v on one processor, %v on five", i, j, v, q.Pix[j])
			}
		}
	}
}

func TestAveragerAllocatesNothingWarm(t *testing.T) {
	src, dst := noise(300, 200, 7), NewPicture(100, 60)
	var a Averager
	a.Average(dst, src, Box{1.5, 0, 299, 200})
	if n := testing.AllocsPerRun(20, func() { a.Average(dst, src, Box{1.5, 0, 299, 200}) }); n > 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkAverage(b *testing.B) {
	for _, c := range []struct{ from, to image.Point }{
		{image.Pt(2048, 1536), image.Pt(768, 576)},
		{image.Pt(768, 576), image.Pt(200, 120)},
		{image.Pt(1024, 768), image.Pt(256, 192)},
	} {
		src, dst := noise(c.from.X, c.from.Y, 8), NewPicture(c.to.X, c.to.Y)
		var a Averager
		b.Run(fmt.Sprintf("average/%dx%d-%dx%d", c.from.X, c.from.Y, c.to.X, c.to.Y), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				a.Average(dst, src, WholeBox(c.from.X, c.from.Y))
			}
		})
		b.Run(fmt.Sprintf("copy/%dx%d", c.from.X, c.from.Y), func(b *testing.B) { // the reference
			to := noise(c.from.X, c.from.Y, 9)
			for range b.N {
				for i, p := range src.Planes() {
					copy(to.Planes()[i].Pix, p.Pix)
				}
			}
		})
	}
}
