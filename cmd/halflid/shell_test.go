package main

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
)

// session makes a command the first of a session whose terminal is its input.
func session() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setsid: true, Setctty: true} }

// startCommand runs any command in a terminal of w by h cells.
func startCommand(t *testing.T, cmd *exec.Cmd, w, h int) *terminal {
	t.Helper()
	term := &terminal{t: t, cmd: cmd, emu: vt.NewEmulator(w, h), done: make(chan struct{})}
	tty, err := pty.StartWithSize(cmd, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)})
	if err != nil {
		t.Fatal(err)
	}
	term.tty = polled(t, tty)
	go func() { _, _ = io.Copy(term.tty, term.emu) }()
	go term.read()
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = term.tty.Close()
		<-term.done
		_ = term.emu.InputPipe().(io.Closer).Close()
	})
	return term
}

// shell is halflid run by a shell that then says how it ended, with what, and
// what has been typed into it by then.
type shell struct {
	*terminal
	dir string
}

// startShell runs halflid from a shell that waits for it.
func startShell(t *testing.T, dir string, args ...string) *shell {
	t.Helper()
	line := "sh -c 'echo $$ >\"$0\"; exec \"$@\"' " + quoted(filepath.Join(dir, "pid")) + " " + programWords(t, args...)
	cmd := program(t, dir)
	sh := exec.Command("sh", "-c", "stty -a; echo; echo begin; "+thenTyped(line)+"; stty -a; echo end")
	sh.Dir, sh.Env = dir, cmd.Env
	return &shell{terminal: startCommand(t, sh, 100, 30), dir: dir}
}

// programWords is the program with args as words of a shell.
func programWords(t testing.TB, args ...string) string {
	t.Helper()
	self, err := filepath.Abs(os.Args[0])
	if err != nil {
		t.Fatal(err)
	}
	words := []string{quoted(self)}
	for _, a := range args {
		words = append(words, quoted(a))
	}
	return strings.Join(words, " ")
}

// pid returns the process of halflid itself.
func (s *shell) pid() int {
	s.t.Helper()
	data, err := os.ReadFile(filepath.Join(s.dir, "pid"))
	if err != nil {
		s.t.Fatal(err)
	}
	n, err := strconv.Atoi(strings.TrimSpace(string(data)))
	if err != nil {
		s.t.Fatal(err)
	}
	return n
}

// over waits for the end and fails unless halflid ended with that code, nothing
// was typed into the shell, and the terminal is as it was: its modes, the main
// screen, the cursor. It returns what was written after that.
func (s *shell) over(code int) string {
	s.t.Helper()
	s.shows("code " + strconv.Itoa(code) + ", typed []")
	s.ends()
	s.clean()
	s.mu.Lock()
	raw := strings.ReplaceAll(string(s.raw), "\r", "")
	s.mu.Unlock()
	before, _, _ := strings.Cut(raw, "\n\nbegin")
	_, after, _ := strings.Cut(raw, "typed []\n")
	after, _, _ = strings.Cut(after, "\nend")
	if before != after || !strings.Contains(before, "icanon") {
		s.t.Errorf("the terminal's modes were\n%s\nand are\n%s", before, after)
	}
	return raw[strings.LastIndex(raw, "\x1b[?1049l")+1:]
}

// signal sends one to halflid, not to the shell.
func (s *shell) signal(sig syscall.Signal) {
	s.t.Helper()
	if err := syscall.Kill(s.pid(), sig); err != nil {
		s.t.Fatal(err)
	}
}

// eventually waits for ok.
func eventually(t *testing.T, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); !ok(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("waited in vain for %s", what)
		}
	}
}
