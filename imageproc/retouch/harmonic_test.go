package retouch

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/palette/oracle"
)

// Harmonic functions of any textbook on the Laplace equation (from memory). The
// first three meet the five-point mean exactly, the others up to a fourth
// derivative, which is below 1e-5 here.
func TestHarmonicFunctions(t *testing.T) {
	size := image.Pt(230, 210)
	at := func(f func(x, y float64) float64) func(x, y int) float64 {
		return func(x, y int) float64 { return f(float64(x)/200, float64(y)/200) }
	}
	functions := map[string]func(x, y int) float64{
		"x":       at(func(x, _ float64) float64 { return x }),
		"x2-y2":   at(func(x, y float64) float64 { return .5 + .4*(x*x-y*y) }),
		"xy":      at(func(x, y float64) float64 { return x * y }),
		"ex cosy": at(func(x, y float64) float64 { return .3 * math.Exp(x) * math.Cos(y) }),
		"log r":   at(func(x, y float64) float64 { return .5 + .2*math.Log(math.Hypot(x+.4, y+.3)) }),
		"angle":   at(func(x, y float64) float64 { return .5 * math.Atan2(y+.3, x+.4) }),
	}
	patches := map[string]Patch{
		"box":    {image.Pt(7, 9), maskOf(190, 173, markAll)},
		"disc":   {image.Pt(7, 9), maskOf(181, 187, markDisc(181, 187))},
		"figure": {image.Pt(7, 9), maskOf(200, 190, markFigure(200, 190))},
		"line":   {image.Pt(20, 30), maskOf(150, 1, markAll)},
		"pixel":  {image.Pt(20, 30), maskOf(1, 1, markAll)},
	}
	for name, f := range functions {
		for shape, p := range patches {
			got := exactSheet(t, size, p, f)
			worst := 0.
			eachMarked(p, size, func(x, y int) { worst = max(worst, math.Abs(got(x, y)-f(x, y))) })
			oracle.Close(t, fmt.Sprintf("%s in %s", name, shape), worst, 0, 5e-5)
		}
	}
}

// Where the patch reaches the picture's edge nothing flows across: cos(pi x/w)
// cosh is the textbook solution of a box free on three sides (from memory), with
// half a pixel beyond the last pixel's middle as the edge.
func TestFreeEdges(t *testing.T) {
	w, h := 90, 70
	f := func(x, y int) float64 {
		k := math.Pi / float64(w)
		// The five-point mean keeps cos(kx) cosh(my) if cos k + cosh m = 2.
		m := math.Acosh(2 - math.Cos(k))
		return .5 + .4*math.Cos(k*(float64(x)+.5))*math.Cosh(m*(float64(y)+.5))/math.Cosh(m*float64(h))
	}
	p := Patch{image.Pt(0, 0), maskOf(w, h-3, markAll)}
	got := exactSheet(t, image.Pt(w, h), p, f)
	worst := 0.
	eachMarked(p, image.Pt(w, h), func(x, y int) { worst = max(worst, math.Abs(got(x, y)-f(x, y))) })
	oracle.Close(t, "free on three sides", worst, 0, 5e-5)
}

// Through the whole of LeaveOut, a pixel that does not touch the border is the
// mean of its neighbours.
func TestMeanValue(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for range 40 {
		size := image.Pt(20+rng.IntN(60), 20+rng.IntN(60))
		pic := randomPicture(rng, size.X, size.Y)
		p := Patch{image.Pt(rng.IntN(10), rng.IntN(10)), maskOf(size.X-10, size.Y-10, markDisc(size.X-10, size.Y-10))}
		out := leaveOut(t, pic, p)
		for c, plane := range out.Planes() {
			worst := 0.
			eachMarked(p, size, func(x, y int) {
				sum, n := 0., 0.
				for _, d := range []image.Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
					q := image.Pt(x, y).Add(d)
					if !q.In(image.Rectangle{Max: size}) {
						continue
					}
					if !p.has(q.X, q.Y) {
						return // beside the rim, which is held by an average
					}
					sum += float64(plane.At(q.X, q.Y))
					n++
				}
				worst = max(worst, math.Abs(sum/n-float64(plane.At(x, y))))
			})
			oracle.Close(t, fmt.Sprintf("plane %d of %v: mean of the neighbours", c, size), worst, 0, 2e-5)
		}
	}
	// Gauss's mean value property: the middle of a disc is the mean of its rim.
	size := image.Pt(101, 101)
	p := Patch{image.Pt(10, 10), maskOf(81, 81, markDisc(81, 81))}
	f := func(x, y int) float64 { return .5 + .4*math.Cos(3*math.Atan2(float64(y)-50, float64(x)-50)) }
	oracle.Close(t, "middle of a disc", exactSheet(t, size, p, f)(50, 50), .5, 1e-4)
}
