package tui

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/tui/keys"
)

// onShape does what is about the shape in the hand. The shapes are measured.
func (m *model) onShape(a keys.Action) {
	f, h := &m.shown.figures, &m.hand
	x, y := m.onCrop(h.at)
	shape := f.At(x, y)
	if shape < 0 {
		return
	}
	if s, ok := arrow(a); ok {
		if nx, ny, found := f.Beside(x, y, s.dx, s.dy); found {
			m.putHand(m.within(m.ofCrop(nx, ny)))
		} else {
			m.note = "there is no shape that way"
		}
		return
	}
	switch a {
	case keys.NextShape, keys.PrevShape:
		by := 1
		if a == keys.PrevShape {
			by = -1
		}
		nx, ny := f.BySize(x, y, by)
		m.putHand(m.within(m.ofCrop(nx, ny)))
	case keys.MarkIt:
		m.mark1(shape)
	case keys.Value1, keys.Value2, keys.Value3, keys.Value4, keys.Value5:
		m.giveValue(int(a - keys.Value1))
	case keys.Lighter:
		m.giveValue(f.List[shape].Value + 1)
	case keys.Darker:
		m.giveValue(f.List[shape].Value - 1)
	case keys.PullTogether:
		if len(h.marks) > 1 {
			m.decide(plan.Choice{What: plan.Together, Area: m.handArea()})
			h.marks = nil
			return
		}
		h.ask = a
	case keys.KeepApart:
		if len(h.marks) == 2 {
			m.keepApart(h.marks[0], h.marks[1])
			h.marks = nil
			return
		}
		h.ask = a
	case keys.More, keys.Less:
		m.detailHere(a == keys.More)
	case keys.Smoother, keys.AsPhotographed:
		m.smoothHere(a == keys.Smoother)
	case keys.NextPlane:
		m.decide(plan.Choice{What: plan.PlaneIs, Area: m.heldArea(plan.PlaneIs), Plane: next(plan.Planes(), f.List[shape].Plane, f.List[shape].PlaneSure == 1)})
	case keys.NextDepth:
		m.decide(plan.Choice{What: plan.DepthIs, Area: m.heldArea(plan.DepthIs), Depth: next(plan.Depths(), f.List[shape].Depth, f.List[shape].DepthSure == 1)})
	case keys.LeaveOut:
		m.decide(plan.Choice{What: plan.LeaveOut, Area: m.handArea()})
		h.marks = nil
	case keys.MoveIt, keys.CopyIt:
		m.beginCarry(a, m.handArea())
		h.marks = nil
	}
}

// next returns what follows in a list, or the present one itself while that is
// only a proposal.
func next[T comparable](list []T, now T, said bool) T {
	for i, v := range list {
		if v == now {
			if said {
				i++
			}
			return list[i%len(list)]
		}
	}
	return list[0]
}

// decide adds a choice to the plan.
func (m *model) decide(c plan.Choice) {
	if c.Area.Empty() {
		m.note = "this shape is too small to hold on to: pull it together with another first"
		return
	}
	if !m.do("", plan.Choose(c)) {
		m.note = "that is so already"
	}
}

// giveValue gives what is in the hand a value, 0 the darkest.
func (m *model) giveValue(v int) {
	k := len(m.shown.figures.Tones)
	if v < 0 || v >= k {
		m.note = fmt.Sprintf("this plan has %s: 1 is the darkest, %d the lightest", valuesWord(k), k)
		return
	}
	if k < plan.MinK {
		m.note = "there is only one value in this picture"
		return
	}
	m.decide(plan.Choice{What: plan.GiveValue, Area: m.heldArea(plan.GiveValue), Value: v, Of: k})
}

// withNeighbour pulls the shape in the hand together with the one on a side, or
// keeps it apart from it.
func (m *model) withNeighbour(ask keys.Action, s step) {
	if !m.upToDate() {
		m.note = "the plan was not ready: once more"
		return
	}
	f := &m.shown.figures
	x, y := m.onCrop(m.hand.at)
	nx, ny, ok := f.Beside(x, y, s.dx, s.dy)
	if !ok {
		m.note = "there is no shape that way"
		return
	}
	other := m.ofCrop(nx, ny)
	if ask == keys.KeepApart {
		m.keepApart(m.hand.at, other)
		return
	}
	both := append(m.inHand(), f.At(nx, ny))
	m.decide(plan.Choice{What: plan.Together, Area: f.Area(both, m.plan(), m.opened.Photo.Master.Size())})
	m.hand.marks = nil
}

func (m *model) keepApart(a, b plan.Point) {
	f := &m.shown.figures
	area := func(p plan.Point) plan.Area {
		return f.Area([]int{f.At(m.onCrop(p))}, m.plan(), m.opened.Photo.Master.Size())
	}
	m.decide(plan.Choice{What: plan.Apart, Area: area(a), Other: area(b)})
}

// heldArea returns what a repeated key goes on being about: the area of the last
// choice if it was of this kind and the hand has not moved since.
func (m *model) heldArea(w plan.What) plan.Area {
	h := &m.hand
	if last, ok := m.lastChoice(); !ok || h.held.Empty() || last.What != w || last.Area != h.held {
		h.held = m.handArea()
	}
	return h.held
}

func (m *model) lastChoice() (plan.Choice, bool) {
	list := m.plan().Choices.List()
	if len(list) == 0 {
		return plan.Choice{}, false
	}
	return list[len(list)-1], true
}

// detailHere breaks what is in the hand up into more shapes, or pulls it to fewer.
func (m *model) detailHere(more bool) {
	now := len(m.inHand())
	area := m.heldArea(plan.Detail)
	if last, ok := m.lastChoice(); ok && last.What == plan.Detail && last.Area == area {
		now = last.Shapes
	}
	n := max(1, min(now-1, int(math.Round(float64(now)/1.5))))
	if more {
		n = max(now+1, int(math.Round(float64(now)*1.5)))
	} else if now == 1 {
		m.note = "this is one shape: mark several with Enter, or t pulls it together with another"
		return
	}
	m.decide(plan.Choice{What: plan.Detail, Area: area, Shapes: n})
}

// smoothHere makes the outline of what is in the hand smoother, or leaves it as
// the photo has it.
func (m *model) smoothHere(smoother bool) {
	const least = 0.5 // percent of the crop's long side
	c := plan.Choice{What: plan.Outline, Area: m.heldArea(plan.Outline)}
	if smoother {
		c.Smooth = least
		if last, ok := m.lastChoice(); ok && last.What == plan.Outline && last.Area == c.Area && last.Smooth > 0 {
			c.Smooth = min(2*last.Smooth, plan.MaxSmooth)
		}
	}
	m.decide(c)
}
