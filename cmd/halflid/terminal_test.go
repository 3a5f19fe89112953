package main

import (
	"fmt"
	"image/color"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
)

// The tests that need the program as a process run this test binary again with
// this variable set; so they need no separate build, and -race reaches them.
const asProgram = "HALFLID_TEST_AS_PROGRAM"

// panicAt names the place where that program panics from its second key on.
const panicAt = "HALFLID_TEST_PANIC"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		if at := os.Getenv(panicAt); at != "" {
			seen := 0
			var mu sync.Mutex
			fault = func(place string) {
				mu.Lock()
				defer mu.Unlock()
				if place == "update" {
					seen++ // keys pressed
				}
				if place == at && seen >= 2 {
					panic("asked for by a test in " + place)
				}
			}
		}
		os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	os.Exit(m.Run())
}

// program returns a command that runs halflid with args, in a folder and with a
// state folder of its own.
func program(t testing.TB, dir string, args ...string) *exec.Cmd {
	t.Helper()
	cmd := exec.Command(os.Args[0], args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), asProgram+"=1", "TERM=xterm-256color", "COLORTERM=truecolor", "NO_COLOR=",
		"XDG_STATE_HOME="+filepath.Join(dir, "state"))
	return cmd
}

// terminal is the program in a pseudo-terminal with an emulator that shows what
// a painter would see.
type terminal struct {
	t    testing.TB
	cmd  *exec.Cmd
	tty  *os.File
	done chan struct{} // closed when the program's output ends

	mu    sync.Mutex
	emu   *vt.Emulator
	bytes int64
	last  time.Time // of the last byte, either way
	raw   []byte    // everything that was written, for checks of the stream
}

// start runs halflid in a terminal of w by h cells.
func start(t testing.TB, w, h int, dir string, args ...string) *terminal {
	t.Helper()
	term := &terminal{t: t, cmd: program(t, dir, args...), emu: vt.NewEmulator(w, h), done: make(chan struct{})}
	tty, err := pty.StartWithSize(term.cmd, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)})
	if err != nil {
		t.Fatal(err)
	}
	term.tty = polled(t, tty)
	go func() { // the emulator's answers to the program's questions
		_, _ = io.Copy(term.tty, term.emu)
	}()
	go term.read()
	t.Cleanup(func() {
		_ = term.cmd.Process.Kill()
		_ = term.tty.Close()
		<-term.done
		_ = term.emu.InputPipe().(io.Closer).Close() // ends its answers
	})
	return term
}

// polled returns a file for the same terminal that closes at once even while it
// is being read.
func polled(t testing.TB, tty *os.File) *os.File {
	t.Helper()
	fd, err := syscall.Dup(int(tty.Fd()))
	if err == nil {
		syscall.CloseOnExec(fd)
		err = syscall.SetNonblock(fd, true)
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := tty.Close(); err != nil {
		t.Fatal(err)
	}
	return os.NewFile(uintptr(fd), "terminal")
}

func (t *terminal) read() {
	defer close(t.done)
	buf := make([]byte, 1<<16)
	for {
		n, err := t.tty.Read(buf)
		if n > 0 {
			t.mu.Lock()
			t.bytes += int64(n)
			t.last = time.Now()
			t.raw = append(t.raw, buf[:n]...)
			_, _ = t.emu.Write(buf[:n])
			t.mu.Unlock()
		}
		if err != nil {
			return
		}
	}
}

// keys types: each argument is written at once, as a terminal would send it.
func (t *terminal) keys(keys ...string) {
	t.t.Helper()
	for _, k := range keys {
		if _, err := t.tty.WriteString(k); err != nil {
			t.t.Fatalf("typing %q: %v", k, err)
		}
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.last = time.Now()
}

// screen returns the text of the screen, one line a row.
func (t *terminal) screen() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return text(t.emu)
}

func text(emu *vt.Emulator) string {
	var b strings.Builder
	for y := range emu.Height() {
		for x := 0; x < emu.Width(); {
			c := emu.CellAt(x, y)
			if c == nil || c.Width == 0 {
				b.WriteByte(' ')
				x++
				continue
			}
			b.WriteString(c.Content)
			x += max(1, c.Width)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// until waits for the screen's text to satisfy ok and returns it; the test fails
// after ten seconds, with what was wanted and what was seen.
func (t *terminal) until(what string, ok func(screen string) bool) string {
	t.t.Helper()
	deadline := time.Now().Add(20 * time.Second)
	for {
		s := t.screen()
		if ok(s) {
			return s
		}
		if time.Now().After(deadline) {
			t.t.Fatalf("waited in vain for %s; the screen shows:\n%s", what, s)
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// shows waits for words on the screen.
func (t *terminal) shows(words string) string {
	t.t.Helper()
	return t.until(fmt.Sprintf("%q", words), func(s string) bool { return strings.Contains(s, words) })
}

// quiet waits until nothing was typed or written for a while, longer than keys have
// to rest until the plan is measured, and nothing is said to be measured.
func (t *terminal) quiet() {
	for {
		t.mu.Lock()
		since := time.Since(t.last)
		t.mu.Unlock()
		if since > 300*time.Millisecond && (since > 5*time.Second || !t.measures()) {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// measures reports whether the line of values ends with the mark of figures that
// are to come.
func (t *terminal) measures() bool {
	rows := strings.Split(t.screen(), "\n")
	return len(rows) > 3 && strings.HasSuffix(strings.TrimRight(rows[len(rows)-4], " "), " …")
}

// untilColours waits until the picture rows show just n colours. The words on
// the screen change at once, the picture when it is computed.
func (t *terminal) untilColours(rows, n int) {
	t.t.Helper()
	t.until(fmt.Sprintf("%d colours", n), func(string) bool { return len(t.colours(rows)) == n })
}

// colours counts the different colours of the half blocks in the picture rows.
func (t *terminal) colours(rows int) map[string]int {
	t.mu.Lock()
	defer t.mu.Unlock()
	seen := map[string]int{}
	for y := range rows {
		for x := range t.emu.Width() {
			c := t.emu.CellAt(x, y)
			if c == nil {
				continue
			}
			switch c.Content {
			case "▀", "▄":
				seen[hex(c.Style.Fg)]++
				seen[hex(c.Style.Bg)]++
			case "█":
				seen[hex(c.Style.Fg)] += 2
			case " ", "":
				seen[hex(c.Style.Bg)] += 2
			}
		}
	}
	return seen
}

func hex(c color.Color) string {
	if c == nil {
		return "default"
	}
	r, g, b, _ := c.RGBA()
	return fmt.Sprintf("%02x%02x%02x", r>>8, g>>8, b>>8)
}

// ends waits for the program to end and returns its exit code.
func (t *terminal) ends() int {
	t.t.Helper()
	over := make(chan error, 1)
	go func() { over <- t.cmd.Wait() }()
	select {
	case <-over:
		<-t.done
		return t.cmd.ProcessState.ExitCode()
	case <-time.After(20 * time.Second):
		t.t.Fatalf("the program did not end; the screen shows:\n%s", t.screen())
		return -1
	}
}

// clean fails the test unless the terminal is as it was found: main screen,
// cursor shown, no modes left on.
func (t *terminal) clean() {
	t.t.Helper()
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.emu.IsAltScreen() {
		t.t.Error("the alternate screen was left on")
	}
	if t.emu.CursorHidden() {
		t.t.Error("the cursor was left hidden")
	}
	for _, mode := range []string{"?2004", "?1002", "?1003", "?1006", "?1004"} {
		on, off := strings.LastIndex(string(t.raw), "\x1b["+mode+"h"), strings.LastIndex(string(t.raw), "\x1b["+mode+"l")
		if on > off {
			t.t.Errorf("mode %s was left on", mode)
		}
	}
}
