//go:build !unix

package term

import (
	"io"
	"os"
	"time"

	"golang.org/x/term"
)

// canAsk: there is no way here to wait for an answer and stop waiting.
const canAsk = false

func isTerminal(fd uintptr) bool { return term.IsTerminal(int(fd)) }

func size(fd uintptr) (cols, rows int) {
	cols, rows, err := term.GetSize(int(fd))
	if err != nil {
		return 0, 0
	}
	return cols, rows
}

func ask(_ *os.File, _ io.Writer, _, _ time.Duration, _ func(Answer)) (Ahead, bool, error) {
	return Ahead{}, false, nil
}
