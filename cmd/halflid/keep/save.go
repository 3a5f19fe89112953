package keep

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"time"
)

// Save writes data to path whole or not at all: to a new file in the same
// folder, onto the disk, then in one step into the plan's place, and the folder
// onto the disk. Whoever reads path, and whatever is cut off when, gets the old
// plan or the new. A missing folder is made, for the user alone. The file keeps
// the mode it had; a new one is as the user's other files; half written it is for
// the user alone.
//
// It writes through no link (ErrLink), over nothing but a file (ErrNotFile),
// and over no file that nobody may write (ErrProtected); a full disk is
// ErrNoSpace. After an error the old plan is as it was and nothing else is left
// in the folder. It may be called from several places at once: the last one to
// finish stays.
func Save(path string, data []byte) error { return save(disk{}, path, data) }

// filer is the part of a disk that Save writes with; a test puts a failing one
// in its place.
type filer interface {
	create(path string, mode fs.FileMode) (file, error)
	rename(from, to string) error
	remove(path string) error
	syncDir(path string) error
}

type file interface {
	Write([]byte) (int, error)
	Stat() (fs.FileInfo, error)
	Chmod(fs.FileMode) error
	Sync() error
	Close() error
}

type disk struct{}

func (disk) create(path string, mode fs.FileMode) (file, error) {
	// O_EXCL follows no link either.
	return os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
}
func (disk) rename(from, to string) error { return os.Rename(from, to) }
func (disk) remove(path string) error     { return os.Remove(path) }

// errSwept is the failure of a save whose new file was gone when it was done.
var errSwept = errors.New("the file that was written is gone")

func save(d filer, path string, data []byte) error {
	for tries := 1; ; tries++ {
		err := saveOnce(d, path, data)
		// Another machine in this folder, whose clock is ahead, may have taken the
		// new file for one that was left behind.
		if !errors.Is(err, errSwept) || tries == 3 {
			return err
		}
	}
}

func saveOnce(d filer, path string, data []byte) error {
	mode, had, err := modeOf(path)
	if err != nil {
		return failed(path, err)
	}
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return failed(path, err)
	}
	temp, f, err := createTemp(d, path, mode, had)
	if err != nil {
		return failed(path, err)
	}
	if err := fill(f, data, mode, had); err != nil {
		return failed(path, errors.Join(err, d.remove(temp)))
	}
	// The way may have changed while the data went out.
	if _, _, err := modeOf(path); err != nil {
		return failed(path, errors.Join(err, d.remove(temp)))
	}
	if err := d.rename(temp, path); err != nil {
		if errors.Is(err, fs.ErrNotExist) && !exists(temp) {
			return failed(path, errSwept)
		}
		return failed(path, errors.Join(err, d.remove(temp)))
	}
	if err := d.syncDir(dir); err != nil {
		return fmt.Errorf("%s is saved, but may not outlast a power cut: %w", called(path), reason(err))
	}
	return nil
}

// createTemp makes the new file. A name that is there already, left by another
// process of the same number before the clock was set back, is passed over.
func createTemp(d filer, path string, mode fs.FileMode, had bool) (name string, f file, err error) {
	if had {
		mode = 0o600 // its own comes when all is written
	}
	for range 10 {
		name = tempPath(path)
		if f, err = d.create(name, mode); !errors.Is(err, fs.ErrExist) {
			break
		}
	}
	return name, f, err
}

// fill writes data to f and closes it, on the disk. While there is anything in f
// only the user can read it; at the end it has the mode it is to have, which for
// a plan that is not there yet is the one that the system gave it.
func fill(f file, data []byte, mode fs.FileMode, had bool) error {
	err := func() error {
		if !had {
			info, err := f.Stat()
			if err != nil {
				return err
			}
			mode = info.Mode().Perm()
		}
		if err := chmod(f, 0o600); err != nil {
			return err
		}
		if _, err := f.Write(data); err != nil {
			return err
		}
		if err := f.Sync(); err != nil {
			return err
		}
		return chmod(f, mode)
	}()
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}

// chmod gives f a mode where there are modes. Cards and network folders that know
// none say that it is not permitted, of a file that is the user's own: plans are
// kept there too.
func chmod(f file, mode fs.FileMode) error {
	if err := f.Chmod(mode); err != nil && !hasNoModes(err) {
		return err
	}
	return nil
}

// modeOf returns the mode that the file at path has or is to have, and whether
// it is there; an error if it must not be written.
func modeOf(path string) (mode fs.FileMode, had bool, err error) {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return 0o644, false, nil
	case err != nil:
		return 0, false, err
	case info.Mode()&fs.ModeSymlink != 0:
		return 0, true, ErrLink
	case !info.Mode().IsRegular():
		return 0, true, ErrNotFile
	case info.Mode().Perm()&0o222 == 0:
		return 0, true, ErrProtected
	}
	return info.Mode().Perm(), true, nil
}

// Ready returns the error that Save would give for what stands in path's place;
// nil if nothing there is in the way. It writes nothing: whoever saves several
// files asks for each before the first.
func Ready(path string) error {
	if _, _, err := modeOf(path); err != nil {
		return failed(path, err)
	}
	return nil
}

// called names a file in a line: pages and pictures are saved here too.
func called(path string) string {
	if IsPlanPath(path) {
		return "the plan " + path
	}
	return path
}

// failed puts what went wrong and what to do into a line.
func failed(path string, err error) error {
	why := reason(err)
	do := ""
	switch {
	case isFull(err):
		why, do = ErrNoSpace, "; make room, then save again"
	case errors.Is(err, ErrLink):
		do = "; halflid writes through no link: put a file in its place, or save elsewhere"
	case errors.Is(err, ErrNotFile):
		do = "; move it away, or save elsewhere"
	case errors.Is(err, ErrProtected):
		do = "; allow writing to it, or save elsewhere"
	case errors.Is(err, fs.ErrPermission):
		do = "; the folder cannot be written: save elsewhere"
	case len(filepath.Base(lockPath(path))) > maxName:
		do = "; choose a shorter name"
	}
	return fmt.Errorf("%s was not saved: %w%s", called(path), why, do)
}

// tempStem begins the names of the files that Save writes first, so that they
// are hidden, short, and known for what they are.
const tempStem = ".halflid-"

var tempCount atomic.Uint64

// tempPath returns a path beside path that no other save uses: the process, a
// count and the moment are in it, the last for folders that several machines
// share.
func tempPath(path string) string {
	n := tempCount.Add(1)
	return filepath.Join(filepath.Dir(path), fmt.Sprintf("%s%d-%d-%x.tmp", tempStem, os.Getpid(), n, uint64(time.Now().UnixNano())))
}

// Sweep takes away files that a save left beside path when it was killed: those
// older than a minute at now. It returns how many. What cannot be taken away
// stays.
func Sweep(path string, now time.Time) int {
	dir := filepath.Dir(path)
	entries, err := os.ReadDir(dir)
	if err != nil {
		return 0
	}
	n := 0
	for _, e := range entries {
		if !isTemp(e.Name()) {
			continue
		}
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() || now.Sub(info.ModTime()) < time.Minute {
			continue
		}
		if os.Remove(filepath.Join(dir, e.Name())) == nil {
			n++
		}
	}
	return n
}

// isTemp reports whether a name is one of tempPath's.
func isTemp(name string) bool {
	rest, ok := strings.CutPrefix(name, tempStem)
	if !ok || !strings.HasSuffix(rest, ".tmp") {
		return false
	}
	parts := strings.Split(strings.TrimSuffix(rest, ".tmp"), "-")
	if len(parts) != 3 {
		return false
	}
	for i, base := range []int{10, 10, 16} {
		if _, err := strconv.ParseUint(parts[i], base, 64); err != nil {
			return false
		}
	}
	return true
}
