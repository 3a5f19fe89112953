// Package tui is the studio: a Bubble Tea program that shows a photo and what a
// plan makes of it, and turns keys into edits of the plan. It computes nothing
// about pictures itself: package study does, off the screen's goroutine, and
// package cells paints the result.
package tui

import (
	"context"
	"io"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/tui/cells"
)

// Source is where the studio's photo comes from.
type Source struct {
	Name    string            // what to call the photo while it opens
	Preview imageproc.Picture // shown until the photo is open; may be empty

	// Open decodes the photo and finds its plan. It is called once, off the
	// screen's goroutine. progress takes the share done; report takes a line for
	// the painter at any later time, from any goroutine.
	Open func(ctx context.Context, progress func(float64), report func(string)) (Opened, error)
}

// Opened is an open photo with its plan and the one who keeps it.
type Opened struct {
	Photo   *photo.Photo
	History plan.History // its plan is fitted to the photo
	Note    string       // a line for the painter to begin with; may be empty
	Unsaved bool         // nothing that is done here is kept: the status line says so all the time
	Keep    Keeper
}

// Keeper keeps plans. Its methods may be called from any goroutine.
type Keeper interface {
	// Changed takes the newest plan with what is kept and the steps that led to
	// it. It returns at once; all is saved soon.
	Changed(plan.History)
	// Save saves it now and writes the plan's picture with write. It returns what
	// was done, in words for the status line.
	Save(h plan.History, write func(io.Writer) error) (string, error)
	// Write writes a sheet beside the plan, as NAME.suffix, and returns what was
	// done, in words for the status line.
	Write(suffix string, write func(io.Writer) error) (string, error)
}

// Options are the terminal's side of the studio.
type Options struct {
	Input  io.Reader // nil: none
	Screen *cells.Screen
	Depth  cells.Depth
	Glyphs cells.Glyphs // to begin with
	Aspect float64      // width of a cell over half its height, so 1 for a cell of 1:2; 0 means 1

	// CanSuspend reports whether Ctrl+Z leads back to a shell.
	CanSuspend bool

	// Fault, if not nil, is called at the places "update", "view" and "job".
	// The tests make it panic there.
	Fault func(place string)
}

// Crash is a panic that the studio caught: the terminal is restored, the plan
// kept. The trace is for a file, not for the painter.
type Crash struct {
	Value any
	Trace string
}

func (c *Crash) Error() string { return "the studio broke off: a mistake in the program" }

// Run shows the studio of one photo until the painter quits, ctx ends or something
// fails. The terminal is left as it was found in every case. The error is a *Crash
// after a panic, or what Source.Open returned.
func Run(ctx context.Context, src Source, opt Options) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	m := newModel(ctx, src, opt)
	p := tea.NewProgram(m, tea.WithContext(ctx), tea.WithAltScreen(), tea.WithOutput(opt.Screen),
		tea.WithInput(opt.Input), tea.WithoutSignalHandler(), tea.WithFPS(120))
	m.send = p.Send
	opt.Screen.OnBehind(func() { p.Send(behindMsg(opt.Screen.Behind())) })
	_, err := p.Run()
	cancel()
	m.jobs.wait()
	switch {
	case m.err != nil:
		return m.err
	case ctx.Err() != nil && err != nil:
		return nil // asked to end from outside
	default:
		return err
	}
}
