package tui

import (
	"context"
	"image"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc"
)

// Shot is a photograph of a folder.
type Shot struct {
	Name    string // of its file
	Time    time.Time
	Planned bool // a plan was seen beside it
}

// Found is what a search through a folder has come upon since it last told.
type Found struct {
	Shots   []Shot
	Left    int  // files that are still to be looked into
	Planned bool // whether there are plans in the folder
}

// Small is a small picture of a photo or a plan. It is immutable.
type Small interface {
	// Ratio returns its width over its height.
	Ratio() float64
	// Raster returns it at exactly size, which is at least 1 by 1.
	Raster(size image.Point) imageproc.Raster
}

// Folder is a folder of photographs. Its functions are called off the screen's
// goroutine, Photo and Plan up to maxLooking at a time.
type Folder struct {
	Name string

	// List looks through the folder, in the order in which the photographs will
	// hang (see SortShots), and tells what it finds as it goes on; the first of
	// them at once.
	List func(ctx context.Context, newest bool, tell func(Found)) error

	// Photo returns the small picture of a photo, and Plan that of its plan, nil
	// without one. An error is a line for the painter without the photo's name.
	Photo func(ctx context.Context, s Shot) (Small, error)
	Plan  func(ctx context.Context, s Shot) (Small, error)

	// Open reads a photo and begins to open it, until ctx ends. Its error is a line
	// for the painter.
	Open func(ctx context.Context, s Shot) (Source, error)

	// Close saves the plan of the photo that was opened last and lets go of it. After
	// an error it is still held. Without one that is open it does nothing.
	Close func() error
}

// Browse shows a folder: the wall of its photographs and, one at a time, the
// studio of one of them, until the painter quits, ctx ends or something fails. With
// open it begins in the studio of that photo, and the folder is looked through when
// it is first asked for. The photo that is open at the end is still to be closed.
// The terminal is left as it was found in every case. The error is a *Crash after
// a panic, or what open.Open returned.
//
// It is one program from beginning to end: between wall and studio neither the
// alternate screen is left nor the keyboard given back, so nothing of the shell
// flashes up and no key is lost.
func Browse(ctx context.Context, f Folder, open *Source, opt Options) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	b := newBrowser(ctx, f, opt)
	if open != nil {
		b.begin(*open)
	}
	p := tea.NewProgram(b, tea.WithContext(ctx), tea.WithAltScreen(), tea.WithOutput(opt.Screen),
		tea.WithInput(opt.Input), tea.WithoutSignalHandler(), tea.WithFPS(120))
	b.send = p.Send
	opt.Screen.OnBehind(func() { p.Send(behindMsg(opt.Screen.Behind())) })
	_, err := p.Run()
	cancel()
	b.jobs.wait()
	if b.studio != nil {
		b.studio.jobs.wait()
	}
	switch {
	case b.err != nil:
		return b.err
	case ctx.Err() != nil && err != nil:
		return nil // asked to end from outside
	default:
		return err
	}
}
