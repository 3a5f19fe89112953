package keep

import (
	"errors"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"atelier/halflid/imageproc/plan"
)

// clock is time that a test moves on.
type clock struct {
	now    time.Duration
	timers []*timer
}

type timer struct {
	at      time.Duration
	f       func()
	stopped bool
}

func (c *clock) after(d time.Duration, f func()) func() {
	t := &timer{at: c.now + d, f: f}
	c.timers = append(c.timers, t)
	return func() { t.stopped = true }
}

// pass lets d pass, with whatever is due in it.
func (c *clock) pass(d time.Duration) {
	end := c.now + d
	for {
		next := -1
		for i, t := range c.timers {
			if !t.stopped && t.at <= end && (next < 0 || t.at < c.timers[next].at) {
				next = i
			}
		}
		if next < 0 {
			break
		}
		t := c.timers[next]
		c.timers = slices.Delete(c.timers, next, next+1)
		c.now = t.at
		t.f()
	}
	c.now = end
}

// saver notes what is saved when.
type saver struct {
	c      *clock
	saved  []float64 // squints, which tell files apart
	at     []time.Duration
	err    error
	report []error
}

func (s *saver) save(f plan.File) error {
	s.saved = append(s.saved, f.Plan.Squint)
	s.at = append(s.at, s.c.now)
	return s.err
}

func newSaver() (*saver, *Autosaver) {
	s := &saver{c: &clock{}}
	return s, NewAutosaver(s.save, func(err error) { s.report = append(s.report, err) }, s.c.after)
}

func TestAutosaveWithinASecond(t *testing.T) {
	s, a := newSaver()
	a.Change(aFile("boat.jpg", 1))
	s.c.pass(100 * time.Millisecond)
	if !a.Pending() || s.saved != nil {
		t.Fatalf("saved at once: %v", s.saved)
	}
	a.Change(aFile("boat.jpg", 2))
	s.c.pass(time.Second)
	if !slices.Equal(s.saved, []float64{2}) || a.Pending() {
		t.Errorf("saved %v", s.saved)
	}
	s.c.pass(time.Hour)
	if len(s.saved) != 1 || s.report != nil {
		t.Errorf("without a change: saved %v, reported %v", s.saved, s.report)
	}
}

// A key held for a minute: every change is saved within a second of being made,
// and the disk is not written at every key.
func TestAutosaveWhileAKeyIsHeld(t *testing.T) {
	s, a := newSaver()
	made := map[float64]time.Duration{}
	for i := range 1800 {
		squint := float64(i+1) / 100
		made[squint] = s.c.now
		a.Change(aFile("boat.jpg", squint))
		s.c.pass(time.Second / 30)
	}
	s.c.pass(time.Second)
	if n := len(s.saved); n < 60 || n > 100 {
		t.Errorf("%d saves in a minute", n)
	}
	if s.saved[len(s.saved)-1] != 18 {
		t.Errorf("the last change is not saved: %v", s.saved[len(s.saved)-1])
	}
	for squint, at := range made {
		i := slices.IndexFunc(s.saved, func(v float64) bool { return v >= squint })
		if i < 0 || s.at[i]-at > time.Second {
			t.Fatalf("the change at %v waited too long", at)
		}
	}
}

func TestAutosaveFlush(t *testing.T) {
	s, a := newSaver()
	if err := a.Flush(); err != nil || s.saved != nil {
		t.Errorf("nothing to save: %v %v", s.saved, err)
	}
	a.Change(aFile("boat.jpg", 1))
	if err := a.Flush(); err != nil || !slices.Equal(s.saved, []float64{1}) || a.Pending() {
		t.Errorf("%v %v", s.saved, err)
	}
	s.c.pass(time.Hour)
	if len(s.saved) != 1 {
		t.Errorf("saved again: %v", s.saved)
	}
	a.Change(aFile("boat.jpg", 2))
	if err := a.Close(); err != nil || !slices.Equal(s.saved, []float64{1, 2}) {
		t.Errorf("%v %v", s.saved, err)
	}
	if err := a.Close(); err != nil {
		t.Error(err)
	}
	defer func() {
		if recover() == nil {
			t.Error("a change after close")
		}
	}()
	a.Change(aFile("boat.jpg", 3))
}

func TestAutosaveFailures(t *testing.T) {
	s, a := newSaver()
	s.err = ErrNoSpace
	a.Change(aFile("boat.jpg", 1))
	s.c.pass(time.Second)
	if len(s.saved) != 1 || !a.Pending() || !slices.Equal(s.report, []error{ErrNoSpace}) {
		t.Fatalf("saved %v, reported %v", s.saved, s.report)
	}
	if err := a.Flush(); !errors.Is(err, ErrNoSpace) || !a.Pending() {
		t.Errorf("flush: %v", err)
	}
	s.c.pass(RetryDelay) // tried again by itself
	if len(s.saved) != 3 {
		t.Fatalf("saved %v", s.saved)
	}
	s.err = nil
	s.c.pass(time.Second)
	a.Change(aFile("boat.jpg", 2)) // a change does not wait for the retry
	s.c.pass(time.Second)
	if !slices.Equal(s.saved, []float64{1, 1, 1, 2}) || a.Pending() {
		t.Errorf("saved %v", s.saved)
	}
	a.Change(aFile("boat.jpg", 3))
	s.c.pass(time.Second)
	if want := []error{ErrNoSpace, ErrNoSpace, ErrNoSpace, nil}; !slices.Equal(s.report, want) {
		t.Errorf("reported %v, want %v", s.report, want)
	}
	s.err = ErrNoSpace
	a.Change(aFile("boat.jpg", 4))
	if err := a.Close(); !errors.Is(err, ErrNoSpace) {
		t.Errorf("close: %v", err)
	}
	n := len(s.saved)
	if s.c.pass(time.Hour); len(s.saved) != n {
		t.Error("saves after close")
	}
}

// Changes made while the disk works are saved after it, and an older file never
// after a newer one.
func TestAutosaveOneAtATime(t *testing.T) {
	var running, saves atomic.Int32
	var last float64
	a := NewAutosaver(func(f plan.File) error {
		if running.Add(1) != 1 {
			t.Error("two saves at once")
		}
		if f.Plan.Squint < last {
			t.Errorf("%v saved after %v", f.Plan.Squint, last)
		}
		last = f.Plan.Squint
		saves.Add(1)
		time.Sleep(time.Millisecond)
		running.Add(-1)
		if saves.Load()%3 == 0 {
			return ErrNoSpace
		}
		return nil
	}, nil, func(_ time.Duration, f func()) func() { return realAfter(time.Millisecond, f) })
	var wg sync.WaitGroup
	done := make(chan struct{})
	for range 3 {
		wg.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
					_ = a.Flush() // fails now and then, as made above
				}
			}
		})
	}
	for i := range 2000 {
		a.Change(aFile("boat.jpg", float64(i+1)/100))
	}
	close(done)
	wg.Wait()
	for a.Pending() {
		_ = a.Flush()
	}
	if last != 20 {
		t.Errorf("the last change saved is %v", last)
	}
	if err := a.Close(); err != nil {
		t.Error(err)
	}
}

// With the real clock and the real disk, once.
func TestAutosaveForReal(t *testing.T) {
	path := t.TempDir() + "/boat.plan.json"
	saved := make(chan struct{})
	a := NewAutosaver(func(f plan.File) error {
		defer close(saved)
		return Save(path, f.Text())
	}, func(err error) { t.Error(err) }, nil)
	want := aFile("boat.jpg", 1.4)
	a.Change(want)
	<-saved
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	if got, err := Load(path); err != nil || !got.Equal(want) {
		t.Errorf("%v", err)
	}
}

// A panic while saving is an error like others: reported, tried again, and
// nobody waits for ever.
func TestAutosavePanics(t *testing.T) {
	c := &clock{}
	var said []error
	broken := true
	saved := 0
	a := NewAutosaver(func(plan.File) error {
		if broken {
			panic("a mistake")
		}
		saved++
		return nil
	}, func(err error) { said = append(said, err) }, c.after)
	a.Change(plan.File{})
	c.pass(time.Second)
	if len(said) != 1 || said[0] == nil {
		t.Fatalf("said %v", said)
	}
	if err := a.Flush(); err == nil {
		t.Error("Flush says that all is saved")
	}
	broken = false
	c.pass(RetryDelay)
	if saved != 1 || a.Pending() {
		t.Errorf("saved %d times, pending %v", saved, a.Pending())
	}
}
