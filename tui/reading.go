package tui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// reader is the reading as it stands beside the picture. It stays open while the
// painter works and follows the plan.
type reader struct {
	open bool
	at   int    // the line that is looked at
	kind string // and what it is about: lines change their places as the plan changes
}

// enterReading opens the reading and begins to walk down it.
func (m *model) enterReading() {
	m.read.open = true
	m.scope = keys.Reading
	if isPlan(m.view) || m.view == study.Whole {
		m.show(study.Plan)
	}
}

// readingKey does what a key means while the reading is walked down; false leaves
// it to the studio.
func (m *model) readingKey(a keys.Action) bool {
	lines := m.shown.lines
	by := map[keys.Action]int{keys.Down: 1, keys.Up: -1, keys.FarDown: 5, keys.FarUp: -5}[a]
	switch {
	case a == keys.Back:
		m.read.open = false
		m.leaveReading()
	case a == keys.ShowReading:
		m.leaveReading()
	case by != 0 && len(lines) > 0:
		m.lookAt(min(max(m.read.at+by, 0), len(lines)-1))
	case a == keys.Follow && len(lines) > 0:
		if !m.waits(a) {
			m.follow(lines[m.read.at])
		}
	case by == 0 && a != keys.Follow:
		return false
	}
	return true
}

func (m *model) leaveReading() {
	m.scope = keys.Studio
	m.hist = m.hist.Break()
}

func (m *model) lookAt(i int) { m.read.at, m.read.kind = i, m.shown.lines[i].Kind }

// keepLine stays with the line that is looked at when the plan changes: with the
// nearest line about the same, else with the place in the list.
func (m *model) keepLine() {
	lines := m.shown.lines
	if len(lines) == 0 {
		return
	}
	if m.read.kind != "" {
		for off := range lines {
			for _, i := range [2]int{m.read.at - off, m.read.at + off} {
				if i >= 0 && i < len(lines) && lines[i].Kind == m.read.kind {
					m.read.at = i
					return
				}
			}
		}
	}
	m.lookAt(min(m.read.at, len(lines)-1))
}

// follow goes where what a line speaks of can be changed.
func (m *model) follow(l reading.Line) {
	at := plan.Point{}
	if len(l.At) > 0 {
		at = l.At[0]
	}
	m.leaveReading()
	switch l.Leads {
	case reading.ByFocal:
		m.enterFocal()
	case reading.ByHand:
		m.enterHand()
		if at != (plan.Point{}) && m.within(at) == at {
			m.hand.at = at
		}
	case reading.ByCrop:
		m.show(study.Photo)
		m.note = "arrows move the crop, + and - make it larger or smaller, p and t choose the panel"
	case reading.ByValues:
		m.enterScale()
	case reading.ByShapes:
		m.show(study.Plan)
		m.note = "+ breaks up and - pulls together; Enter takes one shape in the hand"
	default:
		m.note = "this is something to know: no key changes it"
	}
}

// reads reports whether the reading stands beside what is looked at.
func (m *model) reads() bool {
	return m.read.open && m.opened != nil && !m.onPaper() && m.scope != keys.Decided && m.scope != keys.Sheets
}

// readingMarks shows on the picture what a line speaks of.
func (m *model) readingMarks() marks {
	var k marks
	if lines := m.shown.lines; m.scope == keys.Reading && m.read.at < len(lines) && m.upToDate() {
		l := lines[m.read.at]
		k.area = l.Area
		if n := len(l.At); n > 0 && (l.Area.Empty() || n > 1) {
			k.outlined, k.faint = true, !l.Area.Empty()
			k.n = copy(k.shapes[:], l.At)
		}
	}
	return k
}

// readingColumn is the reading as it stands beside the picture, the line that is
// looked at in view.
func (m *model) readingColumn() string {
	lines := m.shown.lines
	if len(lines) == 0 {
		return "\n…"
	}
	const wide = columnCols - 2
	asked := 0
	for _, l := range lines {
		if l.Asks {
			asked++
		}
	}
	var rows []string
	from, to := 0, 0 // the rows of the line that is looked at
	for i, l := range lines {
		if i == 0 && asked > 0 {
			rows = append(rows, "practice would ask")
		}
		if i == asked {
			if i > 0 {
				rows = append(rows, "")
			}
			rows = append(rows, "and it says")
		}
		chosen := m.scope == keys.Reading && i == m.read.at
		if chosen {
			from = len(rows)
		}
		for n, s := range wrapped(l.Words, wide-2) {
			head := "  "
			if chosen {
				head = chosenRow
				if n == 0 {
					head = "> "
				}
			}
			rows = append(rows, head+s)
		}
		if chosen {
			to = len(rows)
		}
	}
	room := m.bandRows() - 3
	top := max(0, min((from+to-room)/2, len(rows)-room))
	rows = rows[top:min(len(rows), top+room)]
	head := "the plan: " + counted(asked, "question", "questions")
	if !m.upToDate() {
		head += " …"
	}
	return strings.Join(append([]string{"", head, ""}, rows...), "\n")
}

// chosenRow begins a row that goes on with what is chosen.
const chosenRow = "\t  "

// wrapped breaks words into lines of at most wide columns, a number together with
// its percent.
func wrapped(words string, wide int) []string {
	const joined = "\u00a0%"
	words = ansi.Wordwrap(strings.ReplaceAll(words, " %", joined), wide, "")
	return strings.Split(strings.ReplaceAll(words, joined, " %"), "\n")
}

// readingLine is the line that is looked at, where the column has no room.
func (m *model) readingLine() string {
	lines := m.shown.lines
	if len(lines) == 0 {
		return "reading the plan …"
	}
	i := min(m.read.at, len(lines)-1)
	l := lines[i]
	asks := ""
	if l.Asks {
		asks = "practice would ask"
	}
	if m.hasColumn() {
		return line(m.cols-2, piece{fmt.Sprintf("line %d of %d", i+1, len(lines)), 1}, piece{"about " + string(l.Topic), 2}, piece{asks, 3}, piece{leadsWord(l), 4})
	}
	return line(m.cols-2, piece{fmt.Sprintf("%d of %d", i+1, len(lines)), 2}, piece{l.Words, 1}, piece{asks, 4}, piece{leadsWord(l), 5})
}

// readingSentence is what the line that is looked at says, whole.
func (m *model) readingSentence() string {
	lines := m.shown.lines
	if len(lines) == 0 {
		return ""
	}
	return lines[min(m.read.at, len(lines)-1)].Words
}

// leadsWord says where Enter leads.
func leadsWord(l reading.Line) string {
	if l.Leads == "" {
		return ""
	}
	return "Enter leads to " + string(l.Leads)
}
