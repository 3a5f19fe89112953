package main

import (
	"bufio"
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
)

// waitFor waits for ok; what and seen are for the words of the failure.
func waitFor(t *testing.T, what string, ok func() bool, seen func() string) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); !ok(); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("waited in vain for %s; it shows:\n%s", what, seen())
		}
	}
}

// In tmux, in exact colours and in 256: the studio starts, squints, shows a
// plan, and when it quits the shell's screen is there again and nothing is typed
// into it.
func TestTmux(t *testing.T) {
	heavy(t)
	tmux := needs(t, "tmux", "bash")["tmux"]
	for _, colour := range []string{"full", "256"} {
		t.Run(colour, func(t *testing.T) {
			dir, file := quay(t)
			socket := filepath.Join(t.TempDir(), "tmux")
			run := func(args ...string) string {
				out, err := exec.Command(tmux, append([]string{"-S", socket, "-f", os.DevNull}, args...)...).CombinedOutput()
				if err != nil {
					t.Fatalf("tmux %v: %v\n%s", args, err, out)
				}
				return string(out)
			}
			run("new-session", "-d", "-x", "100", "-y", "30", "env PS1='$ ' bash --norc --noprofile -i")
			t.Cleanup(func() { _ = exec.Command(tmux, "-S", socket, "kill-server").Run() })
			screen := func() string { return run("capture-pane", "-p") }
			shows := func(words string) {
				t.Helper()
				waitFor(t, fmt.Sprintf("%q", words), func() bool { return strings.Contains(screen(), words) }, screen)
			}
			types := func(words string, keys ...string) {
				run("send-keys", "-l", words)
				if len(keys) > 0 {
					run(append([]string{"send-keys"}, keys...)...)
				}
			}
			modes := func() string {
				types("stty -a; echo modes' 'told", "Enter")
				shows("modes told")
				s := screen()
				_, s, _ = strings.Cut(s, "speed")
				s, _, _ = strings.Cut(s, "modes told")
				types("clear", "Enter")
				waitFor(t, "a clear screen", func() bool { return !strings.Contains(screen(), "modes told") }, screen)
				return s
			}
			before := modes()
			types("echo the shell' 'was here", "Enter")
			shows("the shell was here")
			write(t, dir, "run.sh", []byte(programLine(t, dir, "--colour", colour, file)+"\necho ended with $?\n"))
			types("bash "+quoted(filepath.Join(dir, "run.sh")), "Enter")
			shows("whole photo")
			if strings.Contains(screen(), "the shell was here") {
				t.Error("the shell's screen shows beside the studio")
			}
			types("...")
			shows("squint 2.8 %")
			types("3")
			shows("plan")
			waitFor(t, "half blocks", func() bool { return strings.ContainsAny(screen(), "▀▄") }, screen)
			if s := run("capture-pane", "-p", "-e"); colour == "full" && !strings.Contains(s, "8;2;") || !strings.Contains(s, "8;5;") && !strings.Contains(s, "8;2;") {
				t.Errorf("no picture in colours:\n%q", s)
			}
			types("q")
			shows("ended with 0")
			if s := screen(); !strings.Contains(s, "the shell was here") || strings.Contains(s, "squint 2.8") {
				t.Errorf("the shell's screen is not as it was:\n%s", s)
			}
			time.Sleep(300 * time.Millisecond) // late answers would be typed now
			if lines := strings.Split(strings.TrimSpace(screen()), "\n"); strings.TrimSpace(lines[len(lines)-1]) != "$" {
				t.Errorf("something was typed into the shell: %q", lines[len(lines)-1])
			}
			types("clear", "Enter")
			waitFor(t, "a clear screen", func() bool { return !strings.Contains(screen(), "the shell was here") }, screen)
			if after := modes(); after != before {
				t.Errorf("the terminal's modes were\n%s\nand are\n%s", before, after)
			}
		})
	}
}

// xterm is an xterm on a screen of its own that shows a terminal of ours: what
// the program writes it shows and answers, what the test types goes to the
// program.
type xterm struct {
	t            *testing.T
	display      string
	master, prog *os.File
	imports      string
}

func startXterm(t *testing.T, w, h int) *xterm {
	t.Helper()
	tools := needs(t, "Xvfb", "xterm", "import")
	r, wr, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	server := exec.Command(tools["Xvfb"], "-displayfd", "3", "-screen", "0", "1400x1000x24", "-nolisten", "tcp")
	server.ExtraFiles = []*os.File{wr}
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	_ = wr.Close()
	t.Cleanup(func() { _ = server.Process.Kill(); _ = server.Wait() })
	t.Cleanup(func() { _ = r.Close() })
	number, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		missing(t, "Xvfb does not run here")
	}
	x := &xterm{t: t, display: ":" + strings.TrimSpace(number), imports: tools["import"]}
	if x.master, x.prog, err = pty.Open(); err != nil {
		t.Fatal(err)
	}
	// The last letters of the name, and the descriptor that it inherits.
	name := strings.TrimPrefix(x.prog.Name(), "/dev/pts/")
	client := exec.Command(tools["xterm"], "-S"+name+"/3", "-geometry", fmt.Sprintf("%dx%d+0+0", w, h), "-b", "0", "+sb", "-bg", "black", "-fg", "white", "-u8")
	client.Env = append(os.Environ(), "DISPLAY="+x.display, "LC_ALL=C.UTF-8")
	client.ExtraFiles = []*os.File{x.master}
	if err := client.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = client.Process.Kill()
		_ = client.Wait()
		_ = x.master.Close()
		_ = x.prog.Close()
	})
	// It says which window it is, as if that were typed.
	told := make(chan error, 1)
	go func() {
		_, err := x.prog.Read(make([]byte, 64))
		told <- err
	}()
	select {
	case err := <-told:
		if err != nil {
			t.Fatal(err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("xterm does not come up")
	}
	if err := pty.Setsize(x.prog, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)}); err != nil {
		t.Fatal(err)
	}
	return x
}

// look returns the whole screen as a picture.
func (x *xterm) look() image.Image {
	x.t.Helper()
	cmd := exec.Command(x.imports, "-window", "root", "png:-")
	cmd.Env = append(os.Environ(), "DISPLAY="+x.display)
	data, err := cmd.Output()
	if err != nil {
		x.t.Fatalf("looking at the screen: %v", err)
	}
	m, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		x.t.Fatal(err)
	}
	return m
}

// shares counts the colours of a screen, as shares of its pixels.
func shares(m image.Image) map[[3]uint8]float64 {
	out := map[[3]uint8]float64{}
	b := m.Bounds()
	one := 1 / float64(b.Dx()*b.Dy())
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			out[codes(m.At(x, y))] += one
		}
	}
	return out
}

// greysOn counts the greys that cover more than a hundredth of the screen, but
// for black, which is the empty screen.
func greysOn(m image.Image) int {
	n := 0
	for c, share := range shares(m) {
		if share > 0.01 && c[0] == c[1] && c[1] == c[2] && c[0] > 0 {
			n++
		}
	}
	return n
}

// In xterm: a photograph in many colours, a plan of three values in three greys
// and the grey around it, and a clean end.
func TestXterm(t *testing.T) {
	heavy(t)
	dir, file := quay(t)
	x := startXterm(t, 120, 40)
	var last image.Image
	until := func(what string, ok func(image.Image) bool) {
		t.Helper()
		waitFor(t, what, func() bool { last = x.look(); return ok(last) }, func() string {
			return fmt.Sprintf("%d colours, %d greys", len(shares(last)), greysOn(last))
		})
	}
	cmd := program(t, dir, file)
	cmd.Env = append(cmd.Env, "TERM=xterm-256color", "COLORTERM=")
	before, err := stty(x.prog)
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stdin, cmd.Stdout, cmd.Stderr = x.prog, x.prog, x.prog
	cmd.SysProcAttr = session()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	over := make(chan error, 1)
	go func() { over <- cmd.Wait() }()
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	types := func(s string) {
		t.Helper()
		if _, err := x.master.WriteString(s); err != nil {
			t.Fatal(err)
		}
	}
	until("the photo", func(m image.Image) bool { return len(shares(m)) > 100 })
	keepScreen(t, "photo", last)
	types("..")
	types("3")
	until("a plan of three greys in the grey around it", func(m image.Image) bool { return greysOn(m) == 4 })
	keepScreen(t, "plan", last)
	types("2")
	until("a plan of two greys", func(m image.Image) bool { return greysOn(m) == 3 })
	types("q")
	select {
	case err := <-over:
		if err != nil {
			t.Errorf("the program ended with %v", err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("the program does not end")
	}
	until("the empty screen", func(m image.Image) bool { return len(shares(m)) <= 40 && greysOn(m) == 0 })
	after, err := stty(x.prog)
	if err != nil {
		t.Fatal(err)
	}
	if after != before {
		t.Errorf("the terminal's modes were\n%s\nand are\n%s", before, after)
	}
}

// keepScreen writes what was looked at where HALFLID_SHEETS asks for pictures.
func keepScreen(t *testing.T, name string, m image.Image) {
	t.Helper()
	dir := os.Getenv("HALFLID_SHEETS")
	if dir == "" {
		return
	}
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, dir, "xterm-"+name+".png", b.Bytes())
}

// stty returns the modes of a terminal in words.
func stty(tty *os.File) (string, error) {
	cmd := exec.Command("stty", "-a")
	cmd.Stdin = tty
	out, err := cmd.CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("stty: %w: %s", err, out)
	}
	return string(out), nil
}
