package palette

import (
	"fmt"
	"math"
	"testing"

	"atelier/halflid/palette/oracle"
)

// Pairs 10 and 14 lie exactly on the branch of hues 180 degrees apart.
//
// Source: Sharma, Wu and Dalal 2005, Color Res. Appl. 30(1) 21-30, Table 1.
func TestPublishedDifferences(t *testing.T) {
	for i, r := range oracle.Load(t, "t03_ciede2000_sharma.csv", 34).Rows {
		oracle.Close(t, "pair number", r.Num(t, "pair"), float64(i+1), 0)
		a := Lab{L(r.Num(t, "L1")), r.Num(t, "a1"), r.Num(t, "b1")}
		b := Lab{L(r.Num(t, "L2")), r.Num(t, "a2"), r.Num(t, "b2")}
		for what, got := range map[string]float64{"": DeltaE2000(a, b), " turned round": DeltaE2000(b, a)} {
			name := fmt.Sprintf("pair %d%s", i+1, what)
			oracle.Close(t, name, got, r.Num(t, "dE00_published"), 1e-4)
			oracle.Close(t, name, got, r.Num(t, "dE00_computed"), 1e-6)
		}
	}
}

func TestDifferenceProperties(t *testing.T) {
	r := dice()
	pick := func() Lab {
		return Lab{L(100 * r.Float64()), 200*r.Float64() - 100, 200*r.Float64() - 100}
	}
	for range 5000 {
		a, b := pick(), pick()
		d := DeltaE2000(a, b)
		if !(d > 0) {
			t.Fatalf("difference %v of %v and %v", d, a, b)
		}
		oracle.Close(t, "symmetric", DeltaE2000(b, a), d, 1e-11)
		oracle.Close(t, "itself", DeltaE2000(a, a), 0, 0)
		// Along L* alone only the weight of lightness is left.
		up := Lab{a.L + 1, a.A, a.B}
		m := float64(a.L) + 0.5 - 50
		oracle.Close(t, "a step of L*", DeltaE2000(a, up), 1/(1+0.015*m*m/math.Sqrt(20+m*m)), 1e-11)
	}
	// Hues exactly opposite, mean hue near 270 where chroma and hue interact.
	for i := range 200 {
		x, y := 20+float64(i)/7, -float64(i%9)/4
		a, b := Lab{50, x, y}, Lab{60, -2 * x, -2 * y}
		oracle.Close(t, fmt.Sprintf("opposite hues %d", i), DeltaE2000(b, a), DeltaE2000(a, b), 1e-11)
	}
	grey := Lab{50, 0, 0}
	if d := DeltaE2000(grey, Lab{50, 10, 0}); !(d > 0) {
		t.Errorf("grey against colour: %v", d)
	}
	oracle.Close(t, "two greys", DeltaE2000(Lab{L: 50}, Lab{L: 50}), 0, 0)
	if d := DeltaE2000(grey, Lab{L(math.NaN()), 0, 0}); d == d {
		t.Errorf("NaN gives %v", d)
	}
}
