package previews

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// DefaultRoom is how many bytes a Store keeps at most: some three thousand
// photographs with plans.
const DefaultRoom = 64 << 20

// Dir returns the folder for small pictures: halflid/previews in the user's cache
// folder. It makes no folder. Without a home there is none, and an error.
func Dir() (string, error) {
	dir, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, "halflid", "previews"), nil
}

// Store keeps small pictures as files of one folder, for the user alone. It may
// lose any of them at any time: whatever is missing, cut short or damaged is as
// if it had never been kept. Several programs may use one folder at once. All
// methods may be called from any goroutine.
type Store struct {
	dir  string // "": nothing is kept
	room int64
	now  func() time.Time

	mu    sync.Mutex
	known bool  // whether used was counted
	used  int64 // bytes in the folder, as far as this program knows
}

// NewStore returns a store in dir that keeps at most room bytes; those that were
// not used for longest go first. An empty dir is a store that keeps nothing, and
// so does a folder that cannot be made or written.
func NewStore(dir string, room int64) *Store {
	return &Store{dir: dir, room: room, now: time.Now}
}

// mark begins every file. The number changes when pictures are made in another
// way, so that older ones are made anew.
const mark = "halflid small picture 1\n"

// ext ends the name of every file; half is how a file is named while it is written.
const (
	ext  = ".small"
	half = ".half-"
)

// usedAgain is how old a file's date must be to be renewed when it is read.
const usedAgain = time.Hour

// left is how old a half written file must be to count as left behind.
const left = time.Hour

// get returns what was kept under a name; nil if there is nothing sound.
func (s *Store) get(name string) []byte {
	if s.dir == "" {
		return nil
	}
	path := filepath.Join(s.dir, name+ext)
	info, err := os.Lstat(path)
	if err != nil || !info.Mode().IsRegular() || info.Size() > s.room {
		return nil
	}
	all, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	data, ok := sound(all)
	if !ok {
		_ = os.Remove(path)
		return nil
	}
	if now := s.now(); now.Sub(info.ModTime()) > usedAgain {
		_ = os.Chtimes(path, now, now)
	}
	return data
}

// sound returns what a file holds if it is whole.
func sound(all []byte) ([]byte, bool) {
	rest, ok := bytes.CutPrefix(all, []byte(mark))
	if !ok || len(rest) < sha256.Size {
		return nil, false
	}
	sum := sha256.Sum256(rest[sha256.Size:])
	return rest[sha256.Size:], bytes.Equal(sum[:], rest[:sha256.Size])
}

// put keeps data under a name, whole or not at all.
func (s *Store) put(name string, data []byte) {
	size := int64(len(mark) + sha256.Size + len(data))
	if s.dir == "" || size > s.room {
		return
	}
	sum := sha256.Sum256(data)
	if err := s.write(name+ext, slices.Concat([]byte(mark), sum[:], data)); err != nil {
		return // a full disk, a folder that cannot be written: it is made again next time
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.used += size
	if !s.known || s.used > s.room {
		s.tidy()
	}
}

func (s *Store) write(name string, all []byte) error {
	if err := os.MkdirAll(s.dir, 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(s.dir, half+"*")
	if err != nil {
		return err
	}
	_, err = f.Write(all)
	err = cmp.Or(err, f.Close())
	if err == nil {
		err = os.Rename(f.Name(), filepath.Join(s.dir, name))
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
	return err
}

// tidy counts what lies in the folder and, if it is more than there is room for,
// takes away the files that were not used for longest until a tenth of the room
// is free. It touches nothing but its own files.
func (s *Store) tidy() {
	type kept struct {
		name string
		size int64
		used time.Time
	}
	entries, err := os.ReadDir(s.dir)
	if err != nil {
		return
	}
	var files []kept
	s.known, s.used = true, 0
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() {
			continue
		}
		switch {
		case strings.HasPrefix(e.Name(), half):
			if s.now().Sub(info.ModTime()) > left {
				_ = os.Remove(filepath.Join(s.dir, e.Name()))
			}
		case strings.HasSuffix(e.Name(), ext):
			files = append(files, kept{e.Name(), info.Size(), info.ModTime()})
			s.used += info.Size()
		}
	}
	if s.used <= s.room {
		return
	}
	slices.SortFunc(files, func(a, b kept) int {
		return cmp.Or(a.used.Compare(b.used), cmp.Compare(a.name, b.name))
	})
	for _, f := range files {
		if s.used <= s.room-s.room/10 {
			return
		}
		if err := os.Remove(filepath.Join(s.dir, f.name)); err == nil || errors.Is(err, fs.ErrNotExist) {
			s.used -= f.size
		}
	}
}
