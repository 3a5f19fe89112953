package tui

import (
	"strconv"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/tui/keys"
)

// enterScale begins to set cuts and tones by hand, in the values where the view has
// none.
func (m *model) enterScale() {
	m.scope, m.mark, m.before = keys.Scale, 0, m.view
	if m.view != study.Plan {
		m.show(study.Values)
	}
}

// leaveScale goes back to the view that it was begun in, unless the painter has
// gone to another since.
func (m *model) leaveScale() {
	m.scope = keys.Studio
	m.hist = m.hist.Break()
	if m.view == study.Values {
		m.show(m.before)
	}
}

// scaleKey does what a key means while tones and cuts are set by hand; false
// leaves the key to the studio. The marks run along the scale: the darkest tone,
// the cut above it, the next tone and so on, 2K-1 of them.
func (m *model) scaleKey(a keys.Action) bool {
	if len(m.waiting) > 0 {
		return m.waits(a) // behind those that wait for the values
	}
	marks := 2*m.plan().Values.K - 1
	if f, _ := m.told(); len(f.Tones) > 0 {
		marks = min(marks, 2*len(f.Tones)-1) // there is no more in the picture
	}
	m.mark = min(m.mark, marks-1)
	switch a {
	case keys.Back:
		m.leaveScale()
	case keys.NextMark:
		m.mark = (m.mark + 1) % marks
		m.hist = m.hist.Break()
	case keys.PrevMark:
		m.mark = (m.mark + marks - 1) % marks
		m.hist = m.hist.Break()
	case keys.Up:
		m.moveMark(a, valueStep)
	case keys.Down:
		m.moveMark(a, -valueStep)
	case keys.FarUp:
		m.moveMark(a, farValue)
	case keys.FarDown:
		m.moveMark(a, -farValue)
	case keys.CutsWay:
		next := map[plan.CutMethod]plan.CutMethod{
			plan.CutNested: plan.CutLeastError, plan.CutLeastError: plan.CutEqualSteps,
		}[m.plan().Values.CutMethod]
		if next == "" {
			next = plan.CutNested
		}
		m.do("", plan.SetCutMethod(next))
		m.note = m.waysWord() // the line of values may have no room for it
	case keys.TonesWay:
		next := plan.ToneMean
		if m.plan().Values.ToneMethod == plan.ToneMean {
			next = plan.ToneFixed
		}
		m.do("", plan.SetToneMethod(next))
		m.note = m.waysWord() // the line of values may have no room for it
	default:
		return false
	}
	return true
}

// moveMark makes the chosen tone or cut lighter by d Munsell value, which a asks
// for. The first time it goes on from what was measured, and waits for that.
func (m *model) moveMark(a keys.Action, d palette.Value) {
	i := m.mark / 2
	f := m.shown.figures
	v := m.plan().Values
	set := v.ToneMethod == plan.ToneByHand
	if m.mark%2 == 1 {
		set = v.CutMethod == plan.CutByHand
	}
	switch {
	case set: // it goes on from what was set, not from what is shown
	case m.waits(a):
		return
	case len(f.Tones) < v.K:
		m.note = "this picture has only " + counted(len(f.Tones), "value", "values") + ": set fewer than " + valuesWord(v.K)
		return
	}
	if m.mark%2 == 0 {
		if !m.do("tone "+strconv.Itoa(i), plan.MoveTone(values(f.Tones), i, d)) {
			m.note = "the next tone, or the end of the scale, is in the way"
		}
		return
	}
	if !m.do("cut "+strconv.Itoa(i), plan.MoveCut(values(f.Cuts), i, d)) {
		m.note = "the next cut, or the end of the scale, is in the way"
	}
}

func values(ls []palette.L) []palette.Value {
	out := make([]palette.Value, len(ls))
	for i, l := range ls {
		out[i] = l.Value()
	}
	return out
}
