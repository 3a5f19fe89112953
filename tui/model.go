package tui

import (
	"context"
	"runtime/debug"
	"time"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
	"atelier/halflid/tui/term"
)

// The smallest window that the studio can show itself in, in cells.
const (
	minCols = 40
	minRows = 12
)

// pause is how long a key must rest before its next press counts as a new step
// of undo.
const pause = time.Second

// model is the state of the screen. What the painter decided is in hist; all
// else is about looking at it.
type model struct {
	ctx context.Context
	src Source
	opt Options
	ink inks
	now func() time.Time

	opened   *Opened       // nil while the photo opens
	early    []keys.Action // edits asked for before that
	progress float64       // of opening
	frame    plan.Frame
	hist     plan.History
	lastEdit time.Time

	view   study.View // what is looked at
	other  study.View // what Space flips to
	beside bool
	going  bool // mark what would be pulled together next
	grid   plan.Grid
	glyphs cells.Glyphs

	scope  keys.Scope
	under  keys.Scope // where Help leads back to
	mark   int        // in keys.Scale: the chosen tone or cut
	before study.View // in keys.Scale: what was seen before
	down   int        // in keys.Help: lines scrolled

	hand      hand
	area      marking
	carry     carry
	list      decided
	wall      wall
	pair      pairing
	read      reader
	sheets    sheets
	keptLast  []plan.Thumbnail // see keptNow
	keptCount int
	text      textinput.Model
	waiting   []keys.Action // keys about shapes that are not measured yet

	cols, rows int
	sizes      int // counts the sizes that the window has had
	settled    settling
	still      time.Duration
	jobs       *jobs
	shown      done // the newest picture and its figures
	resting    resting
	note       string
	aside      bool   // it answers no key: see longRows
	notice     string // the last of those, for the help
	saving     bool
	behind     bool // the line is slow: the screen shows an older picture
	err        error
	send       func(tea.Msg)
}

func newModel(ctx context.Context, src Source, opt Options) *model {
	if opt.Aspect <= 0 {
		opt.Aspect = 1
	}
	m := &model{
		ctx: ctx, src: src, opt: opt, ink: newInks(opt.Depth), now: time.Now, still: settleTime, resting: resting{wait: restTime},
		glyphs: opt.Glyphs.At(opt.Depth),
		view:   study.Whole, other: study.Plan, jobs: newJobs(opt), send: func(tea.Msg) {},
	}
	if size := src.Preview.Size(); size.X > 0 && size.Y > 0 {
		m.frame = plan.Frame{Photo: size}
		m.jobs.photo(1, src.Preview)
	}
	return m
}

// Messages of our own.
type (
	openedMsg struct {
		opened Opened
		err    error
	}
	progressMsg float64
	noteMsg     string
	savedMsg    struct {
		words string
		err   error
	}
	crashMsg   struct{ crash *Crash }
	restMsg    int  // the keys have rested: for which time
	settledMsg int  // the window has kept its size: which of the sizes this was
	behindMsg  bool // whether the picture on the screen is behind: see cells.Screen.Behind
)

// guard runs work as a command; a panic in it ends the studio in good order.
func guard(work func() tea.Msg) tea.Cmd {
	return func() (msg tea.Msg) {
		defer func() {
			if r := recover(); r != nil {
				msg = crashMsg{&Crash{Value: r, Trace: string(debug.Stack())}}
			}
		}()
		return work()
	}
}

// Init implements tea.Model.
func (m *model) Init() tea.Cmd {
	return guard(func() tea.Msg {
		o, err := m.src.Open(m.ctx, func(done float64) { m.send(progressMsg(done)) },
			func(s string) { m.send(noteMsg(s)) })
		return openedMsg{o, err}
	})
}

// Update implements tea.Model: a router.
func (m *model) Update(msg tea.Msg) (next tea.Model, cmd tea.Cmd) {
	defer func() {
		if r := recover(); r != nil {
			next, cmd = m, m.fail(&Crash{Value: r, Trace: string(debug.Stack())})
		}
	}()
	m.fault("update", msg)
	switch msg := msg.(type) {
	case tea.KeyMsg:
		return m, m.keys(msg)
	case tea.WindowSizeMsg:
		if m.settled.stale(msg, m.cols, m.rows) {
			return m, m.settle()
		}
		m.resize(msg.Width, msg.Height)
		return m, tea.Batch(m.refresh(), m.fillWall(), m.findCrops(), m.settle())
	case settledMsg:
		if int(msg) == m.sizes {
			// The renderer takes the same size once more as a reason to write
			// all its rows again.
			return m, m.settled.again(m.cols, m.rows)
		}
	case tea.ResumeMsg:
		m.opt.Screen.Invalidate()
	case done:
		m.finished(msg)
		m.keepLine()
		m.goOn()
		return m, tea.Batch(m.refresh(), m.fillWall(), m.findCrops(), m.whenKeysRest())
	case restMsg:
		if int(msg) == m.resting.count {
			return m, m.measurePlan()
		}
	case tileMsg:
		m.tileMade(msg)
	case cropsMsg:
		m.cropsFound(msg)
	case searchMsg:
		m.wall.crops.share = float64(msg)
	case openedMsg:
		return m, m.open(msg)
	case progressMsg:
		m.progress = float64(msg)
	case noteMsg:
		m.tell(string(msg))
	case savedMsg:
		m.saving = false
		m.note, m.aside = msg.words, false
		if msg.err != nil {
			m.note = "not saved: " + msg.err.Error()
		}
	case crashMsg:
		return m, m.fail(msg.crash)
	case behindMsg:
		m.behind = bool(msg)
	}
	return m, tea.Batch(m.refresh(), m.fillWall(), m.findCrops())
}

func (m *model) fault(place string, msg tea.Msg) {
	if m.opt.Fault == nil {
		return
	}
	if _, key := msg.(tea.KeyMsg); key || place != "update" {
		m.opt.Fault(place)
	}
}

func (m *model) fail(err error) tea.Cmd {
	if m.err == nil {
		m.err = err
	}
	return tea.Quit
}

// keys takes a message apart: over a slow line several keys arrive as one.
func (m *model) keys(msg tea.KeyMsg) tea.Cmd {
	if msg.Paste {
		if m.scope == keys.Note {
			m.noteText(msg)
		}
		return nil // elsewhere there is no text to enter
	}
	var quit tea.Cmd
	for _, k := range term.SplitKeys(msg) {
		if m.scope == keys.Note && keys.Resolve(keys.Note, k.String()) == keys.None {
			m.noteText(k)
			continue
		}
		if cmd := m.key(k.String()); cmd != nil {
			quit = cmd
		}
	}
	return tea.Batch(quit, m.refresh(), m.fillWall(), m.findCrops())
}

func (m *model) open(msg openedMsg) tea.Cmd {
	if msg.err != nil {
		return m.fail(msg.err)
	}
	o := msg.opened
	m.opened = &o
	m.tell(o.Note)
	m.frame = plan.Frame{Photo: o.Photo.Size}
	m.hist, m.resting.before = o.History, study.Figures{}
	m.jobs.photo(2, o.Photo.Master)
	for _, a := range m.early {
		m.studioKey(a)
	}
	m.early = nil
	if m.note == "" {
		m.tell(o.Note)
	}
	return m.refresh()
}

// tell says what no key has asked for: how the photo and its plan were found, or
// that saving fails.
func (m *model) tell(words string) {
	m.note, m.aside = words, true
	if words != "" {
		m.notice = words
	}
}

func (m *model) resize(cols, rows int) {
	if cols <= 0 || rows <= 0 {
		cols, rows = 80, 24 // some servers report no size
	}
	m.cols, m.rows = cols, rows
	m.opt.Screen.Resize(cols, rows)
}

// settleTime is how long a window must keep its size until its rows are written
// once more.
const settleTime = 200 * time.Millisecond

// settle has the words written once more when a new size has lasted. While sizes
// follow each other, rows written for one can reach a window of another, which
// breaks them elsewhere and keeps what it should not.
func (m *model) settle() tea.Cmd {
	if m.settled.took() {
		return nil
	}
	m.sizes++
	n := m.sizes
	return tea.Tick(m.still, func(time.Time) tea.Msg { return settledMsg(n) })
}

func (m *model) tooSmall() bool { return m.cols < minCols || m.rows < minRows }

// plan returns the plan on show: the painter's, or while the photo opens the one
// that any photo begins with.
func (m *model) plan() plan.Plan { return m.hist.Plan() }
