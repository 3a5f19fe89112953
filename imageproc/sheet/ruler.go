package sheet

import (
	"strconv"

	"atelier/halflid/imageproc/page"
)

// ruler is a line with millimetres above and inches below it: laid beside a real
// one it shows whether the page came out at its true size.
type ruler struct{ mm, inches int }

// rulerHeight is that of the ruler with its figures.
const rulerHeight = 2*(figureHeight+0.5) + 2*tickLong

const (
	figureHeight = 0.72 * sizeTick // height of the figures
	tickLong     = 2.4
)

// rulerOf returns the ruler for a paper of that width: 100 mm and 4 in, half of
// that where they find no room.
func rulerOf(w float64) ruler {
	if w-2*margin < (ruler{100, 4}).length() {
		return ruler{50, 2}
	}
	return ruler{100, 4}
}

// length is that of the longer scale with half a figure.
func (r ruler) length() float64 {
	return max(float64(r.mm)+page.Width(strconv.Itoa(r.mm), sizeTick, false)/2, float64(r.inches)*page.Inch+1)
}

// items draws the ruler with its upper left corner at at.
func (r ruler) items(at page.Point) []page.Item {
	y := at.Y + rulerHeight/2
	long := max(float64(r.mm), float64(r.inches)*page.Inch)
	ticks := []page.Line{line(at.X, y, at.X+long, y)}
	for i := range r.mm + 1 {
		x := at.X + float64(i)
		ticks = append(ticks, line(x, y, x, y-tick(i, 10, 5)))
	}
	for i := range 8*r.inches + 1 {
		x := at.X + float64(i)*page.Inch/8
		ticks = append(ticks, line(x, y, x, y+tick(i, 8, 4)))
	}
	out := []page.Item{page.Path{Lines: ticks, Stroke: inkLine, Width: hair}}
	above, below := at.Y+figureHeight, at.Y+rulerHeight
	word := func(x, y float64, words string, a page.Anchor) {
		out = append(out, page.Text{At: page.Point{X: x, Y: y}, Words: words, Size: sizeTick, Anchor: a, Ink: inkQuiet})
	}
	word(at.X, above, "0 mm", page.Start)
	for i := 50; i <= r.mm; i += 50 {
		word(at.X+float64(i), above, strconv.Itoa(i), page.Middle)
	}
	word(at.X, below, "0 in", page.Start)
	for i := 1; i <= r.inches; i++ {
		word(at.X+float64(i)*page.Inch, below, strconv.Itoa(i), page.Middle)
	}
	return out
}

// tick returns how long mark i is: the longest at each whole, shorter at each half.
func tick(i, whole, half int) float64 {
	switch {
	case i%whole == 0:
		return tickLong
	case i%half == 0:
		return 0.7 * tickLong
	}
	return 0.45 * tickLong
}

// line returns one straight line.
func line(x0, y0, x1, y1 float64) page.Line {
	return page.Line{Segments: []page.Segment{page.Straight(page.Point{X: x0, Y: y0}, page.Point{X: x1, Y: y1})}}
}
