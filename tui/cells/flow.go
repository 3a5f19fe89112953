package cells

import "time"

// The program cannot see how much of what it wrote still waits in the buffers
// of kernel, SSH and network: a write returns at once and the picture comes
// seconds later. So each frame is followed by a question that every terminal
// answers in turn, and the answer says that the frame is there.

// question is what a terminal is asked: what it is (DA1). A late answer to it
// is no key, as one to others would be.
const question = "\x1b[c"

// How long an answer may take beside the time for the bytes before it, and how
// many may fail to come before nothing is asked any more.
const (
	patience = time.Second
	maxMiss  = 2
)

// Frames are small if the line takes no longer than this for one.
const smallFrame = 100 * time.Millisecond

// frameTime is what a frame may take while pictures follow each other.
const frameTime = 36 * time.Millisecond

// asked is a question that is not answered yet.
type asked struct {
	at    time.Time
	bytes int       // written since the question before
	frame bool      // it follows a frame
	since time.Time // when the first picture that it brings was wanted
}

// flow learns how fast the line is and says when it has room for a frame. It
// has no lock of its own. Times in it are of the Screen's clock.
type flow struct {
	on     bool // questions are asked
	hail   bool // one is to be asked with the next write, whatever on is
	open   []asked
	missed int
	stale  int       // questions given up whose answers may still come
	gone   asked     // the first of them
	last   time.Time // of the last answer taken

	unasked int           // bytes written since the last question
	trip    time.Duration // there and back with next to nothing; 0: not known
	perByte float64       // seconds of the line a byte; 0: not known
}

// ask notes that a question goes out now.
func (f *flow) ask(now time.Time, frame bool, since time.Time) {
	f.open = append(f.open, asked{now, f.unasked, frame, since})
	f.unasked, f.hail = 0, false
}

// frames counts the frames that are not answered.
func (f *flow) frames() int {
	n := 0
	for _, q := range f.open {
		if q.frame {
			n++
		}
	}
	return n
}

// takes returns how long the line takes for n bytes, as far as is known.
func (f *flow) takes(n int) time.Duration {
	return time.Duration(f.perByte * float64(n) * float64(time.Second))
}

// room reports whether a frame may go out now, and if not, when it may without
// an answer; the zero time is not before one. A large frame waits for the answer
// to the one before. A small one waits only until the line has most likely
// passed that on, so that the way to and fro is not waited for each time.
func (f *flow) room(now time.Time) (bool, time.Time) {
	if !f.on {
		return true, time.Time{}
	}
	switch f.frames() {
	case 0:
		return true, time.Time{}
	case 1:
	default:
		return false, time.Time{}
	}
	if f.perByte == 0 {
		return false, time.Time{}
	}
	bytes, begun := 0, now
	for _, q := range f.open {
		bytes += q.bytes
		if q.frame {
			begun = q.at
		}
	}
	t := f.takes(bytes)
	if t > smallFrame {
		return false, time.Time{}
	}
	at := begun.Add(t)
	return !now.Before(at), at
}

// answered takes an answer that came at the time at. It returns whether it was
// one to a question that was open.
func (f *flow) answered(at time.Time) bool {
	if !f.on {
		// Whoever answers late answers.
		f.on, f.missed = true, 0
	}
	if len(f.open) == 0 {
		if f.gone.bytes > 0 { // given up too early: this is how slow the line is
			f.learn(f.gone, at, at.Sub(f.gone.at))
			f.last = at
		}
		f.stale, f.gone = max(f.stale-1, 0), asked{}
		return false
	}
	q := f.open[0]
	took := at.Sub(q.at)
	if f.stale > 0 && took < f.trip/2 {
		f.stale-- // to a question that was given up
		return false
	}
	f.open = append(f.open[:0], f.open[1:]...)
	f.missed, f.stale, f.gone = 0, 0, asked{}
	f.learn(q, at, took)
	f.last = at
	return true
}

// learn takes the time of an answer apart into the way and the bytes.
func (f *flow) learn(q asked, at time.Time, took time.Duration) {
	waited := f.last.After(q.at) // behind an earlier frame for a part of it
	light := q.bytes < 1024 || f.perByte > 0 && f.takes(q.bytes) < f.trip/8
	switch {
	case f.trip == 0 || took < f.trip:
		f.trip = max(took, time.Microsecond)
	case light && !waited:
		f.trip += (took - f.trip) / 8
	}
	if q.bytes < 4096 {
		return
	}
	start := q.at.Add(f.trip)
	if f.last.After(start) {
		start = f.last
	}
	per := max(at.Sub(start), 0).Seconds() / float64(q.bytes)
	per = max(per, 1e-9) // a thousand MB a second: known, and no limit
	if f.perByte == 0 {
		f.perByte = per
		return
	}
	f.perByte += 0.4 * (per - f.perByte)
}

// overdue returns when the oldest question is given up; zero if none is open.
func (f *flow) overdue() time.Time {
	if len(f.open) == 0 {
		return time.Time{}
	}
	bytes := 0
	for _, q := range f.open {
		bytes += q.bytes
	}
	per := f.perByte
	if per == 0 {
		per = 1.0 / 50e3 // a slow line
	}
	wait := patience + 2*f.trip + time.Duration(2*per*float64(bytes)*float64(time.Second))
	return f.open[0].at.Add(wait)
}

// giveUp forgets what was asked, if the oldest question is overdue.
func (f *flow) giveUp(now time.Time) {
	if due := f.overdue(); due.IsZero() || now.Before(due) {
		return
	}
	if f.stale == 0 {
		f.gone = f.open[0]
	}
	f.stale += len(f.open)
	f.open = f.open[:0]
	if f.missed++; f.missed >= maxMiss {
		f.on = false
	}
}

// budget returns how many bytes a frame may have while pictures follow each
// other; 0 is no limit. Before anything is learnt a far terminal is taken to
// have a line of 1 MB a second.
func (f *flow) budget() int {
	per := f.perByte
	switch {
	case !f.on:
		return 0
	case per == 0 && f.trip < 8*time.Millisecond:
		return 0
	case per == 0:
		per = 1e-6
	}
	return max(int(frameTime.Seconds()/per), 2048)
}
