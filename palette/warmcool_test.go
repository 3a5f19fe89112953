package palette

import (
	"fmt"
	"math"
	"testing"

	"atelier/halflid/palette/oracle"
)

// The values of named colours are checked in TestPublishedColours; these are
// the limits that follow from the formula.
//
// Source: Ou, Luo, Woodcock and Wright 2004, Color Res. Appl. 29(3) 232-240.
func TestPublishedWarmCool(t *testing.T) {
	// Half the width, in degrees about hue 50, of what counts as warm.
	for _, c := range []struct{ chroma, half float64 }{{25, 37.0}, {30, 48.9}, {40, 61.1}, {60, 71.8}, {80, 76.7}} {
		for _, side := range []float64{-1, 1} {
			at := WarmCool(LCh{50, c.chroma, 50 + side*c.half})
			oracle.Close(t, fmt.Sprintf("limit at C* %v", c.chroma), at, 0, 2e-3)
		}
	}
	oracle.Close(t, "least chroma of a warm colour", WarmCool(LCh{50, 20.25, 50}), 0, 1e-3)
	oracle.Close(t, "warmest at C* 130", WarmCool(LCh{50, 130, 50}), 3.16, 0.005)
	oracle.Close(t, "coolest at C* 130", WarmCool(LCh{50, 130, 230}), -4.16, 0.005)
	oracle.Close(t, "grey", WarmCool(LCh{L: 50}), -0.5, 0)
}

func TestWarmerBy(t *testing.T) {
	of := func(r, g, b uint8) LCh { return SRGB{r, g, b}.Linear().XYZ().Lab().LCh() }
	grey, blue, orange := of(128, 128, 128), of(90, 110, 150), of(170, 120, 80)
	if d := WarmerBy(grey, blue); !(d > 0) {
		t.Errorf("grey beside blue is not warm: %v", d)
	}
	if d := WarmerBy(grey, orange); !(d < 0) {
		t.Errorf("grey beside orange is not cool: %v", d)
	}
	oracle.Close(t, "two greys", WarmerBy(grey, of(30, 30, 30)), 0, 1e-9)
	r := dice()
	for range 1000 {
		a := LCh{50, 80 * r.Float64(), 360 * r.Float64()}
		b := LCh{50, 80 * r.Float64(), 360 * r.Float64()}
		oracle.Close(t, "turned round", WarmerBy(a, b), -WarmerBy(b, a), 0)
		oracle.Close(t, "by way of a grey", WarmerBy(a, grey)+WarmerBy(grey, b), WarmerBy(a, b), 1e-12)
	}
	if d := WarmerBy(grey, LCh{50, math.NaN(), 0}); d == d {
		t.Errorf("NaN gives %v", d)
	}
}
