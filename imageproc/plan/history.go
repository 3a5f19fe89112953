package plan

// MaxSteps is how many steps a History remembers; older ones are forgotten.
const MaxSteps = 500

// History is a plan with the steps that led to it and those undone since. It is
// a value: every method returns a new one and leaves the old as it was, so it
// may be copied and shared between goroutines. The zero History holds the zero
// Plan; start with NewHistory. A new step costs a copy of all the steps (some
// 100 kB at most), a repeat of the same action too; nothing else does.
type History struct {
	steps []step // never written to once made
	first Plan   // what steps[0] began with
	at    int    // how many steps are done; the others are undone
	open  bool   // the last step may still take repeats of its action
}

type step struct {
	action string
	plan   Plan // what the step led to
}

// NewHistory returns a history that begins with p.
func NewHistory(p Plan) History { return History{first: p} }

// Plan returns the present plan.
func (h History) Plan() Plan { return h.planAt(h.at) }

func (h History) planAt(n int) Plan {
	if n == 0 {
		return h.first
	}
	return h.steps[n-1].plan
}

// Do returns the history after action led to p. What was undone is forgotten. A
// repeat of the action that made the last step joins that step, so that one
// undo takes back a held key, until Break, Undo, Redo or another action comes
// between; an empty action never joins. A p equal to the present plan is no
// step and leaves the history as it was, and a step that came back to where it
// began is taken out.
func (h History) Do(action string, p Plan) History {
	if p.Equal(h.Plan()) {
		return h
	}
	done := h.steps[:h.at]
	if h.open && h.at > 0 && action != "" && done[h.at-1].action == action {
		done = done[:h.at-1]
		if p.Equal(h.planAt(h.at - 1)) {
			return History{steps: done[:len(done):len(done)], first: h.first, at: len(done)}
		}
	}
	first := h.first
	if len(done) == MaxSteps {
		first, done = done[0].plan, done[1:]
	}
	steps := make([]step, len(done)+1)
	copy(steps, done)
	steps[len(done)] = step{action, p}
	return History{steps: steps, first: first, at: len(steps), open: true}
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
