package main

import (
	"fmt"
	"image"
	"strings"
	"unicode/utf8"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
	terminfo "atelier/halflid/tui/term"
)

// cardSteps are the values of the three scales of the test card: all of them, in
// whole steps; the darkest and the lightest in half steps, the least that a
// painter mixes on purpose.
var cardSteps = struct{ scale, dark, light []palette.Value }{
	[]palette.Value{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10},
	[]palette.Value{0, 0.5, 1, 1.5, 2},
	[]palette.Value{8, 8.5, 9, 9.5, 10},
}

// tints returns a grey of value 5 between a warm and a cool colour of about the
// same value: weak ones where colours are exact, else the weakest that the
// terminal has near that value.
func tints(d cells.Depth) []palette.SRGB {
	warm, cool := palette.SRGB{R: 134, G: 120, B: 103}, palette.SRGB{R: 105, G: 124, B: 139}
	if d == cells.Colour256 {
		warm, cool = palette.SRGB{R: 135, G: 135, B: 95}, palette.SRGB{R: 95, G: 135, B: 135}
	}
	return []palette.SRGB{warm, palette.Grey(palette.Value(5).Y()), cool}
}

// card writes the test card.
func card(b *strings.Builder, f terminfo.Found) {
	cols := f.Cols
	if cols == 0 {
		cols = 80
	}
	// The widest scale is 11 bands with a margin on either side.
	wide := min(max((cols-2*margin)/len(cardSteps.scale), 2), 6)
	indent := strings.Repeat(" ", margin)
	b.WriteString("Value scale, black to white\n")
	bands(b, f.Depth, greys(cardSteps.scale), wide)
	labels := indent
	for _, v := range cardSteps.scale {
		labels += fmt.Sprintf("%-*s", wide, number(float64(v)))
	}
	b.WriteString(strings.TrimRight(labels, " ") + "\n")
	b.WriteString("Each band must stand apart from its neighbours. Where two run together, turn the\nscreen's brightness up for darks, down for lights; a bright room hides darks first.\n")
	if !f.Depth.Approximate() {
		left := "Darkest: 0, ½, 1, 1½, 2"
		gap := max(len(cardSteps.dark)*wide+2*margin+2-utf8.RuneCountInString(left), 2)
		b.WriteString("\n" + left + strings.Repeat(" ", gap) + "Lightest: 8, 8½, 9, 9½, 10\n")
		twoScales(b, f.Depth, wide)
		b.WriteString("Five steps on either side. Steps that you cannot see here, do not judge in a photo:\nkeep your darkest dark and lightest light a whole value clear of the ends.\n")
		b.WriteString("\nWarm, grey, cool: about one value\n")
		bands(b, f.Depth, tints(f.Depth), 2*wide)
		b.WriteString("The middle must look grey. If it is tinted, turn off the screen's night or warm\nlight, and any tint of the terminal's own.\n")
	}
	if f.UTF8 {
		glyphs(b)
	}
}

func greys(vs []palette.Value) []palette.SRGB {
	out := make([]palette.SRGB, len(vs))
	for i, v := range vs {
		out[i] = palette.Grey(v.Y())
	}
	return out
}

// bandRows is the height of a band in cells, margin the width of the middle grey
// on either side of the bands: black and white must be seen on every ground.
const (
	bandRows = 2
	margin   = 2
)

// bands writes bands of those colours, each a tone of its own, with nothing
// between them.
func bands(b *strings.Builder, d cells.Depth, colours []palette.SRGB, wide int) {
	r := imageproc.NewRaster(len(colours)*wide+2*margin, 2*bandRows)
	r.Fill(palette.Grey(palette.Value(5).Y()))
	for y := range r.H {
		for x := margin; x < r.W-margin; x++ {
			r.Set(x, y, colours[(x-margin)/wide])
		}
	}
	var g cells.Grid
	g.SetTones(colours)
	cells.Encode(&g, r, d)
	if d == cells.NoColour {
		g.Bare(image.Rect(margin, 0, r.W-margin, r.H))
	}
	_ = g.Print(b) // a Builder takes everything
}

// twoScales writes the dark and the light steps beside each other, two columns
// of the terminal's own ground between them.
func twoScales(b *strings.Builder, d cells.Depth, wide int) {
	var dark, light strings.Builder
	bands(&dark, d, greys(cardSteps.dark), wide)
	bands(&light, d, greys(cardSteps.light), wide)
	right := strings.Split(light.String(), "\n")
	for i, left := range strings.Split(dark.String(), "\n") {
		if left != "" {
			b.WriteString(left + "  " + right[i] + "\n")
		}
	}
}

// glyphs shows which finer glyphs the font has: a chequer of each kind's pixels,
// a frame, and its corners.
func glyphs(b *strings.Builder) {
	b.WriteString("\nGlyphs: how many squares in each place\n")
	for _, g := range []struct{ name, row, squares string }{
		{"halves", "▀▄▀▄▀▄ █▀▀█▄▄█", "two"},
		{cells.Quadrants.String(), "▚▚▚▚▚▚ ▛▀▜▙▄▟ ▖▗▘▝", "four small ones"},
		{cells.Sextants.String(), "🬗🬗🬗🬗🬗🬗 🬕🬂🬨🬲🬭🬷 🬏🬞🬀🬁", "six"},
	} {
		fmt.Fprintf(b, "  %-10s %-19s %s\n", g.name, g.row, g.squares)
	}
	b.WriteString("Pictures need the halves: two even squares in each place, with no gap between rows.\n" +
		"Gaps: set the line spacing to 1; boxes or nothing there: take another font. Four\n" +
		"small squares, no gaps: quadrants; six: sextants, either draws shapes more finely.\n" +
		"Boxes, question marks or ragged edges in those rows: stay with half blocks.\n")
}
