package tui

import (
	"context"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/study"
)

// The photo, whole or as the crop, and the crop squinted at need no plan to be
// shown, and the plan takes many times as long. But the lines below them speak of
// the plan, as they do beside the plan itself. So it is measured when the keys
// rest. A key that comes meanwhile ends the measuring. Until then what was measured
// last stands there; in grey once a second picture has come, as while a key is held:
// at every single key the lines would flicker.

// restTime is how long no key may come until the plan is measured: longer than
// a held key takes to come again.
const restTime = 120 * time.Millisecond

// resting is what is measured when keys rest.
type resting struct {
	before  study.Figures // what was measured last, if the newest picture came without
	unknown int           // pictures that have come without since then
	failed  want          // what the last job that failed was for: it is not tried again
	count   int           // of the times that keys rested
	wait    time.Duration // how long they have to
}

// told returns what the lines below the picture speak of, and whether to say that
// it is of an older plan.
func (m *model) told() (f study.Figures, old bool) {
	if len(m.shown.figures.Tones) > 0 {
		return m.shown.figures, false
	}
	return m.resting.before, m.resting.unknown > 1
}

// unmeasured reports whether what is shown came without figures.
func (m *model) unmeasured() bool {
	w := m.shown.want
	return m.opened != nil && w.photo == m.jobs.id && w.paper == 0 && !w.sheets.on && w != m.resting.failed && len(m.shown.figures.Tones) == 0
}

// whenKeysRest has the plan measured after a while without a key, if that is
// still to be done.
func (m *model) whenKeysRest() tea.Cmd {
	if m.jobs.running || !m.unmeasured() {
		return nil
	}
	m.resting.count++
	n := m.resting.count
	return tea.Tick(m.resting.wait, func(time.Time) tea.Msg { return restMsg(n) })
}

// measurePlan measures the plan behind what is shown, unless something else is
// to be shown by now.
func (m *model) measurePlan() tea.Cmd {
	j := m.jobs
	w, ok := m.wanted()
	if !ok || j.running || w != j.last || w != m.shown.want || !m.unmeasured() {
		return nil
	}
	ctx, stop := context.WithCancel(m.ctx)
	j.running, j.stop = true, stop
	desk, lines := j.desk, m.shown.lines
	return guard(func() tea.Msg {
		j.mu.Lock()
		defer j.mu.Unlock()
		s, err := desk.Make(ctx, w.plan, study.Plan)
		if err != nil {
			return done{want: w, err: err}
		}
		return done{want: w, figures: s.Figures, lines: lines}
	})
}
