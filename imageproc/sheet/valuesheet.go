package sheet

import (
	"fmt"
	"math"
	"strconv"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/palette"
)

// paperNotes says what becomes of a printed value. Source: common practice; that
// ink on paper reaches neither end of the scale: of printers' blacks and whites,
// from memory.
var paperNotes = []string{
	"A printer does not give these greys by itself. Paper is about N9.5, office black about N2: what lies beyond comes out as one of them, and the greys between drift with ink, paper and settings.",
	"Print with colour management and toner saving off. Lay a bought grey scale or a grey card beside the strip, in the light you paint in: where the two agree, the strip may be trusted.",
	"Wet paint looks darker and glossier than dry print. Hold the strip flat beside the mixture, tilt both out of the glare, and compare through half-closed eyes.",
}

// valuesPage shows what is mixed, and the whole scale as a strip to be cut out.
func valuesPage(m Material, o Options) *leaf {
	l := newLeaf("values", o.Paper, false, fmt.Sprintf("%s values of the plan, and the whole scale", countWords(len(m.Figures.Tones))))
	y := l.mixed(m, l.room.Y+1)
	y = l.shareBar(m, y+7)
	y = l.scale(m, y+8)
	l.notes(y + 7)
	return l
}

func countWords(n int) string {
	if words := [...]string{2: "Two", 3: "Three", 4: "Four", 5: "Five"}; n >= 2 && n < len(words) {
		return words[n]
	}
	return strconv.Itoa(n)
}

// headLine writes a section's heading; it returns where what follows begins.
func (l *leaf) headLine(id, words string, x, y, width float64) float64 {
	l.layer(id, words, page.Text{At: page.Point{X: x, Y: y + page.Cap(sizeHead)}, Words: cutTo(words, sizeHead, true, width), Size: sizeHead, Bold: true, Ink: inkWords})
	return y + page.Cap(sizeHead) + 2.6
}

// mixed draws a patch for each of the plan's values from y down; it returns where
// it ends.
func (l *leaf) mixed(m Material, y float64) float64 {
	y = l.headLine("mixed-head", "What is mixed", l.room.X, y, l.room.W)
	n := float64(len(m.Figures.Tones))
	const space = 5
	w := (l.room.W - (n-1)*space) / n
	h := min(w, 0.16*l.room.H)
	for i, t := range m.Figures.Tones {
		r := page.Rect{X: l.room.X + float64(i)*(w+space), Y: y, W: w, H: h}
		items := []page.Item{page.Path{Lines: []page.Line{page.Box(r)}, Fill: page.Grey(t), Stroke: inkHair, Width: hair}}
		bold := fmt.Sprintf("%d \u00b7 %s", i+1, munsell(t))
		quiet := fmt.Sprintf("L* %.0f, %s", float64(t), percent(m.Figures.Shares[i]))
		l.layer(valueID(i, t), bold, append(items, captioned(r, bold, quiet)...)...)
	}
	return y + h + captionHeight
}

// shareBar draws a bar divided as the picture is among its values.
func (l *leaf) shareBar(m Material, y float64) float64 {
	y = l.headLine("shares-head", "How much of the picture each takes", l.room.X, y, l.room.W)
	const high = 8
	var items []page.Item
	x := l.room.X
	for i, t := range m.Figures.Tones {
		w := l.room.W * m.Figures.Shares[i]
		r := page.Rect{X: x, Y: y, W: w, H: high}
		items = append(items, page.Path{Lines: []page.Line{page.Box(r)}, Fill: page.Grey(t)})
		words := strconv.Itoa(i + 1)
		if page.Width(words, sizeBody, true)+1.5 < w {
			items = append(items, page.Text{At: page.Point{X: x + w/2, Y: y + high/2 + digitMiddle(sizeBody)}, Words: words, Size: sizeBody, Anchor: page.Middle, Bold: true, Ink: inkOn(t)})
		}
		x += w
	}
	items = append(items, page.Path{Lines: []page.Line{page.Box(page.Rect{X: l.room.X, Y: y, W: l.room.W, H: high})}, Stroke: inkHair, Width: hair})
	l.layer("shares", "the picture's shares", items...)
	return y + high
}

// scale draws N0 to N10 as patches that touch, on a line to be cut along, and
// above them where the plan's values lie.
func (l *leaf) scale(m Material, y float64) float64 {
	y = l.headLine("scale-head", "The whole scale, to be cut out", l.room.X, y, l.room.W)
	w := l.room.W / 11
	h := min(1.3*w, 0.11*l.room.H)
	top := y + page.Cap(sizeSmall) + 1.2 + page.Cap(sizeTick) + 5
	var items []page.Item
	for i := range 11 {
		v := palette.Value(i)
		r := page.Rect{X: l.room.X + float64(i)*w, Y: top, W: w, H: h}
		items = append(items, page.Path{Lines: []page.Line{page.Box(r)}, Fill: page.Grey(v.L())})
		middle := r.X + w/2
		items = append(items,
			page.Text{At: page.Point{X: middle, Y: y + page.Cap(sizeSmall)}, Words: "N" + strconv.Itoa(i), Size: sizeSmall, Anchor: page.Middle, Bold: true, Ink: inkWords},
			page.Text{At: page.Point{X: middle, Y: y + page.Cap(sizeSmall) + 1.2 + page.Cap(sizeTick)}, Words: fmt.Sprintf("L* %.0f", float64(v.L())), Size: sizeFor("L* 100", sizeTick, w-0.6), Anchor: page.Middle, Ink: inkQuiet},
		)
	}
	items = append(items, page.Path{Lines: []page.Line{page.Box(page.Rect{X: l.room.X, Y: top, W: l.room.W, H: h})}, Stroke: inkHair, Width: hair})
	for _, t := range m.Figures.Tones {
		x := l.room.X + (float64(t.Value())+0.5)*w
		items = append(items, page.Path{Fill: inkWords, Lines: []page.Line{triangle(page.Point{X: x, Y: top - 0.5}, 2)}})
	}
	l.layer("scale", "Munsell value 0 to 10", items...)
	below := top + h
	cut := below + 1
	l.layer("cut", "cut here", page.Path{Lines: []page.Line{line(l.room.X, cut, l.room.X+l.room.W, cut)}, Stroke: inkQuiet, Width: hair, Dash: []float64{2, 1.5}})
	words := "The marks show where the plan's values lie. N is Munsell value, 0 black to 10 white; L* is CIE lightness, 0 to 100."
	y = cut + 2
	var lines []page.Item
	for _, s := range page.Wrap(words, sizeSmall, false, l.room.W) {
		y += lead(sizeSmall)
		lines = append(lines, page.Text{At: page.Point{X: l.room.X, Y: y}, Words: s, Size: sizeSmall, Ink: inkQuiet})
	}
	l.layer("scale-words", "what the scale is", lines...)
	return y
}

// sizeFor returns a size of lettering at which words are no wider than width.
func sizeFor(words string, size, width float64) float64 {
	return min(size, size*width/page.Width(words, size, false))
}

// triangle points down to a place.
func triangle(p page.Point, size float64) page.Line {
	a, b := page.Point{X: p.X - size/2, Y: p.Y - size}, page.Point{X: p.X + size/2, Y: p.Y - size}
	return page.Line{Closed: true, Segments: []page.Segment{page.Straight(p, a), page.Straight(a, b), page.Straight(b, p)}}
}

// notes are what stands at the foot of the values, as much as there is room for.
func (l *leaf) notes(y float64) {
	end := l.room.Y + l.room.H
	if end-y < 4*lead(sizeBody) {
		return
	}
	y = l.headLine("notes-head", "What paper changes", l.room.X, y, l.room.W)
	var items []page.Item
	width := min(l.room.W, 150)
	for _, n := range paperNotes {
		lines := page.Wrap(n, sizeBody, false, width)
		if y+float64(len(lines))*lead(sizeBody) > end {
			break
		}
		for _, s := range lines {
			items = append(items, page.Text{At: page.Point{X: l.room.X, Y: y + page.Cap(sizeBody)}, Words: s, Size: sizeBody, Ink: inkWords})
			y += lead(sizeBody)
		}
		y += math.Round(sizeBody) / 2
	}
	l.layer("notes", "what paper changes", items...)
}
