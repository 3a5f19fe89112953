//go:build unix

package term

import (
	"io"
	"os"
	"time"

	"golang.org/x/sys/unix"
	"golang.org/x/term"
)

const canAsk = true

func isTerminal(fd uintptr) bool { return term.IsTerminal(int(fd)) }

// size returns the size of the terminal in cells, 0 by 0 if it does not say.
func size(fd uintptr) (cols, rows int) {
	ws, err := unix.IoctlGetWinsize(int(fd), unix.TIOCGWINSZ)
	if err != nil {
		return 0, 0
	}
	return int(ws.Col), int(ws.Row)
}

// ask asks and reads until the last question is answered, which whole reports,
// or limit is over, or silence without any answer. take gets the answers; ahead
// is all else.
func ask(in *os.File, out io.Writer, silence, limit time.Duration, take func(Answer)) (ahead Ahead, whole bool, err error) {
	fd := int(in.Fd())
	before, err := term.MakeRaw(fd)
	if err != nil {
		return ahead, false, err
	}
	defer func() {
		if e := term.Restore(fd, before); err == nil {
			err = e
		}
	}()
	ahead.f = filter{due: 2, take: func(a Answer) {
		silence = limit
		whole = whole || a.Primary()
		take(a)
	}}
	began := time.Now()
	if _, err := io.WriteString(out, questions); err != nil {
		return ahead, false, err
	}
	var buf [512]byte
	state := plain
	for {
		left, last := silence-time.Since(began), false
		if whole || left <= 0 {
			if state != partial {
				break
			}
			left, last = keyWait, true // for the end of a key that has begun
		}
		if !readable(in.Fd(), left) {
			if last {
				break
			}
			continue
		}
		n, err := in.Read(buf[:])
		ahead.keys, state = ahead.f.feed(ahead.keys, buf[:n])
		if err != nil {
			break // the terminal is gone: whoever reads next will see
		}
	}
	if whole {
		ahead.f.due = 0
	}
	// Escape alone, or with the letter that it was held with, is a key by now.
	// What is longer can only go on: an answer was cut in two by the limit.
	if whole || state == partial && len(ahead.f.held) <= 2 {
		ahead.keys = ahead.f.release(ahead.keys)
	}
	return ahead, whole, nil
}
