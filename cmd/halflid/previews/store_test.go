package previews

import (
	"bytes"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

func newStore(t *testing.T, room int64) *Store {
	t.Helper()
	return NewStore(filepath.Join(t.TempDir(), "deep", "previews"), room)
}

// held returns how many bytes the store's folder holds, and its files.
func held(t *testing.T, s *Store) (int64, []string) {
	t.Helper()
	entries, err := os.ReadDir(s.dir)
	if err != nil {
		t.Fatal(err)
	}
	var sum int64
	var names []string
	for _, e := range entries {
		info, err := e.Info()
		if err != nil {
			t.Fatal(err)
		}
		sum += info.Size()
		names = append(names, e.Name())
	}
	return sum, names
}

func TestWhatIsKeptComesBack(t *testing.T) {
	s := newStore(t, 1<<20)
	if s.get("a") != nil {
		t.Error("something was there before anything was kept")
	}
	s.put("a", []byte("first"))
	s.put("a", []byte("second"))
	if got := s.get("a"); string(got) != "second" {
		t.Errorf("got %q", got)
	}
	if info, err := os.Stat(s.dir); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the folder: %v %v", info.Mode(), err)
	}
	_, names := held(t, s)
	if len(names) != 1 {
		t.Fatalf("files %v", names)
	}
	if info, err := os.Stat(filepath.Join(s.dir, names[0])); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the file: %v %v", info.Mode(), err)
	}
}

// Every change of a single byte, and every length, is noticed, taken away and
// made good by the next put.
func TestDamagedIsIgnoredAndReplaced(t *testing.T) {
	s := newStore(t, 1<<20)
	data := []byte("a small picture")
	path := filepath.Join(s.dir, "a"+ext)
	s.put("a", data)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	broken := [][]byte{nil}
	for i := range whole {
		one := bytes.Clone(whole)
		one[i] ^= 0x10
		broken = append(broken, one, whole[:i])
	}
	for i, b := range broken {
		if err := os.WriteFile(path, b, 0o600); err != nil {
			t.Fatal(err)
		}
		if got := s.get("a"); got != nil {
			t.Fatalf("case %d: damaged bytes gave %q", i, got)
		}
		if _, err := os.Lstat(path); err == nil {
			t.Fatalf("case %d: the damaged file still lies there", i)
		}
	}
	s.put("a", data)
	if got := s.get("a"); !bytes.Equal(got, data) {
		t.Errorf("after that %q", got)
	}
}

// The folder never holds more than its room, and those used last stay.
func TestOldestUsedGoFirst(t *testing.T) {
	const room = 20_000
	s := newStore(t, room)
	begun := time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	at := begun
	s.now = func() time.Time { return at }
	data := bytes.Repeat([]byte{7}, 900)
	for i := range 100 {
		name := fmt.Sprint(i)
		s.put(name, data)
		day := begun.AddDate(0, 0, i)
		if err := os.Chtimes(filepath.Join(s.dir, name+ext), day, day); err != nil {
			t.Fatal(err)
		}
		at = day
		if i > 5 && s.get("3") == nil { // asked for again and again: its date is new
			t.Fatalf("after %d the one that is used was taken away", i)
		}
		if sum, _ := held(t, s); sum > room {
			t.Fatalf("after %d the folder holds %d bytes, more than %d", i, sum, room)
		}
	}
	if s.get("99") == nil {
		t.Error("the newest is gone")
	}
	if s.get("50") != nil {
		t.Error("an old one is still there")
	}
}

func TestOthersFilesStay(t *testing.T) {
	s := newStore(t, 2000)
	s.put("a", make([]byte, 100))
	for _, n := range []string{"notes.txt", half + "old", half + "new"} {
		if err := os.WriteFile(filepath.Join(s.dir, n), make([]byte, 5000), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	old := time.Now().Add(-2 * left)
	if err := os.Chtimes(filepath.Join(s.dir, half+"old"), old, old); err != nil {
		t.Fatal(err)
	}
	for i := range 40 {
		s.put(fmt.Sprint(i), make([]byte, 300))
	}
	_, names := held(t, s)
	all := strings.Join(names, " ")
	if !strings.Contains(all, "notes.txt") || !strings.Contains(all, half+"new") {
		t.Errorf("taken away what is not its own: %s", all)
	}
	if strings.Contains(all, half+"old") {
		t.Errorf("what was left half written an hour ago still lies there: %s", all)
	}
}

func TestNothingIsKeptWithoutAFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{"", filepath.Join(file, "below")} {
		s := NewStore(dir, 1000)
		s.put("a", []byte("x"))
		if got := s.get("a"); got != nil {
			t.Errorf("in %q: got %q", dir, got)
		}
	}
	s := newStore(t, 100)
	s.put("a", make([]byte, 200)) // more than all the room
	if s.get("a") != nil {
		t.Error("kept more than there is room for")
	}
}

// A link in a picture's place is neither read nor written through.
func TestLinksAreNotFollowed(t *testing.T) {
	s := newStore(t, 1000)
	s.put("a", []byte("x"))
	other := filepath.Join(t.TempDir(), "other")
	whole, err := os.ReadFile(filepath.Join(s.dir, "a"+ext))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(other, whole, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(other, filepath.Join(s.dir, "b"+ext)); err != nil {
		t.Skip(err)
	}
	if got := s.get("b"); got != nil {
		t.Errorf("read %q through a link", got)
	}
	s.put("b", []byte("y"))
	if now, _ := os.ReadFile(other); !bytes.Equal(now, whole) {
		t.Error("written through a link")
	}
	if got := s.get("b"); string(got) != "y" {
		t.Errorf("got %q", got)
	}
}

// Two programs with one folder, several goroutines each: whoever reads gets the
// whole of what someone put there, or nothing.
func TestManyAtOnce(t *testing.T) {
	first := newStore(t, 30_000)
	second := NewStore(first.dir, 30_000)
	data := func(i int) []byte { return bytes.Repeat([]byte{byte(i)}, 500+10*i) }
	var wg sync.WaitGroup
	for g := range 8 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			rnd := rand.New(rand.NewSource(int64(g)))
			s := []*Store{first, second}[g%2]
			for range 200 {
				i := rnd.Intn(60)
				if rnd.Intn(2) == 0 {
					s.put(fmt.Sprint(i), data(i))
				} else if got := s.get(fmt.Sprint(i)); got != nil && !bytes.Equal(got, data(i)) {
					t.Errorf("picture %d came back as %d bytes", i, len(got))
				}
			}
		}()
	}
	wg.Wait()
	_, names := held(t, first)
	for _, n := range names {
		if strings.HasPrefix(n, half) {
			t.Errorf("%s was left half written", n)
		}
	}
}
