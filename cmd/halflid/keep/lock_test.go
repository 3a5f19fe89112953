package keep

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
)

func TestTwoLocks(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "made")
	path := filepath.Join(dir, "boat.plan.json")
	one, err := TakeLock(path)
	if err != nil || one.Note != "" {
		t.Fatalf("%+v, %v", one, err)
	}
	if two, err := TakeLock(path); two != nil || !errors.Is(err, ErrTaken) || !strings.Contains(err.Error(), "boat.plan.json") {
		t.Errorf("a second window: %+v, %v", two, err)
	}
	other, err := TakeLock(filepath.Join(dir, "hull.plan.json"))
	if err != nil {
		t.Errorf("another plan: %v", err)
	}
	other.Release()
	// Saving puts a new file in the plan's place and must not free the lock.
	if err := Save(path, []byte("{}")); err != nil {
		t.Fatal(err)
	}
	if _, err := TakeLock(path); !errors.Is(err, ErrTaken) {
		t.Errorf("after a save: %v", err)
	}
	one.Release()
	one.Release()
	if got := names(t, dir); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
	again, err := TakeLock(path)
	if err != nil {
		t.Fatalf("after release: %v", err)
	}
	one.Release() // an old release takes nothing from the new lock
	if _, err := TakeLock(path); !errors.Is(err, ErrTaken) {
		t.Errorf("released twice: %v", err)
	}
	again.Release()
	(*Lock)(nil).Release()
}

// Of many that take and release at once, never two hold the lock.
func TestLockIsHeldByOne(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boat.plan.json")
	var holders, taken atomic.Int32
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 300 {
				l, err := TakeLock(path)
				if errors.Is(err, ErrTaken) {
					continue
				}
				if err != nil || l.Note != "" {
					t.Errorf("%+v, %v", l, err)
					return
				}
				if n := holders.Add(1); n != 1 {
					t.Errorf("%d hold the lock", n)
				}
				taken.Add(1)
				for range 20 { // let the others try
					runtime.Gosched()
				}
				holders.Add(-1)
				l.Release()
			}
		})
	}
	wg.Wait()
	if taken.Load() == 0 {
		t.Error("nobody got the lock")
	}
}

func TestLockOfADeadProcess(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boat.plan.json")
	write(t, lockPath(path), []byte("1 elsewhere\n"))
	l, err := TakeLock(path)
	if err != nil || l.Note != "" {
		t.Fatalf("%+v, %v", l, err)
	}
	if text, _ := os.ReadFile(lockPath(path)); strings.Contains(string(text), "elsewhere") {
		t.Errorf("still signed %q", text)
	}
	l.Release()
}

func TestLockWhereThereIsNone(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "boat.plan.json")
	hers := filepath.Join(dir, "hers")
	write(t, hers, []byte("hers"))
	if err := os.Symlink(hers, lockPath(path)); err != nil {
		t.Skip("no links here")
	}
	paths := []string{path, filepath.Join(hers, "boat.plan.json")}
	if closed, ok := unwritable(t); ok {
		paths = append(paths, filepath.Join(closed, "boat.plan.json"))
	}
	for _, path := range paths {
		l, err := TakeLock(path)
		if err != nil || !strings.Contains(l.Note, "a second window would not be told") {
			t.Errorf("%s: %+v, %v", path, l, err)
		}
		l.Release()
	}
	if got, _ := os.ReadFile(hers); string(got) != "hers" {
		t.Error("a lock was written through a link")
	}
}

func TestOwnerSaysNothingOdd(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "12 quay\n": " (process 12 on quay)", "12": " (process 12)", "12 \x1b[31m": " (process 12)", "x y": "",
	} {
		path := filepath.Join(t.TempDir(), "lock")
		write(t, path, []byte(text))
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		if got := owner(f); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
		f.Close()
	}
}
