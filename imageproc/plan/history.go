package plan

// MaxSteps is how many steps a History remembers; older ones are forgotten.
const MaxSteps = 1200

// History is a state with the steps that led to it and those undone since. It is
// a value: every method returns a new one and leaves the old as it was, so it
// may be copied and shared between goroutines. The zero History holds the zero
// State; start with NewHistory. A new step costs a copy of the list of steps
// (some 10 kB at most), a repeat of the same action too; nothing else does.
type History struct {
	steps   []*step // neither the list nor a step is written to once made
	first   State   // what steps[0] began with
	at      int     // how many steps are done; the others are undone
	open    bool    // the last step may still take repeats of its action
	unknown unknown
}

type step struct {
	action  string
	state   State // what the step led to
	unknown unknown
}

// NewHistory returns a history that begins with s.
func NewHistory(s State) History { return History{first: s} }

// State returns the present state.
func (h History) State() State { return h.stateAt(h.at) }

// Plan returns the present plan.
func (h History) Plan() Plan { return h.State().Plan }

// Thumbnails returns the present thumbnails, which must not be written to.
func (h History) Thumbnails() []Thumbnail { return h.State().Thumbnails }

func (h History) stateAt(n int) State {
	if n == 0 {
		return h.first
	}
	return h.steps[n-1].state
}

// Do returns the history after action led to p, with the thumbnails as they
// are. See DoState.
func (h History) Do(action string, p Plan) History {
	return h.DoState(action, h.State().With(p))
}

// DoState returns the history after action led to s. The action's name loses
// control characters, spaces around it and all but 80 characters. What was
// undone is forgotten. A repeat of the action that made the last step joins that
// step, so that one undo takes back a held key, until Break, Undo, Redo or
// another action comes between; an empty action never joins. A state equal to
// the present one is no step and leaves the history as it was, and a step that
// came back to where it began is taken out.
func (h History) DoState(action string, s State) History {
	if s.Equal(h.State()) {
		return h
	}
	action = lineOf(action)
	done := h.steps[:h.at]
	out := History{first: h.first, open: true, unknown: h.unknown}
	if h.open && h.at > 0 && action != "" && done[h.at-1].action == action {
		done = done[:h.at-1]
		if s.Equal(h.stateAt(h.at - 1)) {
			out.steps, out.at, out.open = done[:len(done):len(done)], len(done), false
			return out
		}
	}
	if len(done) == MaxSteps {
		out.first, done = done[0].state, done[1:]
	}
	out.steps = make([]*step, len(done)+1)
	copy(out.steps, done)
	out.steps[len(done)] = &step{action: action, state: s}
	out.at = len(out.steps)
	return out
}

// Break returns the history with its last step closed: a repeat of the same
// action begins a new one. It is for a pause, or a key that edits nothing.
func (h History) Break() History {
	h.open = false
	return h
}

// Undo returns the history one step back; unchanged if there is none.
func (h History) Undo() History {
	h.at = max(0, h.at-1)
	h.open = false
	return h
}

// Redo returns the history with the last undone step done again; unchanged if
// there is none.
func (h History) Redo() History {
	h.at = min(len(h.steps), h.at+1)
	h.open = false
	return h
}

// CanUndo returns the action that Undo would take back, and whether there is one.
func (h History) CanUndo() (action string, ok bool) {
	if h.at == 0 {
		return "", false
	}
	return h.steps[h.at-1].action, true
}

// CanRedo returns the action that Redo would do again, and whether there is one.
func (h History) CanRedo() (action string, ok bool) {
	if h.at == len(h.steps) {
		return "", false
	}
	return h.steps[h.at].action, true
}
