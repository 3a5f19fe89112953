//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package keep

import (
	"errors"
	"io/fs"
	"os"

	"golang.org/x/sys/unix"
)

// openLock opens the lock file, making it if needed; no link is followed, and a
// pipe in its place holds up nothing. Another user's can only be read, which is
// enough to see that it is taken.
func openLock(name string) (*os.File, error) {
	const flags = unix.O_NOFOLLOW | unix.O_NONBLOCK
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|flags, 0o644)
	if errors.Is(err, fs.ErrPermission) {
		if other, err := os.OpenFile(name, os.O_RDONLY|flags, 0); err == nil {
			return other, nil
		}
	}
	return f, err
}

// isOurs reports whether f is a file of one name. Of several, one may be a file of
// the user's that somebody linked to here so that it is written over.
func isOurs(f *os.File) bool {
	var s unix.Stat_t
	return unix.Fstat(int(f.Fd()), &s) == nil && s.Mode&unix.S_IFMT == unix.S_IFREG && s.Nlink == 1
}

// tryLock takes f's lock: nil, ErrTaken, errNoLocks, or another failure.
func tryLock(f *os.File) error {
	for {
		err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		if !errors.Is(err, unix.EINTR) {
			return lockError(err)
		}
	}
}

// lockError returns what the system's answer to a lock means.
func lockError(err error) error {
	switch {
	case errors.Is(err, unix.EWOULDBLOCK):
		return ErrTaken
	case errors.Is(err, unix.ENOLCK), errors.Is(err, unix.ENOTSUP), errors.Is(err, unix.EOPNOTSUPP), errors.Is(err, unix.ENOSYS), errors.Is(err, unix.EINVAL):
		return errNoLocks
	}
	return err
}
