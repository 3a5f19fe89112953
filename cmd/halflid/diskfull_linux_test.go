package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// tiny is a folder on a disk of its own with next to no room.
func tiny(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := unix.Mount("none", dir, "tmpfs", 0, "size=256k"); err != nil {
		missing(t, "no small disk can be made here: "+err.Error())
	}
	t.Cleanup(func() { _ = unix.Unmount(dir, unix.MNT_DETACH) })
	return dir
}

// fillUp leaves no room on the disk of dir and returns what gives it back.
func fillUp(t *testing.T, dir string) (free func()) {
	t.Helper()
	path := filepath.Join(dir, "full")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for size := 4096; size > 0; size /= 2 {
		for err = nil; err == nil; {
			_, err = f.Write(make([]byte, size))
		}
	}
	return func() { _ = os.Remove(path) }
}

// A full disk: it is said, the studio goes on, and what could not be saved is
// once there is room; if there is none at the end, that is said and the exit
// code tells.
func TestDiskFull(t *testing.T) {
	heavy(t)
	for _, room := range []bool{true, false} {
		name := map[bool]string{true: "room again", false: "no room"}[room]
		t.Run(name, func(t *testing.T) {
			dir := tiny(t)
			file := write(t, dir, "quay.png", encodePNG(t, quayPicture(400, 300)))
			s := startShell(t, dir, file)
			s.shows("whole photo")
			free := fillUp(t, dir)
			s.keys(".")
			s.shows("disk is full")
			s.keys(".")
			s.shows("squint 2 %")
			if room {
				free()
				s.keys("q")
				s.over(exitDone)
				if got := keptSquint(t, dir); got != 2 {
					t.Errorf("kept squint %g", got)
				}
				return
			}
			s.keys("q")
			if words := s.over(exitFailed); !strings.Contains(words, "disk is full") {
				t.Errorf("at the end it is not said that the disk is full:\n%s", words)
			}
			if left, _ := filepath.Glob(filepath.Join(dir, "*plan*")); len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}

// The same for whoever may not make a disk: files may not grow.
func TestNoFileMayGrow(t *testing.T) {
	heavy(t)
	dir, file := quay(t)
	s := startShell(t, dir, file)
	s.shows("whole photo")
	if err := unix.Prlimit(s.pid(), unix.RLIMIT_FSIZE, &unix.Rlimit{Cur: 0, Max: 0}, nil); err != nil {
		missing(t, "another process cannot be limited here: "+err.Error())
	}
	s.keys(".")
	s.shows("too large")
	s.keys("q")
	if words := s.over(exitFailed); !strings.Contains(words, "too large") {
		t.Errorf("at the end it is not said that nothing is saved:\n%s", words)
	}
}
