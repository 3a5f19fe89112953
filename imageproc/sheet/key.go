package sheet

import (
	"strconv"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/palette"
)

// keyHeight is that of the row that says which number is which tone.
const keyHeight = 5

// keyGap is between it and the picture below.
const keyGap = 2.5

// valueKey draws a patch for each tone with its number and Munsell value, in a row
// from at to the right, at most width wide.
func valueKey(tones []palette.L, at page.Point, width float64) []page.Item {
	const patch = 8
	step := min(width/float64(len(tones)), 34)
	var out []page.Item
	for i, t := range tones {
		r := page.Rect{X: at.X + float64(i)*step, Y: at.Y, W: patch, H: keyHeight}
		out = append(out,
			page.Path{Lines: []page.Line{page.Box(r)}, Fill: page.Grey(t), Stroke: inkHair, Width: hair},
			page.Text{At: page.Point{X: r.X + patch/2, Y: r.Y + keyHeight/2 + digitMiddle(sizeBody)}, Words: strconv.Itoa(i + 1), Size: sizeBody, Anchor: page.Middle, Bold: true, Ink: inkOn(t)},
			page.Text{At: page.Point{X: r.X + patch + 1.5, Y: r.Y + keyHeight/2 + digitMiddle(sizeBody)}, Words: munsell(t), Size: sizeBody, Ink: inkWords},
		)
	}
	return out
}

// inkOn returns the ink that reads on a tone: black or white, whichever contrasts
// more. Source: contrast ratio of WCAG 2.2 (equal for both at Y 0.179).
func inkOn(t palette.L) page.Ink {
	const level = 0.1791 // sqrt(1.05 * 0.05) - 0.05
	if float64(t.Y()) > level {
		return inkWords
	}
	return inkPaper
}
