package plan

import (
	"strconv"

	"atelier/halflid/palette"
)

// planText returns a fitted plan as JSON without spaces, with its choices as
// choices writes them.
func planText(p Plan, choices func(Choices) string) string {
	u := p.unknown
	crop := []field{{"x", number(p.Crop.X)}, {"y", number(p.Crop.Y)}, {"w", number(p.Crop.W)}, {"h", ""}}
	if p.Panel.Free() {
		crop[3].text = number(p.Crop.H)
	}
	value := func(v palette.Value) string { return number(float64(v)) }
	var cuts, tones string
	if v := p.Values.HandCuts(); v != nil {
		cuts = list(v, value)
	}
	if v := p.Values.HandTones(); v != nil {
		tones = list(v, value)
	}
	focus, fall := "", ""
	if p.Focus.Fall != FallUsual {
		fall = quoted(string(p.Focus.Fall))
	}
	if f := p.Focus; !f.None() {
		focus = object(u, "focus", field{"x", number(f.X)}, field{"y", number(f.Y)}, field{"radius", number(f.Radius)}, field{"fall", fall})
	}
	return object(u, "",
		field{"crop", object(u, "crop", crop...)},
		field{"panel", object(u, "panel",
			field{"size", quoted(p.Panel.Name())},
			field{"way", quoted(string(p.Panel.Way))})},
		field{"squint", number(p.Squint)},
		field{"values", object(u, "values",
			field{"count", strconv.Itoa(p.Values.K)},
			field{"cuts", object(u, "values.cuts", field{"method", quoted(string(p.Values.CutMethod))}, field{"at", cuts})},
			field{"tones", object(u, "values.tones", field{"method", quoted(string(p.Values.ToneMethod))}, field{"at", tones})})},
		field{"shapes", object(u, "shapes",
			field{"wanted", strconv.Itoa(p.Shapes.Wanted)},
			field{"brush_mm", number(p.Shapes.Brush)})},
		field{"focus", focus},
		field{"choices", choices(p.Choices)})
}

// thumbText returns a fitted thumbnail as JSON without spaces.
func thumbText(t Thumbnail, choices func(Choices) string) string {
	return object(t.unknown, "", field{"name", quoted(t.Name)}, field{"plan", planText(t.Plan, choices)})
}
