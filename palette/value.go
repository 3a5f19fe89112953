package palette

import "math"

// astm holds the coefficients of V, V^2 .. V^5 in Y (per cent of the perfect
// diffuser); newhall those of 1943 (per cent of smoked magnesium oxide). The
// two scales differ by 0.975: a number printed before 1950 is of the second.
const (
	astm1, astm2, astm3, astm4, astm5                = 1.1914, -0.22533, 0.23352, -0.020484, 0.00081939
	newhall1, newhall2, newhall3, newhall4, newhall5 = 1.2219, -0.23111, 0.23951, -0.021009, 0.0008404
)

// Y returns the luminance of Munsell value v, 0..1. v is clamped to 0..10, NaN
// stays NaN. Strictly rising.
//
// Source: ASTM D1535-14, the equation for Y from V.
func (v Value) Y() Y {
	switch {
	case v <= 0:
		return 0
	case v >= 10:
		return 1
	}
	x := float64(v)
	p := float64(astm5*x) + astm4
	p = float64(p*x) + astm3
	p = float64(p*x) + astm2
	p = float64(p*x) + astm1
	return Y(p * x / 100)
}

// Value returns the Munsell value of luminance y, 0..10: the exact inverse of
// Value.Y, to 1e-12 in value. y outside 0..1 is clamped, NaN stays NaN.
// Strictly rising. Costs some 100 ns: for labels and reports, not for pixels.
//
// Source: ASTM D1535-14, the equation for Y from V, solved by Newton's method
// kept within a bracket.
func (y Y) Value() Value {
	switch {
	case y <= 0:
		return 0
	case y >= 1:
		return 10
	case y != y:
		return Value(math.NaN())
	}
	// L*/10 is never more than 0.11 from V: a start that needs 3 or 4 steps.
	lo, hi := 0.0, 10.0
	v := float64(y.L()) / 10
	for range 60 {
		over := float64(Value(v).Y() - y)
		if over == 0 {
			break
		}
		if over > 0 {
			hi = v
		} else {
			lo = v
		}
		slope := astm1 + v*(2*astm2+v*(3*astm3+v*(4*astm4+v*5*astm5)))
		next := v - 100*over/slope
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-v) <= 1e-14*v {
			return Value(next)
		}
		v = next
	}
	return Value(v)
}

// Value returns the Munsell value of CIE L*; l is clamped to 0..100. L*/10 would
// read up to 0.106 too high.
func (l L) Value() Value { return l.Y().Value() }

// L returns CIE L* of Munsell value v; v is clamped to 0..10.
func (v Value) L() L { return v.Y().L() }

// MunsellY1943 returns luminance in per cent of magnesium oxide, 0 to 102.57,
// for Munsell value v, which is clamped to 0..10. It reads figures printed on
// the scale of 1943 (N5 is 19.77 there and 19.27 on ours); nothing in the
// program is measured with it.
//
// Source: Newhall, Nickerson and Judd 1943, J. Opt. Soc. Am. 33(7), p. 417.
func MunsellY1943(v Value) float64 {
	x := float64(min(max(v, 0), 10))
	return x * (newhall1 + x*(newhall2+x*(newhall3+x*(newhall4+x*newhall5))))
}
