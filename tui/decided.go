package tui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// columnCols is the width of the column beside the picture, and columnFrom the
// width of window from which it is there.
const (
	columnCols = 38
	columnFrom = 96
)

// decided is the list of choices as the painter walks down it.
type decided struct {
	at   int
	back keys.Scope
}

func (m *model) enterDecided() {
	n := m.plan().Choices.Len()
	if n == 0 {
		m.note = "nothing is decided yet: Enter takes a shape in the hand, z marks out an area"
		return
	}
	m.list = decided{at: n - 1, back: m.scope}
	m.scope = keys.Decided
	if !onCrop(m.view) {
		m.show(study.Plan)
	}
}

// decidedKey does what a key means in the list of choices; false leaves it to the
// studio.
func (m *model) decidedKey(a keys.Action) bool {
	l, choices := &m.list, m.plan().Choices.List()
	if a == keys.Back || len(choices) == 0 && a != keys.Undo && a != keys.Redo {
		m.scope = l.back
		m.hist = m.hist.Break()
		return true
	}
	l.at = min(l.at, max(0, len(choices)-1))
	switch a {
	case keys.Down:
		l.at = min(l.at+1, len(choices)-1)
	case keys.Up:
		l.at = max(l.at-1, 0)
	case keys.Switch:
		m.do("", plan.SwitchChoice(l.at))
	case keys.TakeAway:
		m.do("", plan.DropChoice(l.at))
		l.at = max(0, min(l.at, len(choices)-2))
		if len(choices) == 1 {
			m.scope = l.back
		}
	case keys.FarDown, keys.FarUp:
		by := 1
		if a == keys.FarUp {
			by = -1
		}
		if m.do("", plan.RaiseChoice(l.at, by)) {
			l.at += by
		} else {
			m.note = "no further that way"
		}
	case keys.Adjust:
		if c := choices[l.at]; c.What != plan.Move && c.What != plan.Copy {
			m.note = "only what was moved or copied can be moved on"
		} else {
			m.carryOn(l.at)
		}
	default:
		return false
	}
	return true
}

// hasColumn reports whether something stands beside the picture.
func (m *model) hasColumn() bool {
	return (m.scope == keys.Decided || m.reads() || m.onCrops() || m.scope == keys.Sheets) && m.cols >= columnFrom
}

// column is what stands beside the picture, one line a row.
func (m *model) column() string {
	switch {
	case !m.hasColumn():
		return ""
	case m.scope == keys.Decided:
		return m.decidedColumn()
	case m.scope == keys.Sheets:
		return m.sheetsColumn()
	case m.onCrops():
		return m.cropColumn()
	default:
		return m.readingColumn()
	}
}

// decidedColumn is the list of choices, one line a choice.
func (m *model) decidedColumn() string {
	choices := m.plan().Choices.List()
	room := m.bandRows() - 3
	top := max(0, min(m.list.at-room/2, len(choices)-room))
	lines := []string{"", counted(len(choices), "choice", "choices") + ", the later win", ""}
	for i := top; i < len(choices) && i < top+room; i++ {
		mark := "  "
		if i == m.list.at {
			mark = "> "
		}
		lines = append(lines, ansi.Truncate(fmt.Sprintf("%s%2d %s", mark, i+1, m.choiceWords(i, choices[i])), columnCols-2, "…"))
	}
	return strings.Join(lines, "\n")
}

// choiceWords says what choice i is and what becomes of it.
func (m *model) choiceWords(i int, c plan.Choice) string {
	words := c.Words()
	switch f := m.shown.figures; {
	case c.Off:
		words += " · " + study.Off.String()
	case i < len(f.Choices) && f.Choices[i] != study.Holds && m.upToDate():
		words += " · " + f.Choices[i].String()
	}
	return words
}

// decidedLine says which choice is looked at.
func (m *model) decidedLine() string {
	choices := m.plan().Choices.List()
	if len(choices) == 0 {
		return "nothing is decided"
	}
	i := min(m.list.at, len(choices)-1)
	return line(m.cols-2, piece{fmt.Sprintf("choice %d of %d", i+1, len(choices)), 2}, piece{m.choiceWords(i, choices[i]), 1})
}
