//go:build unix

package keep

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// watched is a disk on which a test looks on: at each new file before it is made,
// at what is written, and before the rename.
type watched struct {
	disk
	making   func(path string) error
	filling  func(path string)
	renaming func(from string)
}

type watchedFile struct {
	file
	path string
	d    watched
}

func (d watched) create(path string, mode fs.FileMode) (file, error) {
	if d.making != nil {
		if err := d.making(path); err != nil {
			return nil, err
		}
	}
	f, err := d.disk.create(path, mode)
	return watchedFile{f, path, d}, err
}

func (d watched) rename(from, to string) error {
	if d.renaming != nil {
		d.renaming(from)
	}
	return d.disk.rename(from, to)
}

func (f watchedFile) Write(b []byte) (int, error) {
	n, err := f.file.Write(b)
	if f.d.filling != nil {
		f.d.filling(f.path)
	}
	return n, err
}

// A plan that is half written is for the user alone, and whole it is as readable
// as the one before, or as the user's other files.
func TestHalfWrittenIsPrivate(t *testing.T) {
	for _, c := range []struct {
		umask     int
		was, want fs.FileMode // was 0: there is no plan yet
	}{
		{0o022, 0, 0o644},
		{0o077, 0, 0o600},
		{0o002, 0, 0o644},
		{0o027, 0, 0o640},
		{0o022, 0o600, 0o600},
		{0o022, 0o664, 0o664},
		{0o077, 0o644, 0o644},
	} {
		old := syscall.Umask(c.umask)
		path := filepath.Join(t.TempDir(), "boat.plan.json")
		if c.was != 0 {
			write(t, path, []byte("old"))
			if err := os.Chmod(path, c.was); err != nil {
				t.Fatal(err)
			}
		}
		looked := false
		err := save(watched{filling: func(temp string) {
			looked = true
			if info, err := os.Lstat(temp); err != nil || info.Mode() != 0o600 || info.Size() == 0 {
				t.Errorf("umask %03o: half written %v, %v", c.umask, info.Mode(), err)
			}
		}}, path, []byte("new"))
		syscall.Umask(old)
		if err != nil || !looked {
			t.Fatal(err, looked)
		}
		if info, _ := os.Stat(path); info.Mode() != c.want {
			t.Errorf("umask %03o, %v before: %v, want %v", c.umask, c.was, info.Mode(), c.want)
		}
	}
}

// Where files have no modes plans are kept all the same.
func TestSaveWithoutModes(t *testing.T) {
	for _, cause := range []error{syscall.EPERM, syscall.ENOTSUP, syscall.ENOSYS, syscall.EINVAL} {
		path := filepath.Join(t.TempDir(), "boat.plan.json")
		for _, text := range []string{"first", "second"} {
			if err := save(failing{step: "chmod", err: cause}, path, []byte(text)); err != nil {
				t.Errorf("%v: %v", cause, err)
			}
			if got, _ := os.ReadFile(path); string(got) != text {
				t.Errorf("%v: %q", cause, got)
			}
		}
	}
}

// A link that somebody puts in the place of the new file is not written through:
// another name is taken.
func TestSaveThroughNoLinkOfItsOwn(t *testing.T) {
	dir := t.TempDir()
	hers := filepath.Join(dir, "hers")
	write(t, hers, []byte("hers"))
	path := filepath.Join(dir, "boat.plan.json")
	var tried []string
	err := save(watched{making: func(temp string) error {
		if tried = append(tried, temp); len(tried) < 4 {
			return os.Symlink(hers, temp)
		}
		return nil
	}}, path, []byte("mine"))
	if got, _ := os.ReadFile(path); err != nil || string(got) != "mine" || len(tried) != 4 {
		t.Errorf("%v, %q after %d names", err, got, len(tried))
	}
	if got, _ := os.ReadFile(hers); string(got) != "hers" {
		t.Errorf("written through a link: %q", got)
	}
	// If every name is taken, that is said, and nothing of hers is taken away.
	before := len(names(t, dir))
	if err := save(watched{making: func(temp string) error { return os.Symlink(hers, temp) }}, path, []byte("more")); !errors.Is(err, fs.ErrExist) {
		t.Errorf("all names are taken: %v", err)
	}
	if after := len(names(t, dir)); after != before+10 {
		t.Errorf("%d files, were %d", after, before)
	}
}

// A link that comes into the plan's place while the data goes out is not written
// through either.
func TestSaveWhenALinkComes(t *testing.T) {
	dir := t.TempDir()
	hers, path := filepath.Join(dir, "hers"), filepath.Join(dir, "boat.plan.json")
	write(t, hers, []byte("hers"))
	err := save(watched{filling: func(string) {
		if err := os.Symlink(hers, path); err != nil {
			t.Fatal(err)
		}
	}}, path, []byte("mine"))
	if !errors.Is(err, ErrLink) {
		t.Errorf("%v", err)
	}
	if got, _ := os.ReadFile(hers); string(got) != "hers" || len(names(t, dir)) != 2 {
		t.Errorf("%q, %v", got, names(t, dir))
	}
}

// Another machine in the same folder whose clock is ahead sweeps away what is
// just being written: it is written again.
func TestSaveWhileAnotherSweeps(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "boat.plan.json")
	write(t, path, []byte("old"))
	for _, c := range []struct {
		times int
		want  string
	}{{1, "new"}, {2, "new"}, {99, "old"}} {
		write(t, path, []byte("old"))
		n := 0
		err := save(watched{renaming: func(string) {
			if n++; n <= c.times && Sweep(path, time.Now().Add(time.Hour)) != 1 {
				t.Error("nothing to sweep")
			}
		}}, path, []byte("new"))
		if (err != nil) != (c.want == "old") || err != nil && !strings.Contains(err.Error(), "was not saved: the file that was written is gone") {
			t.Errorf("swept %d times: %v", c.times, err)
		}
		if got, _ := os.ReadFile(path); string(got) != c.want {
			t.Errorf("swept %d times: %q", c.times, got)
		}
	}
	if got := names(t, dir); !slices.Equal(got, []string{"boat.plan.json"}) {
		t.Errorf("left behind: %v", got)
	}
}

// The clock is set back, or stood still before 1970: what was left behind then is
// known for what it is, is not swept while it may be of now, and is later.
func TestSweepWhenTheClockJumps(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "boat.plan.json")
	now := time.Now()
	for i, age := range []time.Duration{-10 * 365 * 24 * time.Hour, -time.Hour, 0, 30 * time.Second, 2 * time.Minute} {
		temp := filepath.Join(dir, fmt.Sprintf(".halflid-7-%d-%x.tmp", i, uint64(now.Add(-age).UnixNano())))
		write(t, temp, []byte("half"))
		if err := os.Chtimes(temp, now, now.Add(-age)); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		at    time.Time
		swept int
	}{{now, 1}, {now.Add(-365 * 24 * time.Hour), 0}, {now.Add(2 * time.Hour), 3}, {now.Add(11 * 365 * 24 * time.Hour), 1}} {
		if n := Sweep(path, c.at); n != c.swept {
			t.Errorf("at %v: %d swept, want %d", c.at, n, c.swept)
		}
	}
	if before := time.Unix(-5, 7); !isTemp(fmt.Sprintf("%s1-2-%x.tmp", tempStem, uint64(before.UnixNano()))) {
		t.Error("a file of before 1970 is not known")
	}
}

// A network folder without locks: the painter works on, is told, and nothing is
// left there.
func TestLockWhereTheSystemHasNone(t *testing.T) {
	for _, cause := range []error{syscall.ENOLCK, syscall.ENOTSUP, syscall.EOPNOTSUPP, syscall.ENOSYS, syscall.EINVAL} {
		dir := t.TempDir()
		path := filepath.Join(dir, "boat.plan.json")
		l, err := takeLock(path, func(*os.File) error { return lockError(fmt.Errorf("somewhere: %w", cause)) })
		if err != nil || l == nil || !strings.Contains(l.Note, "a second window would not be told that boat.plan.json is open here (no locks here)") {
			t.Fatalf("%v: %+v, %v", cause, l, err)
		}
		if err := Save(path, []byte("{}")); err != nil {
			t.Errorf("%v: %v", cause, err)
		}
		l.Release()
		l.Release()
		if got := names(t, dir); !slices.Equal(got, []string{"boat.plan.json"}) {
			t.Errorf("%v: left behind %v", cause, got)
		}
	}
	for cause, want := range map[error]error{nil: nil, syscall.EWOULDBLOCK: ErrTaken, syscall.EIO: syscall.EIO, syscall.EACCES: syscall.EACCES} {
		if got := lockError(cause); !errors.Is(got, want) {
			t.Errorf("%v means %v, want %v", cause, got, want)
		}
	}
	// Anything else that goes wrong with a lock stops nobody either.
	l, err := takeLock(filepath.Join(t.TempDir(), "boat.plan.json"), func(*os.File) error { return lockError(syscall.EIO) })
	if err != nil || l.Note == "" {
		t.Errorf("%+v, %v", l, err)
	}
}

// A file of hers that is linked to where the lock goes is locked but not written.
func TestLockWritesIntoNoOtherFile(t *testing.T) {
	dir := t.TempDir()
	path, hers := filepath.Join(dir, "boat.plan.json"), filepath.Join(dir, "hers")
	write(t, hers, []byte("hers"))
	if err := os.Link(hers, lockPath(path)); err != nil {
		t.Skip("no second names here")
	}
	l, err := TakeLock(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := TakeLock(path); !errors.Is(err, ErrTaken) {
		t.Errorf("a second window: %v", err)
	}
	l.Release()
	if got, _ := os.ReadFile(hers); string(got) != "hers" {
		t.Errorf("written into: %q", got)
	}
}

// A pipe, a device or a folder in the plan's place holds up nothing.
func TestLoadOfWhatIsNoFile(t *testing.T) {
	dir := t.TempDir()
	pipe, link := filepath.Join(dir, "a.plan.json"), filepath.Join(dir, "b.plan.json")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip("no pipes here")
	}
	if err := os.Symlink("/dev/zero", link); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{pipe, link, dir} {
		if _, err := Load(path); !errors.Is(err, ErrNotFile) {
			t.Errorf("%s: %v", path, err)
		}
		if StampAt(path) != (Stamp{}) {
			t.Errorf("%s has a stamp", path)
		}
	}
	// Even if it comes between a look and the opening.
	if f, err := openNow(pipe); err == nil {
		f.Close()
	}
}
