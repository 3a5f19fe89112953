package outline_test

import (
	"math"
	"reflect"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
)

// Every ring agrees, none is dropped, and none strays farther than it may.
func TestFaithful(t *testing.T) {
	r := seeded(t, 14)
	finer := 0
	for range 300 {
		m := blots(r, 20+r.IntN(60), 20+r.IntN(60), 1+r.IntN(6))
		if r.IntN(3) == 0 {
			m = noise(r, 12, 12, 0.6)
		}
		rings := outline.Trace(m)
		tolerance, agreement := []float64{0.5, 1.5, 3, 9}[r.IntN(4)], []float64{0, 0.6, 0.9, 1}[r.IntN(4)]
		got := outline.Faithful(rings, tolerance, agreement)
		if len(got) != len(rings) && len(rings) > 0 {
			t.Fatalf("%d rings became %d\n%s", len(rings), len(got), drawn(m))
		}
		for i, old := range rings {
			a, b := filled(m, old), filled(m, got[i])
			both, either := 0, 0
			for j := range a.Pix {
				both += btoi(a.Pix[j] && b.Pix[j])
				either += btoi(a.Pix[j] || b.Pix[j])
			}
			if float64(both) < agreement*float64(either) {
				t.Fatalf("ring %d agrees in %d of %d pixels, wanted %v", i, both, either, agreement)
			}
			if d := strays(old, got[i]); d > tolerance+1e-9 {
				t.Fatalf("tolerance %v: ring %d strays %v", tolerance, i, d)
			}
			plain := outline.Simplify([]outline.Ring{old}, tolerance)
			finer += btoi(len(plain) == 0 || !reflect.DeepEqual(plain[0], got[i]))
			if agreement == 0 && len(plain) > 0 && !reflect.DeepEqual(plain[0], got[i]) {
				t.Fatalf("ring %d is finer than it need be", i)
			}
		}
	}
	if finer < 100 {
		t.Errorf("only %d rings were spared: too few to say anything", finer)
	}
	if got := outline.Faithful([]outline.Ring{nil, {{1, 1}, {2, 2}}, {{0.6, 0.6}, {0.9, 0.6}, {0.9, 0.9}}}, 1, 1); got != nil {
		t.Errorf("rings without pixels became %v", got)
	}
	mustPanic(t, "agreement", func() { outline.Faithful(nil, 1, math.NaN()) })
}

func filled(like imageproc.Mask, r outline.Ring) imageproc.Mask {
	m := imageproc.NewMask(like.W, like.H)
	outline.Fill(m, []outline.Ring{r})
	return m
}
