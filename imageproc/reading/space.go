package reading

import (
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// Planes is how light the planes of the picture are. Only what is said or
// proposed with a sureness of 0.3 or more counts.
type Planes struct {
	List []PlaneTone // sky, ground, slant, upright: those that there are
	// Against are the pairs that lie the other way round than usual by half a
	// step or more, by how much, most first. Carlson's order, lightest first:
	// sky, ground, slants, uprights; it does not hold with snow, low sun, an
	// overcast sky, white walls or water. Source: Carlson 1929.
	Against []Against
	// Uprights is how many values carry the uprights, of those that hold a
	// twentieth of them or more; 0 without uprights.
	Uprights int
}

// PlaneTone is how light a plane is on the average.
type PlaneTone struct {
	Plane plan.Plane
	Tone  palette.Value // mean of its shapes' tones by area
	Share float64       // of the picture
	Sure  float64       // mean sureness by area: 1 is what the painter said
	At    plan.Point    // in its largest shape
}

// Against is two planes that lie the other way round than usual.
type Against struct {
	Lighter, Darker plan.Plane // as is usual
	By              float64    // how much lighter the usually darker one is, steps of value
	Sure            float64    // the lower sureness of the two
}

const (
	sureEnough = 0.3
	leastStep  = 0.5
	leastPlane = 0.02 // share of the picture
)

func (s *scene) planes() Planes {
	var out Planes
	for _, p := range plan.Planes() {
		one, largest := PlaneTone{Plane: p}, -1
		values := make([]float64, len(s.shares))
		tone, sure := 0.0, 0.0
		for i, shape := range s.d.Shapes {
			if shape.Plane != p || shape.PlaneSure < sureEnough {
				continue
			}
			one.Share += s.share[i]
			tone += float64(s.share[i] * float64(s.tone[i]))
			sure += float64(s.share[i] * shape.PlaneSure)
			values[shape.Value] += s.share[i]
			if largest < 0 || s.share[i] > s.share[largest] {
				largest = i
			}
		}
		if one.Share <= 0 {
			continue
		}
		one.Tone, one.Sure, one.At = palette.Value(tone/one.Share), sure/one.Share, s.on(largest)
		for _, before := range out.List {
			by := float64(one.Tone - before.Tone)
			if by >= leastStep && min(one.Share, before.Share) >= leastPlane {
				out.Against = insert(out.Against, Against{before.Plane, p, by, min(before.Sure, one.Sure)}, func(a, b Against) bool { return a.By > b.By })
			}
		}
		out.List = append(out.List, one)
		if p == plan.Standing {
			for _, v := range values {
				if v >= one.Share/20 {
					out.Uprights++
				}
			}
		}
	}
	return out
}

// Recession is how the land goes back: tones and colours by depth, the sky left
// out. Only what is said or proposed with a sureness of 0.3 or more counts.
type Recession struct {
	List []DepthTone // far, middle, near: those that there are
	// Known is whether there is far and near, Coloured whether colours were
	// given: the differences are 0 otherwise.
	Known, Coloured bool
	// Far less near: steps of Munsell value of the plan's tones, CIELAB chroma,
	// warmth on the scale of Ou et al. 2004 (above 0: the far is the warmer). In
	// clear air the far is usually lighter in its darks, greyer and cooler.
	// Source: Koschmieder 1924 for the lightening of distant darks.
	Lighter, Chroma, Warmer float64
}

// DepthTone is the mean tone and colour of a depth.
type DepthTone struct {
	Depth  plan.Depth
	Tone   palette.Value // mean of its shapes' tones by area
	Chroma float64       // CIELAB C*ab of its mean light, 0 and up
	Warm   float64       // palette.WarmCool of its mean light
	Share  float64       // of the picture
	Sure   float64       // mean sureness by area
	At     plan.Point    // in its largest shape
}

func (s *scene) recession() Recession {
	out := Recession{Coloured: len(s.d.Colours) > 0}
	at := map[plan.Depth]int{}
	colours := map[plan.Depth]palette.LCh{}
	for _, depth := range plan.Depths() {
		one, largest := DepthTone{Depth: depth}, -1
		tone, sure := 0.0, 0.0
		var light [3]float64
		for i, shape := range s.d.Shapes {
			if shape.Depth != depth || shape.DepthSure < sureEnough || shape.Plane == plan.Sky {
				continue
			}
			a := s.share[i]
			one.Share += a
			tone += float64(a * float64(s.tone[i]))
			sure += float64(a * shape.DepthSure)
			if out.Coloured {
				c := s.d.Colours[i]
				light[0], light[1], light[2] = light[0]+float64(a*float64(c.R)), light[1]+float64(a*float64(c.G)), light[2]+float64(a*float64(c.B))
			}
			if largest < 0 || a > s.share[largest] {
				largest = i
			}
		}
		if one.Share <= 0 {
			continue
		}
		one.Tone, one.Sure, one.At = palette.Value(tone/one.Share), sure/one.Share, s.on(largest)
		if out.Coloured {
			c := palette.RGB{R: palette.Light(light[0] / one.Share), G: palette.Light(light[1] / one.Share), B: palette.Light(light[2] / one.Share)}.XYZ().Lab().LCh()
			colours[depth] = c
			one.Chroma, one.Warm = c.C, palette.WarmCool(c)
		}
		at[depth] = len(out.List)
		out.List = append(out.List, one)
	}
	f, hasFar := at[plan.Far]
	n, hasNear := at[plan.Near]
	if out.Known = hasFar && hasNear; out.Known {
		far, near := out.List[f], out.List[n]
		out.Lighter = float64(far.Tone - near.Tone)
		if out.Coloured {
			out.Chroma = far.Chroma - near.Chroma
			out.Warmer = palette.WarmerBy(colours[plan.Far], colours[plan.Near])
		}
	}
	return out
}
