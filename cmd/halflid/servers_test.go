package main

import (
	"bytes"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// secureShell is an OpenSSH server of the test's own.
type secureShell struct {
	dir, client, addr string
}

// startSSH starts a server on the loopback, run as whoever runs the test, with
// keys and settings in a folder of its own.
func startSSH(t *testing.T) *secureShell {
	t.Helper()
	tools := needs(t, "sshd", "ssh", "ssh-keygen")
	s := &secureShell{dir: t.TempDir(), client: tools["ssh"]}
	for _, k := range []string{"host", "key"} {
		if out, err := exec.Command(tools["ssh-keygen"], "-q", "-t", "ed25519", "-N", "", "-f", s.in(k)).CombinedOutput(); err != nil {
			t.Fatalf("making keys: %v\n%s", err, out)
		}
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s.addr = l.Addr().String()
	_ = l.Close()
	_, port, _ := net.SplitHostPort(s.addr)
	if os.Getuid() == 0 {
		_ = os.MkdirAll("/run/sshd", 0o755) // the server insists on it
	}
	write(t, s.dir, "config", fmt.Appendf(nil, `ListenAddress 127.0.0.1
Port %s
HostKey %s
PidFile none
AuthorizedKeysFile %s
StrictModes no
PasswordAuthentication no
KbdInteractiveAuthentication no
PermitRootLogin yes
PrintMotd no
PrintLastLog no
`, port, s.in("host"), s.in("key.pub")))
	var log bytes.Buffer
	server := exec.Command(tools["sshd"], "-D", "-e", "-f", s.in("config"))
	server.Stderr = &log
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	over := make(chan struct{})
	go func() {
		_ = server.Wait()
		close(over)
	}()
	t.Cleanup(func() {
		_ = server.Process.Kill()
		<-over
	})
	for end := time.Now().Add(10 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		c, err := net.Dial("tcp", s.addr)
		if err == nil {
			_ = c.Close()
			return s
		}
		select {
		case <-over:
			missing(t, "the SSH server does not run here: "+log.String())
		default:
		}
		if time.Now().After(end) {
			t.Fatal("the SSH server does not listen")
		}
	}
}

func (s *secureShell) in(name string) string { return filepath.Join(s.dir, name) }

// command returns a client that runs a line of the far shell in a terminal,
// through addr.
func (s *secureShell) command(addr, line string) *exec.Cmd {
	host, port, _ := net.SplitHostPort(addr)
	return exec.Command(s.client, "-F", "none", "-tt", "-p", port, "-i", s.in("key"), "-o", "IdentitiesOnly=yes", "-o", "IdentityAgent=none",
		"-o", "UserKnownHostsFile="+s.in("known"), "-o", "GlobalKnownHostsFile=none", "-o", "StrictHostKeyChecking=no",
		"-o", "LogLevel=ERROR", "-e", "none", host, line)
}

// line returns a line of shell that runs the program in dir as program does.
func programLine(t testing.TB, dir string, args ...string) string {
	t.Helper()
	words := []string{"cd", quoted(dir), "&&", "env"}
	for _, v := range program(t, dir).Env {
		name, _, _ := strings.Cut(v, "=")
		if strings.HasPrefix(name, "HALFLID_") || name == "TERM" || name == "COLORTERM" || name == "NO_COLOR" || name == "XDG_STATE_HOME" {
			words = append(words, quoted(v))
		}
	}
	self, err := filepath.Abs(os.Args[0])
	if err != nil {
		t.Fatal(err)
	}
	words = append(words, quoted(self))
	for _, a := range args {
		words = append(words, quoted(a))
	}
	return strings.Join(words, " ")
}

// thenTyped is a line of shell that runs another and then says how it ended and
// what has been typed into the shell by that time, in octal.
func thenTyped(line string) string {
	return "(" + line + "); code=$?; was=$(stty -g); stty -icanon -echo min 0 time 3; typed=$(dd bs=4096 count=1 2>/dev/null | od -An -b | tr -d ' \\n'); " +
		"stty \"$was\"; echo \"code $code, typed [$typed]\""
}

func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }
