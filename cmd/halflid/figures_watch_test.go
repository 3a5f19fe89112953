package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
)

// The window of the figures, and the rows of text below the picture in it.
const (
	figureCols, figureRows = 200, 60
	figureText             = 3
)

// still is how long nothing may arrive before a frame counts as complete.
const still = 60 * time.Millisecond

// arrival is what one read of the terminal gave, and when.
type arrival struct {
	at   time.Time
	data []byte
}

// watched is the program in a pseudo-terminal whose every byte is timed. Nothing
// looks at the bytes while they arrive, since that would slow the program down:
// see catchUp.
type watched struct {
	t     testing.TB
	cmd   *exec.Cmd
	tty   *os.File
	begun time.Time
	done  chan struct{}

	mu   sync.Mutex
	got  []arrival
	last time.Time

	emu  *vt.Emulator
	seen int // arrivals that emu and rows have been shown
	rows rowFollower
}

// watchProgram runs a program, built beforehand, in a terminal.
func watchProgram(t testing.TB, binary, dir string, args ...string) *watched {
	t.Helper()
	w := &watched{t: t, done: make(chan struct{}), emu: vt.NewEmulator(figureCols, figureRows)}
	w.cmd = exec.Command(binary, args...)
	w.cmd.Dir = dir
	w.cmd.Env = append(os.Environ(), "TERM=xterm-256color", "COLORTERM=truecolor", "NO_COLOR=",
		"XDG_STATE_HOME="+filepath.Join(dir, "state"))
	w.begun = time.Now()
	tty, err := pty.StartWithSize(w.cmd, &pty.Winsize{Cols: figureCols, Rows: figureRows})
	if err != nil {
		t.Fatal(err)
	}
	w.tty = polled(t, tty)
	go func() { _, _ = io.Copy(io.Discard, w.emu) }() // answers come from read, at once
	go w.read()
	return w
}

func (w *watched) read() {
	defer close(w.done)
	const question = "\x1b[c" // what terminal this is; it may come in two reads
	buf := make([]byte, 1<<16)
	var tail []byte
	for {
		n, err := w.tty.Read(buf)
		now := time.Now()
		if n > 0 {
			w.mu.Lock()
			w.got = append(w.got, arrival{now, bytes.Clone(buf[:n])})
			w.last = now
			w.mu.Unlock()
			tail = append(tail, buf[:n]...)
			for range bytes.Count(tail, []byte(question)) {
				_, _ = w.tty.WriteString("\x1b[?62;22c")
			}
			if i := bytes.LastIndex(tail, []byte(question)); i >= 0 {
				tail = tail[i+len(question):]
			}
			tail = append([]byte(nil), tail[max(0, len(tail)-len(question)+1):]...)
		}
		if err != nil {
			return
		}
	}
}

// quits ends the program by its key and waits for it.
func (w *watched) quits() {
	w.t.Helper()
	_, _ = w.tty.WriteString("q")
	if err := w.cmd.Wait(); err != nil {
		w.t.Errorf("the program ended with %v", err)
	}
	_ = w.tty.Close()
	<-w.done
	_ = w.emu.Close()
}

// settles waits until something has arrived after since and then nothing for a
// while.
func (w *watched) settles(since time.Time) {
	w.t.Helper()
	for deadline := time.Now().Add(20 * time.Second); ; {
		w.mu.Lock()
		last := w.last
		w.mu.Unlock()
		if last.After(since) && time.Since(last) > still {
			return
		}
		if time.Now().After(deadline) {
			w.t.Fatalf("nothing came; the screen shows:\n%s", text(w.emu))
		}
		time.Sleep(2 * time.Millisecond)
	}
}

// frame is what came for one key.
type frame struct {
	bytes         int
	picture, text time.Duration // from the key to the last byte of either; 0: none came
}

// whole is the time to the last byte of all.
func (f frame) whole() time.Duration { return max(f.picture, f.text) }

// catchUp shows the emulator what has arrived since the last time; since is when
// the key was pressed.
func (w *watched) catchUp(since time.Time, each func(arrival)) frame {
	w.mu.Lock()
	news := w.got[w.seen:len(w.got):len(w.got)]
	w.seen = len(w.got)
	w.mu.Unlock()
	var f frame
	for _, a := range news {
		f.bytes += len(a.data)
		picture, text := w.rows.follow(a.data)
		if picture {
			f.picture = a.at.Sub(since)
		}
		if text {
			f.text = a.at.Sub(since)
		}
		_, _ = w.emu.Write(a.data)
		if each != nil {
			each(a)
		}
	}
	return f
}

// press types a key and returns what came for it.
func (w *watched) press(key string) frame {
	w.t.Helper()
	pressed := time.Now()
	if _, err := w.tty.WriteString(key); err != nil {
		w.t.Fatal(err)
	}
	w.settles(pressed)
	return w.catchUp(pressed, nil)
}

// opens waits until the photo is open and its picture complete.
func (w *watched) opens() {
	w.t.Helper()
	for deadline := time.Now().Add(30 * time.Second); ; {
		w.settles(w.begun)
		w.catchUp(w.begun, nil)
		if s := text(w.emu); !strings.Contains(s, "opening") && strings.Contains(s, "whole photo") {
			return
		}
		if time.Now().After(deadline) {
			w.t.Fatalf("the photo does not open; the screen shows:\n%s", text(w.emu))
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// resident returns a line of the system's figures for the process in MB, and
// whether there is one.
func (w *watched) resident(name string) (float64, bool) {
	data, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", w.cmd.Process.Pid))
	if err != nil {
		return 0, false
	}
	for _, l := range strings.Split(string(data), "\n") {
		if f := strings.Fields(l); len(f) == 3 && f[0] == name+":" {
			kb, err := strconv.Atoi(f[1])
			return float64(kb) * 1024 / 1e6, err == nil
		}
	}
	return 0, false
}

// processor returns the processor time that the program has used, as the system
// counts it in hundredths of a second, and whether it says so.
func (w *watched) processor() (time.Duration, bool) {
	data, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", w.cmd.Process.Pid))
	if err != nil {
		return 0, false
	}
	f := strings.Fields(string(data[bytes.LastIndexByte(data, ')')+1:]))
	if len(f) < 13 {
		return 0, false
	}
	user, err := strconv.Atoi(f[11])
	system, too := strconv.Atoi(f[12])
	return time.Duration(user+system) * 10 * time.Millisecond, err == nil && too == nil
}
