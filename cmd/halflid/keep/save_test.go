package keep

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

func TestSave(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "boat.plan.json")
	for _, text := range []string{"one", "", "three", strings.Repeat("four", 1<<18)} {
		if err := Save(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, _ := os.ReadFile(path); string(got) != text {
			t.Errorf("%d bytes, want %d", len(got), len(text))
		}
	}
	if got := names(t, dir); !slices.Equal(got, []string{"boat.plan.json"}) {
		t.Errorf("left behind: %v", got)
	}
}

func TestSaveKeepsTheMode(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boat.plan.json")
	if err := Save(path, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if info, _ := os.Stat(path); info.Mode().Perm()&0o133 != 0 {
		t.Errorf("a new file has mode %v", info.Mode())
	}
	for _, mode := range []fs.FileMode{0o600, 0o664, 0o640, 0o222} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
		if err := Save(path, []byte("again")); err != nil {
			t.Fatal(err)
		}
		if info, _ := os.Stat(path); info.Mode().Perm() != mode {
			t.Errorf("mode %v became %v", mode, info.Mode())
		}
	}
}

func TestSaveRefuses(t *testing.T) {
	dir := t.TempDir()
	target := filepath.Join(dir, "outside.txt")
	write(t, target, []byte("hers"))
	link, hanging, folder, closed := filepath.Join(dir, "a.plan.json"), filepath.Join(dir, "b.plan.json"), filepath.Join(dir, "c.plan.json"), filepath.Join(dir, "d.plan.json")
	for _, err := range []error{os.Symlink(target, link), os.Symlink(filepath.Join(dir, "nowhere"), hanging), os.Mkdir(folder, 0o755), os.WriteFile(closed, []byte("kept"), 0o444)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	before := names(t, dir)
	for path, want := range map[string]error{link: ErrLink, hanging: ErrLink, folder: ErrNotFile, closed: ErrProtected} {
		err := Save(path, []byte("x"))
		if !errors.Is(err, want) || !strings.Contains(err.Error(), path) {
			t.Errorf("%s: %v, want %v", path, err, want)
		}
	}
	if err := Save(filepath.Join(target, "e.plan.json"), nil); err == nil {
		t.Error("saved into a file as if it were a folder")
	}
	if got, _ := os.ReadFile(target); string(got) != "hers" {
		t.Error("written through a link")
	}
	if got, _ := os.ReadFile(closed); string(got) != "kept" {
		t.Error("a protected plan was overwritten")
	}
	if after := names(t, dir); !slices.Equal(after, before) {
		t.Errorf("left behind: %v", after)
	}
}

func TestSaveIntoAClosedFolder(t *testing.T) {
	dir, ok := unwritable(t)
	if !ok {
		t.Skip("every folder can be written here")
	}
	err := Save(filepath.Join(dir, "boat.plan.json"), []byte("x"))
	if err == nil || !strings.Contains(err.Error(), "was not saved") {
		t.Errorf("%v", err)
	}
}

// failing is a disk on which one step fails.
type failing struct {
	disk
	step string
	err  error
}

type failingFile struct {
	file
	failing
}

func (d failing) fail(step string) error {
	if d.step == step {
		return &fs.PathError{Op: step, Path: "somewhere", Err: d.err}
	}
	return nil
}

func (d failing) create(path string, mode fs.FileMode) (file, error) {
	if err := d.fail("create"); err != nil {
		return nil, err
	}
	f, err := d.disk.create(path, mode)
	return failingFile{f, d}, err
}

func (d failing) rename(from, to string) error {
	return errors.Join(d.fail("rename"), orNil(d.step != "rename", func() error { return d.disk.rename(from, to) }))
}

func orNil(do bool, f func() error) error {
	if do {
		return f()
	}
	return nil
}

func (d failing) syncDir(path string) error { return d.fail("folder") }

func (f failingFile) Write(b []byte) (int, error) {
	if err := f.fail("write"); err != nil {
		n, _ := f.file.Write(b[:len(b)/2])
		return n, err
	}
	return f.file.Write(b)
}

func (f failingFile) Chmod(m fs.FileMode) error {
	return errors.Join(f.fail("chmod"), f.file.Chmod(m))
}
func (f failingFile) Sync() error  { return errors.Join(f.fail("sync"), f.file.Sync()) }
func (f failingFile) Close() error { return errors.Join(f.file.Close(), f.fail("close")) }

func TestSaveOnAFailingDisk(t *testing.T) {
	for _, step := range []string{"create", "chmod", "write", "sync", "close", "rename", "folder"} {
		for _, cause := range []error{syscall.ENOSPC, syscall.EDQUOT, syscall.EIO} {
			dir := t.TempDir()
			path := filepath.Join(dir, "boat.plan.json")
			write(t, path, []byte("old"))
			err := save(failing{step: step, err: cause}, path, []byte("new and longer"))
			what := fmt.Sprintf("%s: %v", step, cause)
			want, full := "old", cause != syscall.EIO
			if step == "folder" {
				want, full = "new and longer", false
			}
			if err == nil || errors.Is(err, ErrNoSpace) != full || strings.Contains(err.Error(), "somewhere") || !strings.Contains(err.Error(), path) {
				t.Errorf("%s: %v", what, err)
			}
			if full && !strings.Contains(err.Error(), "the disk is full; make room") {
				t.Errorf("%s: %v", what, err)
			}
			if got, _ := os.ReadFile(path); string(got) != want {
				t.Errorf("%s: the plan holds %q", what, got)
			}
			if got := names(t, dir); len(got) != 1 {
				t.Errorf("%s: left behind %v", what, got)
			}
		}
	}
}

// Readers and writers at once: whoever reads gets one whole text.
func TestSaveConcurrently(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "boat.plan.json")
	text := func(i int) []byte { return bytes.Repeat([]byte{'a' + byte(i)}, 1000+5000*i) }
	if err := Save(path, text(0)); err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for i := range 6 {
		wg.Go(func() {
			for range 15 {
				if err := Save(path, text(i)); err != nil {
					t.Error(err)
				}
			}
		})
		wg.Go(func() {
			for range 60 {
				got, err := os.ReadFile(path)
				if err != nil || len(got) == 0 || !bytes.Equal(got, text(int(got[0]-'a'))) {
					t.Errorf("read %d bytes, %v", len(got), err)
				}
			}
		})
	}
	wg.Wait()
	if got := names(t, dir); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
}

// helperEnv makes the test program save in a loop until it is killed.
const helperEnv = "HALFLID_TEST_SAVES"

func TestMain(m *testing.M) {
	if path := os.Getenv(helperEnv); path != "" {
		saveForever(path)
	}
	os.Exit(m.Run())
}

func saveForever(path string) {
	l, err := TakeLock(path)
	if err != nil || l.Note != "" {
		fmt.Println("no lock:", err)
		os.Exit(1)
	}
	defer l.Release() // never comes to it, but holds on to the lock
	few, many := aFile("boat.jpg", 1), aFile("boat.jpg", 2)
	for range 150 {
		many, _ = many.Keep("", many.Plan)
	}
	texts := [][]byte{few.Text(), many.Text()}
	for i := 0; ; i++ {
		if err := Save(path, texts[i%2]); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		if i == 0 {
			fmt.Println("saving")
		}
	}
}

// A program killed at any moment leaves a whole plan, a free lock, and at most
// files that Sweep knows.
func TestKilledWhileSaving(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	dir := t.TempDir()
	path := filepath.Join(dir, "boat.plan.json")
	kills := 30
	if os.Getenv("HALFLID_HEAVY") == "1" {
		kills = 300
	}
	squints := map[float64]int{}
	for n := range kills {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), helperEnv+"="+path)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		line, err := bufio.NewReader(out).ReadString('\n')
		if line != "saving\n" {
			t.Fatalf("kill %d: the helper says %q, %v", n, line, err)
		}
		if n == 0 {
			if _, err := TakeLock(path); !errors.Is(err, ErrTaken) || !strings.Contains(err.Error(), fmt.Sprint("process ", cmd.Process.Pid)) {
				t.Errorf("beside a running helper: %v", err)
			}
		}
		time.Sleep(time.Duration(r.IntN(4000)) * time.Microsecond)
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		cmd.Wait()
		f, err := Load(path)
		if err != nil {
			t.Fatalf("kill %d: %v", n, err)
		}
		squints[f.Plan.Squint]++
	}
	l, err := TakeLock(path)
	if err != nil || l.Note != "" {
		t.Fatalf("a dead process holds the lock: %v", err)
	}
	l.Release()
	left := len(names(t, dir)) - 1
	if n := Sweep(path, time.Now()); n != 0 {
		t.Errorf("%d files swept that may still be in use", n)
	}
	if n := Sweep(path, time.Now().Add(time.Hour)); n != left {
		t.Errorf("%d files swept of %d", n, left)
	}
	if got := names(t, dir); !slices.Equal(got, []string{"boat.plan.json"}) {
		t.Errorf("left behind: %v", got)
	}
	t.Logf("plans found by squint: %v; unfinished files swept: %d", squints, left)
}

func TestSweepLeavesOtherFiles(t *testing.T) {
	dir := t.TempDir()
	mine := []string{".halflid-.tmp", ".halflid-1-2.tmp", ".halflid-1-2-x.tmp", ".halflid-1-2-3", "halflid-1-2-3.tmp", ".halflid-notes.tmp", "boat.jpg"}
	for _, name := range mine {
		write(t, filepath.Join(dir, name), nil)
	}
	if err := os.Mkdir(filepath.Join(dir, ".halflid-1-2-3.tmp"), 0o755); err != nil {
		t.Fatal(err)
	}
	if n := Sweep(filepath.Join(dir, "boat.plan.json"), time.Now().Add(time.Hour)); n != 0 {
		t.Errorf("%d files of hers swept", n)
	}
	if !isTemp(filepath.Base(tempPath("boat.plan.json"))) {
		t.Error("Sweep does not know what Save makes")
	}
	if n := Sweep(filepath.Join(dir, "none", "boat.plan.json"), time.Now()); n != 0 {
		t.Errorf("%d files of no folder", n)
	}
}
