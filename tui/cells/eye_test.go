package cells

import (
	"fmt"
	"math"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// Source: palette.OKLab, whose own tests hold it to the published numbers.
func TestEye(t *testing.T) {
	e := eye()
	try := func(c palette.SRGB) {
		got, want := e.lab(codeOf(c)), c.Linear().OKLab()
		for i, d := range []float64{float64(got.l) - want.L, float64(got.a) - want.A, float64(got.b) - want.B} {
			oracle.Close(t, fmt.Sprintf("%v: axis %d", c, i), d, 0, 2e-4)
		}
		if codeOf(c).srgb() != c {
			t.Fatalf("%v becomes %v", c, codeOf(c).srgb())
		}
	}
	for i := 0; i < 1<<24; i += 1009 {
		try(palette.SRGB{R: uint8(i >> 16), G: uint8(i >> 8), B: uint8(i)})
	}
	for g := range 256 {
		try(palette.SRGB{R: uint8(g), G: uint8(g), B: uint8(g)})
	}
	for _, x := range []float32{0, 1e-5, 0.001, 0.5, 1, 1.0000001} {
		oracle.Close(t, fmt.Sprint("cube root of ", x), float64(e.cbrt(x)), math.Cbrt(float64(x)), map[bool]float64{true: 2e-5, false: 0.02}[x > 1.3e-4])
	}
}

// Every grey is the grey that palette finds for it by trying all.
func TestGreysAreNearest(t *testing.T) {
	for g := range 256 {
		c := palette.SRGB{R: uint8(g), G: uint8(g), B: uint8(g)}
		if got, want := nearest256(c), palette.Nearest256(c); got != want {
			t.Errorf("grey %d is shown by entry %d, %d is nearest", g, got, want)
		}
	}
}

// Among the entries allowed, the one chosen costs least; and there always is one.
func TestChooseIsLeast(t *testing.T) {
	pots := pots256()
	if len(pots) != 240 {
		t.Fatalf("%d entries", len(pots))
	}
	for i := 0; i < 1<<24; i += 9973 {
		c := potOf(palette.SRGB{R: uint8(i >> 16), G: uint8(i >> 8), B: uint8(i)})
		least, cost := math.Inf(1), math.Inf(1)
		got := choose(pots, &c)
		for _, p := range pots {
			if p.index == got {
				cost = p.cost(&c)
			}
			if math.Abs(p.light-c.light) <= lightOff && (p.grey() || p.chroma <= overMost*c.chroma) {
				least = min(least, p.cost(&c))
			}
		}
		oracle.Close(t, fmt.Sprintf("cost for colour %06x", i), cost, least, 0)
	}
}
