package photo

import "atelier/halflid/palette"

// insideSRGB returns a colour of linear light that sRGB can show. Colours that
// it can show already come back as they are. Others keep their luminance Y and
// their hue in linear light and lose only as much saturation as they must: they
// move straight towards the grey of the same Y until no channel lies outside 0
// to 1. A value plan depends on Y, so Y is what is kept; cutting each channel by
// itself would turn the red of Display P3, Y 0.229, into one of 0.213.
// Source: ours.
func insideSRGB(r, g, b float32) (float32, float32, float32) {
	if r >= 0 && r <= 1 && g >= 0 && g <= 1 && b >= 0 && b <= 1 {
		return r, g, b
	}
	y := float32(palette.RedY*r) + float32(palette.GreenY*g) + float32(palette.BlueY*b)
	if y <= 0 {
		return 0, 0, 0
	}
	if y >= 1 {
		return 1, 1, 1
	}
	keep := min(room(r, y), room(g, y), room(b, y))
	return unit(y + float32(keep*(r-y))), unit(y + float32(keep*(g-y))), unit(y + float32(keep*(b-y)))
}

// room returns the share of the way from y to v that lies within 0 to 1.
func room(v, y float32) float32 {
	switch {
	case v < 0:
		return y / (y - v)
	case v > 1:
		return (1 - y) / (v - y)
	}
	return 1
}
