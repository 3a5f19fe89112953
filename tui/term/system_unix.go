//go:build unix

package term

import (
	"os"

	"golang.org/x/sys/unix"
)

// CellSize returns the width and height of a character cell in pixels of the
// terminal fd, and true; or 1 by 2, the common shape, and false if the terminal
// does not say or says what no cell is like. The size may be a fraction, since
// terminals tell the whole window's.
func CellSize(fd uintptr) (w, h float64, told bool) {
	ws, err := unix.IoctlGetWinsize(int(fd), unix.TIOCGWINSZ)
	if err != nil {
		return 1, 2, false
	}
	return cellOf(int(ws.Xpixel), int(ws.Ypixel), int(ws.Col), int(ws.Row))
}

// CanSuspend reports whether the program may stop itself and be brought back.
// Only a shell that controls jobs can bring it back: it is our parent, in our
// session, and in a process group of its own. As the command of the session
// itself (ssh -t host halflid) there is none, and stopping would hang for good.
func CanSuspend() bool {
	sid, err := unix.Getsid(0)
	if err != nil {
		return false
	}
	parent := os.Getppid()
	parentSid, err := unix.Getsid(parent)
	if err != nil || parentSid != sid {
		return false
	}
	group, err := unix.Getpgid(parent)
	return err == nil && group != unix.Getpgrp()
}
