package plan

import (
	"math"
	"strconv"
	"strings"

	"atelier/halflid/palette"
)

// ParseCrop reads a crop given as "x,y,w" or, for a free panel, "x,y,w,h": the
// left edge, upper edge, width and height in fractions of the photo's width and
// height, 0 to 1. Without a height H is 0. Errors wrap ErrWords. Whether the
// crop fits a panel is left to SetCrop.
func ParseCrop(s string) (Crop, error) {
	const form = "write its left edge, upper edge and width (and height, for a free panel) as parts of the photo, such as 0.1,0.2,0.5"
	fields := strings.Split(s, ",")
	if len(fields) != 3 && len(fields) != 4 {
		return Crop{}, badWords("the crop %q is not three or four numbers: %s", s, form)
	}
	var n [4]float64
	names := [4]string{"left edge", "upper edge", "width", "height"}
	for i, field := range fields {
		v, ok := plainNumber(field)
		switch {
		case !ok:
			return Crop{}, badWords("the crop's %s %q is not a number: %s", names[i], strings.TrimSpace(field), form)
		case i >= 2 && v == 0:
			return Crop{}, badWords("the crop's %s is 0: there would be nothing of the photo in it", names[i])
		case v < 0 || v > 1:
			return Crop{}, badWords("the crop's %s %s lies outside the photo: it is a part of the photo, from 0 to 1", names[i], number(v))
		}
		n[i] = v
	}
	c := Crop{n[0], n[1], n[2], n[3]}
	if c.X+c.W > 1+1e-9 || c.Y+c.H > 1+1e-9 {
		return Crop{}, badWords("the crop %q reaches past the photo's edge: left edge and width, upper edge and height, may make 1 at most", s)
	}
	return c, nil
}

// ParseBox reads a part of the photo given as a rectangle, "x0,y0,x1,y1": two
// opposite corners in fractions of the photo's width and height, 0 to 1. Errors
// wrap ErrWords.
func ParseBox(s string) (Area, error) {
	const form = "write its left, upper, right and lower edge as parts of the photo, such as 0.1,0.2,0.3,0.5"
	fields := strings.Split(s, ",")
	if len(fields) != 4 {
		return Area{}, badWords("the box %q is not four numbers: %s", s, form)
	}
	var n [4]float64
	names := [4]string{"left edge", "upper edge", "right edge", "lower edge"}
	for i, field := range fields {
		v, ok := plainNumber(field)
		switch {
		case !ok:
			return Area{}, badWords("the box's %s %q is not a number: %s", names[i], strings.TrimSpace(field), form)
		case v < 0 || v > 1:
			return Area{}, badWords("the box's %s %s lies outside the photo: it is a part of the photo, from 0 to 1", names[i], number(v))
		}
		n[i] = v
	}
	a := BoxArea(n[0], n[1], n[2], n[3])
	if a.Empty() {
		return Area{}, badWords("the box %q has no width or no height: %s", s, form)
	}
	return a, nil
}

// ParseFocus reads a focal point given as "x,y" or "x,y,radius" in fractions of
// the photo's width, height and long side, with "gentle" or "strong" after it if
// detail falls off so, or "none". Errors wrap ErrWords.
func ParseFocus(s string) (Focus, error) {
	if strings.EqualFold(strings.TrimSpace(s), "none") {
		return Focus{}, nil
	}
	const form = "write its place as parts of the photo's width and height, such as 0.4,0.5, and a radius if you like, 0.4,0.5,0.2, and how detail falls off, 0.4,0.5,0.2,strong or gentle; or none"
	names := [3]string{"place across", "place down", "radius"}
	fields := strings.Split(s, ",")
	fall := FallUsual
	if n := len(fields); n > 2 {
		switch last := Fall(strings.ToLower(strings.TrimSpace(fields[n-1]))); last {
		case FallGentle, FallStrong:
			fall, fields = last, fields[:n-1]
		}
	}
	if len(fields) != 2 && len(fields) != 3 {
		return Focus{}, badWords("the focal point %q is not two or three numbers: %s", s, form)
	}
	n := [3]float64{2: UsualRadius}
	for i, field := range fields {
		v, ok := plainNumber(field)
		switch {
		case !ok:
			return Focus{}, badWords("the focal point's %s %q is not a number: %s", names[i], strings.TrimSpace(field), form)
		case i < 2 && (v < 0 || v > 1):
			return Focus{}, badWords("the focal point's %s %s lies outside the photo: it is a part of the photo, from 0 to 1", names[i], number(v))
		case i == 2 && (v < minRadius || v > 1):
			return Focus{}, badWords("the focal point's radius %s is out of range: it is a part of the photo's long side, from %s to 1", number(v), number(minRadius))
		}
		n[i] = v
	}
	return Focus{n[0], n[1], n[2], fall}, nil
}

// ParseCuts reads how to cut: "nested", "least" (or "least error"), "equal" (or "equal
// steps"), or the cuts by hand in Munsell value from dark to light, "3.5,6.2".
// The cuts are nil unless by hand. Errors wrap ErrWords.
func ParseCuts(s string) (CutMethod, []palette.Value, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "nested":
		return CutNested, nil, nil
	case "least", "least error":
		return CutLeastError, nil, nil
	case "equal", "equal steps":
		return CutEqualSteps, nil, nil
	}
	cuts, err := parseValues(s, "cut", "nested, least, equal, or cuts in Munsell value from dark to light such as 3.5,6.2", float64(MinGap), 10-float64(MinGap))
	if err != nil {
		return "", nil, err
	}
	if len(cuts) > MaxK-1 {
		return "", nil, badWords("%d cuts make %d values: at most %d cuts, for %d values", len(cuts), len(cuts)+1, MaxK-1, MaxK)
	}
	return CutByHand, cuts, nil
}

// ParseTones reads how to choose tones: "mean", "fixed", or one tone for each
// value in Munsell value from dark to light, "2,5,8". The tones are nil unless
// by hand. Errors wrap ErrWords.
func ParseTones(s string) (ToneMethod, []palette.Value, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "mean":
		return ToneMean, nil, nil
	case "fixed":
		return ToneFixed, nil, nil
	}
	tones, err := parseValues(s, "tone", "mean, fixed, or one tone for each value in Munsell value from dark to light such as 2,5,8", 0, 10)
	if err != nil {
		return "", nil, err
	}
	if len(tones) < MinK || len(tones) > MaxK {
		return "", nil, badWords("a plan has %d to %d values, and a tone for each: %q are not so many", MinK, MaxK, s)
	}
	return ToneByHand, tones, nil
}

// parseValues reads a list of Munsell values in rising order within lo..hi.
func parseValues(s, what, form string, lo, hi float64) ([]palette.Value, error) {
	var out []palette.Value
	for _, field := range strings.Split(s, ",") {
		v, ok := plainNumber(field)
		switch {
		case !ok:
			return nil, badWords("%q is no way to choose %ss: write %s", s, what, form)
		case v < lo || v > hi:
			return nil, badWords("the %s %s lies outside the value scale: it goes from %s to %s", what, number(v), number(lo), number(hi))
		}
		n := palette.Value(round(v, valueUnits))
		if len(out) > 0 && hundredths(n)-hundredths(out[len(out)-1]) < hundredths(MinGap) {
			return nil, badWords("the %ss %q are out of order or too near each other: write them from dark to light, at least %s apart", what, s, number(float64(MinGap)))
		}
		out = append(out, n)
	}
	return out, nil
}

// plainNumber reads a decimal number without exponent or sign words.
func plainNumber(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if s == "" || len(s) > 20 || strings.Trim(s, "-0123456789.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v + 0, err == nil && !math.IsInf(v, 0)
}
