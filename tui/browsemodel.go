package tui

import (
	"context"
	"errors"
	"reflect"
	"runtime/debug"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// browser is the state of a folder that is gone through: its wall, and in front of
// it the studio of a photo while one is open.
type browser struct {
	ctx  context.Context
	f    Folder
	opt  Options
	ink  inks
	jobs *jobs // paints the wall
	send func(tea.Msg)

	studio  *model // nil: the wall is looked at
	name    string // of the photo in it
	turn    int    // counts the studios: what an older one still sends is dropped
	endTurn context.CancelFunc
	alone   bool // nothing but the first studio was seen yet
	over    bool // its photo could not be opened
	move    *move

	list    shots
	listing bool
	listed  bool
	listErr error
	tiles   map[string]*tile
	looking []*looking
	planned bool // there are plans in the folder
	top     int  // the first row that is seen

	changed  int // counts what is new on the wall
	painting bool
	painted  wallState

	cols, rows int
	sizes      int
	settled    settling
	still      time.Duration
	help       bool
	down       int
	behind     bool
	note       string
	err        error
}

func newBrowser(ctx context.Context, f Folder, opt Options) *browser {
	if opt.Aspect <= 0 {
		opt.Aspect = 1
	}
	return &browser{
		ctx: ctx, f: f, opt: opt, ink: newInks(opt.Depth), jobs: newJobs(opt), send: func(tea.Msg) {},
		still: settleTime, endTurn: func() {}, tiles: map[string]*tile{}, list: shots{newest: true},
	}
}

// begin makes the studio of a photo what is seen first.
func (b *browser) begin(src Source) {
	b.alone, b.list.newest = true, false
	ctx, stop := context.WithCancel(b.ctx)
	b.enter(ctx, src, src.Name)
	b.endTurn = stop
}

// turned is a message of a studio.
type turned struct {
	turn int
	msg  tea.Msg
}

// inTurn marks what a command of the studio brings as that studio's, but for what
// Bubble Tea itself is told.
func inTurn(turn int, cmd tea.Cmd) tea.Cmd {
	if cmd == nil {
		return nil
	}
	return func() tea.Msg {
		switch msg := cmd().(type) {
		case nil:
			return nil
		case tea.QuitMsg:
			return turned{turn, msg}
		case tea.BatchMsg:
			for i := range msg {
				msg[i] = inTurn(turn, msg[i])
			}
			return msg
		default:
			if strings.HasSuffix(reflect.TypeOf(msg).PkgPath(), "/bubbletea") {
				return msg
			}
			return turned{turn, msg}
		}
	}
}

// Init implements tea.Model.
func (b *browser) Init() tea.Cmd {
	if b.studio != nil {
		return inTurn(b.turn, b.studio.Init())
	}
	return b.search()
}

// Update implements tea.Model: a router.
func (b *browser) Update(msg tea.Msg) (next tea.Model, cmd tea.Cmd) {
	defer func() {
		if r := recover(); r != nil {
			next, cmd = b, b.fail(&Crash{Value: r, Trace: string(debug.Stack())})
		}
	}()
	var cmds []tea.Cmd
	switch msg := msg.(type) {
	case turned:
		cmds = append(cmds, b.ofStudio(msg))
	case tea.KeyMsg:
		cmds = append(cmds, b.keys(msg))
	case tea.WindowSizeMsg:
		if b.studio == nil && b.settled.stale(msg, b.cols, b.rows) {
			cmds = append(cmds, b.settle())
			break
		}
		b.cols, b.rows = msg.Width, msg.Height
		if b.cols <= 0 || b.rows <= 0 {
			b.cols, b.rows = 80, 24 // some servers report no size
		}
		if b.studio == nil {
			b.opt.Screen.Resize(b.cols, b.rows)
			cmds = append(cmds, b.settle())
		}
		cmds = append(cmds, b.tell(msg))
	case settledMsg:
		if int(msg) == b.sizes && b.studio == nil {
			cmds = append(cmds, b.settled.again(b.cols, b.rows))
		}
	case tea.ResumeMsg:
		b.opt.Screen.Invalidate()
		cmds = append(cmds, b.tell(msg))
	case behindMsg:
		b.behind = bool(msg)
		cmds = append(cmds, b.tell(msg))
	case foundMsg:
		b.found(Found(msg))
	case searchedMsg:
		b.searched(msg.err)
	case lookedMsg:
		b.lookedAt(msg)
	case paintedMsg:
		b.painting = false
		if msg.err != nil {
			b.note = msg.err.Error()
		}
	case closedMsg:
		cmds = append(cmds, b.closed(msg.err))
	case sourceMsg:
		cmds = append(cmds, b.opened(msg))
	case crashMsg:
		return b, b.fail(msg.crash)
	default:
		cmds = append(cmds, b.tell(msg))
	}
	cmds = append(cmds, b.goOn(), b.repaint(), b.lookAround())
	return b, tea.Batch(cmds...)
}

// tell hands a message to the studio, if there is one.
func (b *browser) tell(msg tea.Msg) tea.Cmd {
	if b.studio == nil {
		return nil
	}
	_, cmd := b.studio.Update(msg)
	cmd = inTurn(b.turn, cmd)
	var crash *Crash
	switch err := b.studio.err; {
	case err == nil:
	case errors.As(err, &crash):
		b.err = crash
	case b.alone && b.move == nil:
		return b.fail(err)
	default:
		// The photo cannot be opened: its place on the wall says so.
		b.studio.err, b.over = nil, true
		if b.move == nil {
			t := b.tile(b.name)
			t.looked, t.err = true, reasonOf(err)
			b.move = &move{wall: true, note: err.Error()}
		}
	}
	return cmd
}

// ofStudio takes what the studio sends. A studio that is being left does not end
// the program.
func (b *browser) ofStudio(msg turned) tea.Cmd {
	if msg.turn != b.turn || b.studio == nil {
		return nil
	}
	if _, quit := msg.msg.(tea.QuitMsg); !quit {
		return b.tell(msg.msg)
	}
	if b.err == nil && b.over {
		return nil
	}
	return tea.Quit
}

func (b *browser) fail(err error) tea.Cmd {
	if b.err == nil {
		b.err = err
	}
	return tea.Quit
}

// settle has the words written once more when a new size has lasted, as the
// studio's settle does.
func (b *browser) settle() tea.Cmd {
	if b.settled.took() {
		return nil
	}
	b.sizes++
	n := b.sizes
	return tea.Tick(b.still, func(time.Time) tea.Msg { return settledMsg(n) })
}

func (b *browser) tooSmall() bool { return b.cols < minCols || b.rows < minRows }

func (b *browser) textRows() int { return (&model{rows: b.rows}).textRows() }

func (b *browser) bandRows() int { return b.rows - b.textRows() }

// onWall reports whether there are pictures to be seen.
func (b *browser) onWall() bool {
	return b.studio == nil && b.cols > 0 && !b.tooSmall() && !b.help && len(b.list.shown) > 0
}
