package tui

import (
	"math"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/tui/keys"
)

// Steps of one key press.
const (
	moveStep   = 0.015               // of the crop's long side
	farStep    = 0.10                // with Shift
	sizeStep   = 1.04                // a crop 4 % larger or smaller
	aspectStep = 1.05                // of a free crop's proportions
	valueStep  = palette.Value(0.10) // of a tone or cut by hand
	farValue   = palette.Value(0.50)
	shapeStep  = 1.2 // shapes more or fewer
)

// edit returns the edit of an action; nil if it has none.
func (m *model) edit(a keys.Action) plan.Edit {
	switch a {
	case keys.Left:
		return plan.MoveCrop(-moveStep, 0)
	case keys.Right:
		return plan.MoveCrop(moveStep, 0)
	case keys.Up:
		return plan.MoveCrop(0, -moveStep)
	case keys.Down:
		return plan.MoveCrop(0, moveStep)
	case keys.FarLeft:
		return plan.MoveCrop(-farStep, 0)
	case keys.FarRight:
		return plan.MoveCrop(farStep, 0)
	case keys.FarUp:
		return plan.MoveCrop(0, -farStep)
	case keys.FarDown:
		return plan.MoveCrop(0, farStep)
	case keys.Closer:
		return plan.ResizeCrop(1 / sizeStep)
	case keys.Wider:
		return plan.ResizeCrop(sizeStep)
	case keys.More, keys.Less:
		return m.moreOrLess(a == keys.More)
	case keys.Broader:
		return plan.Stretch(aspectStep)
	case keys.Narrower:
		return plan.Stretch(1 / aspectStep)
	case keys.SquintMore:
		return plan.SquintMore
	case keys.SquintLess:
		return plan.SquintLess
	case keys.Two, keys.Three, keys.Four, keys.Five:
		return plan.SetK(2 + int(a-keys.Two))
	case keys.NextPanel:
		return plan.NextPanel
	case keys.PrevPanel:
		return plan.PrevPanel
	case keys.Turn:
		return plan.Turn
	}
	return nil
}

// moreOrLess is more or less of what is shown.
func (m *model) moreOrLess(more bool) plan.Edit {
	switch m.view {
	case study.Squint:
		if more {
			return plan.SquintMore
		}
		return plan.SquintLess
	case study.Values:
		d := -1
		if more {
			d = 1
		}
		return func(p plan.Plan, f plan.Frame) plan.Plan { return plan.SetK(p.Values.K+d)(p, f) }
	case study.Plan, study.Notan, study.Outline, study.Steps:
		return m.shapesBy(more)
	default:
		if more {
			return plan.ResizeCrop(sizeStep)
		}
		return plan.ResizeCrop(1 / sizeStep)
	}
}

// countKnown reports whether it is known how many shapes the plan has, but for how
// many are wanted: a held key runs ahead of the picture there.
func (m *model) countKnown() bool {
	p := m.shown.want.plan
	p.Shapes = m.plan().Shapes
	return m.shown.figures.Most > 0 && p == m.plan()
}

// shapesBy breaks the plan up into more shapes or pulls it together to fewer,
// starting from as many as there are.
func (m *model) shapesBy(more bool) plan.Edit {
	n, most := m.shown.figures.Shapes, m.shown.figures.Most
	return func(p plan.Plan, f plan.Frame) plan.Plan {
		// A held key runs ahead of the picture; and one step of the hierarchy can
		// join several shapes, so that fewer are shown than are wanted.
		if want := p.Shapes.Wanted; want > 0 && (more || want < n) {
			n = want
		}
		switch {
		case most == 0:
			return p // nothing measured yet
		case !more:
			return plan.SetShapes(fewer(n))(p, f)
		}
		if n = max(n+1, int(math.Round(float64(n)*shapeStep))); n >= most {
			n = 0 // all there are
		}
		return plan.SetShapes(n)(p, f)
	}
}

// fewer is the next number of shapes below n.
func fewer(n int) int { return max(1, min(n-1, int(math.Round(float64(n)/shapeStep)))) }

// goingTo returns to how many shapes the plan would be pulled together next, if
// what goes is to be marked; else 0.
func (m *model) goingTo() int {
	if !m.going || m.shown.figures.Most == 0 || !m.planSeen() {
		return 0
	}
	return fewer(m.shown.figures.Shapes)
}

// planSeen reports whether the plan itself is on show, alone or beside the photo.
func (m *model) planSeen() bool {
	_, right := pair(m.view)
	return m.view == study.Plan || m.beside && m.canBeside() && right == study.Plan
}

// actionName groups the actions that undo takes back together while a key is
// held.
func actionName(a keys.Action) string {
	switch a {
	case keys.Left, keys.Right, keys.Up, keys.Down, keys.FarLeft, keys.FarRight, keys.FarUp, keys.FarDown:
		return "move the crop"
	case keys.Closer, keys.Wider:
		return "resize the crop"
	case keys.SquintMore, keys.SquintLess:
		return "squint"
	case keys.More, keys.Less:
		return "more or less"
	case keys.Broader, keys.Narrower:
		return "free proportions"
	case keys.NextPanel, keys.PrevPanel:
		return "panel"
	}
	return "" // every press its own step
}

// atTheEnd says why a key changed nothing.
func atTheEnd(a keys.Action) string {
	switch a {
	case keys.Left, keys.Right, keys.Up, keys.Down, keys.FarLeft, keys.FarRight, keys.FarUp, keys.FarDown:
		return "the crop lies at the edge of the photo: i makes it smaller"
	case keys.Closer:
		return "the crop is as small as it may be"
	case keys.Wider:
		return "the crop is as large as the photo allows"
	case keys.SquintMore:
		return "this is the strongest squint"
	case keys.SquintLess:
		return "this is without squinting"
	case keys.Broader, keys.Narrower:
		return "the panel has fixed sides: p goes on to the free one"
	case keys.More, keys.Less:
		return "no further that way"
	}
	return ""
}
