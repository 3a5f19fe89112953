package sheet

import (
	"image"
	"image/color"
	"strings"

	"golang.org/x/image/font/inconsolata"
	"golang.org/x/image/math/fixed"

	"atelier/halflid/palette"
)

// lettering is drawn letters of one width, so that nothing depends on how a
// machine draws curves.
var lettering = inconsolata.Regular8x16

// Sizes of a letter in pixels, at scale 1.
const (
	letterWidth  = 8
	letterHeight = 17 // of the lettering, ascent and descent
)

// inkValue is the lettering's: black, which on the ground reads better than
// white. Source: contrast ratio of WCAG 2.2; the test reckons it.
const inkValue palette.Value = 0

const ellipsis = '…'

// plainer are signs that the lettering lacks and a plainer one says as well.
var plainer = strings.NewReplacer("\u2010", "-", "\u2011", "-", "\u2013", "-", "\u2014", "-", "\u2212", "-",
	"\u2018", "'", "\u2019", "'", "\u201a", "'", "\u201c", `"`, "\u201d", `"`, "\u201e", `"`, "\u00a0", " ", "\u202f", " ")

// lettersOf returns s letter by letter, with "?" for what cannot be lettered.
func lettersOf(s string) []rune {
	out := []rune(plainer.Replace(s))
	for i, r := range out {
		if _, ok := lettering.GlyphAdvance(r); !ok || r == '\ufffd' {
			out[i] = '?'
		}
	}
	return out
}

// cut returns at most n of the letters, at least one; the last is an ellipsis if
// any are left away.
func cut(letters []rune, n int) []rune {
	n = max(n, 1)
	if len(letters) <= n {
		return letters
	}
	return append(letters[:n-1:n-1], ellipsis)
}

func grey(v palette.Value) color.Gray { return color.Gray{Y: palette.Grey(v.Y()).G} }

// write letters a line with its upper left corner at at.
func (h hanging) write(dst *image.Gray, at image.Point, line []rune) {
	ink := int(grey(inkValue).Y)
	for i, r := range line {
		box, mask, from, _, ok := lettering.Glyph(fixed.P(i*letterWidth, lettering.Ascent), r)
		if !ok {
			continue
		}
		for y := range box.Dy() {
			for x := range box.Dx() {
				_, _, _, a := mask.At(from.X+x, from.Y+y).RGBA()
				if a == 0 {
					continue
				}
				corner := at.Add(box.Min.Add(image.Pt(x, y)).Mul(h.scale))
				for sy := range h.scale {
					for sx := range h.scale {
						o := dst.PixOffset(corner.X+sx, corner.Y+sy)
						g := int(dst.Pix[o])
						dst.Pix[o] = uint8((g*(255-int(a>>8)) + ink*int(a>>8) + 127) / 255)
					}
				}
			}
		}
	}
}
