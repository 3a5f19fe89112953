package palette

import (
	"fmt"
	"math"
	"testing"

	"atelier/halflid/palette/oracle"
)

// Source: matrix from the primaries of IEC 61966-2-1:1999, recomputed with
// mpmath, 10 digits.
func TestPublishedMatrix(t *testing.T) {
	for _, c := range []struct {
		in   RGB
		want XYZ
	}{
		{RGB{1, 0, 0}, XYZ{0.4123907993, 0.2126390059, 0.0193308187}},
		{RGB{0, 1, 0}, XYZ{0.3575843394, 0.7151686788, 0.1191947798}},
		{RGB{0, 0, 1}, XYZ{0.1804807884, 0.0721923154, 0.9505321522}},
		{RGB{1, 1, 1}, XYZ{0.9504559271, 1, 1.0890577508}},
	} {
		got := c.in.XYZ()
		oracle.Close(t, "X", got.X, c.want.X, 1e-10)
		oracle.Close(t, "Y", got.Y, c.want.Y, 1e-10)
		oracle.Close(t, "Z", got.Z, c.want.Z, 1e-10)
	}
}

// Source: CIE 15:2004 (CIELAB, LCh), Ottosson 2020 (OKLab), Ou, Luo, Woodcock
// and Wright 2004 (warm/cool); recomputed in float64.
func TestPublishedColours(t *testing.T) {
	for _, r := range oracle.Load(t, "t03_srgb_lab_oklab_warmcool.csv", 16).Rows {
		c := SRGB{uint8(r.Num(t, "r")), uint8(r.Num(t, "g")), uint8(r.Num(t, "b"))}
		lab := c.Linear().XYZ().Lab()
		lch := lab.LCh()
		ok := c.Linear().OKLab()
		check := func(what string, got float64, col string, tol float64) {
			t.Helper()
			oracle.Close(t, fmt.Sprintf("%v %s", c, what), got, r.Num(t, col), tol)
		}
		check("L*", float64(lab.L), "Lstar", 1e-5)
		check("a*", lab.A, "astar", 1e-5)
		check("b*", lab.B, "bstar", 1e-5)
		check("C*", lch.C, "Cab", 1e-5)
		check("h", lch.H, "hab_deg", 1e-4)
		check("OKLab L", ok.L, "oklab_L", 1e-6)
		check("OKLab a", ok.A, "oklab_a", 1e-6)
		check("OKLab b", ok.B, "oklab_b", 1e-6)
		check("warm/cool", WarmCool(lch), "WC_ou2004", 1e-5)
		oracle.Close(t, "L* of Y", float64(c.Linear().Y().L()), float64(lab.L), 1e-12)
	}
}

func TestColourRoundTrips(t *testing.T) {
	r := dice()
	for range 5000 {
		// Also a little outside sRGB.
		c := RGB{Light(1.2*r.Float64() - 0.1), Light(1.2*r.Float64() - 0.1), Light(1.2*r.Float64() - 0.1)}
		if r.IntN(4) == 0 {
			c = RGB{c.R / 200, c.G / 200, c.B / 200}
		}
		lab := c.XYZ().Lab()
		for what, back := range map[string]RGB{
			"XYZ":   c.XYZ().RGB(),
			"Lab":   lab.XYZ().RGB(),
			"LCh":   lab.LCh().Lab().XYZ().RGB(),
			"OKLab": c.OKLab().RGB(),
		} {
			name := fmt.Sprintf("%v by %s", c, what)
			oracle.Close(t, name, float64(back.R), float64(c.R), 1e-13)
			oracle.Close(t, name, float64(back.G), float64(c.G), 1e-13)
			oracle.Close(t, name, float64(back.B), float64(c.B), 1e-13)
		}
		if h := lab.LCh().H; !(h >= 0 && h < 360) {
			t.Fatalf("hue %v of %v", h, c)
		}
	}
}

func TestEveryCodeSurvivesLab(t *testing.T) {
	for i := 0; i < 1<<24; i += 997 {
		c := SRGB{uint8(i >> 16), uint8(i >> 8), uint8(i)}
		if got := c.Linear().XYZ().Lab().LCh().Lab().XYZ().RGB().SRGB(); got != c {
			t.Fatalf("%v comes back as %v", c, got)
		}
		if got := c.Linear().OKLab().RGB().SRGB(); got != c {
			t.Fatalf("%v comes back from OKLab as %v", c, got)
		}
	}
}

func TestGreysHaveNoHue(t *testing.T) {
	for g := range 256 {
		lch := SRGB{uint8(g), uint8(g), uint8(g)}.Linear().XYZ().Lab().LCh()
		oracle.Close(t, fmt.Sprintf("chroma of grey %d", g), lch.C, 0, 1e-9)
		oracle.Close(t, fmt.Sprintf("hue of grey %d", g), lch.H, 0, 0)
	}
	if h := (Lab{50, 10, -1e-18}).LCh().H; h != 0 {
		t.Errorf("hue just under 360 is %v, want 0", h)
	}
}

func TestLightnessIsInverseAndRises(t *testing.T) {
	last := L(-1)
	for i := range 20001 {
		y := Y(float64(i) / 20000)
		l := y.L()
		if l <= last {
			t.Fatalf("L* does not rise at Y %v", y)
		}
		last = l
		oracle.Close(t, fmt.Sprintf("Y %v", y), float64(l.Y()), float64(y), 1e-15)
		x := L(float64(i) / 200)
		oracle.Close(t, fmt.Sprintf("L* %v", x), float64(x.Y().L()), float64(x), 1e-12)
	}
	oracle.Close(t, "limit of the straight part", float64(Y(labLimit).L()), 8, 1e-12)
}

func TestLightnessClamps(t *testing.T) {
	for _, c := range []struct{ got, want float64 }{
		{float64(Y(-0.1).L()), 0},
		{float64(Y(1.1).L()), 100},
		{float64(Y(math.Inf(1)).L()), 100},
		{float64(L(-1).Y()), 0},
		{float64(L(101).Y()), 1},
		{float64(Y(1).L()), 100},
		{float64(L(100).Y()), 1},
		// Clamping twice is clamping once.
		{float64(Y(-0.1).L().Y().L()), 0},
		{float64(Y(1.1).L().Y().L()), 100},
	} {
		oracle.Close(t, "clamped", c.got, c.want, 0)
	}
	if l, y := Y(math.NaN()).L(), L(math.NaN()).Y(); l == l || y == y {
		t.Errorf("NaN became L* %v, Y %v", l, y)
	}
}
