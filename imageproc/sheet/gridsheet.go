package sheet

import (
	"fmt"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
)

// pairGap is between the photograph and the outline.
const pairGap = 8

// pairSize returns how wide two pictures of an aspect are side by side, or one
// above the other, whichever is larger.
func pairSize(r page.Rect, aspect float64) (w float64, stacked bool) {
	side := min((r.W-pairGap-3*nameRoom)/2, (r.H-nameRoom-captionHeight)*aspect)
	above := min(r.W-2*nameRoom, (r.H-pairGap-2*(nameRoom+captionHeight))/2*aspect)
	if above > side {
		return above, true
	}
	return side, false
}

// gridPage shows the photograph's crop and the outline side by side, both under
// the same grid, as large as the paper takes.
func gridPage(m Material, o Options) *leaf {
	if m.Crop == nil {
		panic("sheet: the grid needs the photo's crop")
	}
	grid := o.Grid
	if grid.None() {
		grid = UsualGrid(m.Plan.Panel)
	}
	panelW, panelH, words := trueSize(m, o)
	aspect := panelW / panelH
	turned := turnedFor(o.Paper, func(r page.Rect) float64 { w, _ := pairSize(r, aspect); return w })
	l := newLeaf("grid", o.Paper, turned, "Grid: "+grid.String()+" \u00b7 "+words)
	w, stacked := pairSize(l.room, aspect)
	h := w / aspect
	a := page.Rect{X: l.room.X + (l.room.W-w)/2, Y: l.room.Y + nameRoom, W: w, H: h}
	b := a
	if stacked {
		b.Y += h + captionHeight + pairGap + nameRoom
	} else {
		a.X = l.room.X + (l.room.W-2*w-pairGap-nameRoom)/2 // as wide left of the first as right of the second
		b.X = a.X + w + pairGap + nameRoom
	}
	photo := drawing{m: m.Map, at: a}
	l.layer("photograph", "the photograph's crop", page.Picture{At: a, Image: m.Crop})
	l.layer("photograph-grid", "grid over the photograph", append(photo.gridOver(grid, panelW, panelH, true, inkHair), frame(a))...)
	l.layer("photograph-names", "columns and rows", append(photo.gridNames(grid, panelW, panelH, a), captioned(a, "The photograph", "the crop, "+scaleWords(panelW/w))...)...)
	d := drawing{m: m.Map, at: b}
	numbers := placeNumbers(m.Map, w, h, 3.4, sizeTick, drawnGrid(grid, panelW, panelH, w, h), nil)
	l.small(m, o, d, grid, panelW, panelH)
	l.layer("numbers", "the number of each mass's value", numbersOn(d, numbers, b, Options{Fill: o.Fill}, m.Figures.Tones)...)
	l.layer("outline-names", "columns and rows", append(d.gridNames(grid, panelW, panelH, b), captioned(b, "The plan", "1 is the darkest value")...)...)
	return l
}

// drawnGrid returns the lines of a grid of the panel on a picture of another size.
func drawnGrid(g plan.Grid, panelW, panelH, w, h float64) []aside {
	lines := gridLines(g, panelW, panelH)
	for i, l := range lines {
		lines[i] = aside{page.Point{X: l.a.X * w / panelW, Y: l.a.Y * h / panelH}, page.Point{X: l.b.X * w / panelW, Y: l.b.Y * h / panelH}}
	}
	return lines
}

// small draws the outline under a grid of the panel at another size.
func (l *leaf) small(m Material, o Options, d drawing, g plan.Grid, panelW, panelH float64) {
	tones := m.Figures.Tones
	var items []page.Item
	for v, lines := range d.borders(len(tones)) {
		if o.Fill {
			items = append(items, d.filled(v, tones[v]))
		} else {
			items = append(items, page.Path{Lines: lines, Stroke: inkLine, Width: smallLine})
		}
	}
	l.layer("outline", "the masses", page.Group{Clip: d.at, Items: items})
	l.layer("outline-grid", "grid over the masses", append(d.gridOver(g, panelW, panelH, o.Fill, inkHair), frame(d.at))...)
}

// scaleWords says how many times smaller than the panel a picture is drawn.
func scaleWords(k float64) string {
	switch {
	case k > 0.995 && k < 1.005:
		return "at true size"
	case k < 1:
		return fmt.Sprintf("%.1f times the panel's size", 1/k)
	}
	return fmt.Sprintf("1 : %.1f of the panel", k)
}
