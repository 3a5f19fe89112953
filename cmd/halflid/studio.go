package main

import (
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
type studioOptions struct{ colour string }

func (o *studioOptions) register(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.colour, "colour", "auto", "colours of the terminal: full, 256, 16, none or auto")
}

// fault makes the studio panic where a test asks for it; nil in the program.
var fault func(place string)

// grace is how long the studio has to end by itself after a signal. Past it, the
// terminal is most likely gone or stuck: the plan is saved and the program ends.
const grace = 3 * time.Second

// studio opens a file in the terminal.
func studio(ctx context.Context, file string, o studioOptions, in io.Reader, out, errw io.Writer) error {
	if ctx == nil {
		ctx = context.Background()
	}
	src, err := readSource(file)
	if err != nil {
		return err
	}
	if photo.Sniff(src.data) == "" {
		// Not a picture: say so before the screen is touched.
		if _, err := src.open(ctx, nil); err != nil {
			return err
		}
	}
	tty, isFile := out.(*os.File)
	keysIn, inFile := in.(*os.File)
	if !isFile || !inFile || !term.IsTerminal(int(tty.Fd())) || !term.IsTerminal(int(keysIn.Fd())) {
		return usagef("the studio needs a terminal for its picture and its keys; halflid show and halflid plan work without one")
	}
	depth, err := terminfo.Profile(os.Getenv, true, o.colour)
	if err != nil {
		return usageError{err}
	}
	_, _, aspect := lookAt(tty)
	screen := cells.NewScreen(tty)
	defer screen.Close()

	var keeping atomic.Pointer[keeper]
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	signals := watch(stop, &keeping)
	defer signals.end()

	err = tui.Run(ctx, studioSource(src, &keeping), tui.Options{
		Input: terminfo.NewReader(keysIn, nil), Screen: screen, Depth: depth, Aspect: aspect,
		CanSuspend: terminfo.CanSuspend(), Fault: fault,
	})
	if k := keeping.Load(); k != nil {
		if saveErr := k.Close(); saveErr != nil && err == nil {
			err = saveErr
		}
	}
	if code := signals.code(); code != 0 {
		return exitError{errors.New(""), code}
	}
	var crash *tui.Crash
	if errors.As(err, &crash) {
		return crashed(crash)
	}
	return err
}

func studioSource(src *source, keeping *atomic.Pointer[keeper]) tui.Source {
	preview, err := photo.Preview(src.data)
	if err != nil {
		preview.R.W = 0 // none: the studio says that it is opening
	}
	return tui.Source{
		Name: src.name, Preview: preview,
		Open: func(ctx context.Context, progress func(float64), report func(string)) (tui.Opened, error) {
			w, err := src.open(ctx, progress)
			if err != nil {
				return tui.Opened{}, err
			}
			src.data = nil // a large photo's bytes are not needed again
			k, note := newKeeper(w, report)
			keeping.Store(k)
			return tui.Opened{Photo: w.photo, Plan: w.plan, Note: note, Keep: k}, nil
		},
	}
}

// crashed writes the trace to a file and returns the error that names it.
func crashed(c *tui.Crash) error {
	dir, err := keep.StateDir(os.Getenv)
	if err != nil {
		dir = os.TempDir()
	}
	path := filepath.Join(dir, fmt.Sprintf("trace-%d.txt", os.Getpid()))
	text := fmt.Sprintf("%v\n\n%s", c.Value, c.Trace)
	if err := os.MkdirAll(dir, 0o700); err == nil {
		err = os.WriteFile(path, []byte(text), 0o600)
		if err == nil {
			return fmt.Errorf("%w\nyour plan is saved; what happened is written in %s", c, path)
		}
	}
	return fmt.Errorf("%w\nyour plan is saved; %v", c, c.Value)
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
