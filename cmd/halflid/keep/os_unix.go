//go:build unix

package keep

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// writable reports whether the user may make files in dir.
func writable(dir string) bool { return unix.Access(dir, unix.W_OK|unix.X_OK) == nil }

func isFull(err error) bool { return errors.Is(err, unix.ENOSPC) || errors.Is(err, unix.EDQUOT) }

// hasNoModes reports whether err is what Chmod says where files have no modes.
func hasNoModes(err error) bool {
	return errors.Is(err, unix.EPERM) || errors.Is(err, unix.ENOTSUP) || errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.EINVAL)
}

// openNow opens a file to read it; a pipe in its place holds up nothing.
func openNow(path string) (*os.File, error) { return os.OpenFile(path, os.O_RDONLY|unix.O_NONBLOCK, 0) }

// syncDir puts a folder's list of names onto the disk. File systems that cannot
// say so, and they are sound without.
func (disk) syncDir(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	err = f.Sync()
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) || errors.Is(err, unix.EBADF) {
		return nil
	}
	return err
}
