//go:build unix

package term

import (
	"errors"
	"time"

	"golang.org/x/sys/unix"
)

// readable waits for at most d until fd can be read, and reports whether it can.
func readable(fd uintptr, d time.Duration) bool {
	end := time.Now().Add(d)
	for {
		ms := int((time.Until(end) + time.Millisecond - 1) / time.Millisecond)
		if ms < 0 {
			ms = 0
		}
		n, err := unix.Poll([]unix.PollFd{{Fd: int32(fd), Events: unix.POLLIN}}, ms)
		if errors.Is(err, unix.EINTR) {
			continue
		}
		return err == nil && n > 0
	}
}
