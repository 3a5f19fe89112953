package sheet

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// drawing is the plan laid over a rectangle of a page.
type drawing struct {
	c      *composer
	at     page.Rect
	mirror bool
}

// to leads from pixels of the outlines to the page.
func (d drawing) to(p contour.Point) page.Point {
	x := p.X / float64(d.c.m.outlines.W)
	if d.mirror {
		x = 1 - x
	}
	return page.Point{X: d.at.X + x*d.at.W, Y: d.at.Y + p.Y/float64(d.c.m.outlines.H)*d.at.H}
}

func (d drawing) line(segments []contour.Segment, closed bool) page.Line {
	out := page.Line{Closed: closed}
	for _, s := range segments {
		out.Segments = append(out.Segments, page.Segment{From: d.to(s.From), C1: d.to(s.C1), C2: d.to(s.C2), To: d.to(s.To), Straight: s.Straight})
	}
	return out
}

// lines returns the borders of the masses.
func (d drawing) lines(ink page.Ink, width float64) page.Item {
	p := page.Path{Stroke: ink, Width: width}
	for _, ch := range d.c.m.outlines.Chains {
		if !ch.Edge {
			p.Lines = append(p.Lines, d.line(ch.Segments, ch.Closed))
		}
	}
	return p
}

// mass returns all masses of a value, filled.
func (d drawing) mass(value int, tone palette.L) page.Item {
	p := page.Path{Fill: page.Grey(tone)}
	for _, ring := range d.c.m.outlines.Rings(value) {
		p.Lines = append(p.Lines, d.line(ring, true))
	}
	return p
}

// filled returns the masses of the named values in their tones, one item a value.
func (d drawing) filled(values ...int) []page.Item {
	var out []page.Item
	for _, v := range values {
		out = append(out, d.mass(v, d.c.m.figures.Tones[v]))
	}
	return out
}

func (c *composer) allValues() []int {
	out := make([]int, len(c.m.figures.Tones))
	for i := range out {
		out[i] = i
	}
	return out
}

// panelSize returns the sides of the drawing in millimetres; for a panel of no
// size those that o.Long says, or that fit the paper, and true.
func (c *composer) panelSize() (w, h float64, chosen bool) {
	if w, h = c.m.plan.Panel.Size(plan.Millimetre); w > 0 {
		return w, h, false
	}
	size := c.m.figures.Size
	ratio := float64(size.X) / float64(size.Y)
	if c.o.Long > 0 {
		if ratio >= 1 {
			return c.o.Long, c.o.Long / ratio, true
		}
		return c.o.Long * ratio, c.o.Long, true
	}
	room := roomOn(c.o.Paper.W, c.o.Paper.H)
	if ratio >= 1 {
		room = roomOn(c.o.Paper.H, c.o.Paper.W)
	}
	r := fit(room, ratio)
	return math.Floor(r.W), math.Floor(r.W) / ratio, true
}

// outline lays out the drawing at true size, on as many pages as it needs.
func (c *composer) outline() {
	w, h, chosen := c.panelSize()
	t := tilesFor(c.o.Paper, w, h)
	what := "outline for " + c.m.plan.Panel.String()
	if chosen {
		what = fmt.Sprintf("outline, %.0f by %.0f mm: the panel has no size of its own", w, h)
	}
	if c.o.Mirror {
		what += ", left and right exchanged"
	}
	if g := c.o.Grid; !g.None() {
		what += ", grid: " + g.String()
	}
	for row := range t.down {
		for col := range t.across {
			name, words := "outline", what
			if t.across*t.down > 1 {
				name = fmt.Sprintf("outline-%d", row*t.across+col+1)
				words += fmt.Sprintf("; part %d of %d, row %d, column %d: trim at the marks, lay over by %d mm", row*t.across+col+1, t.across*t.down, row+1, col+1, overlap)
			}
			c.outlinePage(name, words, t, row, col, w, h)
		}
	}
}

func (c *composer) outlinePage(name, words string, t tiles, row, col int, w, h float64) {
	p := c.begin(name, words, t.turned)
	p.layer("key", "Values", c.key(page.Point{X: margin, Y: margin + 11}, p.room.W))
	x, y := t.origin(row, col)
	one := t.across*t.down == 1
	at := page.Rect{X: p.room.X - x, Y: p.room.Y - y, W: w, H: h}
	clip := page.Rect{}
	if one {
		at.X, at.Y = p.room.X+(p.room.W-w)/2, p.room.Y+(p.room.H-h)/2
	} else {
		clip = p.room
	}
	d := drawing{c: c, at: at, mirror: c.o.Mirror}
	line, width := dark, 0.3
	if c.o.Light {
		line, width = faint, 0.25
	}
	put := func(id, title string, items ...page.Item) {
		p.layer(id, title, []page.Item{page.Group{Clip: clip, Items: items}})
	}
	if c.o.Fill {
		for _, v := range c.allValues() {
			put(fmt.Sprintf("value-%d", v+1), fmt.Sprintf("Value %d, N%.1f", v+1, float64(c.m.figures.Tones[v].Value())), d.filled(v)...)
		}
	}
	put("outline", "Outline", d.lines(line, width), frame(at, line, width))
	if !c.o.Grid.None() {
		put("grid", "Grid", gridOver(at, c.o.Grid, w, h, midGrey, 0.12))
	}
	if !c.o.Light {
		put("numbers", "Numbers of the values", c.numberItems(d)...)
	}
	if !one {
		p.layer("parts", "Parts", t.marks(p, row, col, w, h))
	}
	c.end(p)
}

// gridOver returns the lines of a grid over a rectangle that stands for w by h
// millimetres of the panel.
func gridOver(at page.Rect, g plan.Grid, w, h float64, ink page.Ink, width float64) page.Item {
	p := page.Path{Stroke: ink, Width: width}
	for _, l := range g.Lines(w, h) {
		a := page.Point{X: at.X + l.A.X*at.W, Y: at.Y + l.A.Y*at.H}
		b := page.Point{X: at.X + l.B.X*at.W, Y: at.Y + l.B.Y*at.H}
		p.Lines = append(p.Lines, page.Line{Segments: []page.Segment{page.Straight(a, b)}})
	}
	return p
}
