package palette

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/palette/oracle"
)

// dice returns random numbers that are the same in every run.
func dice() *rand.Rand { return rand.New(rand.NewPCG(19, 43)) }

// Source: IEC 61966-2-1:1999 and CIE 15:2004; recomputed with mpmath, 40 digits.
func TestPublishedGreys(t *testing.T) {
	for i, r := range oracle.Load(t, "t01_srgb_grey_L.csv", 256).Rows {
		code := uint8(r.Num(t, "code8"))
		if int(code) != i {
			t.Fatalf("row %d is of code %d", i, code)
		}
		c := SRGB{code, code, code}
		y := c.Linear().Y()
		name := func(s string) string { return fmt.Sprintf("code %d: %s", code, s) }
		oracle.Close(t, name("linear"), float64(Decode8(code)), r.Num(t, "linear"), 1e-9)
		oracle.Close(t, name("formula"), float64(Decode(float64(code)/255)), r.Num(t, "linear"), 1e-9)
		oracle.Close(t, name("Y"), 100*float64(y), r.Num(t, "Y_0_100"), 1e-7)
		oracle.Close(t, name("L*"), float64(y.L()), r.Num(t, "Lstar"), 1e-5)
		oracle.Close(t, name("V"), float64(y.Value()), r.Num(t, "munsell_V_astm"), 1e-6)
		oracle.Close(t, name("L* by rows"), float64(lightnessOf(float32(y))), r.Num(t, "Lstar"), 0.0005)
		if g := Grey(y); g != c {
			t.Errorf("code %d comes back as %v", code, g)
		}
	}
}

// Source: IEC 61966-2-1:1999; half, a quarter and three quarters of the light
// of white recomputed with mpmath.
func TestPublishedShares(t *testing.T) {
	for _, c := range []struct{ light, code float64 }{{0.5, 187.52}, {0.25, 136.96}, {0.75, 224.61}} {
		oracle.Close(t, "code", 255*Encode(Light(c.light)), c.code, 0.005)
	}
	oracle.Close(t, "Y of L* 50", 100*float64(L(50).Y()), 18.4187, 5e-5)
	oracle.Close(t, "L* of Y 18 %", float64(Y(0.18).L()), 49.496, 5e-4)
}

func TestEightBitRoundTrip(t *testing.T) {
	table := DecodeTable8()
	for c := range 256 {
		code := uint8(c)
		for what, got := range map[string]uint8{
			"Encode8":  Encode8(Decode8(code)),
			"float32":  Encode8(Light(table[c])),
			"formula":  uint8(math.Round(255 * Encode(Decode8(code)))),
			"16 bits":  Encode8(Light(math.Round(float64(Decode8(code))*65535) / 65535)),
			"by SRGB":  SRGB{code, 1, 2}.Linear().SRGB().R,
			"straight": Encode8(Decode(float64(c) / 255)),
		} {
			if got != code {
				t.Errorf("code %d by %s: %d", c, what, got)
			}
		}
	}
}

func TestEncode8RoundsToNearest(t *testing.T) {
	r := dice()
	for range 200000 {
		v := r.Float64()
		if r.IntN(3) == 0 {
			v *= 0.01
		}
		want := math.Floor(255*Encode(Light(v)) + 0.5)
		if got := Encode8(Light(v)); float64(got) != want {
			t.Fatalf("light %v: code %d, want %v", v, got, want)
		}
	}
	// On both sides of each limit.
	for c := 1; c < 256; c++ {
		limit := float64(Decode((float64(c) - 0.5) / 255))
		if below, at := Encode8(Light(math.Nextafter(limit, 0))), Encode8(Light(limit)); int(below) != c-1 || int(at) != c {
			t.Errorf("limit of code %d: %d below, %d at", c, below, at)
		}
	}
}

func TestEncode8Clamps(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want uint8
	}{{-1, 0}, {-1e-300, 0}, {0, 0}, {1, 255}, {1.0000001, 255}, {1e300, 255}, {math.Inf(1), 255}, {math.Inf(-1), 0}, {math.NaN(), 0}} {
		if got := Encode8(Light(c.v)); got != c.want {
			t.Errorf("Encode8(%v) = %d, want %d", c.v, got, c.want)
		}
	}
	if got := (RGB{2, -1, Light(math.NaN())}).SRGB(); got != (SRGB{255, 0, 0}) {
		t.Errorf("outside colour gives %v", got)
	}
}

func TestCodingIsInverse(t *testing.T) {
	r := dice()
	last := -1.0
	for i := range 5000 {
		c := float64(i) / 4999
		v := Decode(c)
		tol := 1e-15
		if math.Abs(c-0.04045) < 1e-3 {
			tol = 2e-8
		}
		oracle.Close(t, fmt.Sprintf("Encode(Decode(%v))", c), Encode(v), c, tol)
		if float64(v) <= last {
			t.Fatalf("Decode does not rise at %v", c)
		}
		last = float64(v)
		x := r.Float64()
		oracle.Close(t, fmt.Sprintf("Decode(Encode(%v))", x), float64(Decode(Encode(Light(x)))), x, 1e-8)
	}
	for _, f := range []float64{float64(Decode(math.NaN())), Encode(Light(math.NaN()))} {
		if f == f {
			t.Errorf("NaN became %v", f)
		}
	}
}

// Source: IEC 61966-2-1:1999 prints 0.2126, 0.7152, 0.0722.
func TestSharesOfLuminance(t *testing.T) {
	oracle.Close(t, "red", RedY, 0.2126, 5e-5)
	oracle.Close(t, "green", GreenY, 0.7152, 5e-5)
	oracle.Close(t, "blue", BlueY, 0.0722, 5e-5)
	oracle.Close(t, "sum", RedY+GreenY+BlueY, 1, 1e-16)
	r := dice()
	for range 1000 {
		c := RGB{Light(r.Float64()), Light(r.Float64()), Light(r.Float64())}
		oracle.Close(t, "Y", float64(c.Y()), c.XYZ().Y, 0)
	}
}
