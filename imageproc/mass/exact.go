package mass

import (
	"math"
	"sync"

	"atelier/halflid/imageproc"
)

// The standard library's Exp has its own machine code on some processors and
// may differ there in the last bit. Results here decide labels, so what they
// need of exp and roots is made of operations that IEEE 754 fixes; products
// that feed a sum are converted first, which keeps compilers from fusing them.

// expNeg returns exp(-x) for x >= 0, within 1e-15; 0 beyond 700.
func expNeg(x float64) float64 {
	if !(x < 700) {
		return 0
	}
	k := math.Floor(float64(x*(1/math.Ln2)) + .5)
	// ln 2 in two parts, the first short enough that k times it is exact.
	const ln2hi, ln2lo = 6.93147180369123816490e-01, 1.90821492927058770002e-10
	r := (float64(k*ln2hi) - x) + float64(k*ln2lo) // |r| <= ln 2 / 2
	s := 1.0
	for i := 13.0; i >= 1; i-- {
		s = 1 + float64(s*(r/i))
	}
	return s * math.Float64frombits(uint64(1023-int(k))<<52)
}

// pow34 returns x^(3/4).
func pow34(x float64) float64 {
	r := math.Sqrt(x)
	return float64(r * math.Sqrt(r))
}

// cbrt returns the cube root of x >= 0 within 3e-5 of itself: one Halley step
// from a guess by the bits.
func cbrt(x float32) float32 {
	if x <= 0 {
		return 0
	}
	t := math.Float32frombits(math.Float32bits(x)/3 + 709921077)
	t3 := float32(t * t * t)
	return t * (t3 + float32(2*x)) / (float32(2*t3) + x)
}

// bands runs f over 0..n in as many bands as there are threads, at once, and
// waits; band counts them. What f does must not depend on how the bands lie. A
// panic in f goes on here.
func bands(threads, n int, f func(band, lo, hi int)) {
	threads = min(threads, n)
	if threads <= 1 {
		f(0, 0, n)
		return
	}
	var wg sync.WaitGroup
	var rescue imageproc.Rescue
	for t := range threads {
		wg.Add(1)
		go func() {
			defer wg.Done()
			defer rescue.Catch()
			f(t, t*n/threads, (t+1)*n/threads)
		}()
	}
	wg.Wait()
	rescue.Panic()
}
