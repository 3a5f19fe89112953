package keep

import (
	"fmt"
	"sync"
	"time"

	"atelier/halflid/imageproc/plan"
)

// How long a change may wait, and how long until a failed save is tried again.
const (
	SaveDelay  = 700 * time.Millisecond
	RetryDelay = 5 * time.Second
)

// After calls f once after d on a goroutine of its own, unless stop is called
// first. It is the clock of an Autosaver.
type After func(d time.Duration, f func()) (stop func())

func realAfter(d time.Duration, f func()) func() {
	t := time.AfterFunc(d, f)
	return func() { t.Stop() }
}

// Autosaver saves a plan file while it changes. Every change is on its way to
// disk SaveDelay after it was made (after a save that was running has ended),
// however fast others follow, so within a second; one save runs at a time, and
// always of the latest file. All methods may be called from any goroutine.
type Autosaver struct {
	save   func(plan.File) error
	report func(error)
	after  After

	mu      sync.Mutex
	idle    *sync.Cond // saving has become false
	pending *plan.File // changed and not saved
	saving  bool
	stop    func() // stops the timer that is set; nil if none is
	retry   bool   // the timer that is set waits to try a failed save again
	set     uint64 // numbers the timers: an older one that fires late does nothing
	failed  bool   // the last save did
	closed  bool
}

// NewAutosaver returns an autosaver that saves with save. report is called
// after each save that fails, and with nil after the first that then succeeds;
// from another goroutine, never twice at once, and it must not call Flush or
// Close. It may be nil. after is nil outside tests.
func NewAutosaver(save func(plan.File) error, report func(error), after After) *Autosaver {
	if save == nil {
		panic("keep: autosaver without a save")
	}
	if report == nil {
		report = func(error) {}
	}
	if after == nil {
		after = realAfter
	}
	a := &Autosaver{save: save, report: report, after: after}
	a.idle = sync.NewCond(&a.mu)
	return a
}

// Change says that f is now the file to be kept. It returns at once. After
// Close it panics: the change would be lost.
func (a *Autosaver) Change(f plan.File) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.closed {
		panic("keep: change after close")
	}
	a.pending = &f
	if !a.saving && (a.stop == nil || a.retry) {
		a.disarm()
		a.arm(SaveDelay)
	}
}

// Pending reports whether there are changes that are not on disk.
func (a *Autosaver) Pending() bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.pending != nil || a.saving
}

// Flush saves what is not saved yet and waits for it. It returns the error of
// the last save if that failed; the changes then stay pending.
func (a *Autosaver) Flush() error {
	a.mu.Lock()
	defer a.mu.Unlock()
	for a.saving {
		a.idle.Wait()
	}
	var err error
	for a.pending != nil && err == nil {
		err = a.saveNow()
	}
	return err
}

// Close flushes and ends the autosaver. Calling it again does nothing.
func (a *Autosaver) Close() error {
	err := a.Flush()
	a.mu.Lock()
	defer a.mu.Unlock()
	a.closed = true
	a.disarm()
	return err
}

func (a *Autosaver) arm(d time.Duration) {
	a.set++
	a.retry = d == RetryDelay
	n := a.set
	a.stop = a.after(d, func() { a.fire(n) })
}

func (a *Autosaver) disarm() {
	if a.stop != nil {
		a.stop()
		a.stop = nil
	}
}

func (a *Autosaver) fire(n uint64) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if n != a.set || a.stop == nil || a.closed {
		return
	}
	a.stop = nil
	if a.pending != nil && !a.saving {
		a.saveNow()
	}
}

// trySave saves f; a panic on the way is an error like others. On the timer's
// goroutine nobody else could answer it.
func (a *Autosaver) trySave(f plan.File) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("saving the plan broke off: a mistake in the program: %v", r)
		}
	}()
	return a.save(f)
}

// saveNow saves the pending file. It is called with the lock held and nothing
// being saved; it lets go of the lock while the disk works.
func (a *Autosaver) saveNow() error {
	a.disarm()
	f := a.pending
	a.pending, a.saving = nil, true
	a.mu.Unlock()
	err := a.trySave(*f)
	a.mu.Lock()
	tell := err != nil || a.failed
	a.failed = err != nil
	if tell {
		a.mu.Unlock()
		a.report(err)
		a.mu.Lock()
	}
	a.saving = false
	wait := SaveDelay
	if err != nil && a.pending == nil {
		a.pending, wait = f, RetryDelay
	}
	if a.pending != nil && !a.closed {
		a.arm(wait)
	}
	a.idle.Broadcast()
	return err
}
