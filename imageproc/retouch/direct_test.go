package retouch

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/palette/oracle"
)

// direct solves the membrane by Gaussian elimination with row exchange, in
// double precision: the textbook method, slow and sure.
func direct(size image.Point, p Patch, light func(x, y int) float64) map[image.Point]float64 {
	index := map[image.Point]int{}
	var places []image.Point
	eachMarked(p, size, func(x, y int) {
		index[image.Pt(x, y)] = len(places)
		places = append(places, image.Pt(x, y))
	})
	n := len(places)
	a := make([][]float64, n)
	for i, at := range places {
		a[i] = make([]float64, n+1)
		for _, d := range []image.Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			q := at.Add(d)
			if !q.In(image.Rectangle{Max: size}) {
				continue
			}
			a[i][i]++
			if j, ok := index[q]; ok {
				a[i][j]--
			} else {
				a[i][n] += light(q.X, q.Y)
			}
		}
	}
	for i := range n {
		best := i
		for k := i + 1; k < n; k++ {
			if math.Abs(a[k][i]) > math.Abs(a[best][i]) {
				best = k
			}
		}
		a[i], a[best] = a[best], a[i]
		for k := i + 1; k < n; k++ {
			f := a[k][i] / a[i][i]
			if f == 0 {
				continue
			}
			for j := i; j <= n; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	out := map[image.Point]float64{}
	for i := n - 1; i >= 0; i-- {
		v := a[i][n]
		for j := i + 1; j < n; j++ {
			v -= a[i][j] * out[places[j]]
		}
		out[places[i]] = v / a[i][i]
	}
	return out
}

func TestAgainstDirect(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 4))
	worst, worstL := 0., 0.
	for n := range 300 {
		size := image.Pt(1+rng.IntN(15), 1+rng.IntN(15))
		p := randomPatch(rng, size.X, size.Y)
		count := 0
		eachMarked(p, size, func(int, int) { count++ })
		if count == 0 || count == size.X*size.Y {
			continue
		}
		// Every other picture is dark, where L* is most sensitive.
		scale := 1.
		if n%2 == 1 {
			scale = .02
		}
		values := make([]float64, size.X*size.Y)
		for i := range values {
			values[i] = scale * rng.Float64()
		}
		light := func(x, y int) float64 { return values[y*size.X+x] }
		got := exactSheet(t, size, p, light)
		for at, want := range direct(size, p, light) {
			worst = max(worst, math.Abs(got(at.X, at.Y)-want))
			worstL = max(worstL, math.Abs(lightness(got(at.X, at.Y))-lightness(want)))
		}
	}
	t.Logf("largest error %.2g in light, %.2g L*", worst, worstL)
	oracle.Close(t, "largest error in light", worst, 0, 4e-5)
	oracle.Close(t, "largest error in L*", worstL, 0, .04)
}

// relaxed solves the membrane in double precision by over-relaxation until
// nothing moves any more (Young 1954, from memory).
func relaxed(size image.Point, p Patch, light func(x, y int) float64) []float64 {
	u := make([]float64, size.X*size.Y)
	for i := range u {
		if u[i] = light(i%size.X, i/size.X); p.has(i%size.X, i/size.X) {
			u[i] = .5
		}
	}
	const omega = 1.96
	for range 3000 {
		moved := 0.
		eachMarked(p, size, func(x, y int) {
			sum, n := 0., 0.
			for _, d := range []image.Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				if q := image.Pt(x+d.X, y+d.Y); q.In(image.Rectangle{Max: size}) {
					sum += u[q.Y*size.X+q.X]
					n++
				}
			}
			i := y*size.X + x
			step := omega * (sum/n - u[i])
			u[i] += step
			moved = max(moved, math.Abs(step))
		})
		if moved < 1e-10 {
			break
		}
	}
	return u
}

// Rough light from black to white along the border is the hardest case.
func TestLargeAgainstRelaxed(t *testing.T) {
	size := image.Pt(170, 150)
	for name, p := range map[string]Patch{
		"box":       {image.Pt(10, 10), maskOf(140, 133, markAll)},
		"figure":    {image.Pt(10, 10), maskOf(150, 133, markFigure(150, 133))},
		"corner":    {image.Pt(-5, -5), maskOf(100, 120, markAll)},
		"lone held": {image.Pt(0, 0), maskOf(170, 150, func(x, y int) bool { return x*y != 12*40 && x+y > 0 })},
	} {
		rng := rand.New(rand.NewPCG(2, 9))
		values := make([]float64, size.X*size.Y)
		for i := range values {
			values[i] = float64(rng.IntN(2))
		}
		light := func(x, y int) float64 { return values[y*size.X+x] }
		want, got := relaxed(size, p, light), exactSheet(t, size, p, light)
		worst := 0.
		eachMarked(p, size, func(x, y int) {
			worst = max(worst, math.Abs(lightness(got(x, y))-lightness(want[y*size.X+x])))
		})
		t.Logf("%s: %.3g L*", name, worst)
		oracle.Close(t, fmt.Sprintf("%s: L* from the exact solution", name), worst, 0, .1)
	}
}
