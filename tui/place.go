package tui

import (
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/tui/keys"
)

// step is how an arrow moves a place: which way, and whether far.
type step struct {
	dx, dy int
	far    bool
}

// arrow returns the step of an action, if it is one.
func arrow(a keys.Action) (step, bool) {
	s, ok := map[keys.Action]step{
		keys.Left: {-1, 0, false}, keys.Right: {1, 0, false}, keys.Up: {0, -1, false}, keys.Down: {0, 1, false},
		keys.FarLeft: {-1, 0, true}, keys.FarRight: {1, 0, true}, keys.FarUp: {0, -1, true}, keys.FarDown: {0, 1, true},
	}[a]
	return s, ok
}

// length is how far the step goes, in parts of the crop's long side.
func (s step) length() float64 {
	if s.far {
		return farStep
	}
	return moveStep
}

// onPhoto returns the step in fractions of the photo's width and height.
func (m *model) onPhoto(s step) (dx, dy float64) {
	x0, y0, x1, y1 := m.plan().Rect(m.frame.Photo)
	w, h := float64(m.frame.Photo.X), float64(m.frame.Photo.Y)
	long := s.length() * max((x1-x0)*w, (y1-y0)*h)
	return float64(s.dx) * long / w, float64(s.dy) * long / h
}

// moved returns a place moved by a step, held within the crop.
func (m *model) moved(p plan.Point, s step) plan.Point {
	dx, dy := m.onPhoto(s)
	return m.within(plan.Point{X: p.X + dx, Y: p.Y + dy})
}

// within returns the place in the crop that lies nearest to p.
func (m *model) within(p plan.Point) plan.Point {
	x0, y0, x1, y1 := m.plan().Rect(m.frame.Photo)
	const inside = 1e-4 // the crop's right and lower edge are no longer in it
	return plan.Point{
		X: min(max(p.X, x0), x1-inside*(x1-x0)),
		Y: min(max(p.Y, y0), y1-inside*(y1-y0)),
	}
}

// beginAt returns where an activity on the crop begins: at the place it was left
// at if that lies in the crop, else at the focal point, else in the middle.
func (m *model) beginAt(left plan.Point) plan.Point {
	x0, y0, x1, y1 := m.plan().Rect(m.frame.Photo)
	for _, p := range []plan.Point{left, {X: m.plan().Focus.X, Y: m.plan().Focus.Y}} {
		if p != (plan.Point{}) && m.within(p) == p {
			return p
		}
	}
	return plan.Point{X: (x0 + x1) / 2, Y: (y0 + y1) / 2}
}

// onCrop returns a place of the photo in fractions of the crop.
func (m *model) onCrop(p plan.Point) (x, y float64) {
	x0, y0, x1, y1 := m.plan().Rect(m.frame.Photo)
	return (p.X - x0) / (x1 - x0), (p.Y - y0) / (y1 - y0)
}

// ofCrop is the way back.
func (m *model) ofCrop(x, y float64) plan.Point {
	x0, y0, x1, y1 := m.plan().Rect(m.frame.Photo)
	return plan.Point{X: x0 + x*(x1-x0), Y: y0 + y*(y1-y0)}
}

// upToDate reports whether the shapes that were measured last are those of the
// plan in hand.
func (m *model) upToDate() bool {
	return m.shown.figures.Map.W > 0 && m.shown.want.plan == m.plan()
}

// maxWaiting is how many keys wait for what they go by.
const maxWaiting = 20

// ready reports whether what a key of this activity goes by is known for the
// plan in hand: the values where they are set by hand, else the shapes.
func (m *model) ready() bool {
	if m.scope == keys.Scale {
		w := m.shown.want
		return len(m.shown.figures.Tones) > 0 && w.byHand && w.plan == m.plan()
	}
	return m.upToDate()
}

// waits keeps a key until what it goes by is measured, and reports whether it
// does. A held key that comes again is left out.
func (m *model) waits(a keys.Action) bool {
	if m.ready() && len(m.waiting) == 0 {
		return false
	}
	n := len(m.waiting)
	if n < maxWaiting && (n < 2 || m.waiting[n-1] != a || m.waiting[n-2] != a) {
		m.waiting = append(m.waiting, a)
	}
	return true
}

// goOn does the keys that waited, as far as what was measured is of the plan.
func (m *model) goOn() {
	for len(m.waiting) > 0 && m.ready() {
		a := m.waiting[0]
		m.waiting = m.waiting[1:]
		rest := m.waiting
		m.waiting = nil
		m.activity(a)
		m.waiting = rest
	}
}
