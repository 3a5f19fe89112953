package plan

import "strconv"

// choiceText returns a fitted choice as JSON without spaces.
func choiceText(c Choice) string {
	area := func(a Area) string { return list(a.ringTexts(), quoted) }
	var other, value, of, dx, dy, scale, tone, shapes, smooth, plane, depth string
	if c.valued() {
		value, of = strconv.Itoa(c.Value), strconv.Itoa(c.Of)
	}
	if c.carries() {
		dx, dy, scale = number(c.DX), number(c.DY), number(c.Scale)
	}
	switch c.What {
	case Apart:
		other = area(c.Other)
	case Add:
		tone = number(float64(c.Tone))
	case Detail:
		shapes = strconv.Itoa(c.Shapes)
	case Outline:
		smooth = number(c.Smooth)
	case PlaneIs:
		plane = quoted(string(c.Plane))
	case DepthIs:
		depth = quoted(string(c.Depth))
	}
	return object(c.unknown, "",
		field{"what", quoted(string(c.What))}, field{"off", yes(c.Off)},
		field{"area", area(c.Area)}, field{"other", other},
		field{"value", value}, field{"of", of}, field{"tone", tone},
		field{"dx", dx}, field{"dy", dy}, field{"scale", scale}, field{"mirror", yes(c.Mirror)},
		field{"shapes", shapes}, field{"smooth", smooth},
		field{"plane", plane}, field{"depth", depth})
}

// yes returns the text of a field that is there only when it is true.
func yes(b bool) string {
	if b {
		return "true"
	}
	return ""
}

// fullChoices returns a list's choices as a JSON list; nothing if it is empty.
func fullChoices(l Choices) string {
	if l.Len() == 0 {
		return ""
	}
	return list(l.List(), choiceText)
}
