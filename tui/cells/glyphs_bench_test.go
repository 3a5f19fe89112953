package cells_test

import (
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

// BenchmarkEncode encodes 200x60 cells of a noisy scene, or a plan of it.
func BenchmarkEncode(b *testing.B) {
	for _, d := range []cells.Depth{cells.TrueColour, cells.Colour256} {
		for glyphs := cells.HalfBlocks; glyphs <= cells.Sextants; glyphs++ {
			per := glyphs.Per()
			pic := scene(200*per.X, 60*per.Y)
			few := plan(pic, 2)
			for _, c := range []struct {
				name  string
				tones []palette.SRGB
			}{{"photo", nil}, {"plan", cells.InksIn(few, 4)}} {
				g := cells.Grid{Glyphs: glyphs}
				g.SetTones(c.tones)
				r := pic
				if c.tones != nil {
					r = few
				}
				b.Run(d.String()+"/"+glyphs.String()+"/"+c.name, func(b *testing.B) {
					b.ReportAllocs()
					for b.Loop() {
						cells.Encode(&g, r, d)
					}
				})
			}
		}
	}
}
