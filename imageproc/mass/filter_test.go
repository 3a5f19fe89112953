package mass

import (
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/palette/oracle"
)

// noiseSteps is a plane of random steps of lightness.
func noiseSteps(rng *rand.Rand, n int) []uint16 {
	out := make([]uint16, n)
	for i := range out {
		out[i] = uint16(rng.IntN(100*stepsL + 1))
	}
	return out
}

// plainFilter is a direct sum over all neighbours.
func plainFilter(src []uint16, w, h, x, y int, k []float64) float64 {
	sum, r := 0.0, len(k)-1
	for dy := -r; dy <= r; dy++ {
		for dx := -r; dx <= r; dx++ {
			wt := k[max(dx, -dx)] * k[max(dy, -dy)]
			sum += wt * float64(src[mirrored(y+dy, h)*w+mirrored(x+dx, w)])
		}
	}
	return sum
}

func TestFilterRow(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 1))
	for range 40 {
		w, h := 1+rng.IntN(15), 1+rng.IntN(15)
		src := noiseSteps(rng, w*h)
		k := gaussKernel[float64](rng.Float64() * 3)
		row, buf := make([]float64, w), make([]float64, w+2*len(k))
		for y := range h {
			filterRow(row, src, w, h, y, k, buf)
			for x, v := range row {
				oracle.Close(t, "filtered", v, plainFilter(src, w, h, x, y, k), 1e-6)
			}
		}
	}
}

// TestFilterMirrored: the mirrored plane gives the mirrored result to the bit.
func TestFilterMirrored(t *testing.T) {
	rng := rand.New(rand.NewPCG(22, 1))
	const w, h = 23, 17
	a, b := make([]float32, w*h), make([]float32, w*h)
	for i := range a {
		a[i] = rng.Float32()
		b[i/w*w+w-1-i%w] = a[i]
	}
	b2 := make([]float32, w*h)
	for y := range h {
		copy(b2[(h-1-y)*w:][:w], b[y*w:])
	}
	k := gaussKernel[float32](2.2)
	ra, rb, buf := make([]float32, w), make([]float32, w), make([]float32, w+2*len(k))
	for y := range h {
		filterRow(ra, a, w, h, y, k, buf)
		filterRow(rb, b2, w, h, h-1-y, k, buf)
		for x := range ra {
			if ra[x] != rb[w-1-x] {
				t.Fatalf("%v and %v at %d,%d", ra[x], rb[w-1-x], x, y)
			}
		}
	}
}

func TestGaussKernel(t *testing.T) {
	for _, sigma := range []float64{.6, 1, 3.84, 11} {
		k := gaussKernel[float64](sigma)
		sum, variance := k[0], 0.0
		for i := 1; i < len(k); i++ {
			sum += 2 * k[i]
			variance += 2 * k[i] * float64(i*i)
		}
		oracle.Close(t, "sum", sum, 1, 1e-12)
		oracle.Close(t, "spread", math.Sqrt(variance), sigma, .02*sigma+.03)
	}
	if k := gaussKernel[float32](0); len(k) != 1 || k[0] != 1 {
		t.Errorf("no blur has kernel %v", k)
	}
	for _, k := range [][]int32{gauss08, gauss13, wholeKernel(1.4), wholeKernel(2.3), wholeKernel(5)} {
		sum := k[0]
		for _, v := range k[1:] {
			sum += 2 * v
		}
		if sum != 64 && sum != 32 {
			t.Errorf("kernel %v sums to %d", k, sum)
		}
	}
}

func TestMirroredIndex(t *testing.T) {
	want := []int{2, 1, 0, 0, 1, 2, 2, 1, 0, 0, 1}
	for i, v := range want {
		if got := mirrored(i-3, 3); got != v {
			t.Errorf("index %d of 3: %d, want %d", i-3, got, v)
		}
	}
}

func TestWindowSpread(t *testing.T) {
	for sigma := 1.0; sigma < 16; sigma += .7 {
		w := windowOf(sigma)
		if got := math.Sqrt(w.variance()); !(math.Abs(got-sigma) <= .3) {
			t.Errorf("window %v of spread %v, want %v", w, got, sigma)
		}
		if n := 2*w.r1 + 1; w.r2-w.r1 > 1 || n*n*n > 65535 {
			t.Errorf("window %v for %v does not fit", w, sigma)
		}
	}
}

// TestWindowSums compares running sums with direct ones; a window of two means
// has the weights of their convolution.
func TestWindowSums(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 1))
	for range 30 {
		w, h := 1+rng.IntN(20), 1+rng.IntN(20)
		src := noiseSteps(rng, w*h)
		win := windowOf(rng.Float64() * 4)
		k := make([]float64, win.reach()+1)
		for a := -win.r1; a <= win.r1; a++ {
			for b := -win.r2; b <= win.r2; b++ {
				if a+b >= 0 {
					k[a+b]++
				}
			}
		}
		p := planes{w: w, h: h}
		p.runWindow(win, src, 1+rng.IntN(3), func(y int, sum []uint64) {
			for x, s := range sum {
				if want := plainFilter(src, w, h, x, y, k); float64(s) != want {
					t.Errorf("%v at %d,%d: %d, want %v", win, x, y, s, want)
				}
			}
		})
	}
}
