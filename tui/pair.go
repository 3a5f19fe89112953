package tui

import (
	"fmt"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/tui/keys"
)

// pairing is two thumbnails that are compared.
type pairing struct {
	at    [2]int // their numbers
	plans [2]plan.Plan
	names [2]string
	look  int  // which one is looked at
	blink bool // one at a time, in the same place
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
		return words + ", " + valuesWord(p.plans[i].Values.K)
	}
	if p.blink {
		return line(m.cols-2, piece{"thumbnail " + name(p.look), 1}, piece{"(" + name(1-p.look) + " is the other)", 2})
	}
	return line(m.cols-2, piece{name(0) + " | " + name(1), 1})
}
