package plan

import (
	"math"
	"math/rand/v2"

	"atelier/halflid/palette"
)

// randomRing returns a ring of n points, some of them outside the photo.
func randomRing(r *rand.Rand, n int) []Point {
	ring := make([]Point, n)
	for i := range ring {
		ring[i] = Point{1.1*r.Float64() - 0.05, 1.1*r.Float64() - 0.05}
	}
	return ring
}

func randomArea(r *rand.Rand) Area {
	switch r.IntN(6) {
	case 0:
		return BoxArea(r.Float64(), r.Float64(), r.Float64(), r.Float64())
	case 1:
		return EllipseArea(r.Float64(), r.Float64(), r.Float64(), r.Float64())
	case 2: // few different ones, so that choices meet
		return BoxArea(0.1, 0.1, 0.2+0.1*float64(r.IntN(3)), 0.4)
	}
	rings := make([][]Point, 1+r.IntN(3))
	for i := range rings {
		rings[i] = randomRing(r, 3+r.IntN(8))
	}
	return AreaOf(rings)
}

// randomChoice returns a choice of any kind with every field set, many out of
// range, some without an area.
func randomChoice(r *rand.Rand) Choice {
	wild := func(scale float64) float64 {
		if r.IntN(40) == 0 {
			return []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.Copysign(0, -1), -1e-9}[r.IntN(5)]
		}
		return scale * (1.4*r.Float64() - 0.3)
	}
	c := Choice{
		What: Whats()[r.IntN(len(Whats()))], Off: r.IntN(5) == 0, Mirror: r.IntN(2) == 0,
		Area: randomArea(r), Other: randomArea(r),
		Value: r.IntN(8) - 1, Of: r.IntN(8), Tone: palette.Value(wild(10)), Shapes: r.IntN(600) - 20,
		Smooth: wild(MaxSmooth), DX: wild(2) - 0.4, DY: wild(2) - 0.4, Scale: wild(3),
		Plane: Planes()[r.IntN(4)], Depth: Depths()[r.IntN(3)],
	}
	switch r.IntN(40) {
	case 0:
		c.Area = Area{}
	case 1:
		c.Other = Area{}
	case 2:
		c.What, c.Plane, c.Depth = "bend", "", ""
	case 3:
		c.Plane, c.Depth = "water", "infinite"
	}
	if r.IntN(8) == 0 {
		c.unknown = unknown(unknownLine("", []string{"", "what", "off", "area", "smooth", "scale"}[r.IntN(6)], `"note"`, []byte(`"low tide <&> \u00e9"`)))
	}
	return c
}

// randomSound returns a choice that has a place in a list.
func randomSound(r *rand.Rand) Choice {
	for {
		if c, ok := randomChoice(r).Fit(); ok {
			return c
		}
	}
}

// manyChoices returns n different choices with areas of 40 points.
func manyChoices(r *rand.Rand, n int) []Choice {
	out := make([]Choice, n)
	for i := range out {
		x, y := 0.8*r.Float64(), 0.8*r.Float64()
		out[i] = Choice{
			What: Whats()[i%len(Whats())], Area: EllipseArea(x, y, x+0.2, y+0.1), Other: EllipseArea(x, y, x+0.1, y+0.1),
			Of: 3, Value: i % 3, DX: 0.1, Scale: 1, Plane: Sky, Depth: Near, Shapes: 4,
		}
	}
	return out
}
