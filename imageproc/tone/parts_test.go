package tone

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"atelier/halflid/palette/oracle"
)

func randomRow(r *rand.Rand, n int) []float32 {
	row := make([]float32, n)
	for i := range row {
		row[i] = r.Float32()*2 - 0.5
	}
	return row
}

func TestFastLoopsAreThePlainOnesToTheBit(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for n := 0; n < 70; n++ {
		for count := 0; count < 6; count++ {
			var pairs []pair
			for range count {
				pairs = append(pairs, pair{randomRow(r, n), randomRow(r, n+3), r.Float32()})
			}
			got, want := randomRow(r, n), randomRow(r, n)
			combine(got, pairs)
			weighPlain(want, pairs)
			for i, v := range want {
				if got[i] != v {
					t.Fatalf("%d samples, %d pairs: sample %d is %v, plainly %v", n, count, i, got[i], v)
				}
			}
		}
		line := randomRow(r, 2*n)
		even, odd := make([]float32, n+1), make([]float32, n+1)
		split(even, odd, line)
		for i := range n {
			if even[i] != line[2*i] || odd[i] != line[2*i+1] {
				t.Fatalf("split of %d goes wrong at %d", 2*n, i)
			}
		}
		back := make([]float32, 2*n+1)
		even[n] = 7
		weave(back, even, odd)
		for i, v := range append(line, 7) {
			if back[i] != v {
				t.Fatalf("weave of %d goes wrong at %d", 2*n+1, i)
			}
		}
	}
}

func TestCombineRefusesShortRows(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a short row was read beyond its end")
		}
	}()
	combine(make([]float32, 8), []pair{{make([]float32, 8), make([]float32, 7), 1}})
}

// published: variance of a Gaussian sampled and cut at 4 sigma (t05).
func TestPublishedKernelVariance(t *testing.T) {
	n := 0
	for _, r := range oracle.Load(t, "t05_gaussian.csv", 122).Rows {
		if r.Text(t, "kind") != "sampled_kernel_trunc4_variance" {
			continue
		}
		n++
		s := r.Num(t, "a")
		var radius int
		if _, err := fmt.Sscanf(r.Text(t, "b"), "r=%d", &radius); err != nil {
			t.Fatal(err)
		}
		// The table rounds 4 sigma to a whole radius; the blur rounds it up.
		w := gaussian(nil, s, 0, 0, float64(radius)/s-1e-9)
		v := 0.0
		for i, x := range w {
			v += 2 * float64(i*i) * x
		}
		oracle.Close(t, fmt.Sprint("variance at sigma ", s), v, r.Num(t, "value"), 1e-7)
	}
	if n != 5 {
		t.Errorf("%d kernels checked, want 5", n)
	}
}

// cumulants returns the second, fourth and sixth cumulant of a kernel given by
// its right half, in steps of scale.
func cumulants(w []float64, scale float64) (k2, k4, k6 float64) {
	m2, m4, m6 := 0.0, 0.0, 0.0
	for i, v := range w {
		x := float64(i) * scale
		x *= x
		m2, m4, m6 = m2+2*v*x, m4+2*v*x*x, m6+2*v*x*x*x
	}
	return m2, m4 - 3*m2*m2, m6 - 15*m4*m2 + 30*m2*m2*m2
}

// A kernel that makes up for what splines did has the cumulants asked for.
// Source: Cramer 1946, 15.10, for cumulants from moments (from memory).
func TestKernelHasTheCumulantsAskedFor(t *testing.T) {
	for _, c := range []struct{ sigma, k4, k6 float64 }{{2, 0, 0}, {2, 1, 0}, {2, 0, 3}, {2, 1.5, -4}, {3, -2, 9}, {1.5, 0.6, 1}} {
		k2, k4, k6 := cumulants(gaussian(nil, c.sigma, c.k4, c.k6, 9), 1)
		what := fmt.Sprintf("sigma %v, asked for %v and %v:", c.sigma, c.k4, c.k6)
		oracle.Close(t, what+" variance", k2, c.sigma*c.sigma, 1e-3)
		oracle.Close(t, what+" fourth cumulant", k4, c.k4, 0.01)
		oracle.Close(t, what+" sixth cumulant", k6, c.k6, 0.1)
	}
}

func TestKernelsArePositiveAndSumToOne(t *testing.T) {
	for _, n := range []int{768, 767, 516, 500} {
		for sigma := 0.3; sigma < float64(n)/8; sigma *= 1.01 {
			var a axis
			deep := depth(n, sigma)
			a.plan(n, sigma, deep)
			sum := float64(a.kernel[0])
			for _, w := range a.kernel[1:] {
				sum += 2 * float64(w)
				if w < 0 {
					t.Fatalf("n %d sigma %g: weight %g", n, sigma, w)
				}
			}
			oracle.Close(t, fmt.Sprintf("kernel for %d at sigma %g", n, sigma), sum, 1, 3.1e-8) // half a step of float32
		}
	}
}

// The splines and the kernel of the coarsest level together have the variance
// asked for and no fourth or sixth cumulant, like a Gaussian. A throw of half a
// sample to either side has the cumulants 1/4, -1/8, 1/4.
func TestPyramidAddsUpToTheGaussian(t *testing.T) {
	worst := [3]float64{}
	for _, n := range []int{768, 767, 500} {
		for sigma := 3.7; sigma < 45; sigma *= 1.07 {
			var a axis
			a.plan(n, sigma, depth(n, sigma))
			v, v4, v6, scale := 0.0, 0.0, 0.0, 1.0
			for _, l := range a.levels[:len(a.levels)-1] {
				throws := 2 * l.by.throws
				v += throws / 4 * scale * scale
				v4 -= throws / 8 * math.Pow(scale, 4)
				v6 += throws / 4 * math.Pow(scale, 6)
				scale *= 2
			}
			k2, k4, k6 := cumulants(a.wide, scale)
			what := fmt.Sprintf("n %d sigma %.2f", n, sigma)
			for i, off := range []float64{(v+k2)/(sigma*sigma) - 1, (v4 + k4) / math.Pow(sigma, 4), (v6 + k6) / math.Pow(sigma, 6)} {
				oracle.Close(t, what+[]string{" variance", " fourth cumulant", " sixth cumulant"}[i], off, 0, []float64{1e-3, 6e-3, 0.05}[i])
				worst[i] = max(worst[i], math.Abs(off))
			}
		}
	}
	t.Logf("worst: variance %.2g, fourth cumulant %.2g, sixth %.2g", worst[0], worst[1], worst[2])
}

func TestFoldMirrorsHalfASampleOutside(t *testing.T) {
	want := map[int][]int{ // fold(-4..8)
		1: {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0},
		2: {0, 1, 1, 0, 0, 1, 1, 0, 0, 1, 1, 0, 0},
		3: {2, 2, 1, 0, 0, 1, 2, 2, 1, 0, 0, 1, 2},
	}
	for n, row := range want {
		for i, w := range row {
			if got := fold(i-4, n); got != w {
				t.Errorf("fold(%d, %d) = %d, want %d", i-4, n, got, w)
			}
		}
	}
	line := []float32{0, 0, 0, 1, 2, 0, 0, 0, 0}
	extend(line, 3, 2)
	for i, w := range []float32{2, 2, 1, 1, 2, 2, 1, 1, 2} {
		if line[i] != w {
			t.Errorf("extend gives %v", line)
			break
		}
	}
}

func TestTransferOfTheSampledGaussian(t *testing.T) {
	for _, w := range []float64{0, 0.1, 1, 2, math.Pi} {
		oracle.Close(t, fmt.Sprint("at the seam, w ", w), transfer(2.19999999, w), transfer(2.2, w), 1e-7)
	}
	oracle.Close(t, "of the mean", transfer(0.4, 0), 1, 1e-15)
}
