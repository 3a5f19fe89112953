package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/tui"
	"atelier/halflid/tui/cells"
	terminfo "atelier/halflid/tui/term"
)

// studioOptions are the flags of the studio.
type studioOptions struct{ colour, cell, glyphs string }

func (o *studioOptions) register(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.colour, "colour", "auto", "`colours` of the terminal: full, 256, 16, none or auto")
	cmd.Flags().StringVar(&o.cell, "cell", "", cellFlag)
	cmd.Flags().StringVar(&o.glyphs, "glyphs", "half", "the `kind` of glyphs that divide a cell: half (blocks), quadrants, or sextants if the font has them")
}

// cellFlag is the help of --cell, which several commands have.
const cellFlag = "shape of the terminal's cells, `width:height`, such as 8:17 (default: found)"

func (o *studioOptions) settings() terminfo.Settings {
	return terminfo.Settings{Colour: o.colour, Cell: o.cell}
}

// asUsage makes a mistake in the settings of the terminal one of the command line.
func asUsage(err error) error {
	if errors.Is(err, terminfo.ErrColours) || errors.Is(err, terminfo.ErrCell) || errors.Is(err, cells.ErrGlyphs) {
		return usageError{err}
	}
	return err
}

// fault makes the studio panic where a test asks for it; nil in the program.
var fault func(place string)

// grace is how long the studio has to end by itself after a signal. Past it, the
// terminal is most likely gone or stuck: the plan is saved and the program ends.
const grace = 3 * time.Second

// lastAnswers is how long answers are waited for before the terminal is given
// back: more than a slow line takes for the frame before.
const lastAnswers = time.Second

// studio opens a file in the terminal, or a folder of photographs.
func studio(ctx context.Context, file string, o studioOptions, in io.Reader, out io.Writer) error {
	if isFolder(file) {
		return studioFolder(ctx, file, o, in, out)
	}
	src, err := readSource(ctx, file)
	if err != nil {
		return err
	}
	if photo.Sniff(src.data) == "" {
		// Not a picture: say so before the screen is touched.
		if _, err := src.open(ctx, nil); err != nil {
			return err
		}
	}
	// The photo opens while the terminal answers, so that one which does not
	// costs little.
	var opening *opening
	begin := func(ctx context.Context) { opening = beginOpening(ctx, src) }
	return onTerminal(ctx, o, in, out, begin, func(ctx context.Context, keeping *atomic.Pointer[keeper], opt tui.Options) error {
		shown := studioSource(src, opening, keeping)
		if src.path == "" || src.from != "" {
			return tui.Run(ctx, shown, opt)
		}
		return tui.Browse(ctx, newFolder(ctx, filepath.Dir(src.path), keeping).shown(), &shown, opt)
	})
}

// onTerminal has show run on the terminal, gives the terminal back and lets go of
// the photo that is open at the end. begin is called while the terminal is asked
// what it can do; it may be nil. The context ends when the system asks for it.
func onTerminal(ctx context.Context, o studioOptions, in io.Reader, out io.Writer, begin func(context.Context),
	show func(ctx context.Context, keeping *atomic.Pointer[keeper], opt tui.Options) error,
) error {
	tty, isFile := out.(*os.File)
	keysIn, inFile := in.(*os.File)
	if !isFile || !inFile || !term.IsTerminal(int(tty.Fd())) || !term.IsTerminal(int(keysIn.Fd())) {
		return usagef("the studio needs a terminal for its picture and its keys; halflid show and halflid plan work without one")
	}
	// A mistake in the settings shows before the terminal is touched.
	if _, err := terminfo.Known(tty.Fd(), true, os.Getenv, o.settings()); err != nil {
		return asUsage(err)
	}
	glyphs, err := cells.ParseGlyphs(o.glyphs)
	if err != nil {
		return asUsage(err)
	}
	var keeping atomic.Pointer[keeper]
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	signals := watch(stop, &keeping)
	defer signals.end()

	if begin != nil {
		begin(ctx)
	}
	found, err := terminfo.Probe(keysIn, tty, os.Getenv, o.settings(), terminfo.Limit)
	if err != nil {
		return asUsage(err)
	}
	screen := cells.NewScreen(tty)
	defer screen.Close()
	input := connect(screen, keysIn, found)
	var broke atomic.Pointer[tui.Crash]
	screen.OnPanic(func(v any, trace string) {
		broke.CompareAndSwap(nil, &tui.Crash{Value: v, Trace: trace})
		stop()
	})

	err = show(ctx, &keeping, tui.Options{
		Input: input, Screen: screen, Depth: found.Depth, Glyphs: glyphs, Aspect: found.Aspect(),
		CanSuspend: terminfo.CanSuspend(), Fault: fault,
	})
	k := keeping.Load()
	var notSaved error
	if k != nil {
		notSaved = k.Close()
	}
	if code := signals.code(); code != 0 {
		return exitError{cmp.Or(notSaved, errors.New("")), code}
	}
	var crash *tui.Crash
	if c := broke.Load(); c != nil {
		return crashed(c, afterCrash(k, notSaved))
	}
	if errors.As(err, &crash) {
		return crashed(crash, afterCrash(k, notSaved))
	}
	return cmp.Or(err, notSaved)
}

// connect makes the screen follow the answers that the input takes out of the
// keys, and returns the input. A terminal that answered when it was asked what it
// can show answers for frames too; one that said nothing is asked once more, and
// believed if it does. That question goes out with the first thing written, after
// the keys are read raw, and its answer also brings on what was typed before.
func connect(screen *cells.Screen, keys *os.File, found terminfo.Found) *terminfo.Reader {
	input := terminfo.NewReader(keys, func(a terminfo.Answer) {
		if a.Primary() {
			screen.Answered()
		}
	})
	input.Resume(found.Ahead)
	screen.SetSync(found.Sync)
	screen.SetRepeat(found.Repeat)
	if found.Asked {
		screen.SetAsk(found.Whole)
		screen.Hail()
	}
	// An answer that comes after the keys are no longer ours would be typed into
	// the shell.
	screen.OnLeave(func() { input.Drain(lastAnswers, func() bool { return screen.Unanswered() > 0 }) })
	if fault != nil {
		screen.SetFault(fault)
	}
	return input
}

func studioSource(src *source, o *opening, keeping *atomic.Pointer[keeper]) tui.Source {
	return tui.Source{
		Name: src.name, Preview: o.preview,
		Open: func(_ context.Context, progress func(float64), report func(string)) (tui.Opened, error) {
			w, err := o.wait(progress)
			if err != nil {
				return tui.Opened{}, err
			}
			src.data = nil // a large photo's bytes are not needed again
			k, note := newKeeper(w, report)
			keeping.Store(k)
			return tui.Opened{Photo: w.photo, History: w.file.History(), Note: note, Unsaved: k.notSet != nil, Keep: k}, nil
		},
	}
}

// afterCrash says what became of the plan in hand. err is that of its last save.
func afterCrash(k *keeper, err error) string {
	switch {
	case k == nil:
		return "no plan was open"
	case k.notSet != nil:
		return "nothing was saved: " + k.notSet.Error()
	case err != nil:
		return "your last changes are not saved: " + err.Error()
	}
	return "your plan is saved"
}

// crashed writes the trace to a file and returns the error that names it, with what
// became of the plan.
func crashed(c *tui.Crash, plan string) error {
	dir, err := keep.StateDir(os.Getenv)
	if err != nil {
		dir = os.TempDir()
	}
	path := filepath.Join(dir, fmt.Sprintf("trace-%d.txt", os.Getpid()))
	text := fmt.Sprintf("%v\n\n%s", c.Value, c.Trace)
	if err := os.MkdirAll(dir, 0o700); err == nil {
		err = writeNew(path, []byte(text))
		if err == nil {
			return fmt.Errorf("%w\n%s; what happened is written in %s", c, plan, path)
		}
	}
	return fmt.Errorf("%w\n%s; %v", c, plan, c.Value)
}

// writeNew writes a file that is not there yet, for the user alone: in a folder
// for everybody a link may wait in its place.
func writeNew(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// watcher ends the studio in good order when the system asks for it.
type watcher struct {
	ch   chan os.Signal
	quit chan struct{}
	got  atomic.Int32
}

func watch(stop func(), keeping *atomic.Pointer[keeper]) *watcher {
	w := &watcher{ch: make(chan os.Signal, 4), quit: make(chan struct{})}
	signal.Notify(w.ch, syscall.SIGHUP, syscall.SIGINT, syscall.SIGTERM, syscall.SIGQUIT)
	go func() {
		select {
		case <-w.quit:
			return
		case s := <-w.ch:
			code := 1
			if n, ok := s.(syscall.Signal); ok {
				code = 128 + int(n)
			}
			w.got.Store(int32(code))
			stop()
			select {
			case <-w.quit:
			case <-time.After(grace):
				if k := keeping.Load(); k != nil {
					_ = k.Close()
				}
				os.Exit(code)
			}
		}
	}()
	return w
}

func (w *watcher) code() int { return int(w.got.Load()) }

func (w *watcher) end() {
	signal.Stop(w.ch)
	close(w.quit)
}
