package tui

import (
	"fmt"
	"image"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/tui/keys"
)

// leastTile is the least width of a tile of the wall, in cells, and mostTile the
// most: above it a thumbnail is no longer one.
const (
	leastTile = 22
	mostTile  = 64
)

// hangs is what hangs on the wall.
type hangs int

const (
	kept    hangs = iota // the thumbnails
	varied               // variations of the plan in hand
	cropped              // crops worth trying
)

func (h hangs) String() string { return [...]string{"thumbnail", "variation", "crop"}[h] }

// wall is the wall of thumbnails, or of what can be kept as some.
type wall struct {
	hangs  hangs
	crops  proposed
	tries  []plan.Thumbnail // those variations
	of     plan.Plan        // the plan they are variations of
	at     int
	first  int // of two to compare; -1: none
	back   keys.Scope
	drawn  map[plan.Plan]study.Sketch   // pictures that were made
	read   map[plan.Plan][]reading.Line // what the compared ones say
	inWork bool
	desk   *study.Desk // made when first needed
	last   plan.Plan   // what it made last
	made   int         // counts the pictures, so that a new one is painted

	count int // of the states of the wall that were shown
	shown hangKey
	hung  []plan.Thumbnail
}

func (m *model) enterWall(what hangs) {
	w := &m.wall
	if m.scope != keys.Wall {
		w.back = keys.Studio
	}
	m.scope, w.first = keys.Wall, -1
	w.hangs = what
	if what == varied && (w.of != m.plan() || len(w.tries) == 0) {
		var cuts []palette.Value
		if m.shown.want.plan == m.plan() {
			cuts = values(m.shown.figures.Cuts)
		}
		w.of, w.tries = m.plan(), plan.Variations(m.plan(), m.frame, cuts)
	}
	w.at = 0
	for i, t := range m.onWall() {
		if t.Plan == m.plan() {
			w.at = i
		}
	}
}

// onWall returns what hangs there.
func (m *model) onWall() []plan.Thumbnail {
	switch m.wall.hangs {
	case varied:
		return m.wall.tries
	case cropped:
		return m.wall.crops.plans
	}
	return m.hist.Thumbnails()
}

// keepThumb keeps a plan as a thumbnail.
func (m *model) keepThumb(p plan.Plan, name string) {
	s := m.hist.State()
	for _, t := range s.Thumbnails {
		if t.Plan == p {
			m.note = "this is kept already: " + t.Name
			return
		}
	}
	s, ok := s.Keep(name, p)
	if !ok {
		m.note = fmt.Sprintf("%d thumbnails are kept: take one away first", plan.MaxThumbnails)
		return
	}
	m.doState(s)
	m.note = "kept as thumbnail " + fmt.Sprint(len(s.Thumbnails))
	switch {
	case m.opened.Unsaved:
		m.note += " in this window only: nothing is saved"
	case m.scope == keys.Studio:
		m.note += ": T shows them all"
	}
}

// wallKey does what a key means at the wall; false leaves it to the studio.
func (m *model) wallKey(a keys.Action) bool {
	w, all := &m.wall, m.onWall()
	n := len(all)
	w.at = max(0, min(w.at, n-1))
	per := m.hanging().across
	switch a {
	case keys.Back:
		m.leaveWall()
		return true
	case keys.Vary:
		m.turnWall(varied)
		return true
	case keys.TryCrops:
		m.turnWall(cropped)
		return true
	case keys.KeepIt:
		if w.hangs != kept && n > 0 {
			name := all[w.at].Name
			if w.hangs == cropped {
				name = cropName(w.crops.list[w.at])
			}
			m.keepThumb(all[w.at].Plan, name)
		} else if w.hangs == kept {
			m.keepThumb(m.plan(), "")
			w.at = max(0, len(m.onWall())-1)
		}
		return true
	case keys.Undo, keys.Redo:
		return false
	}
	if n == 0 {
		return true
	}
	switch a {
	case keys.Left:
		w.at = max(0, w.at-1)
	case keys.Right:
		w.at = min(n-1, w.at+1)
	case keys.Up:
		if w.at >= per {
			w.at -= per
		}
	case keys.Down:
		w.at = min(n-1, w.at+per)
	case keys.Open:
		if w.hangs == cropped {
			m.takeCrop(w.at)
		} else {
			m.openThumb(all[w.at].Plan)
		}
	case keys.FarDown, keys.FarUp:
		m.readCrop(a)
	case keys.MarkIt:
		if w.first == w.at {
			w.first = -1
		} else {
			w.first = w.at
		}
	case keys.Beside:
		m.enterPair()
	default:
		if w.hangs != kept {
			m.note = "y keeps one of these first"
			return true
		}
		m.rearrange(a)
	}
	return true
}

// rearrange changes what is kept.
func (m *model) rearrange(a keys.Action) {
	w, s := &m.wall, m.hist.State()
	switch a {
	case keys.TakeAway:
		m.doState(s.Drop(w.at))
		w.first = -1
		w.at = max(0, min(w.at, len(m.onWall())-1))
		m.note = "taken away: u brings it back"
	case keys.FarLeft, keys.FarRight:
		by := 1
		if a == keys.FarLeft {
			by = -1
		}
		if to := w.at + by; to >= 0 && to < len(s.Thumbnails) {
			m.doState(s.Shift(w.at, by))
			w.at, w.first = to, -1
		}
	case keys.Write:
		m.enterNote(s.Thumbnails[w.at].Name)
	}
}

// openThumb goes on with a kept plan.
func (m *model) openThumb(p plan.Plan) {
	m.do("", func(plan.Plan, plan.Frame) plan.Plan { return p })
	m.leaveWall()
	m.show(study.Plan)
}

// turnWall hangs something else on the wall, or the thumbnails again.
func (m *model) turnWall(what hangs) {
	if m.wall.hangs == what {
		what = kept
	}
	m.enterWall(what)
}

func (m *model) leaveWall() {
	m.scope = keys.Studio
	m.hist = m.hist.Break()
}

// hanging is how the wall is divided.
type hanging struct {
	across, down int         // tiles
	tile         image.Point // in cells, with a gap and a line of words
}

// at returns the upper left cell of tile i.
func (h hanging) at(i int) image.Point {
	return image.Pt(i%h.across*h.tile.X, i/h.across*h.tile.Y)
}

// hanging divides the window into tiles as large as lets all thumbnails be seen,
// but not too small to be judged: then the wall is scrolled.
func (m *model) hanging() hanging {
	all := m.onWall()
	tall := 0.75 // of the tallest picture, height over width
	for _, t := range all {
		tall = max(tall, min(1.4, 1/t.Plan.Aspect(m.frame.Photo)))
	}
	rows := m.bandRows()
	for across := 1; ; across++ {
		wide := min(m.wallCols()/across, mostTile)
		least := m.wallCols()/(across+1) < leastTile
		h := hanging{across, 1, image.Pt(wide, min(rows, 3+int(float64(wide-4)*tall*m.opt.Aspect/2)))}
		h.down = max(1, rows/h.tile.Y)
		if least || across*h.down >= len(all) && wide < mostTile || across*h.down >= max(2, len(all)) {
			return h
		}
	}
}

// seen returns the numbers of the tiles that the window shows.
func (m *model) seen() (from, to int) {
	h := m.hanging()
	row := m.wall.at / h.across
	from = max(0, row-h.down+1) * h.across
	return from, min(len(m.onWall()), from+h.across*h.down)
}

// version counts what the wall shows: another number, another picture.
func (w *wall) version(m *model) int {
	now := hangKey{m.scope == keys.Pair, m.pair, w.hangs, w.at, w.first, w.made, len(m.onWall()), m.wallCols(), m.rows, m.plan()}
	if !w.same(now, m.onWall()) {
		w.shown, w.hung = now, m.onWall()
		w.count++
	}
	return w.count
}

// hangKey is all that decides how the wall looks, but for what hangs there.
type hangKey struct {
	two                bool
	pair               pairing
	hangs              hangs
	at, first, made, n int
	cols, rows         int
	plan               plan.Plan
}

func (w *wall) same(k hangKey, all []plan.Thumbnail) bool {
	if w.shown != k || len(w.hung) != len(all) {
		return false
	}
	for i := range all {
		if w.hung[i].Name != all[i].Name || w.hung[i].Plan != all[i].Plan {
			return false
		}
	}
	return true
}

// wallLine says what is chosen.
func (m *model) wallLine() string {
	all := m.onWall()
	switch {
	case m.wall.hangs == cropped:
		return m.cropLine()
	case len(all) == 0:
		return "no thumbnails yet: y keeps the plan in hand, V makes variations of it"
	}
	t := all[min(m.wall.at, len(all)-1)]
	p := t.Plan
	return line(m.cols-2,
		piece{fmt.Sprintf("%s %d of %d", m.wall.hangs, m.wall.at+1, len(all)), 1},
		piece{t.Name, 2}, piece{unlessIn(t.Name, p.Panel.String()), 3}, piece{unlessIn(t.Name, valuesWord(p.Values.K)), 4}, piece{squintWord(p), 5})
}
