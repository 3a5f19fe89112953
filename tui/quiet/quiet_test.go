// A package outside, since one that imports Bubble Tea itself is initialised
// after it.
package quiet_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/creack/pty"
	"github.com/muesli/termenv"

	_ "atelier/halflid/tui/quiet"
)

const child = "HALFLID_QUIET_CHILD"

// By the time TestMain runs Bubble Tea has been initialised in the order that
// the program has too. The child says so and ends, or asks the terminal itself,
// which shows that this terminal would have been asked.
func TestMain(m *testing.M) {
	switch os.Getenv(child) {
	case "start":
		fmt.Printf("started with %v\n", tea.Quit())
		os.Exit(0)
	case "ask":
		fmt.Println(termenv.NewOutput(os.Stdout).HasDarkBackground())
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// onMuteTerminal runs the test binary as a child on a terminal that never
// answers and returns what it wrote up to stop or its end.
func onMuteTerminal(t *testing.T, mode, stop string) string {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), child+"="+mode, "TERM=xterm-256color", "NO_COLOR=", "CLICOLOR_FORCE=", "CI=")
	tty, err := pty.Start(cmd)
	if err != nil {
		t.Fatal(err)
	}
	defer tty.Close()
	wrote := make(chan string)
	go func() {
		var all bytes.Buffer
		buf := make([]byte, 512)
		for {
			n, err := tty.Read(buf)
			all.Write(buf[:n])
			if err != nil || stop != "" && bytes.Contains(all.Bytes(), []byte(stop)) {
				wrote <- all.String()
				return
			}
		}
	}()
	defer cmd.Wait() //nolint:errcheck // a child ended by us always fails
	select {
	case s := <-wrote:
		if stop != "" {
			_ = cmd.Process.Kill()
		}
		return s
	case <-time.After(30 * time.Second):
		_ = cmd.Process.Kill()
		t.Fatal("the child did not end")
		return ""
	}
}

// TestMuteTerminal holds the order of initialisation: nothing is asked, so
// nothing is waited for.
func TestMuteTerminal(t *testing.T) {
	got := onMuteTerminal(t, "start", "")
	if !strings.Contains(got, "started") {
		t.Fatalf("the child wrote %q", got)
	}
	if strings.Contains(got, "\x1b") {
		t.Errorf("the terminal was asked at the start: %q", got)
	}
}

// Where nobody answered beforehand the same terminal is asked; else the test
// above would show nothing.
func TestThisTerminalWouldBeAsked(t *testing.T) {
	const question = "\x1b]11;?"
	if got := onMuteTerminal(t, "ask", question); !strings.Contains(got, question) {
		t.Errorf("the child wrote %q, no question", got)
	}
}
