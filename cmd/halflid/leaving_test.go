package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// Exit codes of the studio: 0 after q and Ctrl+C, 1 after a failure or a mistake
// in the program, 128 and its number after a signal; see README.md.

// However the studio ends: the plan is saved, the terminal is as it was, and the
// shell gets the exit code and no letters of the terminal's answers.
func TestTerminalIsGivenBack(t *testing.T) {
	heavy(t)
	type way struct {
		name  string
		panic string // the place
		do    func(s *shell)
		code  int
		says  string
	}
	types := func(k string) func(*shell) { return func(s *shell) { s.keys(k) } }
	sends := func(sig syscall.Signal) func(*shell) { return func(s *shell) { s.signal(sig) } }
	ways := []way{
		{"q", "", types("q"), exitDone, ""},
		{"Ctrl+C", "", types("\x03"), exitDone, ""},
		{"SIGINT", "", sends(syscall.SIGINT), 130, ""},
		{"SIGTERM", "", sends(syscall.SIGTERM), 143, ""},
		{"SIGHUP", "", sends(syscall.SIGHUP), 129, ""},
		{"SIGQUIT", "", sends(syscall.SIGQUIT), 131, ""},
		{"in the midst of pictures", "", types("......,,,,,,..q"), exitDone, ""},
	}
	for _, place := range []string{"update", "view", "job", "painter"} {
		ways = append(ways, way{"a panic in " + place, place, types("."), exitFailed, "trace-"})
	}
	for _, w := range ways {
		t.Run(w.name, func(t *testing.T) {
			dir, file := quay(t)
			if w.panic != "" {
				t.Setenv(panicAt, w.panic)
			}
			s := startShell(t, dir, file)
			s.shows("whole photo")
			s.keys(".")
			s.shows("squint 1.4 %")
			w.do(s)
			if words := s.over(w.code); !strings.Contains(words, w.says) {
				t.Errorf("%q is not said:\n%s", w.says, words)
			}
			if got := keptSquint(t, dir); got < 1.4 {
				t.Errorf("kept squint %g", got)
			}
			traces, _ := filepath.Glob(filepath.Join(dir, "state", "halflid", "trace-*"))
			if w.panic == "" {
				return
			}
			if len(traces) != 1 || !bytes.Contains(readFileT(t, traces[0]), []byte("asked for by a test in "+w.panic)) {
				t.Errorf("the trace is not in its file: %v", traces)
			}
		})
	}
}

// Ctrl+Z in a shell that controls jobs: the shell has its terminal again, and
// with fg the picture is there as it was, keys and all.
func TestSuspendAndForeground(t *testing.T) {
	bash := needs(t, "bash")["bash"]
	dir, file := quay(t)
	cmd := exec.Command(bash, "--norc", "--noprofile", "-i")
	cmd.Dir = dir
	settings := write(t, dir, "inputrc", []byte("set enable-bracketed-paste off\n")) // a mode of the shell's own
	cmd.Env = append(program(t, dir).Env, "PS1=$ ", "HISTFILE=", "INPUTRC="+settings)
	s := startCommand(t, cmd, 100, 30)
	modes := func(n string) string {
		t.Helper()
		s.keys("clear; stty -a; echo modes' '" + n + "\r")
		words := s.until("the modes", func(w string) bool { return strings.Contains(w, "modes "+n) })
		words, _, _ = strings.Cut(words, "modes "+n)
		return words[strings.LastIndex(words, "speed")+1:] // what stood there before may not be gone yet
	}
	before := modes("first")
	s.keys(programWords(t, file) + "\r")
	s.shows("whole photo")
	s.keys("..3")
	s.shows("plan  6x8")
	s.untilColours(27, 5)
	s.quiet()
	var picture []string
	for y := range 26 {
		for x := range 100 {
			picture = append(picture, s.cell(x, y))
		}
	}
	for i := range 3 {
		s.keys("\x1a")
		s.shows("Stopped")
		s.clean()
		if between := modes(fmt.Sprint("between ", i)); between != before {
			t.Errorf("stopped, the terminal's modes were\n%s\nand are\n%s", before, between)
		}
		s.keys("fg\r")
		s.shows("plan  6x8")
		s.untilColours(27, 5)
		s.quiet()
		for i, want := range picture {
			if got := s.cell(i%100, i/100); got != want {
				t.Fatalf("after fg cell %d,%d is %q, was %q", i%100, i/100, got, want)
			}
		}
	}
	s.keys(".")
	s.shows("squint 2.8 %")
	s.keys("q")
	s.until("the shell", func(string) bool { s.mu.Lock(); defer s.mu.Unlock(); return !s.emu.IsAltScreen() })
	s.keys("echo code $?\r")
	s.shows("code 0")
	if after := modes("last"); after != before {
		t.Errorf("the terminal's modes were\n%s\nand are\n%s", before, after)
	}
	s.keys("exit\r")
	s.ends()
	s.clean()
	if got := keptSquint(t, dir); got != 2.8 {
		t.Errorf("kept squint %g", got)
	}
}

// As the command of an SSH session there is no shell to go back to: Ctrl+Z says
// so and does nothing else. A line that is cut takes the plan nowhere.
func TestOverSSH(t *testing.T) {
	heavy(t)
	server := startSSH(t)
	for _, how := range []string{"", "exec "} {
		dir, file := quay(t)
		line := programLine(t, dir, file)
		if how != "" {
			line = strings.Replace(line, "&& env", "&& exec env", 1)
		}
		s := startCommand(t, server.command(server.addr, line), 100, 30)
		s.shows("whole photo")
		s.keys(".")
		s.shows("squint 1.4 %")
		s.keys("\x1a")
		s.shows("there is no shell here to go back to")
		s.keys(".")
		s.shows("squint 2 %")
		if how == "" {
			s.keys("q")
			if code := s.ends(); code != exitDone {
				t.Errorf("exit %d", code)
			}
			s.clean()
		} else {
			_ = s.cmd.Process.Kill()
			s.ends()
		}
		eventually(t, "the plan", func() bool {
			_, err := os.Stat(filepath.Join(dir, "quay.plan.json"))
			return err == nil && keptSquint(t, dir) == 2
		})
		eventually(t, "the lock to be let go", func() bool {
			again := program(t, dir, "plan", file)
			return again.Run() == nil
		})
	}
}

// A terminal that stands still while the studio is told to end: it ends, with
// the plan saved.
func TestTerminalThatStandsStill(t *testing.T) {
	dir, file := quay(t)
	term := start(t, 200, 60, dir, file)
	term.shows("whole photo")
	term.keys(".")
	term.shows("squint 1.4 %")
	term.quiet()
	term.mu.Lock() // nothing more is read
	for range 40 {
		if _, err := term.tty.WriteString(".,"); err != nil {
			t.Fatal(err)
		}
		time.Sleep(5 * time.Millisecond)
	}
	if err := term.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	over := make(chan struct{})
	go func() { _ = term.cmd.Wait(); close(over) }()
	select {
	case <-over:
	case <-time.After(20 * time.Second):
		t.Error("the program does not end")
	}
	term.mu.Unlock()
	if code := term.cmd.ProcessState.ExitCode(); code != 143 {
		t.Errorf("exit %d", code)
	}
	if got := keptSquint(t, dir); got != 1.4 && got != 2 {
		t.Errorf("kept squint %g", got)
	}
}
