package plan

import (
	"math"
	"slices"

	"atelier/halflid/palette"
)

// Units of the decimals of a choice in the plan file.
const (
	shiftUnits  = 1e4 // four
	scaleUnits  = 1e2 // two
	smoothUnits = 1e1 // one
)

// Fit returns c made sound: every field within its range and rounded to the
// plan file's decimals, fields that do not belong to its What empty. ok is false
// if it cannot be made sound, and then it has no place in a list: its What is
// unknown, its area is empty (either area for Apart), or its plane or depth is
// none. Numbers that are NaN go to the bottom of their range, shifts to 0. A
// Move or Copy by nothing is sound: the painter may be at it. Fit of a fitted
// choice is that choice.
func (c Choice) Fit() (_ Choice, ok bool) {
	out := Choice{What: c.What, Off: c.Off, Area: c.Area, unknown: c.unknown}
	if !slices.Contains(Whats(), c.What) || c.Area.Empty() {
		return Choice{}, false
	}
	if c.valued() {
		out.Of = min(max(c.Of, MinK), MaxK)
		out.Value = min(max(c.Value, 0), out.Of-1)
	}
	if c.carries() {
		out.DX, out.DY = fitShift(c.DX), fitShift(c.DY)
		out.Scale, out.Mirror = 1, c.Mirror
		if c.Scale > 0 {
			out.Scale = clamp(round(c.Scale, scaleUnits), MinScale, MaxScale)
		}
	}
	switch c.What {
	case Add:
		out.Tone = palette.Value(clamp(round(float64(c.Tone), valueUnits), 0, 10))
	case Apart:
		out.Other = c.Other
		ok = !c.Other.Empty()
	case Detail:
		out.Shapes = min(max(c.Shapes, 1), MaxWanted)
	case Outline:
		out.Smooth = clamp(round(c.Smooth, smoothUnits), 0, MaxSmooth)
	case PlaneIs:
		out.Plane = c.Plane
		ok = slices.Contains(Planes(), c.Plane)
	case DepthIs:
		out.Depth = c.Depth
		ok = slices.Contains(Depths(), c.Depth)
	}
	if (c.What == Apart || c.What == PlaneIs || c.What == DepthIs) && !ok {
		return Choice{}, false
	}
	return out, true
}

func fitShift(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return clamp(round(v, shiftUnits), -1, 1)
}
