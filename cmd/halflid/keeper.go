package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/plan"
)

// keeper keeps the studio's plan: by itself while the painter works, with its
// picture when asked to. It is the studio's tui.Keeper.
type keeper struct {
	place  keep.Place
	lock   *keep.Lock
	auto   *keep.Autosaver
	notSet error // why nothing is saved; nil if plans are
	report func(string)
	aside  bool // an unreadable plan lies in the way and is set aside at the first save, by write alone

	mu     sync.Mutex
	file   plan.File
	closed bool
}

// newKeeper returns a keeper for w and a line for the painter; report takes
// later ones.
func newKeeper(w *work, report func(string)) (*keeper, string) {
	lock, err := w.lockToKeep()
	k := &keeper{place: w.place, lock: lock, notSet: err, report: report, file: w.file}
	notes := append([]string{}, w.notes...)
	if w.place.Note != "" && !w.isDemo {
		notes = append(notes, w.place.Note)
	}
	if w.unread != nil && !errors.Is(w.unread, plan.ErrNewer) {
		k.aside = true
		notes = append(notes, "a new plan is begun, the old one will be set aside: "+w.unread.Error())
	}
	switch {
	case k.notSet != nil:
		notes = append([]string{"only to look at, nothing is saved: " + k.notSet.Error()}, notes...)
	case lock.Note != "":
		notes = append(notes, lock.Note)
	}
	k.auto = keep.NewAutosaver(k.write, func(err error) {
		if err != nil {
			report(err.Error())
		} else {
			report("the plan is saved again")
		}
	}, nil)
	return k, strings.Join(notes, "; ")
}

// lockToKeep takes the lock of w's plan, or says why nothing can be saved. A plan
// that another window has saved since it was read is read again.
func (w *work) lockToKeep() (*keep.Lock, error) {
	for again := false; ; again = true {
		switch {
		case w.place.Path == "":
			return nil, errors.New("there is no folder to keep it in: set HOME or XDG_STATE_HOME")
		case errors.Is(w.unread, plan.ErrNewer):
			return nil, w.unread
		}
		lock, err := w.lock(w.place.Path)
		if err == nil {
			keep.Sweep(w.place.Path, time.Now())
			return lock, nil
		}
		if again || !errors.Is(err, errMeanwhile) {
			return nil, err
		}
		// It was read a moment before the other window let go of it.
		w.readAgain()
	}
}

// write is called by the autosaver, one call at a time.
func (k *keeper) write(f plan.File) error {
	if k.aside {
		to, err := keep.SetAside(k.place.Path)
		if err != nil {
			return err
		}
		k.aside = false
		k.report("the plan that could not be read is now " + filepath.Base(to))
	}
	return keep.Save(k.place.Path, f.Text())
}

// Changed implements tui.Keeper. Where nothing is saved the painter was told so on
// opening.
func (k *keeper) Changed(h plan.History) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.notSet == nil && !k.closed {
		k.file = k.file.WithHistory(h)
		k.auto.Change(k.file)
	}
}

// Save implements tui.Keeper.
func (k *keeper) Save(h plan.History, write func(io.Writer) error) (string, error) {
	if k.notSet != nil {
		return "", k.stillNot()
	}
	var picture bytes.Buffer
	if err := write(&picture); err != nil {
		return "", err
	}
	k.mu.Lock()
	if k.closed {
		k.mu.Unlock()
		return "", errors.New("the studio is closing")
	}
	k.file = k.file.WithHistory(h)
	k.auto.Change(k.file)
	k.mu.Unlock()
	if err := k.auto.Flush(); err != nil {
		return "", err
	}
	path := picturePath(k.place.Path)
	if err := keep.Save(path, picture.Bytes()); err != nil {
		return "", err
	}
	return fmt.Sprintf("saved %s and %s in %s", filepath.Base(k.place.Path), filepath.Base(path), filepath.Dir(path)), nil
}

// stillNot says why nothing is saved now. The other window may have been closed;
// but what was saved there stands, and this one does not write over it.
func (k *keeper) stillNot() error {
	if !errors.Is(k.notSet, keep.ErrTaken) {
		return k.notSet
	}
	lock, err := keep.TakeLock(k.place.Path)
	if err != nil {
		return err
	}
	lock.Release()
	return errors.New("the other window is closed now, but its plan stands: open the photo again here to go on from it")
}

// Write implements tui.Keeper.
func (k *keeper) Write(suffix string, write func(io.Writer) error) (string, error) {
	if k.place.Path == "" {
		return "", k.notSet
	}
	var data bytes.Buffer
	if err := write(&data); err != nil {
		return "", err
	}
	path := sheetPath(k.place.Path, suffix)
	if err := keep.Save(path, data.Bytes()); err != nil {
		return "", err
	}
	return fmt.Sprintf("wrote %s in %s", filepath.Base(path), filepath.Dir(path)), nil
}

// Close saves what is not saved yet and lets another window have the plan. It
// may be called more than once.
func (k *keeper) Close() error {
	k.mu.Lock()
	k.closed = true
	k.mu.Unlock()
	err := k.auto.Close()
	k.lock.Release()
	return err
}

// picturePath returns the name of the plan's picture: NAME.plan.png beside
// NAME.plan.json.
func picturePath(planPath string) string {
	return planPath[:len(planPath)-len(filepath.Ext(planPath))] + ".png"
}

// sheetPath returns the name of a sheet: NAME.suffix beside NAME.plan.json.
func sheetPath(planPath, suffix string) string {
	stem := strings.TrimSuffix(picturePath(planPath), ".plan.png")
	return stem + "." + suffix
}
