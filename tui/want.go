package tui

import (
	"image"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
)

// want is all that decides what the band shows. Two equal wants show the same.
type want struct {
	photo  int // 0: none, 1: the preview, 2: the photo
	plan   plan.Plan
	view   study.View
	beside bool
	going  int  // mark what goes when the plan is pulled together to so many shapes; 0: do not
	focal  bool // mark the focal point
	grid   plan.Grid
	marks  marks
	column string // text beside the picture, one line a line
	read   bool   // say what the plan is like
	byHand bool   // tones and cuts are set by hand: they have to be known at every key
	sheets sheets // pages instead of the picture
	paper  int    // thumbnails instead of the plan in hand: changes whenever they do; 0: none
	glyphs cells.Glyphs
	cols   int
	rows   int
}

// marks are what an activity draws over the picture.
type marks struct {
	shape    bool // outline the shape at the hand, and those that are marked
	outlined bool // outline those that are marked
	faint    bool // and that with dots
	shapes   [maxMarks]plan.Point
	n        int
	area     plan.Area
	other    plan.Area
	cross    bool
	at       plan.Point
}

// wanted returns what the band should show, and whether there is a band.
func (m *model) wanted() (want, bool) {
	if m.tooSmall() || m.scope == keys.Help {
		return want{}, false
	}
	w := want{photo: m.jobs.id, view: m.view, going: m.goingTo(), grid: m.gridOf(m.plan()), focal: m.scope == keys.Focal, beside: m.beside && m.canBeside(), cols: m.cols, rows: m.bandRows(), glyphs: m.glyphs}
	w.marks, w.column, w.read = m.marks(), m.column(), m.reads()
	w.sheets, w.byHand = m.wantedSheets(), m.scope == keys.Scale
	if m.onPaper() {
		return m.wantedPaper(w)
	}
	switch {
	case m.opened != nil:
		w.plan = m.plan()
	case m.jobs.id == 1:
		w.plan = plan.Default(m.frame.Photo)
	default:
		return w, false
	}
	return w, true
}

// onPaper reports whether thumbnails are looked at instead of the plan in hand.
func (m *model) onPaper() bool {
	return m.opened != nil && (m.scope == keys.Wall || m.scope == keys.Pair || m.scope == keys.Note)
}

// wantedPaper is what the wall and two compared thumbnails show.
func (m *model) wantedPaper(w want) (want, bool) {
	w.going, w.focal, w.read, w.grid = 0, false, false, plan.Grid{}
	w.beside = m.scope == keys.Pair && !m.pair.blink
	w.paper = 1 + m.wall.version(m)
	return w, true
}

// marks are what the activity draws over the picture.
func (m *model) marks() marks {
	var k marks
	switch m.scope {
	case keys.Reading:
		return m.readingMarks()
	case keys.Hand:
		k.shape, k.cross, k.at = true, true, m.hand.at
		k.n = copy(k.shapes[:], m.hand.marks)
	case keys.MarkOut:
		k.area, k.cross, k.at = m.area.drawn(), true, m.area.at
	case keys.Carry:
		if c, ok := m.carried(); ok {
			k.area = study.Carried(c)
		}
	case keys.Decided:
		list := m.plan().Choices.List()
		if len(list) > 0 {
			c := list[min(m.list.at, len(list)-1)]
			k.area, k.other = c.Area, c.Other
			if c.What == plan.Move || c.What == plan.Copy {
				k.other = study.Carried(c)
			}
		}
	}
	return k
}

// rooms returns where pictures go in so many columns of the band, in pixels: one
// place, or two side by side.
func (w want) rooms(cols int) []image.Rectangle {
	per := w.glyphs.Per()
	tall := w.rows * per.Y
	if !w.beside {
		return []image.Rectangle{image.Rect(0, 0, cols*per.X, tall)}
	}
	half := (cols - 2) / 2 * per.X
	return []image.Rectangle{image.Rect(0, 0, half, tall), image.Rect(cols*per.X-half, 0, cols*per.X, tall)}
}
