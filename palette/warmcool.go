package palette

import "math"

// WarmCool returns how warm a lone colour was judged on a grey ground: above 0
// warm, below 0 cool, about -4.2 to 3.2 over all colours. Greys come out at
// -0.5, and nothing with C* below 20 comes out warm, so that the muted colours
// of a landscape nearly all read as cool: to speak of temperature within a
// picture use WarmerBy.
//
// Source: Ou, Luo, Woodcock and Wright 2004, Color Res. Appl. 29(3) 232-240:
// -0.5 + 0.02 C*^1.07 cos(h - 50 degrees), 31 observers, 20 colours.
func WarmCool(c LCh) float64 {
	return -0.5 + 0.02*math.Pow(c.C, 1.07)*cosDeg(c.H-50)
}

// WarmerBy returns how much warmer area a reads than area b: above 0 when a is
// the warmer one, below 0 when it is the cooler. This is the painter's relative
// temperature: a grey beside a blue is warm, beside an orange cool. The constant
// of WarmCool drops out, so two greys differ by 0. WarmerBy(a, b) is
// -WarmerBy(b, a). Each area is given by its mean colour, taken in linear light.
//
// Source: WarmCool's; taking the difference between areas is ours.
func WarmerBy(a, b LCh) float64 { return WarmCool(a) - WarmCool(b) }
