package tui

import (
	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
)

// maxEarly is how many keys are kept while the photo opens.
const maxEarly = 100

// key does what a key means where the painter is.
func (m *model) key(name string) tea.Cmd {
	a := keys.Resolve(m.scope, name)
	switch a {
	case keys.None:
		m.meansNothing(name)
		return nil
	case keys.Quit:
		return tea.Quit
	case keys.Redraw:
		m.opt.Screen.Invalidate()
		return tea.ClearScreen
	case keys.Suspend:
		if !m.opt.CanSuspend {
			m.note = "there is no shell here to go back to"
			return nil
		}
		return tea.Suspend
	case keys.ShowHelp:
		m.under, m.scope, m.down = m.scope, keys.Help, 0
		return nil
	case keys.Save:
		return m.save()
	case keys.Write:
		if m.scope == keys.Sheets {
			return m.writeSheets()
		}
	case keys.NextPhoto, keys.PrevPhoto, keys.AllPhotos:
		// A folder's browser takes these keys before they come here.
		m.note = "there is only this photo: name a folder to go through all of its photos"
		return nil
	}
	m.note, m.aside = "", false
	m.activity(a)
	return nil
}

// meansNothing says so of a key, in place of what was said before, which would
// read like its answer.
func (m *model) meansNothing(name string) {
	if m.opened == nil || m.scope == keys.Help {
		return
	}
	m.note, m.aside = "", false
	switch {
	case name == "esc": // pressed once more to be out of everything
	case len(name) == 1 && name >= "0" && name <= "9" && keys.Resolve(m.scope, "2") != keys.None:
		m.note = "a plan has 2 to 5 values"
	default:
		m.note = keys.Label(name) + " does nothing here: ? shows the keys"
	}
}

// activity hands an action to where the painter is; what means nothing there is
// the studio's.
func (m *model) activity(a keys.Action) {
	took := false
	switch m.scope {
	case keys.Help:
		m.helpKey(a)
		return
	case keys.Focal:
		took = m.focalKey(a)
	case keys.Scale:
		took = m.scaleKey(a)
	case keys.Hand:
		took = m.handKey(a)
	case keys.MarkOut:
		took = m.markOutKey(a)
	case keys.Carry:
		took = m.carryKey(a)
	case keys.Decided:
		took = m.decidedKey(a)
	case keys.Wall:
		took = m.wallKey(a)
	case keys.Pair:
		took = m.pairKey(a)
	case keys.Note:
		took = m.noteKey(a)
	case keys.Reading:
		took = m.readingKey(a)
	case keys.Sheets:
		took = m.sheetsKey(a)
	}
	if !took {
		m.studioKey(a)
	}
}

// studioKey looks or edits.
func (m *model) studioKey(a keys.Action) {
	if m.look(a) {
		return
	}
	if m.opened == nil {
		if len(m.early) < maxEarly {
			m.early = append(m.early, a)
		}
		return
	}
	switch a {
	case keys.Undo, keys.Redo:
		m.stepHistory(a)
		return
	case keys.Place:
		m.enterFocal()
		return
	case keys.TakeUp:
		m.enterHand()
		return
	case keys.MarkArea:
		m.enterMarkOut(m.beginAt(m.area.at))
		return
	case keys.ShowChoices:
		m.enterDecided()
		return
	case keys.ShowReading:
		m.enterReading()
		return
	case keys.ShowSheets:
		m.enterSheets()
		return
	case keys.KeepIt:
		m.keepThumb(m.plan(), "")
		return
	case keys.ShowWall, keys.Vary, keys.TryCrops:
		m.enterWall(map[keys.Action]hangs{keys.Vary: varied, keys.TryCrops: cropped}[a])
		return
	case keys.ByHand:
		m.enterScale()
		return
	}
	if shapesMoved(a, m.view) && !m.countKnown() && m.waits(a) {
		return // how many there are is not measured yet
	}
	edit := m.edit(a)
	if edit == nil {
		return
	}
	if !m.do(actionName(a), edit) {
		m.note = atTheEnd(a)
	}
	switch a {
	case keys.SquintMore, keys.SquintLess:
		if m.view == study.Whole || m.view == study.Photo {
			m.show(study.Squint)
		}
	case keys.Two, keys.Three, keys.Four, keys.Five:
		if !m.beside && m.view != study.Values {
			m.show(study.Plan)
		}
	}
}

// ofShapes reports whether a view shows the plan's shapes.
func ofShapes(v study.View) bool { return v >= study.Plan }

// shapesMoved reports whether a key changes the number of shapes.
func shapesMoved(a keys.Action, v study.View) bool {
	return (a == keys.More || a == keys.Less) && ofShapes(v)
}

// look changes what is looked at and reports whether a did that.
func (m *model) look(a keys.Action) bool {
	switch a {
	case keys.ShowWhole:
		m.show(study.Whole)
	case keys.ShowPhoto:
		m.show(study.Photo)
	case keys.ShowSquint:
		m.show(study.Squint)
	case keys.ShowValues:
		m.show(study.Values)
	case keys.ShowPlan:
		m.show(study.Plan)
	case keys.ShowNotan:
		m.show(study.Notan)
	case keys.ShowOutline:
		m.show(study.Outline)
	case keys.ShowSteps:
		m.show(study.Steps)
	case keys.NextGrid:
		m.nextGrid()
	case keys.Going:
		m.going = !m.going || m.view != study.Plan
		if m.going {
			m.show(study.Plan)
			m.note = "marked: what - would pull together next"
		}
	case keys.Flip:
		m.flip()
	case keys.Beside:
		m.beside = !m.beside
		if m.beside && !m.canBeside() {
			m.note = "side by side needs 60 columns"
		}
	case keys.Finer:
		m.finer()
	case keys.Back:
		m.beside, m.read.open = false, false
	default:
		return false
	}
	m.hist = m.hist.Break()
	return true
}

// finer goes on to the next glyphs that the picture can be shown in.
func (m *model) finer() {
	next := (m.glyphs + 1) % (cells.Sextants + 1)
	m.glyphs = next.At(m.opt.Depth)
	m.note = "shown in " + map[cells.Glyphs]string{
		cells.HalfBlocks: "half blocks", cells.Quadrants: "quadrants", cells.Sextants: "sextants",
	}[m.glyphs]
	switch {
	case m.glyphs != next:
		m.note += ": finer ones need at least 256 colours"
	case next != cells.HalfBlocks:
		m.note += "; G again if you see boxes or question marks"
	}
}

// show looks at v. Space then flips between the photo and the plan that were
// looked at last.
func (m *model) show(v study.View) {
	if isPlan(v) != isPlan(m.view) {
		m.other = m.view
	}
	m.view = v
}

func (m *model) flip() {
	switch {
	case isPlan(m.view) && m.other == study.Whole:
		m.show(study.Photo) // the same crop, so that it can be blinked
	default:
		m.show(m.other)
	}
}

func isPlan(v study.View) bool { return v >= study.Values }

// do makes an edit a step of the history, joined with the last one if the same
// key is held down, and reports whether it changed anything.
func (m *model) do(name string, edit plan.Edit) bool {
	now := m.now()
	if now.Sub(m.lastEdit) > pause {
		m.hist = m.hist.Break()
	}
	m.lastEdit = now
	return m.step(m.hist.Do(name, edit(m.plan(), m.frame)))
}

// doState makes a change of what is kept a step of the history.
func (m *model) doState(s plan.State) bool { return m.step(m.hist.DoState("", s)) }

// step goes on to a history with one step more.
func (m *model) step(next plan.History) bool {
	before := m.hist.State()
	if next.State().Equal(before) {
		return false
	}
	m.hist = next
	m.opened.Keep.Changed(m.hist)
	return true
}

func (m *model) stepHistory(a keys.Action) {
	next := m.hist.Undo()
	if a == keys.Redo {
		next = m.hist.Redo()
	}
	if !m.step(next) {
		m.note = map[keys.Action]string{keys.Undo: "nothing to undo", keys.Redo: "nothing to redo"}[a]
	}
}
