package cells

import (
	"sync"

	"atelier/halflid/palette"
)

// ownGreys are the four neutral colours of the sixteen, dark to light. Users
// change them, which is why values at Colour16 are never exact.
var ownGreys = [...]uint8{0, 8, 7, 15}

// shades are the glyphs that let a share of the ink through.
var shades = [...]struct {
	glyph rune
	share float64
}{{'░', 0.25}, {'▒', 0.5}, {'▓', 0.75}}

// step is one mix of the ramp and the value that it shows.
type step struct {
	cell Cell
	l    palette.L
}

// ramp is black, the two greys and white with three shaded mixes between
// neighbours, dark to light: 13 steps. Mixes are of light, since the eye mixes
// the dots of a shaded glyph. Source: ours.
var ramp = sync.OnceValue(func() []step {
	var out []step
	light := func(i int) palette.Y { return palette.Basic16(ownGreys[i]).Linear().Y() }
	for i, grey := range ownGreys {
		out = append(out, step{Cell{Blank, 0, Index(grey)}, light(i).L()})
		if i+1 == len(ownGreys) {
			break
		}
		for _, s := range shades {
			y := light(i) + palette.Y(s.share)*(light(i+1)-light(i))
			out = append(out, step{Cell{s.glyph, Index(ownGreys[i+1]), Index(grey)}, y.L()})
		}
	}
	return out
})

// figures are the values that figures stand for, dark to light: 11 steps.
var figures = sync.OnceValue(func() []step {
	var out []step
	for v := palette.Value(0); v <= 10; v++ {
		out = append(out, step{Cell{Glyph: Figure(v)}, v.L()})
	}
	return out
})

// nearestStep returns the step nearest to l; halfway between two the lighter.
func nearestStep(steps []step, l palette.L) step {
	i := 0
	for i+1 < len(steps) && steps[i+1].l-l <= l-steps[i].l {
		i++
	}
	return steps[i]
}
