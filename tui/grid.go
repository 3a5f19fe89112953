package tui

import (
	"image"
	"slices"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// nextGrid goes on to the next grid on offer for the panel.
func (m *model) nextGrid() {
	all := plan.Grids(m.plan().Panel)
	at := slices.Index(all, m.gridOf(m.plan()))
	m.grid = all[(at+1)%len(all)]
	m.note = "grid: " + m.grid.String()
	if m.grid.None() {
		m.note = "no grid"
	}
}

// gridOf returns the grid that lies over a plan's picture: none if the painter's
// is not on offer for its panel, squares on a panel of no size say.
func (m *model) gridOf(p plan.Plan) plan.Grid {
	if !slices.Contains(plan.Grids(p.Panel), m.grid) {
		return plan.Grid{}
	}
	return m.grid
}

func (m *model) gridWord() string {
	if g := m.gridOf(m.plan()); !g.None() {
		return "grid " + g.String()
	}
	return ""
}

// numeral is the number of a value in a cell of the band.
type numeral struct {
	at    image.Point
	digit rune
}

// number puts the numbers of the values, 1 the darkest, into the masses that have
// the room of a cell, on an outline that lies at place.
func (j *jobs) number(s *study.Study, place image.Rectangle, per image.Point) {
	for _, n := range s.NumbersOn(place.Size(), per.Y) {
		at := place.Min.Add(n.At)
		j.numbers = append(j.numbers, numeral{image.Pt(at.X/per.X, at.Y/per.Y), rune('1' + n.Value)})
	}
}
