package mass

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
)

func TestExpNeg(t *testing.T) {
	for x := 0.0; x < 760; x += .0371 {
		if want := math.Exp(-x); !(math.Abs(expNeg(x)-want) <= 1e-14*want+1e-303) {
			t.Fatalf("exp(-%v) = %v, want %v", x, expNeg(x), want)
		}
	}
	if expNeg(0) != 1 || expNeg(math.Inf(1)) != 0 || expNeg(math.NaN()) != 0 {
		t.Error("ends of exp")
	}
}

func TestRoots(t *testing.T) {
	for x := 1e-6; x < 1e7; x *= 1.37 {
		if want := math.Pow(x, .75); !(math.Abs(pow34(x)-want) <= 1e-14*want) {
			t.Errorf("%v^(3/4) = %v, want %v", x, pow34(x), want)
		}
		if want := math.Cbrt(x); !(math.Abs(float64(cbrt(float32(x)))-want) <= 3.5e-5*want) {
			t.Errorf("cbrt %v = %v, want %v", x, cbrt(float32(x)), want)
		}
	}
	if cbrt(0) != 0 || cbrt(-1) != 0 {
		t.Error("cube root of nothing")
	}
}

func TestBandsCoverOnce(t *testing.T) {
	for threads := range 6 {
		for n := range 12 {
			hit := make([]int32, n)
			bands(threads, n, func(_, lo, hi int) {
				for i := lo; i < hi; i++ {
					atomic.AddInt32(&hit[i], 1)
				}
			})
			if slices.Contains(hit, 0) || n > 0 && slices.Max(hit) != 1 {
				t.Errorf("%d threads, %d rows: %v", threads, n, hit)
			}
		}
	}
}

// A panic in one band comes to the caller when all bands are done.
func TestBandsBringPanicsHome(t *testing.T) {
	for _, threads := range []int{1, 4} {
		func() {
			defer func() {
				if v := recover(); v == nil || !strings.Contains(fmt.Sprint(v), "a band broke") {
					t.Errorf("%d threads: recovered %v", threads, v)
				}
			}()
			bands(threads, 8, func(_, lo, hi int) {
				if lo <= 5 && 5 < hi {
					panic("a band broke")
				}
			})
			t.Errorf("%d threads: no panic", threads)
		}()
	}
}
