package tui

import (
	"fmt"
	"image"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
)

// hung is a wall as it is painted: what is there of it, where.
type hung struct {
	hanging
	tiles []hungTile
}

type hungTile struct {
	words  string
	chosen bool
	first  bool         // of two to compare
	sketch study.Sketch // none while it is being made
}

// hang gathers what the wall shows.
func (m *model) hang() *hung {
	from, to := m.seen()
	h := &hung{hanging: m.hanging()}
	for i, t := range m.onWall()[from:to] {
		n := from + i
		one := hungTile{chosen: n == m.wall.at, first: n == m.wall.first, sketch: m.wall.drawn[t.Plan]}
		mark, name := "", t.Name
		if one.chosen {
			mark = "> "
		}
		if one.first {
			mark += "(first) "
		}
		if name == fmt.Sprint(n+1) {
			name = ""
		}
		if one.sketch.None() {
			name += " …"
		}
		head := ansi.Truncate(strings.TrimSpace(fmt.Sprintf("%s%d  %s", mark, n+1, name)), h.tile.X-3, "…")
		one.words = line(h.tile.X-3, piece{head, 0}, piece{unlessIn(head, t.Plan.Panel.String()), 3}, piece{unlessIn(head, valuesWord(t.Plan.Values.K)), 2})
		h.tiles = append(h.tiles, one)
	}
	return h
}

// paper returns what paints the thumbnails that are looked at.
func (m *model) paper(w want) func() error {
	j := m.jobs
	if m.scope != keys.Pair {
		h := m.hang()
		return func() error { return j.paintWall(w, h) }
	}
	p := &m.pair
	sketches := []study.Sketch{m.wall.drawn[p.plans[0]], m.wall.drawn[p.plans[1]]}
	if p.blink {
		sketches = sketches[p.look : p.look+1]
	}
	foot := m.pairWords(w.rows / 2)
	return func() error { return j.paintSketches(w, sketches, foot) }
}

// paintSketches paints one of two thumbnails, or both side by side.
func (j *jobs) paintSketches(w want, sketches []study.Sketch, foot []beneath) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.clear(w)
	j.inks, j.foot = nil, foot
	above := w
	above.rows -= len(foot)
	var places []image.Rectangle
	for i, room := range above.rooms(w.cols) {
		if k := sketches[i]; !k.None() {
			places = append(places, j.hangUp(k, w, room))
			if len(sketches) == 1 { // two have more tones than few colours can hold apart
				j.inks = cells.Inks(k.Tones())
			}
		}
	}
	return j.send(w, places)
}

// hangUp lays a sketch into the middle of a part of the band and returns where.
func (j *jobs) hangUp(k study.Sketch, w want, room image.Rectangle) image.Rectangle {
	size := imageproc.Fit(k.Ratio(), j.aspect(w.glyphs), room.Size())
	at := wholeCells(room.Min.Add(room.Size().Sub(size).Div(2)), w.glyphs.Per())
	place := image.Rectangle{Min: at, Max: at.Add(size)}
	j.band.FillRect(place.Inset(-1), j.edge)
	j.band.Lay(k.Raster(size), at)
	return place
}

// paintWall paints a wall into the band of w.
func (j *jobs) paintWall(w want, h *hung) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.clear(w)
	j.inks = nil // many plans have more tones than few colours can hold apart
	per := w.glyphs.Per()
	room := image.Pt((h.tile.X-4)*per.X, (h.tile.Y-3)*per.Y) // a line of words stands below
	var places []image.Rectangle
	for i, t := range h.tiles {
		if t.sketch.None() {
			continue
		}
		size := imageproc.Fit(t.sketch.Ratio(), j.aspect(w.glyphs), room)
		corner := h.at(i)
		at := image.Pt(corner.X*per.X, corner.Y*per.Y).Add(image.Pt((room.X-size.X)/2+per.X, room.Y-size.Y+per.Y))
		at = wholeCells(at, per)
		place := image.Rectangle{Min: at, Max: at.Add(size)}
		edge := j.edge
		if t.chosen || t.first {
			edge = j.chosen
		}
		j.band.FillRect(place.Inset(-1), edge)
		j.band.Lay(t.sketch.Raster(size), at)
		places = append(places, place)
	}
	j.encode(w, places)
	j.beside(w)
	for i, t := range h.tiles {
		at := h.at(i)
		j.grid.Text(image.Pt(at.X+1, at.Y+h.tile.Y-1), t.words, h.tile.X-3, t.chosen, j.opt.Depth)
	}
	return j.opt.Screen.Paint(&j.grid, image.Point{})
}
