package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// Widths of the drawing's lines in millimetres: a pencil's, and a finer one for
// drawings much smaller than a panel.
const (
	pencilLine = 0.35
	smallLine  = 0.25
)

// outlinePages draws the masses at the panel's true size, on as many pages as that
// takes.
func outlinePages(m Material, o Options) ([]*leaf, error) {
	w, h, words := trueSize(m, o)
	t := tilesOn(o.Paper, w, h, keyHeight+keyGap)
	if t.across*t.down > mostTiles {
		return nil, fmt.Errorf("a panel of %s by %s mm takes %d pages of paper %s: choose larger paper", short(w), short(h), t.across*t.down, o.Paper.Name)
	}
	var marks []page.Rect
	for _, p := range t.marks() {
		marks = append(marks, around(p))
	}
	joins := t.joins()
	if o.Mirror { // grids turn with the drawing, tiles do not; numbers are placed before it is turned
		for i := range marks {
			marks[i].X = w - marks[i].X - marks[i].W
		}
		for i, j := range joins {
			joins[i] = aside{page.Point{X: w - j.a.X, Y: j.a.Y}, page.Point{X: w - j.b.X, Y: j.b.Y}}
		}
	}
	numbers := placeNumbers(m.Map, w, h, numberSize(w, h), sizeSmall, append(joins, gridLines(o.Grid, w, h)...), marks)
	var out []*leaf
	for y := range t.down {
		for x := range t.across {
			out = append(out, outlinePage(m, o, t, x, y, words, numbers))
		}
	}
	return out, nil
}

// numberSize is that of the largest numbers on a picture.
func numberSize(w, h float64) float64 { return min(7, max(3.2, max(w, h)/45)) }

// gridLines returns a grid's lines on the picture in millimetres.
func gridLines(g plan.Grid, w, h float64) []aside {
	var out []aside
	for _, l := range g.Lines(w, h) {
		out = append(out, aside{page.Point{X: l.A.X * w, Y: l.A.Y * h}, page.Point{X: l.B.X * w, Y: l.B.Y * h}})
	}
	return out
}

// trueSize returns the width and height of the picture on the panel in
// millimetres, and says what size that is.
func trueSize(m Material, o Options) (w, h float64, words string) {
	p := m.Plan.Panel
	if !p.Free() {
		w, h = p.Size(plan.Millimetre)
		other := plan.Centimetre
		if p.Unit != plan.Inch {
			other = plan.Inch
		}
		return w, h, fmt.Sprintf("%s (%s)", p, p.In(other))
	}
	size := m.Figures.Crop.Size()
	aspect := float64(size.X) / float64(size.Y)
	long, from := o.Long, "as asked for"
	if long == 0 {
		long, from = longestOn(o.Paper, aspect), "as large as the paper takes"
	}
	w, h = long, long/aspect
	if aspect < 1 {
		w, h = long*aspect, long
	}
	return w, h, fmt.Sprintf("free panel, %s: %s x %s cm", from, short(w/10), short(h/10))
}

// longestOn returns the long side of the largest picture that fits on one page, in
// whole 5 mm.
func longestOn(p page.Paper, aspect float64) float64 {
	best := 0.0
	for _, turned := range []bool{false, true} {
		r := roomOn(p, turned)
		w := min(r.W, (r.H-keyHeight-keyGap)*aspect)
		best = max(best, max(w, w/aspect))
	}
	return max(leastLongMM, math.Floor(best/5)*5)
}

func outlinePage(m Material, o Options, t tiling, x, y int, words string, numbers []number) *leaf {
	name, kind := "outline", []string{"Outline at true size", words}
	if o.Mirror {
		kind[0] += ", mirrored"
	}
	if !o.Grid.None() {
		kind = append(kind, "grid: "+o.Grid.String())
	}
	if !t.one() {
		name += "-" + strings.ToLower(t.name(x, y))
		kind[0] = "Tile " + t.name(x, y) + " of " + strconv.Itoa(t.across*t.down) + ", true size"
		if o.Mirror {
			kind[0] += ", mirrored"
		}
	}
	l := newLeaf(name, o.Paper, t.turned, strings.Join(kind, " \u00b7 "))
	room := l.room
	l.layer("key", "what the numbers stand for", valueKey(m.Figures.Tones, page.Point{X: room.X, Y: room.Y}, room.W)...)
	room.Y, room.H = room.Y+keyHeight+keyGap, room.H-keyHeight-keyGap
	part := t.tile(x, y)
	clip := page.Rect{X: room.X + (room.W-part.W)/2, Y: room.Y + (room.H-part.H)/2, W: part.W, H: part.H}
	d := drawing{m: m.Map, at: page.Rect{X: clip.X - part.X, Y: clip.Y - part.Y, W: t.w, H: t.h}, mirror: o.Mirror}
	l.outline(m, o, d, clip)
	if !o.Light {
		l.layer("numbers", "the number of each mass's value", numbersOn(d, numbers, clip, o, m.Figures.Tones)...)
	}
	if room.W-part.W >= 2*nameRoom {
		l.layer("grid-names", "the grid's columns and rows", d.gridNames(o.Grid, t.w, t.h, clip)...)
	}
	if !t.one() {
		l.tileMarks(t, x, y, d.at, clip, o.Fill)
	}
	return l
}

// outline draws borders or filled masses, the grid, and the panel's edge.
func (l *leaf) outline(m Material, o Options, d drawing, clip page.Rect) {
	within := func(items ...page.Item) page.Item { return page.Group{Clip: clip, Items: items} }
	tones, ink, gridInk := m.Figures.Tones, inkLine, inkHair
	if o.Light {
		ink, gridInk = inkFaint, inkFaint
	}
	for v, lines := range d.borders(len(tones)) {
		title := fmt.Sprintf("value %d, %s", v+1, munsell(tones[v]))
		switch {
		case o.Fill:
			l.layer(valueID(v, tones[v]), title, within(d.filled(v, tones[v])))
		case len(lines) > 0:
			l.layer(valueID(v, tones[v]), title+", borders with lighter values", within(page.Path{Lines: lines, Stroke: ink, Width: pencilLine}))
		}
	}
	if grid := d.gridOver(o.Grid, d.at.W, d.at.H, o.Fill, gridInk); len(grid) > 0 {
		l.layer("grid", "grid: "+o.Grid.String(), within(grid...))
	}
	l.layer("panel", "the panel's edge", page.Group{Clip: grown(clip, 0.5), Items: []page.Item{
		page.Path{Lines: []page.Line{page.Box(d.at)}, Stroke: inkLine, Width: fine},
	}})
}

// grown returns a rectangle larger by by on all sides.
func grown(r page.Rect, by float64) page.Rect {
	return page.Rect{X: r.X - by, Y: r.Y - by, W: r.W + 2*by, H: r.H + 2*by}
}

// numbersOn returns the numbers that lie whole within clip, with their lines.
func numbersOn(d drawing, numbers []number, clip page.Rect, o Options, tones []palette.L) []page.Item {
	var out []page.Item
	for _, n := range numbers {
		at := d.onPage(n.at.X/d.at.W, n.at.Y/d.at.H)
		r := half(n.size)
		if at.X-r < clip.X || at.X+r > clip.X+clip.W || at.Y-r < clip.Y || at.Y+r > clip.Y+clip.H {
			continue
		}
		ink := inkWords
		if o.Fill {
			ink = inkOn(tones[n.on])
		}
		if n.led {
			out = append(out, page.Group{Clip: clip, Items: leader(d.onPage(n.from.X/d.at.W, n.from.Y/d.at.H), at, r, ink, o.Fill)})
		}
		out = append(out, page.Text{At: page.Point{X: at.X, Y: at.Y + digitMiddle(n.size)}, Words: strconv.Itoa(n.value + 1), Size: n.size, Anchor: page.Middle, Ink: ink})
	}
	return out
}

// leader is a dot in a small mass with a line to the number beside it. Over tones
// a light line lies under it: it crosses from one mass into another.
func leader(from, to page.Point, reach float64, ink page.Ink, onTones bool) []page.Item {
	far := math.Hypot(to.X-from.X, to.Y-from.Y)
	k := max(0, far-reach) / far
	l := line(from.X, from.Y, from.X+k*(to.X-from.X), from.Y+k*(to.Y-from.Y))
	dot := ring(from, 0.35)
	if !onTones {
		return []page.Item{page.Path{Lines: []page.Line{l}, Stroke: ink, Width: hair}, page.Path{Lines: []page.Line{dot}, Fill: ink}}
	}
	return []page.Item{
		page.Path{Lines: []page.Line{l}, Stroke: inkPaper, Width: 3 * hair},
		page.Path{Lines: []page.Line{ring(from, 0.55)}, Fill: inkPaper},
		page.Path{Lines: []page.Line{l}, Stroke: inkWords, Width: hair},
		page.Path{Lines: []page.Line{dot}, Fill: inkWords},
	}
}

// tileMarks draws what tiles are joined by, and the key at the head.
func (l *leaf) tileMarks(t tiling, x, y int, at, clip page.Rect, onTones bool) {
	var joins, crosses []page.Line
	for _, j := range t.joins() {
		joins = append(joins, line(at.X+j.a.X, at.Y+j.a.Y, at.X+j.b.X, at.Y+j.b.Y))
	}
	for _, p := range t.marks() {
		crosses = append(crosses, mark(page.Point{X: at.X + p.X, Y: at.Y + p.Y})...)
	}
	var under []page.Item
	if onTones {
		under = []page.Item{page.Path{Lines: append(joins, crosses...), Stroke: inkPaper, Width: 4 * hair}}
	}
	l.layer("joins", "where tiles are cut and laid together", page.Group{Clip: clip, Items: append(under,
		page.Path{Lines: joins, Stroke: inkQuiet, Width: hair, Dash: []float64{2, 1.5}},
		page.Path{Lines: crosses, Stroke: inkLine, Width: hair},
	)})
	items, w := t.key(page.Point{X: l.W - margin, Y: margin}, x, y)
	l.layer("tiles", "which tile this is", items...)
	l.own = w + gap
}
