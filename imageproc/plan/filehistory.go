package plan

import "slices"

// MaxKept is how many steps of a history a plan file keeps.
const MaxKept = 100

// maxHistoryText is how much of a plan file the history may take, with the
// choices that it alone needs.
const maxHistoryText = 512 << 10 // bytes

// Elsewhere is the action of the step that History adds for a plan that was
// changed without it.
const Elsewhere = "changed elsewhere"

// History returns the history that goes on from the file: with the steps that
// are kept in it, else without any. If the file's plan or thumbnails are not
// those that the steps led to (set with With, or by hand in the file), one step
// more, Elsewhere, leads there.
func (f File) History() History {
	if f.history == nil {
		return NewHistory(f.state())
	}
	return f.history.DoState(Elsewhere, f.state()).Break()
}

// WithHistory returns the file with the plan, the thumbnails and the steps of h.
// How many of them it keeps, Text says.
func (f File) WithHistory(h History) File {
	f.Plan, f.Thumbnails = h.Plan(), h.Thumbnails()
	f.history = nil
	if len(h.steps) > 0 || h.unknown != "" {
		f.history = &h
	}
	return f
}

// equal reports whether h and g hold the same steps.
func (h *History) equal(g *History) bool {
	if h == nil || g == nil {
		return h == g
	}
	return h.at == g.at && h.unknown == g.unknown && h.first.Equal(g.first) &&
		slices.EqualFunc(h.steps, g.steps, func(a, b *step) bool {
			return a.action == b.action && a.unknown == b.unknown && a.state.Equal(b.state)
		})
}

// newest returns the n newest steps of h, or fewer, with the present state among
// theirs: if too much is undone, the steps undone first stay and the others go.
func (h History) newest(n int) History {
	from := min(h.at, max(0, len(h.steps)-n))
	return h.part(from, min(len(h.steps), from+n))
}

// part returns the history from state from to state to.
func (h History) part(from, to int) History {
	h.first, h.steps, h.at = h.stateAt(from), h.steps[from:to:to], h.at-from
	return h
}

// fit returns the history with all its states fitted, in fresh memory.
func (h History) fit(f Frame) History {
	was := h.first.Thumbnails
	h.first = h.first.fit(f)
	thumbnails := h.first.Thumbnails
	steps := make([]*step, len(h.steps))
	for i, s := range h.steps {
		fitted := &step{action: s.action, unknown: s.unknown}
		if slices.Equal(was, s.state.Thumbnails) {
			fitted.state = State{Fit(s.state.Plan, f), thumbnails}
		} else {
			was = s.state.Thumbnails
			fitted.state = s.state.fit(f)
			thumbnails = fitted.state.Thumbnails
		}
		steps[i] = fitted
	}
	h.steps = steps
	return h
}
