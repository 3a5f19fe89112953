package tui

import (
	"fmt"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/tui/keys"
)

// pairing is two thumbnails that are compared.
type pairing struct {
	at    [2]int // their numbers
	plans [2]plan.Plan
	names [2]string
	look  int  // which one is looked at
	blink bool // one at a time, in the same place
	words bool // where their readings differ stands below
	from  int  // the first difference that is seen there
}

// enterPair compares the marked thumbnail with the chosen one; without a mark,
// with the plan in hand.
func (m *model) enterPair() {
	w, all := &m.wall, m.onWall()
	p := pairing{at: [2]int{-1, w.at}, plans: [2]plan.Plan{m.plan(), all[w.at].Plan}, names: [2]string{"plan in hand", all[w.at].Name}, look: 1}
	if w.first >= 0 && w.first < len(all) && w.first != w.at {
		p.at[0], p.plans[0], p.names[0] = w.first, all[w.first].Plan, all[w.first].Name
	}
	if !m.canBeside() {
		p.blink = true
	}
	m.pair = p
	m.scope = keys.Pair
}

// pairKey does what a key means while two thumbnails are compared.
func (m *model) pairKey(a keys.Action) bool {
	p := &m.pair
	switch a {
	case keys.Back:
		m.scope = keys.Wall
	case keys.Flip:
		if p.blink {
			p.look = 1 - p.look
		}
		p.blink = true
	case keys.Beside:
		p.blink = !m.canBeside()
		if p.blink {
			m.note = "side by side needs a window of 60 columns: Space blinks"
		}
	case keys.ShowReading:
		p.words, p.from = !p.words, 0
	case keys.Down, keys.Up:
		m.readPair(a)
	case keys.Open:
		m.openThumb(p.plans[p.look])
	default:
		return false
	}
	return true
}

// pairLine says what is compared.
func (m *model) pairLine() string {
	p := &m.pair
	name := func(i int) string {
		if p.at[i] < 0 {
			return p.names[i]
		}
		words := fmt.Sprintf("%d", p.at[i]+1)
		if p.names[i] != words {
			words += " " + p.names[i]
		}
		if k := unlessIn(words, valuesWord(p.plans[i].Values.K)); k != "" {
			words += ", " + k
		}
		return words
	}
	if p.blink {
		what := m.wall.hangs.String() + " "
		if p.at[p.look] < 0 {
			what = ""
		}
		return line(m.cols-2, piece{what + name(p.look), 1}, piece{"(" + name(1-p.look) + " is the other)", 2})
	}
	return line(m.cols-2, piece{name(0) + " | " + name(1), 1})
}

// beneath is a row of words below two thumbnails, one part under each.
type beneath struct {
	words  [2]string
	strong bool
}

// differences are where the readings of the two differ, what practice would ask
// first; not known before both are read.
func (m *model) differences() (pairs []reading.Pair, known bool) {
	p := &m.pair
	one, gotOne := m.wall.read[p.plans[0]]
	two, gotTwo := m.wall.read[p.plans[1]]
	if !gotOne || !gotTwo {
		return nil, false
	}
	return reading.Compare(one, two), true
}

// readPair goes on to further differences, or back.
func (m *model) readPair(a keys.Action) {
	p := &m.pair
	pairs, known := m.differences()
	switch {
	case !p.words:
		m.note = "R shows where their readings differ"
	case a == keys.Up:
		p.from = max(0, p.from-1)
	case known && m.pairRest(pairs, m.bandRows()/2) > 0:
		p.from++
	default:
		m.note = "there are no more differences"
	}
}

// pairRest returns how many differences have no room in so many rows.
func (m *model) pairRest(pairs []reading.Pair, rows int) int {
	taken := 0
	for i := m.pair.from; i < len(pairs); i++ {
		left, right := m.saidOf(pairs[i])
		if taken += max(len(left), len(right)); taken > rows-1 {
			return len(pairs) - i
		}
	}
	return 0
}

// saidOf is a difference, broken into rows: what the one says and what the other.
func (m *model) saidOf(d reading.Pair) (left, right []string) {
	wide := m.cols/2 - 3
	return said(d.A, d.HasA, wide), said(d.B, d.HasB, wide)
}

// pairWords returns where the readings of the two differ, in at most rows rows,
// from the difference to which it was read on.
func (m *model) pairWords(rows int) []beneath {
	p := &m.pair
	if !p.words {
		return nil
	}
	pairs, known := m.differences()
	switch {
	case !known:
		return []beneath{{words: [2]string{"reading …", ""}}}
	case len(pairs) == 0:
		return []beneath{{words: [2]string{"the readings say the same", ""}}}
	}
	var out []beneath
	rest := m.pairRest(pairs, rows)
	for _, d := range pairs[min(p.from, len(pairs)-1) : len(pairs)-rest] {
		left, right := m.saidOf(d)
		for k := range max(len(left), len(right)) {
			row := beneath{strong: d.HasA && d.A.Asks || d.HasB && d.B.Asks}
			if k < len(left) {
				row.words[0] = left[k]
			}
			if k < len(right) {
				row.words[1] = right[k]
			}
			out = append(out, row)
		}
	}
	if rest > 0 {
		out = append(out, beneath{words: [2]string{"↓ " + counted(rest, "more difference", "more differences"), ""}})
	}
	return out
}

// said is a line of a reading, broken into rows.
func said(l reading.Line, has bool, wide int) []string {
	if !has {
		return []string{"·"}
	}
	return wrapped(l.Words, wide)
}
