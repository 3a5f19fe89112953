package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync/atomic"
	"time"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/cmd/halflid/previews"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/tui"
)

// folder is a folder of photographs that the studio goes through. Nothing is
// written into it but the plans of photos that are worked on.
type folder struct {
	dir     string
	maker   *previews.Maker
	keeping *atomic.Pointer[keeper] // of the photo that is open
}

func isFolder(path string) bool {
	if path == "" {
		return false
	}
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// studioFolder shows a folder in the terminal.
func studioFolder(ctx context.Context, dir string, o studioOptions, in io.Reader, out io.Writer) error {
	// A folder that cannot be looked into is said before the screen is touched.
	if err := previews.CanList(dir); err != nil {
		return err
	}
	return onTerminal(ctx, o, in, out, nil, func(ctx context.Context, keeping *atomic.Pointer[keeper], opt tui.Options) error {
		return tui.Browse(ctx, newFolder(ctx, dir, keeping).shown(), nil, opt)
	})
}

// newFolder returns the folder dir. The limits of what is opened are ctx's.
func newFolder(ctx context.Context, dir string, keeping *atomic.Pointer[keeper]) *folder {
	cache, err := previews.Dir()
	if err != nil {
		cache = "" // without a home the small pictures are made each time
	}
	state, err := keep.StateDir(os.Getenv)
	if err != nil {
		state = ""
	}
	return &folder{
		dir: dir, keeping: keeping,
		maker: &previews.Maker{Store: previews.NewStore(cache, previews.DefaultRoom), Limit: limitsOf(ctx), State: state},
	}
}

// shown is the folder as the screen wants it.
func (f *folder) shown() tui.Folder {
	name := f.dir
	if abs, err := filepath.Abs(f.dir); err == nil {
		name = filepath.Base(abs)
	}
	return tui.Folder{
		Name: photo.SafeName(name), List: f.list, Open: f.open, Close: f.close,
		Photo: func(ctx context.Context, s tui.Shot) (tui.Small, error) {
			return small(f.maker.Photo(ctx, f.path(s)))
		},
		Plan: func(ctx context.Context, s tui.Shot) (tui.Small, error) {
			return small(f.maker.Plan(ctx, f.path(s)))
		},
	}
}

func small(s previews.Small, err error) (tui.Small, error) {
	if err != nil || s.None() {
		return nil, err
	}
	return s, nil
}

func (f *folder) path(s tui.Shot) string { return filepath.Join(f.dir, s.Name) }

// How many photographs are told of first, and how often then.
const (
	firstFound = 8
	foundEvery = 60 * time.Millisecond
)

// list is tui.Folder.List.
func (f *folder) list(ctx context.Context, newest bool, tell func(tui.Found)) error {
	entries, whole, err := previews.List(f.dir)
	if err != nil {
		return err
	}
	all := make([]tui.Shot, len(entries))
	planned := false
	for i, e := range entries {
		all[i] = tui.Shot{Name: e.Name, Time: e.Time, Planned: e.Planned}
		planned = planned || e.Planned
	}
	tui.SortShots(all, newest)
	var found []tui.Shot
	told, last := false, time.Now()
	for i, s := range all {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if previews.IsPhoto(f.path(s)) {
			found = append(found, s)
		}
		if !told && len(found) >= firstFound || time.Since(last) > foundEvery {
			tell(tui.Found{Shots: found, Left: len(all) - i - 1, Planned: planned})
			found, told, last = nil, true, time.Now()
		}
	}
	tell(tui.Found{Shots: found, Planned: planned})
	if !whole {
		return fmt.Errorf("only %d files of this folder were looked at: it has more", previews.MaxFiles)
	}
	return nil
}

// open is tui.Folder.Open.
func (f *folder) open(ctx context.Context, s tui.Shot) (tui.Source, error) {
	src, err := readSource(ctx, f.path(s))
	if err != nil {
		return tui.Source{}, err
	}
	if photo.Sniff(src.data) == "" {
		if _, err := src.open(ctx, nil); err != nil {
			return tui.Source{}, err
		}
	}
	o := beginOpening(ctx, src)
	if o.preview.R.W == 0 {
		if kept, ok := f.maker.Kept(f.path(s)); ok {
			o.preview = kept.Picture()
		}
	}
	return studioSource(src, o, f.keeping), nil
}

// close is tui.Folder.Close.
func (f *folder) close() error {
	k := f.keeping.Load()
	if k == nil {
		return nil
	}
	if k.notSet == nil {
		if err := k.auto.Flush(); err != nil {
			return err
		}
	}
	f.keeping.Store(nil)
	return k.Close()
}
