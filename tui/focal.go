package tui

import (
	"fmt"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// radiusStep is how much + and - change the focal point's radius.
const radiusStep = 1.1

// enterFocal begins to place the focal point, in the middle of the crop if there
// is none yet.
func (m *model) enterFocal() {
	m.scope = keys.Focal
	if m.plan().Focus.None() {
		m.do("", plan.MoveFocus(0, 0, 1))
	}
	if m.view >= study.Notan {
		m.show(study.Plan)
	}
}

// focalKey does what a key means while the focal point is placed; false leaves
// the key to the studio.
func (m *model) focalKey(a keys.Action) bool {
	switch a {
	case keys.Back:
		m.scope = keys.Studio
		m.hist = m.hist.Break()
		return true
	case keys.FallOff:
		m.do("", plan.NextFall)
		m.note = "detail falls off " + map[plan.Fall]string{plan.FallGentle: "gently", plan.FallUsual: "as usual", plan.FallStrong: "strongly"}[m.plan().Focus.Fall] +
			" from the focal point"
		return true
	case keys.TakeAway:
		m.do("", plan.SetFocus(plan.Focus{}))
		m.scope = keys.Studio
		m.note = "the focal point is taken away; f places another"
		return true
	}
	edits := map[keys.Action]plan.Edit{
		keys.Left: plan.MoveFocus(-moveStep, 0, 1), keys.Right: plan.MoveFocus(moveStep, 0, 1),
		keys.Up: plan.MoveFocus(0, -moveStep, 1), keys.Down: plan.MoveFocus(0, moveStep, 1),
		keys.FarLeft: plan.MoveFocus(-farStep, 0, 1), keys.FarRight: plan.MoveFocus(farStep, 0, 1),
		keys.FarUp: plan.MoveFocus(0, -farStep, 1), keys.FarDown: plan.MoveFocus(0, farStep, 1),
		keys.More: plan.MoveFocus(0, 0, radiusStep), keys.Less: plan.MoveFocus(0, 0, 1/radiusStep),
	}
	edit, ok := edits[a]
	if !ok {
		return false
	}
	name := "focal point"
	if a == keys.More || a == keys.Less {
		name = "focal radius"
	}
	if !m.do(name, edit) {
		m.note = "no further that way"
	}
	return true
}

// focalWord says where in the crop the focal point lies; empty without one.
func (m *model) focalWord() string {
	p := m.plan()
	if p.Focus.None() {
		return ""
	}
	x0, y0, x1, y1 := p.Rect(m.frame.Photo)
	x, y := (p.Focus.X-x0)/(x1-x0), (p.Focus.Y-y0)/(y1-y0)
	if x < 0 || x > 1 || y < 0 || y > 1 {
		return "focal point outside the crop"
	}
	return fmt.Sprintf("focal point %.0f %% across, %.0f %% down", 100*x, 100*y)
}
