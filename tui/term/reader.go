package term

import (
	"io"
	"sync"
	"sync/atomic"
	"time"
)

// File is what the Reader reads from: a terminal, as *os.File is one.
type File interface {
	io.ReadWriteCloser
	Fd() uintptr
	Name() string
}

// How long an unfinished sequence is waited for. Escape is a key of its own and
// the start of all others, so its wait is felt; the start of an answer is like
// no key and may be waited for over a slow line.
const (
	keyWait    = 40 * time.Millisecond
	answerWait = 500 * time.Millisecond
)

// Reader is the input in front of Bubble Tea. It takes out the terminal's
// answers, which would otherwise arrive as keys, and joins sequences and letters
// that came in two parts. All else comes through unchanged and in order, pasted
// text untouched. It is a file with the terminal's descriptor, so that a read of
// it can be called off. A read may return no bytes and no error.
//
// A read that ends in an unfinished sequence waits for its end; nothing is kept
// for later that a waiting reader would miss (the one exception: the tail of a
// false answer longer than the reader's buffer). Reads must not run at the same
// time.
type Reader struct {
	File
	mu      sync.Mutex // held by a Read or a Drain
	f       filter
	out     []byte // keys not given out yet, from the start of a read on
	in      [1024]byte
	asked   atomic.Int64
	waitFor func(fd uintptr, d time.Duration) bool
}

// NewReader returns a Reader of the terminal f. answers is called for each
// answer on the goroutine that reads and must not block; nil drops them.
func NewReader(f File, answers func(Answer)) *Reader {
	return &Reader{File: f, f: filter{take: answers}, waitFor: readable}
}

// Resume makes the Reader go on where questions asked before it left off: it
// gives out first what was typed meanwhile, knows the start of an answer whose
// end is still to come, and takes out answers that come late. It must be called
// before the first Read.
func (r *Reader) Resume(a Ahead) {
	take := r.f.take
	r.out = append(r.out, a.keys...)
	r.f = a.f
	r.f.take = take
}

// ExpectCursor says that the cursor's place was asked for once more. Its report
// looks like the key F3 with a modifier, and is one unless expected.
func (r *Reader) ExpectCursor() { r.asked.Add(1) }

// spare is the room that a read leaves for the end of a sequence, so that no
// key is cut at the end of a full buffer.
const spare = 64

// Read reads keys into p. If the last thing read is the start of a sequence it
// waits for the rest, 40 ms for each byte if it may be a key, half a second in all
// if it can only be an answer, and passes it on as it is if none comes.
func (r *Reader) Read(p []byte) (int, error) {
	if len(p) == 0 {
		return 0, nil
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.out) > 0 {
		return r.give(p), nil
	}
	want := max(min(len(p), len(r.in))-min(spare, len(p)/2), 1)
	var began, heard time.Time
	for {
		r.f.due += int(r.asked.Swap(0))
		n, err := r.File.Read(r.in[:want])
		state := plain
		r.out, state = r.f.feed(r.out, r.in[:n])
		if err != nil {
			r.out = r.f.release(r.out)
			return r.give(p), err
		}
		if state == plain {
			return r.give(p), nil
		}
		if began.IsZero() {
			began = time.Now()
		}
		if n > 0 {
			heard = time.Now()
		}
		left := keyWait - time.Since(heard) // from byte to byte: no hand types the rest of a key
		if state == likely {
			left = answerWait - time.Since(began)
		}
		full := state == partial && len(r.out)+len(r.f.held) >= len(p)
		if full || left <= 0 || !r.waitFor(r.Fd(), left) {
			r.out = r.f.release(r.out)
			return r.give(p), nil
		}
		// Byte by byte, so that no other sequence is begun.
		want = 1
	}
}

// give hands out what is ready and keeps what does not fit.
func (r *Reader) give(p []byte) int {
	n := copy(p, r.out)
	r.out = r.out[:copy(r.out, r.out[n:])]
	return n
}

// Drain takes answers out of the input while nobody reads it, as long as more
// reports that some are still to come, for at most limit. What is typed meanwhile
// is given out by the next Read. It gives up when the terminal is gone or a Read
// does not end.
func (r *Reader) Drain(limit time.Duration, more func() bool) {
	const step = 20 * time.Millisecond
	end := time.Now().Add(limit)
	for !r.mu.TryLock() {
		if time.Now().After(end) || !more() {
			return
		}
		time.Sleep(time.Millisecond)
	}
	defer r.mu.Unlock()
	for more() {
		left := time.Until(end)
		if left <= 0 {
			return
		}
		if !r.waitFor(r.Fd(), min(left, step)) {
			continue
		}
		n, err := r.File.Read(r.in[:])
		r.out, _ = r.f.feed(r.out, r.in[:n])
		if err != nil || n == 0 {
			return
		}
	}
}
