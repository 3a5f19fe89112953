package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
)

// How long nothing comes from a program that has nothing more to show, on this
// machine and over a slow line.
const (
	here   = 250 * time.Millisecond
	yonder = 600 * time.Millisecond
)

// far is a program in a terminal that answers questions at once and notes when
// each byte came. It is looked at afterwards, so as not to slow anything down.
type far struct {
	t    *testing.T
	cmd  *exec.Cmd
	tty  *os.File
	w, h int
	done chan struct{}

	mu   sync.Mutex
	got  []arrival
	tail string // the last bytes, for a question cut in two
}

func openFar(t *testing.T, cmd *exec.Cmd, w, h int) *far {
	t.Helper()
	f := &far{t: t, cmd: cmd, w: w, h: h, done: make(chan struct{})}
	tty, err := pty.StartWithSize(cmd, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)})
	if err != nil {
		t.Fatal(err)
	}
	f.tty = polled(t, tty)
	go f.read()
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = f.tty.Close()
		<-f.done
	})
	return f
}

func (f *far) read() {
	defer close(f.done)
	buf := make([]byte, 1<<16)
	for {
		n, err := f.tty.Read(buf)
		if n > 0 {
			f.mu.Lock()
			f.got = append(f.got, arrival{time.Now(), bytes.Clone(buf[:n])})
			s := f.tail + string(buf[:n])
			questions := strings.Count(s, "\x1b[c")
			f.tail = s[max(len(s)-2, 0):]
			f.mu.Unlock()
			if questions > 0 {
				_, _ = f.tty.WriteString(strings.Repeat("\x1b[?62;22c", questions))
			}
		}
		if err != nil {
			return
		}
	}
}

func (f *far) types(s string) {
	f.t.Helper()
	if _, err := f.tty.WriteString(s); err != nil {
		f.t.Fatal(err)
	}
}

// rests waits until something came after since and then nothing for a while.
func (f *far) rests(since time.Time, still time.Duration) {
	f.t.Helper()
	for end := time.Now().Add(30 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		f.mu.Lock()
		var last time.Time
		if len(f.got) > 0 {
			last = f.got[len(f.got)-1].at
		}
		f.mu.Unlock()
		if last.After(since) && time.Since(last) > still {
			return
		}
		if time.Now().After(end) {
			f.t.Fatalf("nothing came; the screen shows:\n%s", text(f.screen()))
		}
	}
}

// screen returns what is shown now.
func (f *far) screen() *vt.Emulator {
	emu := silentEmulator(f.w, f.h)
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, a := range f.got {
		_, _ = emu.Write(a.data)
	}
	return emu
}

// shows waits for words.
func (f *far) shows(words string) {
	f.t.Helper()
	for end := time.Now().Add(30 * time.Second); ; time.Sleep(30 * time.Millisecond) {
		s := text(f.screen())
		if strings.Contains(s, words) {
			return
		}
		if time.Now().After(end) {
			f.t.Fatalf("waited in vain for %q; the screen shows:\n%s", words, s)
		}
	}
}

// silentEmulator is an emulator whose answers go nowhere.
func silentEmulator(w, h int) *vt.Emulator {
	emu := vt.NewEmulator(w, h)
	go func() { _, _ = io.Copy(io.Discard, emu) }()
	return emu
}
