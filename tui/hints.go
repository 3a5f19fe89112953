package tui

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// scoped is a key where it means something.
type scoped struct {
	scope  keys.Scope
	action keys.Action
}

// hintRanks are the hints that stay longest as the window gets narrower, those
// of a first look and what a shape is taken in the hand for; the others go from
// the end of the table.
var hintRanks = map[scoped]int{
	{keys.Studio, keys.SquintMore}: 3, {keys.Studio, keys.Flip}: 5,
	{keys.Hand, keys.Left}: 2, {keys.Hand, keys.MarkIt}: 3, {keys.Hand, keys.Value1}: 4,
	{keys.Hand, keys.PullTogether}: 5, {keys.Hand, keys.LeaveOut}: 6,
}

// hintLine is what there is to say, or the keys that lead on from here.
func (m *model) hintLine() string {
	if m.note != "" {
		return m.ink.strong(pad(" "+ansi.Truncate(photo.SafeName(m.note), m.cols-1, "…"), m.cols))
	}
	var pieces []piece
	table := keys.Table(m.scope)
	for i, b := range table {
		if b.Hint == "" || m.opened == nil && b.Action != keys.Quit {
			continue
		}
		short := b.Short()
		switch b.Action {
		case keys.SquintMore:
			short = ", ."
		case keys.NextMark:
			if m.scope == keys.Scale {
				short = "← →"
			}
		case keys.Left:
			short = "arrows"
		case keys.More:
			short = "+ -"
		case keys.Value1:
			short = "1-5"
		case keys.Right, keys.Down:
			if m.scope == keys.Wall || m.scope == keys.Decided || m.scope == keys.Reading || m.scope == keys.Sheets {
				short = "arrows"
			}
		}
		rank, first := hintRanks[scoped{m.scope, b.Action}]
		switch {
		case b.Action == keys.ShowHelp || b.Action == keys.Quit || b.Action == keys.Back:
			rank = 1
		case !first:
			rank = 10 + i
		}
		pieces = append(pieces, piece{short + " " + b.Hint, rank})
		if b.Action == keys.Flip && m.scope == keys.Studio {
			pieces = append(pieces, piece{"2-5 values", 2}, piece{"arrows move", 4}, piece{"+ - " + m.moreWord(), 6})
		}
	}
	return m.ink.quiet(pad(" "+line(m.cols-1, pieces...), m.cols))
}

// longRows returns what there is to say in as many rows as it takes, if one is too
// short for it and nothing is being asked or written in the others: the answer to a
// key or the line of the reading that is looked at in two, a notice in all rows
// below the picture. What even they have no room for stands in the help.
func (m *model) longRows() []string {
	words, ink, most := m.note, m.ink.strong, 2
	switch {
	case m.scope == keys.Note || m.scope == keys.Hand && m.hand.ask != keys.None:
		return nil
	case m.note != "" && m.aside:
		most = m.textRows()
	case words == "" && m.scope == keys.Reading && !m.hasColumn():
		words, ink = m.readingSentence(), m.ink.plain
	}
	words = photo.SafeName(words)
	if ansi.StringWidth(words) <= m.cols-2 {
		return nil
	}
	rows := wrappedWhole(words, m.cols-2)
	if len(rows) > most {
		last := strings.Join(rows[most-1:], " ")
		if m.note != "" && m.aside {
			last = ansi.Truncate(last, m.cols-2, " … ? says all")
		}
		rows = append(rows[:most-1], last)
	}
	for i, row := range rows {
		rows[i] = ink(pad(" "+ansi.Truncate(strings.TrimSpace(row), m.cols-2, "…"), m.cols))
	}
	return rows
}

// moreWord says what + and - change in the view that is shown.
func (m *model) moreWord() string {
	switch m.view {
	case study.Squint:
		return "squint"
	case study.Values:
		return "values"
	case study.Plan, study.Notan, study.Outline, study.Steps:
		return "shapes"
	default:
		return "crop"
	}
}
