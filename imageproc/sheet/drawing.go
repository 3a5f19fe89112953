package sheet

import (
	"fmt"

	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// drawing is a plan's curves laid over a rectangle of a page.
type drawing struct {
	m      *contour.Map
	at     page.Rect // of the whole picture, also where a tile shows only part of it
	mirror bool
}

// onPage returns where a place in parts of the picture's width and height lies.
func (d drawing) onPage(x, y float64) page.Point {
	if d.mirror {
		x = 1 - x
	}
	return page.Point{X: d.at.X + x*d.at.W, Y: d.at.Y + y*d.at.H}
}

func (d drawing) segments(segs []contour.Segment) []page.Segment {
	w, h := float64(d.m.W), float64(d.m.H)
	to := func(p contour.Point) page.Point { return d.onPage(p.X/w, p.Y/h) }
	out := make([]page.Segment, len(segs))
	for i, s := range segs {
		out[i] = page.Segment{From: to(s.From), C1: to(s.C1), C2: to(s.C2), To: to(s.To), Straight: s.Straight}
	}
	return out
}

// borders returns, for each value, the borders of its masses with lighter ones:
// together every border once. The picture's own edge is none of them.
func (d drawing) borders(values int) [][]page.Line {
	out := make([][]page.Line, values)
	for _, c := range d.m.Chains {
		if c.Edge || c.Left == contour.Outside || c.Right == contour.Outside {
			continue
		}
		v := min(d.m.Regions[c.Left].Label, d.m.Regions[c.Right].Label)
		out[v] = append(out[v], page.Line{Segments: d.segments(c.Segments), Closed: c.Closed})
	}
	return out
}

// masses returns the outlines of all masses of a value, to be filled.
func (d drawing) masses(value int) []page.Line {
	var out []page.Line
	for _, r := range d.m.Rings(value) {
		out = append(out, page.Line{Segments: d.segments(r), Closed: true})
	}
	return out
}

// seam is the width of the line in its own tone around a filled mass: it closes
// the slits of paper that viewers leave between areas that only touch.
const seam = 0.1

// filled returns the masses of a value in a tone.
func (d drawing) filled(value int, tone palette.L) page.Path {
	ink := page.Grey(tone)
	return page.Path{Lines: d.masses(value), Fill: ink, Stroke: ink, Width: seam}
}

// painted returns the masses of the values named in their tones on a bare panel.
func (d drawing) painted(values []int, tones []palette.L) []page.Item {
	out := []page.Item{page.Path{Lines: []page.Line{page.Box(d.at)}, Fill: inkBare}}
	for _, v := range values {
		out = append(out, d.filled(v, tones[v]))
	}
	return []page.Item{page.Group{Clip: d.at, Items: out}, frame(d.at)}
}

// frame is the line around a picture.
func frame(r page.Rect) page.Path {
	return page.Path{Lines: []page.Line{page.Box(r)}, Stroke: inkLine, Width: hair}
}

// gridOver returns the lines of a grid on a picture of w by h millimetres. On
// greys and photographs a light line lies under the dark one, so that it reads on
// any ground.
func (d drawing) gridOver(g plan.Grid, w, h float64, onTones bool, ink page.Ink) []page.Item {
	var lines []page.Line
	for _, l := range g.Lines(w, h) {
		lines = append(lines, page.Line{Segments: []page.Segment{page.Straight(d.onPage(l.A.X, l.A.Y), d.onPage(l.B.X, l.B.Y))}})
	}
	switch {
	case len(lines) == 0:
		return nil
	case onTones:
		return []page.Item{
			page.Path{Lines: lines, Stroke: inkBare, Width: 3 * hair},
			page.Path{Lines: lines, Stroke: inkLine, Width: 0.8 * hair},
		}
	}
	return []page.Item{page.Path{Lines: lines, Stroke: ink, Width: hair}}
}

// valueID names a value's layer: its number, from 1 the darkest, and its Munsell
// value.
func valueID(value int, tone palette.L) string {
	tenths := int(float64(tone.Value())*10 + 0.5)
	return fmt.Sprintf("value-%d-n%d-%d", value+1, tenths/10, tenths%10)
}

// munsell writes a tone as a neutral of Munsell's scale.
func munsell(tone palette.L) string { return fmt.Sprintf("N%.1f", float64(tone.Value())) }
