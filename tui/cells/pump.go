package cells

import (
	"runtime/debug"
	"sync"
	"time"
)

// Clock tells the time and calls f once after d on a goroutine of its own,
// unless stop is called first.
type Clock interface {
	Now() time.Time
	After(d time.Duration, f func()) (stop func())
}

type realClock struct{}

func (realClock) Now() time.Time { return time.Now() }

func (realClock) After(d time.Duration, f func()) func() {
	t := time.AfterFunc(d, f)
	return func() { t.Stop() }
}

// lag is how much older the picture on the screen may be than what is wanted
// before that is worth a mark: less is the pace of any line, and the mark would
// come and go with each key.
const lag = 250 * time.Millisecond

// leave is what ends the alternate screen.
var leave = []byte("\x1b[?1049l")

// pump is what makes a Screen paint without being told to: by an answer or when
// a time has come.
type pump struct {
	clock Clock
	at    time.Time // when it is to run next; zero: not
	stop  func()

	mu      sync.Mutex  // held for a moment only, never while the terminal is written to
	answers []time.Time // that came and were not taken in yet

	behind   bool
	onBehind func()
	onPanic  func(value any, trace string)
	onLeave  func()
	fault    func(place string)
}

// SetClock makes the Screen go by c. It must be called before anything else.
func (s *Screen) SetClock(c Clock) { s.pump.clock = c }

// SetAsk says whether the terminal answers when it is asked what it is (CSI c).
// Then each frame is followed by that question, Answered must be called for each
// answer, and frames wait for room on the line. Without answers, two in a row
// that take longer than a second and what the line needs, it stops asking and
// paints at once, until an answer comes again.
func (s *Screen) SetAsk(on bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.flow.on = on
}

// Hail asks the terminal once with the next write. If an answer comes, frames
// are followed by questions from then on, whatever SetAsk said.
func (s *Screen) Hail() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.flow.hail = true
}

// Answered says that an answer to what the terminal is has come in. It never
// waits.
func (s *Screen) Answered() {
	now := s.pump.clock.Now()
	s.pump.mu.Lock()
	s.pump.answers = append(s.pump.answers, now)
	s.pump.mu.Unlock()
	s.pump.clock.After(0, s.run)
}

// Unanswered returns how many answers are still to come.
func (s *Screen) Unanswered() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.takeAnswers(s.pump.clock.Now())
	return len(s.flow.open)
}

// Behind reports whether the picture on the screen has been older than the one
// wanted for a quarter of a second. It is only known of terminals that answer.
func (s *Screen) Behind() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.pump.behind
}

// OnBehind has f called after each change of Behind, on a goroutine of its own.
func (s *Screen) OnBehind(f func()) { s.pump.onBehind = f }

// OnPanic has f called, on any goroutine, after a panic while painting that had
// no caller of ours to reach: the Screen paints nothing more, but what Bubble
// Tea writes passes. The program should end. Without f the panic goes on.
func (s *Screen) OnPanic(f func(value any, trace string)) { s.pump.onPanic = f }

// OnLeave has f called before what leaves the alternate screen is passed on: the
// place to wait for answers that are still to come, which else would be typed
// into the shell. Nothing is asked from then on until the screen is entered
// again.
func (s *Screen) OnLeave(f func()) { s.pump.onLeave = f }

// SetFault has f called at the place "painter", when the Screen paints by
// itself. The tests make it panic there.
func (s *Screen) SetFault(f func(place string)) { s.pump.fault = f }

// guard, deferred, stops a panic and reports it; then does else.
func (s *Screen) guard(then func()) {
	if s.pump.onPanic == nil {
		return
	}
	if r := recover(); r != nil {
		trace := string(debug.Stack())
		s.mu.Lock()
		s.closed = true
		s.disarm()
		s.mu.Unlock()
		then()
		s.pump.onPanic(r, trace)
	}
}

// run paints what may be painted by now.
func (s *Screen) run() {
	defer s.guard(func() {})
	if s.pump.fault != nil {
		s.pump.fault("painter")
	}
	if s.turn() && s.pump.onBehind != nil {
		s.pump.onBehind()
	}
}

// turn does so and reports whether Behind has changed.
func (s *Screen) turn() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.pump.clock.Now()
	if !s.pump.at.IsZero() && !now.Before(s.pump.at) {
		s.pump.at = time.Time{}
	}
	_ = s.advance(now) // kept for the next Paint
	was := s.pump.behind
	since := s.waiting()
	s.pump.behind = !since.IsZero() && now.Sub(since) >= lag
	s.arm(now)
	return s.pump.behind != was
}

// advance takes in answers, sends what may be sent and sets the time for more.
func (s *Screen) advance(now time.Time) error {
	s.takeAnswers(now)
	if what := s.part(now); what != noPart {
		if err := s.send(nil, what, now); err != nil {
			s.err = err
			return err
		}
	}
	s.arm(now)
	return nil
}

func (s *Screen) takeAnswers(now time.Time) {
	s.pump.mu.Lock()
	for _, at := range s.pump.answers {
		s.flow.answered(at)
	}
	s.pump.answers = s.pump.answers[:0]
	s.pump.mu.Unlock()
	s.flow.giveUp(now)
}

// waiting returns when the oldest picture was wanted that is not known to be on
// the screen; zero if all are.
func (s *Screen) waiting() time.Time {
	if !s.flow.on {
		return time.Time{}
	}
	for _, q := range s.flow.open {
		if !q.since.IsZero() {
			return q.since
		}
	}
	return s.since
}

// arm sets the time at which something is due by itself.
func (s *Screen) arm(now time.Time) {
	var at time.Time
	due := func(t time.Time) {
		if !t.IsZero() && (at.IsZero() || t.Before(at)) {
			at = t
		}
	}
	if s.closed || s.failed {
		s.disarm()
		return
	}
	due(s.flow.overdue())
	if s.ready() && (s.owed || s.loose) {
		free, t := s.flow.room(now)
		rest := s.painted.Add(Rest)
		switch {
		case s.owed:
			due(t)
		case free:
			due(rest)
		case t.After(rest):
			due(t)
		case !t.IsZero():
			due(rest)
		}
	}
	switch since := s.waiting(); {
	case since.IsZero() && s.pump.behind:
		due(now)
	case !since.IsZero() && !s.pump.behind:
		due(since.Add(lag))
	}
	if at.Equal(s.pump.at) {
		return
	}
	s.disarm()
	if !at.IsZero() {
		s.pump.at = at
		s.pump.stop = s.pump.clock.After(max(at.Sub(now), 0), s.run)
	}
}

func (s *Screen) disarm() {
	if s.pump.stop != nil {
		s.pump.stop()
		s.pump.stop = nil
	}
	s.pump.at = time.Time{}
}

// leaves ends painting before the alternate screen is left.
func (s *Screen) leaves() {
	s.mu.Lock()
	s.leaving = true
	s.flow.hail = false
	s.mu.Unlock()
	if s.pump.onLeave != nil {
		s.pump.onLeave()
	}
}
