package tui

import (
	"fmt"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/tui/keys"
)

// form is how an area is marked out.
type form int

const (
	formBox form = iota
	formEllipse
	formFree
	forms
)

func (f form) String() string {
	return [...]string{"box", "ellipse", "corner by corner"}[f]
}

// maxCorners is how many corners an area that is drawn has at most.
const maxCorners = 60

// marking is an area that is being marked out.
type marking struct {
	form    form
	at      plan.Point // where the next corner would be
	corners []plan.Point
	back    keys.Scope
}

func (m *model) enterMarkOut(at plan.Point) {
	m.area = marking{form: m.area.form, at: at, back: m.scope}
	m.scope = keys.MarkOut
	if !onCrop(m.view) {
		m.show(study.Photo)
	}
}

// markOutKey does what a key means while an area is marked out; false leaves it
// to the studio.
func (m *model) markOutKey(a keys.Action) bool {
	k := &m.area
	if s, ok := arrow(a); ok {
		k.at = m.moved(k.at, s)
		return true
	}
	switch a {
	case keys.Back:
		m.leaveMarkOut()
	case keys.Corner:
		m.corner()
	case keys.BackCorner:
		if n := len(k.corners); n > 0 {
			k.at = k.corners[n-1]
			k.corners = k.corners[: n-1 : n-1]
		}
	case keys.Form:
		k.form = (k.form + 1) % forms
		k.corners = nil
	case keys.LeaveOut:
		if area, ok := m.markedOut(); ok {
			m.decide(plan.Choice{What: plan.LeaveOut, Area: area})
			m.leaveMarkOut()
		}
	case keys.MoveIt, keys.CopyIt:
		if area, ok := m.markedOut(); ok {
			m.beginCarry(a, area)
		}
	case keys.Value1, keys.Value2, keys.Value3, keys.Value4, keys.Value5:
		if !m.waits(a) {
			m.addShape(int(a - keys.Value1))
		}
	default:
		return false
	}
	return true
}

func (m *model) leaveMarkOut() {
	m.scope, m.area.corners = m.area.back, nil
	m.hist = m.hist.Break()
}

// corner sets a corner where the mark is; on a box that is complete it begins
// another.
func (m *model) corner() {
	k := &m.area
	switch n := len(k.corners); {
	case k.form != formFree && n == 2:
		k.corners = []plan.Point{k.at}
	case n < maxCorners:
		k.corners = append(k.corners[:n:n], k.at)
	default:
		m.note = fmt.Sprintf("an area has at most %d corners", maxCorners)
	}
}

// drawn is the area as it would be with a corner where the mark is; empty while
// there are too few.
func (k *marking) drawn() plan.Area {
	points := k.corners
	if k.form == formFree || len(points) < 2 {
		points = append(points[:len(points):len(points)], k.at)
	}
	switch {
	case k.form == formFree:
		return plan.AreaOf([][]plan.Point{points})
	case len(points) < 2:
		return plan.Area{}
	case k.form == formEllipse:
		return plan.EllipseArea(points[0].X, points[0].Y, points[1].X, points[1].Y)
	default:
		return plan.BoxArea(points[0].X, points[0].Y, points[1].X, points[1].Y)
	}
}

// markedOut returns the area, or says what is missing.
func (m *model) markedOut() (plan.Area, bool) {
	a := m.area.drawn()
	if a.Empty() {
		m.note = "Enter sets a corner here; then go to the opposite one"
		if m.area.form == formFree {
			m.note = "Enter sets the corners, one after the other: three at least"
		}
	}
	return a, !a.Empty()
}

// addShape adds a shape of a value, 0 the darkest, painted in the tone that the
// value has now.
func (m *model) addShape(v int) {
	area, ok := m.markedOut()
	if !ok {
		return
	}
	tones := m.shown.figures.Tones
	if v >= len(tones) || len(tones) < plan.MinK {
		m.note = fmt.Sprintf("this plan has %s: 1 is the darkest", valuesWord(len(tones)))
		return
	}
	m.decide(plan.Choice{What: plan.Add, Area: area, Value: v, Of: len(tones), Tone: palette.Value(tones[v].Value())})
	m.leaveMarkOut()
}

// markOutLine says what is being marked out.
func (m *model) markOutLine() string {
	k := &m.area
	return line(m.cols-2,
		piece{"marking out: " + k.form.String(), 1},
		piece{counted(len(k.corners), "corner", "corners") + " set", 2})
}
