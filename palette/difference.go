package palette

import "math"

// DeltaE2000 returns the CIEDE2000 difference of two colours, 0 for equal ones,
// about 1 for a difference just seen; kL = kC = kH = 1. It is symmetric but not
// a metric. NaN in either gives NaN.
//
// Source: Sharma, Wu and Dalal 2005, Color Res. Appl. 30(1) 21-30, eq. 2-22,
// with hue angles in degrees, so that hues exactly 180 apart take the branch of
// their table.
func DeltaE2000(a, b Lab) float64 {
	// Eq. 2-7: a* stretched for near-neutral colours, then chroma and hue.
	g := 0.5 * (1 - math.Sqrt(pow7Share((math.Hypot(a.A, a.B)+math.Hypot(b.A, b.B))/2)))
	a1, a2 := (1+g)*a.A, (1+g)*b.A
	c1, c2 := math.Hypot(a1, a.B), math.Hypot(a2, b.B)
	h1, h2 := hueDegrees(a1, a.B), hueDegrees(a2, b.B)

	// Eq. 8-11: differences.
	dL, dC := float64(b.L-a.L), c2-c1
	dh := h2 - h1
	switch {
	case c1*c2 == 0:
		dh = 0
	case dh > 180:
		dh -= 360
	case dh < -180:
		dh += 360
	}
	dH := 2 * math.Sqrt(c1*c2) * sinDeg(dh/2)

	// Eq. 12-14: means; the hue's is taken on the shorter way round.
	l, c := float64(a.L+b.L)/2, (c1+c2)/2
	h := h1 + h2
	switch {
	case c1*c2 == 0:
	case math.Abs(h1-h2) <= 180:
		h /= 2
	case h < 360:
		h = (h + 360) / 2
	default:
		h = (h - 360) / 2
	}

	// Eq. 15-22: weights and the sum.
	t := 1 - 0.17*cosDeg(h-30) + 0.24*cosDeg(2*h) + 0.32*cosDeg(3*h+6) - 0.20*cosDeg(4*h-63)
	l50 := (l - 50) * (l - 50)
	sL := 1 + 0.015*l50/math.Sqrt(20+l50)
	sC := 1 + 0.045*c
	sH := 1 + 0.015*c*t
	turn := (h - 275) / 25
	rT := -2 * math.Sqrt(pow7Share(c)) * sinDeg(60*math.Exp(-turn*turn))
	dL, dC, dH = dL/sL, dC/sC, dH/sH
	return math.Sqrt(dL*dL + dC*dC + dH*dH + rT*dC*dH)
}

// pow7Share returns c^7 / (c^7 + 25^7).
func pow7Share(c float64) float64 {
	const p = 25.0 * 25 * 25 * 25 * 25 * 25 * 25
	c7 := c * c * c * c * c * c * c
	return c7 / (c7 + p)
}

func sinDeg(d float64) float64 { return math.Sin(d * math.Pi / 180) }
func cosDeg(d float64) float64 { return math.Cos(d * math.Pi / 180) }
