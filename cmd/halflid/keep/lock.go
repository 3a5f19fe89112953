package keep

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// Lock says that a plan is open in this window. It ends with Release, or with
// the process however that ends. Hold on to it until then (defer Release): like
// an open file, one that nothing refers to any more is closed at some point.
type Lock struct {
	// Note is a line for the painter where the folder takes no locks: a second
	// window would not be told. Otherwise empty.
	Note string

	path string
	file *os.File // nil without a lock
	once sync.Once
}

// errNoLocks is what tryLock returns where the file system has no locks.
var errNoLocks = errors.New("no locks here")

// lockPath returns the hidden file beside a plan that carries its lock. The plan
// itself cannot: each save puts a new file in its place.
func lockPath(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".lock")
}

// TakeLock takes the lock of the plan at path. If another window has it, in
// this process or another, the error is ErrTaken and names the window. A folder
// that cannot be written or knows no locks gives a Lock with a Note and no
// error: the painter works on. A lock whose process has died is free. A missing
// folder is made, for the user alone. Nothing is written into a file that has
// another name besides.
func TakeLock(path string) (*Lock, error) { return takeLock(path, tryLock) }

func takeLock(path string, try func(*os.File) error) (*Lock, error) {
	name := lockPath(path)
	if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
		return noLock(path, err), nil
	}
	for range 100 { // a releasing window may take the file away between two steps
		f, err := openLock(name)
		if err != nil {
			return noLock(path, err), nil
		}
		switch err := try(f); {
		case errors.Is(err, ErrTaken):
			who := owner(f)
			f.Close()
			return nil, fmt.Errorf("%w%s: close it there first (%s)", ErrTaken, who, filepath.Base(path))
		case err != nil:
			f.Close()
			if !errors.Is(err, errNoLocks) {
				return noLock(path, err), nil
			}
			os.Remove(name)
			return noLock(path, errNoLocks), nil
		}
		if sameAsNamed(f, name) {
			sign(f)
			return &Lock{path: name, file: f}, nil
		}
		f.Close()
	}
	return noLock(path, errors.New("its lock file keeps changing")), nil
}

// noLock returns a lock that locks nothing, and says so.
func noLock(path string, err error) *Lock {
	return &Lock{Note: fmt.Sprintf("a second window would not be told that %s is open here (%v)", filepath.Base(path), reason(err))}
}

// Release gives the lock back and takes its file away. It may be called more
// than once, and on a nil Lock.
func (l *Lock) Release() {
	if l == nil {
		return
	}
	l.once.Do(func() {
		if l.file == nil {
			return
		}
		// First the name, then the lock: whoever opened the old file finds that
		// it is no longer the named one and tries again.
		if sameAsNamed(l.file, l.path) {
			os.Remove(l.path)
		}
		l.file.Close()
	})
}

// sameAsNamed reports whether f is still the file of that name.
func sameAsNamed(f *os.File, name string) bool {
	a, err := f.Stat()
	if err != nil {
		return false
	}
	b, err := os.Lstat(name)
	return err == nil && os.SameFile(a, b)
}

// sign writes who holds the lock, for the words of ErrTaken. It is a courtesy:
// its errors count for nothing.
func sign(f *os.File) {
	host, _ := os.Hostname()
	if isOurs(f) && f.Truncate(0) == nil {
		fmt.Fprintf(f, "%d %s\n", os.Getpid(), host)
	}
}

// owner returns the words for who holds the lock; empty if it does not say.
func owner(f *os.File) string {
	text, _ := io.ReadAll(io.LimitReader(f, 300))
	fields := strings.Fields(string(text))
	if len(fields) == 0 || strings.Trim(fields[0], "0123456789") != "" {
		return ""
	}
	who := " (process " + fields[0]
	if len(fields) > 1 && strings.Trim(fields[1], "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-_") == "" {
		who += " on " + fields[1]
	}
	return who + ")"
}
