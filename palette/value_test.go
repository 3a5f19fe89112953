package palette

import (
	"fmt"
	"math"
	"testing"

	"atelier/halflid/palette/oracle"
)

// Source: ASTM D1535-14; Newhall, Nickerson and Judd 1943; McCamy 1992;
// recomputed in float64.
func TestPublishedValues(t *testing.T) {
	for i, r := range oracle.Load(t, "t02_munsell_value.csv", 21).Rows {
		v := Value(r.Num(t, "V"))
		oracle.Close(t, "row", float64(v), float64(i)/2, 0)
		check := func(what string, got float64, col string, tol float64) {
			t.Helper()
			oracle.Close(t, fmt.Sprintf("N%v %s", v, what), got, r.Num(t, col), tol)
		}
		y := v.Y()
		check("Y", 100*float64(y), "Y_astm", 1e-6)
		check("Y of 1943", MunsellY1943(v), "Y_nnj1943", 1e-6)
		if v > 0 {
			check("ratio", 100*float64(y)/MunsellY1943(v), "ratio", 1e-6)
		}
		check("McCamy", mccamy(100*float64(y)), "V_mccamy_of_Y_astm", 1e-6)
		check("L*", float64(v.L()), "Lstar_of_Y_astm", 1e-5)
		check("L* less 10 V", float64(v.L())-10*float64(v), "Lstar_minus_10V", 1e-5)
		check("code", 255*Encode(Light(y)), "srgb_code_float", 1e-4)
		check("grey", float64(Grey(y).G), "srgb_code", 0)
		// And back again from the figures of the table.
		oracle.Close(t, fmt.Sprintf("V of Y of N%v", v), float64(Y(r.Num(t, "Y_astm")/100).Value()), float64(v), 1e-6)
		oracle.Close(t, fmt.Sprintf("V of L* of N%v", v), float64(L(r.Num(t, "Lstar_of_Y_astm")).Value()), float64(v), 2e-6)
	}
}

// Source: Newhall, Nickerson and Judd 1943, J. Opt. Soc. Am. 33(7), Table I.
func TestPublishedRenotation(t *testing.T) {
	for _, r := range oracle.Load(t, "t02_renotation_Y.csv", 9).Rows {
		v := r.Num(t, "V")
		oracle.Close(t, fmt.Sprintf("N%v table", v), MunsellY1943(Value(v)), r.Num(t, "Y_table"), 0.005)
		oracle.Close(t, fmt.Sprintf("N%v quintic", v), MunsellY1943(Value(v)), r.Num(t, "Y_quintic"), 1e-5)
	}
}

// Source: exact inverses of the ASTM D1535 equation by bisection in 40 digits;
// the first Y is the worked example printed with McCamy's formula.
func TestPublishedInverse(t *testing.T) {
	for _, c := range []struct{ y, v, tol float64 }{
		{12.23634268, 4.0824, 5e-5}, {18, 4.85193, 5e-6}, {20, 5.08208, 5e-6}, {50, 7.53772, 5e-6},
	} {
		oracle.Close(t, fmt.Sprintf("V of Y %v", c.y), float64(Y(c.y/100).Value()), c.v, c.tol)
	}
	oracle.Close(t, "McCamy's example", mccamy(12.23634268), 4.0814, 5e-5)
}

// mccamy is the closed approximation of V from Y in per cent: a second road to
// the inverse, independent of ours.
//
// Source: McCamy 1992, Color Res. Appl. 17(3) 205-207.
func mccamy(y float64) float64 {
	if y <= 0 {
		return 0
	}
	if y <= 0.9 {
		return 0.87445 * math.Pow(y, 0.9967)
	}
	root := math.Cbrt(y)
	return 2.49268*root - 1.5614 - 0.985/(math.Pow(0.1073*y-3.084, 2)+7.54) + 0.0133/math.Pow(y, 2.3) +
		0.0084*math.Sin(4.1*root+1) + 0.0221/y*math.Sin(0.39*(y-2)) - 0.0037/(0.44*y)*math.Sin(1.28*(y-0.53))
}

func TestValueIsInverseAndRises(t *testing.T) {
	lastY, lastV := Y(-1), Value(-1)
	worst, at := 0.0, 0.0
	for i := range 10001 {
		v := Value(float64(i) / 1000)
		y := v.Y()
		if y <= lastY {
			t.Fatalf("Y does not rise at N%v", v)
		}
		lastY = y
		oracle.Close(t, fmt.Sprintf("N%v and back", v), float64(y.Value()), float64(v), 1e-12)
		oracle.Close(t, fmt.Sprintf("N%v by McCamy", v), mccamy(100*float64(y)), float64(v), 0.004)
		if d := float64(v.L())/10 - float64(v); d > worst {
			worst, at = d, float64(v)
		} else if d < 0 {
			t.Errorf("L*/10 is below V at N%v", v)
		}
		u := Y(float64(i) / 10000)
		back := u.Value()
		if back <= lastV {
			t.Fatalf("V does not rise at Y %v", u)
		}
		lastV = back
		oracle.Close(t, fmt.Sprintf("Y %v and back", u), float64(back.Y()), float64(u), 1e-13)
	}
	// L*/10 is not V: read as such it is off by a tenth of a value.
	oracle.Close(t, "worst of L*/10", worst, 0.10595, 1e-5)
	oracle.Close(t, "where", at, 5.673, 0.002)
}

func TestValueNearTheEnds(t *testing.T) {
	for _, v := range []Value{1e-12, 1e-9, 1e-6, 1e-3, 9.999, 9.999999, 9.999999999} {
		oracle.Close(t, fmt.Sprintf("N%v", v), float64(v.Y().Value()/v), 1, 1e-9)
	}
}

func TestValueClamps(t *testing.T) {
	for _, c := range []struct{ got, want float64 }{
		{float64(Value(-1).Y()), 0},
		{float64(Value(11).Y()), 1},
		{float64(Value(10).Y()), 1},
		{float64(Y(-1).Value()), 0},
		{float64(Y(2).Value()), 10},
		{float64(Y(1).Value()), 10},
		{float64(L(-5).Value()), 0},
		{float64(L(105).Value()), 10},
		{MunsellY1943(-1), 0},
		{MunsellY1943(12), MunsellY1943(10)},
		{float64(Value(11).Y().Value().Y().Value()), 10},
		{float64(Value(-11).L().Value().L()), 0},
	} {
		oracle.Close(t, "clamped", c.got, c.want, 1e-12)
	}
	if y, v := Value(math.NaN()).Y(), Y(math.NaN()).Value(); y == y || v == v {
		t.Errorf("NaN became Y %v, V %v", y, v)
	}
}

// The chart of 1976 is printed on the scale of 1943, the reference of 2005 on
// that of ASTM D1535: reading one by the other is off by up to a tenth.
//
// Source: McCamy, Marcus and Davidson 1976, J. Appl. Photogr. Eng. 2(3) 95-99;
// the chart maker's reference of 2005.
func TestPublishedNeutrals(t *testing.T) {
	for _, r := range oracle.Load(t, "t04_neutrals.csv", 6).Rows {
		n := r.Num(t, "N")
		name := func(s string) string { return r.Text(t, "name") + ": " + s }
		old, ours := r.Num(t, "Y1976"), Y(r.Num(t, "Y2005"))

		v1943 := valueOf1943(100 * old)
		oracle.Close(t, name("V of 1976, scale of 1943"), v1943, n, 0.005)
		oracle.Close(t, name("V of 1976, table"), v1943, r.Num(t, "V1943_of_Y1976"), 6e-5)
		wrong := float64(Y(old).Value())
		oracle.Close(t, name("V of 1976, wrong scale"), wrong, r.Num(t, "Vastm_of_Y1976"), 6e-5)
		if wrong-n < 0.03 {
			t.Errorf("%s: the scales cannot be told apart", name("V"))
		}

		oracle.Close(t, name("L* of 2005"), float64(ours.L()), r.Num(t, "Lstar2005"), 0.01)
		oracle.Close(t, name("V of 2005, ASTM"), float64(ours.Value()), n, 0.16)
		oracle.Close(t, name("V of 2005, table"), float64(ours.Value()), r.Num(t, "Vastm_of_Y2005"), 6e-5)
		for col, y := range map[string]Y{"code1976": Y(old), "code2005": ours} {
			g := Grey(y)
			oracle.Close(t, name(col), float64(g.G), r.Num(t, col), 0)
			oracle.Close(t, name("V through "+col), float64(g.Linear().Y().Value()), float64(y.Value()), 0.05)
		}
	}
}

// valueOf1943 inverts MunsellY1943 by bisection.
func valueOf1943(y float64) float64 {
	lo, hi := 0.0, 10.0
	for range 60 {
		if mid := (lo + hi) / 2; MunsellY1943(Value(mid)) < y {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
