//go:build unix

package term

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
)

const suspendChild = "HALFLID_SUSPEND_CHILD"

// The children stand for a program in its places: the session's own command,
// one started by such a command, one started by it as a shell starts a job.
func TestMain(m *testing.M) {
	switch os.Getenv(suspendChild) {
	case "say":
		fmt.Println(CanSuspend())
		os.Exit(0)
	case "plain":
		fmt.Println(say(&syscall.SysProcAttr{}))
		os.Exit(0)
	case "job":
		fmt.Println(say(&syscall.SysProcAttr{Setpgid: true}))
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func say(attr *syscall.SysProcAttr) string { return runChild("say", attr) }

func runChild(mode string, attr *syscall.SysProcAttr) string {
	self, err := os.Executable()
	if err != nil {
		return err.Error()
	}
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), suspendChild+"="+mode)
	cmd.SysProcAttr = attr
	out, err := cmd.Output()
	if err != nil {
		return err.Error()
	}
	return strings.TrimSpace(string(out))
}

func TestCanSuspend(t *testing.T) {
	session := &syscall.SysProcAttr{Setsid: true}
	for _, c := range []struct{ mode, want, what string }{
		{"say", "false", "the session's own command"},
		{"plain", "false", "in the group of its parent"},
		{"job", "true", "a job of a shell"},
	} {
		if got := runChild(c.mode, session); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}
