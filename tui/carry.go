package tui

import (
	"fmt"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

const (
	copyAside = 0.06 // how far aside a copy begins, in parts of the crop's long side
	carrySize = 1.1  // how much + makes it larger
)

// carry is a choice that is being moved about.
type carry struct {
	at   int // in the plan's list
	back keys.Scope
}

// beginCarry moves or copies an area, and lets the arrows say where to.
func (m *model) beginCarry(a keys.Action, area plan.Area) {
	c := plan.Choice{What: plan.Move, Area: area, Scale: 1}
	if a == keys.CopyIt {
		c.What = plan.Copy
		x0, y0, x1, y1 := m.plan().Rect(m.frame.Photo)
		w, h := float64(m.frame.Photo.X), float64(m.frame.Photo.Y)
		c.DX = copyAside * max((x1-x0)*w, (y1-y0)*h) / w
		if _, _, right, _ := area.Bounds(); right+c.DX > x1 {
			c.DX = -c.DX // aside, but still in sight
		}
	}
	before := m.plan().Choices.Len()
	m.decide(c)
	n := m.plan().Choices.Len()
	if n == 0 || n < before {
		return
	}
	if last, _ := m.lastChoice(); last.What != c.What || last.Area != c.Area {
		return // there was no room for it: said already
	}
	if m.scope == keys.MarkOut {
		m.leaveMarkOut()
	}
	m.carryOn(n - 1)
}

// carryOn goes on moving choice i.
func (m *model) carryOn(i int) {
	m.carry = carry{at: i, back: m.scope}
	m.scope = keys.Carry
	if !onCrop(m.view) {
		m.show(study.Plan)
	}
}

// carried returns the choice that is moved; false if undo has taken it away.
func (m *model) carried() (plan.Choice, bool) {
	list := m.plan().Choices.List()
	if i := m.carry.at; i < len(list) && (list[i].What == plan.Move || list[i].What == plan.Copy) {
		return list[i], true
	}
	return plan.Choice{}, false
}

// carryKey does what a key means while something is moved; false leaves it to the
// studio.
func (m *model) carryKey(a keys.Action) bool {
	c, there := m.carried()
	switch {
	case a == keys.Back || !there && a != keys.Redo && a != keys.Undo:
		m.scope = m.carry.back
		m.hist = m.hist.Break()
		return true
	case !there:
		return false
	}
	if s, ok := arrow(a); ok {
		dx, dy := m.onPhoto(s)
		c.DX, c.DY = c.DX+dx, c.DY+dy
		m.change("move it", c)
		return true
	}
	switch a {
	case keys.More:
		c.Scale *= carrySize
		m.change("its size", c)
	case keys.Less:
		c.Scale /= carrySize
		m.change("its size", c)
	case keys.MirrorIt:
		c.Mirror = !c.Mirror
		m.change("", c)
	case keys.TakeAway:
		m.do("", plan.DropChoice(m.carry.at))
		m.scope = m.carry.back
	default:
		return false
	}
	return true
}

func (m *model) change(name string, c plan.Choice) {
	if !m.do(name, plan.ReplaceChoice(m.carry.at, c)) {
		m.note = "no further that way"
	}
}

// carryLine says how what is moved lies.
func (m *model) carryLine() string {
	c, ok := m.carried()
	if !ok {
		return ""
	}
	x0, y0, x1, y1 := m.plan().Rect(m.frame.Photo)
	across, down := c.DX/(x1-x0), c.DY/(y1-y0)
	side, way := "right", "down"
	if across < 0 {
		side, across = "left", -across
	}
	if down < 0 {
		way, down = "up", -down
	}
	return line(m.cols-2,
		piece{c.Words(), 1},
		piece{fmt.Sprintf("%.0f %% of the crop %s, %.0f %% %s", 100*across, side, 100*down, way), 2},
		piece{fmt.Sprintf("%.0f %% of its size", 100*c.Scale), 3})
}
