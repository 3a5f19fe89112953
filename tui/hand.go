package tui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// maxMarks is how many shapes can be marked at a time.
const maxMarks = 40

// hand is the painter's hand on the plan.
type hand struct {
	at    plan.Point
	marks []plan.Point // one place in each marked shape
	ask   keys.Action  // what waits for an arrow: PullTogether or KeepApart
	held  plan.Area    // what + and - and the outline were last about, until the hand moves
}

func (m *model) enterHand() {
	m.scope = keys.Hand
	m.hand = hand{at: m.beginAt(m.hand.at)}
	if !onCrop(m.view) {
		m.show(study.Plan)
	}
}

// onCrop reports whether an activity on the crop's shapes can be seen in a view.
func onCrop(v study.View) bool {
	return v == study.Photo || v == study.Squint || v == study.Plan
}

// handKey does what a key means while a shape is in the hand; false leaves it to
// the studio.
func (m *model) handKey(a keys.Action) bool {
	h := &m.hand
	if h.ask != keys.None {
		ask := h.ask
		h.ask = keys.None
		if s, ok := arrow(a); ok {
			m.withNeighbour(ask, s)
			return true
		}
		if a == keys.Back || a == ask {
			return true
		}
	}
	if s, ok := arrow(a); ok && !s.far {
		m.putHand(m.moved(h.at, s))
		return true
	}
	switch a {
	case keys.Back:
		if len(h.marks) > 0 {
			h.marks = nil
			return true
		}
		m.scope = keys.Studio
		m.hist = m.hist.Break()
	case keys.ToFocal:
		f := m.plan().Focus
		if p := (plan.Point{X: f.X, Y: f.Y}); f.None() || m.within(p) != p {
			m.note = "there is no focal point in the crop: Esc, then f, places one"
		} else {
			m.putHand(p)
		}
	case keys.MarkArea:
		m.enterMarkOut(h.at)
	case keys.ShowChoices:
		m.enterDecided()
	case keys.FarLeft, keys.FarRight, keys.FarUp, keys.FarDown, keys.NextShape, keys.PrevShape, keys.MarkIt,
		keys.Value1, keys.Value2, keys.Value3, keys.Value4, keys.Value5, keys.Lighter, keys.Darker,
		keys.PullTogether, keys.KeepApart, keys.More, keys.Less, keys.Smoother, keys.AsPhotographed,
		keys.NextPlane, keys.NextDepth, keys.LeaveOut, keys.MoveIt, keys.CopyIt:
		if !m.waits(a) {
			m.onShape(a)
		}
	default:
		return false
	}
	return true
}

func (m *model) putHand(p plan.Point) {
	m.hand.at, m.hand.held = p, plan.Area{}
	m.hist = m.hist.Break()
}

// mark1 marks a shape, or takes its mark away.
func (m *model) mark1(shape int) {
	h, f := &m.hand, &m.shown.figures
	for i, p := range h.marks {
		if f.At(m.onCrop(p)) == shape {
			h.marks = append(h.marks[:i:i], h.marks[i+1:]...)
			return
		}
	}
	if len(h.marks) >= maxMarks {
		m.note = fmt.Sprintf("%d shapes are marked: more cannot be", maxMarks)
		return
	}
	h.marks = append(h.marks[:len(h.marks):len(h.marks)], h.at)
}

// inHand returns the shapes that a choice is about: the marked ones, else the one
// under the hand.
func (m *model) inHand() []int {
	f, h := &m.shown.figures, &m.hand
	var out []int
	seen := map[int]bool{}
	places := h.marks
	if len(places) == 0 {
		places = []plan.Point{h.at}
	}
	for _, p := range places {
		if s := f.At(m.onCrop(p)); s >= 0 && !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}

func (m *model) handArea() plan.Area {
	return m.shown.figures.Area(m.inHand(), m.plan(), m.opened.Photo.Master.Size())
}

// handLine says what is in the hand.
func (m *model) handLine() string {
	h, f := &m.hand, &m.shown.figures
	switch h.ask {
	case keys.PullTogether:
		return m.asked("pull together with", "together:")
	case keys.KeepApart:
		return m.asked("keep apart from", "apart:")
	}
	if f.Map.W == 0 {
		return "finding the shapes …"
	}
	i := f.At(m.onCrop(h.at))
	if i < 0 {
		return ""
	}
	s := f.List[i]
	pieces := []piece{
		{fmt.Sprintf("%s value of %d, %s", ordinal(s.Value, len(f.Tones)), len(f.Tones), munsell(s.Tone)), 1},
		{percent(s.Share) + " of the picture", 2},
		{sure(string(s.Plane), s.PlaneSure), 4},
		{sure(depthWord(s.Depth), s.DepthSure), 5},
	}
	if n := len(h.marks); n > 0 {
		pieces = append([]piece{{counted(n, "shape marked", "shapes marked"), 0}}, pieces...)
	}
	words := line(m.cols-2, pieces...)
	if said, room := m.saidHere(), m.cols-4-ansi.StringWidth(words); said != "" && room > 8 {
		words += "  " + ansi.Truncate(said, room, "…")
	}
	return words
}

// asked asks for the side of a shape, shortly where there is little room.
func (m *model) asked(what, short string) string {
	words := what + " the shape on which side? an arrow says"
	if ansi.StringWidth(words) > m.cols-2 {
		words = short + " which side? an arrow says"
	}
	return words
}

// saidHere lists what was decided about the shape in the hand, the last first.
func (m *model) saidHere() string {
	var out []string
	list := m.plan().Choices.List()
	for i := len(list) - 1; i >= 0; i-- {
		c := list[i]
		if i < len(m.shown.figures.Choices) && m.shown.figures.Choices[i] == study.Holds && c.Area.Has(m.hand.at) {
			out = append(out, c.Words())
		}
	}
	return strings.Join(out, ", ")
}

// sure writes a plane or a depth, with a question mark while it is a proposal.
func sure(word string, how float64) string {
	if how < 1 {
		return word + "?"
	}
	return word
}

// depthWord says how far away something is; middle alone would be a value.
func depthWord(d plan.Depth) string {
	if d == plan.Middle {
		return "middle distance"
	}
	return string(d)
}

// ordinal names a value by its place, from the dark.
func ordinal(v, k int) string {
	switch {
	case v == 0:
		return "darkest"
	case v == k-1:
		return "lightest"
	}
	return [...]string{1: "second", 2: "third", 3: "fourth"}[v]
}
