package tui

import (
	"runtime/debug"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// tileMsg brings a picture for the wall.
type tileMsg struct {
	plan   plan.Plan
	sketch study.Sketch
	lines  []reading.Line // if they were wanted
	err    error
}

// fillWall begins to make a picture that is wanted and not there: first one whose
// base shapes the desk has, then in order. One at a time is as fast as two, since
// the work itself uses two processors, and takes half the memory.
func (m *model) fillWall() tea.Cmd {
	w := &m.wall
	if m.opened == nil || w.inWork {
		return nil
	}
	if m.scope != keys.Wall && m.scope != keys.Pair && m.scope != keys.Note {
		return w.dropDesk()
	}
	if w.drawn == nil {
		w.drawn, w.read = map[plan.Plan]study.Sketch{}, map[plan.Plan][]reading.Line{}
	}
	reads := m.scope == keys.Pair && m.pair.words
	var wanted []plan.Plan
	if m.scope == keys.Pair {
		wanted = m.pair.plans[:]
	}
	from, to := m.seen()
	for _, t := range m.onWall()[from:to] {
		wanted = append(wanted, t.Plan)
	}
	next := -1
	for i, p := range wanted {
		_, said := w.read[p]
		if _, done := w.drawn[p]; done && (said || !reads || i > 1) {
			continue
		}
		if quick := study.SameShapes(p, w.last); quick || next < 0 {
			next = i
			if quick {
				break
			}
		}
	}
	if next < 0 {
		return w.dropDesk() // all is there
	}
	if w.desk == nil {
		w.desk = study.NewDesk(m.opened.Photo.Master)
	}
	p, desk, ctx := wanted[next], w.desk, m.ctx
	w.inWork, w.last = true, p
	reads = reads && next < 2
	return guard(func() tea.Msg {
		s, err := desk.Make(ctx, p, study.Plan)
		if err != nil {
			return tileMsg{plan: p, err: err}
		}
		msg := tileMsg{plan: p, sketch: s.Sketch()}
		if reads {
			msg.lines = reading.Read(s).Lines(p.Panel.Ruler())
		}
		return msg
	})
}

// maxSketches bounds the pictures that are kept for the next visit, some 0.4 MB
// each.
const maxSketches = 120

func (m *model) tileMade(msg tileMsg) {
	w := &m.wall
	w.inWork = false
	if msg.err != nil {
		if m.ctx.Err() == nil {
			m.note = msg.err.Error()
		}
		return
	}
	if len(w.drawn) >= maxSketches {
		w.drawn, w.read = map[plan.Plan]study.Sketch{}, map[plan.Plan][]reading.Line{}
	}
	w.drawn[msg.plan] = msg.sketch
	if msg.lines != nil {
		w.read[msg.plan] = msg.lines
	}
	w.made++
}

// dropDesk lets go of the desk, which is large: the pictures are kept for the
// next visit. Its memory is given back at once, since little else is made here
// that would have it given back in time.
func (w *wall) dropDesk() tea.Cmd {
	if w.desk == nil {
		return nil
	}
	w.desk, w.last = nil, plan.Plan{}
	return guard(func() tea.Msg {
		debug.FreeOSMemory()
		return nil
	})
}
