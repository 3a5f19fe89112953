package term

import (
	"errors"
	"io"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/charmbracelet/x/term"
	"github.com/creack/pty"
	"github.com/muesli/cancelreader"
)

// terminal opens a pseudo terminal in raw mode: what is written to near is
// typed at far.
func terminal(t *testing.T) (near, far *os.File) {
	t.Helper()
	near, far, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { near.Close(); far.Close() })
	if _, err := term.MakeRaw(far.Fd()); err != nil {
		t.Fatal(err)
	}
	return near, far
}

func typed(t *testing.T, w io.Writer, s string) {
	t.Helper()
	if _, err := io.WriteString(w, s); err != nil {
		t.Fatal(err)
	}
}

// read returns what one read gives.
func read(t *testing.T, r io.Reader) string {
	t.Helper()
	var buf [256]byte
	n, err := r.Read(buf[:])
	if err != nil {
		t.Fatal(err)
	}
	return string(buf[:n])
}

func TestReaderOnTerminal(t *testing.T) {
	near, far := terminal(t)
	var answers []Answer
	r := NewReader(far, func(a Answer) { answers = append(answers, a) })
	typed(t, near, "j\x1b[?62;22ck")
	if got := read(t, r); got != "jk" {
		t.Errorf("read %q", got)
	}
	if len(answers) != 1 || answers[0].Kind != Attributes {
		t.Errorf("answers %v", answers)
	}
	typed(t, near, "\x1b")
	if got := read(t, r); got != "\x1b" {
		t.Errorf("escape alone: read %q", got)
	}
	typed(t, near, "\x1b[12;40R")
	if got := read(t, r); got != "\x1b[12;40R" {
		t.Errorf("report nobody asked for: read %q", got)
	}
	r.ExpectCursor()
	typed(t, near, "\x1b[12;40R")
	if got := read(t, r); got != "" || len(answers) != 2 {
		t.Errorf("report asked for: read %q, answers %v", got, answers)
	}
}

// script is a file that gives one piece at each read.
type script struct {
	*os.File
	pieces []string
}

func (s *script) Read(p []byte) (int, error) {
	if len(s.pieces) == 0 {
		return 0, io.EOF
	}
	n := copy(p, s.pieces[0])
	if s.pieces[0] = s.pieces[0][n:]; s.pieces[0] == "" {
		s.pieces = s.pieces[1:]
	}
	return n, nil
}

// scripted is a Reader of pieces, each of which arrives in time or, where
// marked by a stop, too late.
func scripted(t *testing.T, answers func(Answer), pieces ...string) *Reader {
	_, far := terminal(t)
	s := &script{File: far}
	late := map[int]bool{}
	for _, p := range pieces {
		if p == "stop" {
			late[len(s.pieces)] = true
			continue
		}
		s.pieces = append(s.pieces, p)
	}
	all := len(s.pieces)
	r := NewReader(s, answers)
	r.waitFor = func(uintptr, time.Duration) bool {
		at := all - len(s.pieces)
		return at < all && !late[at]
	}
	return r
}

func TestReaderJoinsSplitSequences(t *testing.T) {
	for _, c := range []struct {
		name   string
		pieces []string
		reads  []string
	}{
		{"arrow", []string{"\x1b", "[A"}, []string{"\x1b[A"}},
		{"arrow in three", []string{"j\x1b", "[", "A"}, []string{"j\x1b[A"}},
		{"escape, then later a letter", []string{"\x1b", "stop", "j"}, []string{"\x1b", "j"}},
		{"alt and bracket, then later", []string{"\x1b]", "stop", "11"}, []string{"\x1b]", "11"}},
		{"letter of three bytes", []string{"\xe8\x88", "\xb9"}, []string{"船"}},
		{"answer in pieces", []string{"\x1b]11;rgb:", "1c1c/1c1c", "/1c1c\x1b", "\\j"}, []string{"", "j"}},
		{"answer that never ends", []string{"\x1b[?62", "stop", "j"}, []string{"\x1b[?62", "j"}},
		{"paste", []string{"\x1b[200~a\x1b", "[?62c\x1b[20", "1~"}, []string{"\x1b[200~a\x1b", "[?62c\x1b[20", "1~"}},
		{"only an answer", []string{"\x1b[?62c", "j"}, []string{"", "j"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := scripted(t, nil, c.pieces...)
			for i, want := range c.reads {
				if got := read(t, r); got != want {
					t.Errorf("read %d gave %q, want %q", i, got, want)
				}
			}
			if n, err := r.Read(make([]byte, 9)); n != 0 || !errors.Is(err, io.EOF) {
				t.Errorf("at the end: %d, %v", n, err)
			}
		})
	}
}

// The wait for the rest of a key begins anew with each byte, so that one that
// comes byte by byte, each after most of the wait, is still one key.
func TestReaderWaitsFromByteToByte(t *testing.T) {
	const gap = keyWait - 15*time.Millisecond
	for _, key := range []string{"\x1b[C", "\x1b[1;2C", "\x1b[15~"} {
		pieces := strings.Split(key, "")
		r := scripted(t, nil, pieces...)
		there := r.waitFor
		r.waitFor = func(fd uintptr, d time.Duration) bool {
			time.Sleep(min(gap, d))
			return d >= gap && there(fd, d)
		}
		if got := read(t, r); got != key {
			t.Errorf("%q came in parts: %q", key, got)
		}
	}
}

// However small or full the buffer, nothing is lost, doubled or out of order,
// and a buffer with room for it does not end within a key.
func TestReaderWithBuffersOfAllSizes(t *testing.T) {
	in := strings.Repeat("\x1b[1;5Cé船\x1b[?62cj\x1b]11;rgb:1/2/3\x07", 40)
	want := strings.Repeat("\x1b[1;5Cé船j", 40)
	for _, size := range []int{1, 2, 3, 7, 64, 127, 128, 129, 256, 4096} {
		n := 0
		r := scripted(t, func(Answer) { n++ }, in)
		var got strings.Builder
		buf := make([]byte, size)
		for {
			k, err := r.Read(buf)
			got.Write(buf[:k])
			if err != nil {
				break
			}
			if size >= 256 && strings.HasSuffix(string(buf[:k]), "\x1b") {
				t.Errorf("buffer of %d ends within a key: %q", size, buf[:k])
			}
		}
		if size >= 64 && (got.String() != want || n != 80) {
			t.Errorf("buffer of %d: %d answers, got %q", size, n, got.String())
		}
		// A tiny buffer may have to let answers pass, but loses nothing.
		if size < 64 && (strings.Count(got.String(), "é船") != 40 || strings.Count(got.String(), "\x1b[1;5C") != 40) {
			t.Errorf("buffer of %d: got %q", size, got.String())
		}
	}
}

// What began like an answer and was none is given out in full, over several
// reads if it has to be.
func TestReaderGivesOutFalseAnswers(t *testing.T) {
	in := "j\x1b]11;" + strings.Repeat("rgb", 100)
	r := scripted(t, nil, in, "stop", "k")
	var got strings.Builder
	for buf := make([]byte, 130); got.Len() < len(in)+1; {
		n, err := r.Read(buf)
		if err != nil {
			t.Fatal(err)
		}
		got.Write(buf[:n])
	}
	if got.String() != in+"k" {
		t.Errorf("read %q", got.String())
	}
}

func TestReaderReleasesAtTheEnd(t *testing.T) {
	r := scripted(t, nil, "j\x1b[1;")
	r.waitFor = func(uintptr, time.Duration) bool { return true }
	buf := make([]byte, 32)
	n, err := r.Read(buf)
	if string(buf[:n]) != "j\x1b[1;" || !errors.Is(err, io.EOF) {
		t.Errorf("read %q, %v", buf[:n], err)
	}
	if n, err := r.Read(nil); n != 0 || err != nil {
		t.Errorf("read into nothing: %d, %v", n, err)
	}
}

// A read of the Reader can be called off as one of the terminal itself can.
func TestReaderCanBeCancelled(t *testing.T) {
	near, far := terminal(t)
	c, err := cancelreader.NewReader(NewReader(far, nil))
	if err != nil {
		t.Fatal(err)
	}
	typed(t, near, "\x1b[?62cq")
	if got := read(t, c); got != "q" {
		t.Errorf("read %q", got)
	}
	var wg sync.WaitGroup
	wg.Add(1)
	go func() {
		defer wg.Done()
		if n, err := c.Read(make([]byte, 8)); n != 0 || !errors.Is(err, cancelreader.ErrCanceled) {
			t.Errorf("cancelled read: %d, %v", n, err)
		}
	}()
	if !c.Cancel() {
		t.Error("not cancelled")
	}
	wg.Wait()
	if err := c.Close(); err != nil {
		t.Error(err)
	}
}

func TestReadableTimesOut(t *testing.T) {
	near, far := terminal(t)
	if readable(far.Fd(), time.Millisecond) {
		t.Error("nothing typed, yet readable")
	}
	typed(t, near, "j")
	if !readable(far.Fd(), 10*time.Second) {
		t.Error("typed, yet not readable")
	}
}

// Answers that come when nobody reads any more are taken out, and what is typed
// among them is kept.
func TestDrain(t *testing.T) {
	near, far := terminal(t)
	var mu sync.Mutex
	left := 3
	r := NewReader(far, func(a Answer) {
		mu.Lock()
		defer mu.Unlock()
		if a.Primary() {
			left--
		}
	})
	more := func() bool {
		mu.Lock()
		defer mu.Unlock()
		return left > 0
	}
	typed(t, near, "a\x1b[?62;22c")
	go func() {
		time.Sleep(10 * time.Millisecond)
		for _, s := range []string{"b\x1b[?6", "2;22", "c\x1b[>1;2c", "\x1b[?1;2cd"} {
			if _, err := io.WriteString(near, s); err != nil {
				t.Error(err)
			}
			time.Sleep(5 * time.Millisecond)
		}
	}()
	r.Drain(20*time.Second, more)
	if more() {
		t.Fatalf("%d answers are still to come", left)
	}
	typed(t, near, "e")
	got := read(t, r)
	for len(got) < 4 {
		got += read(t, r)
	}
	if got != "abde" {
		t.Errorf("kept %q", got)
	}
	left = 1
	begun := time.Now()
	r.Drain(30*time.Millisecond, more) // none comes
	if time.Since(begun) > 10*time.Second {
		t.Error("waited past the limit")
	}
	near.Close()
	r.Drain(20*time.Second, more) // the terminal is gone
	if time.Since(begun) > 10*time.Second {
		t.Error("waited for a terminal that is gone")
	}
}

// Only the plain form answers the plain question.
func TestPrimary(t *testing.T) {
	for raw, want := range map[string]bool{"\x1b[?62;22c": true, "\x1b[?1;2c": true, "\x1b[>0;276;0c": false, "\x1b[?2026;1$y": false} {
		what, _, a := look([]byte(raw), false)
		if what != answer || a.Primary() != want {
			t.Errorf("%q: %v, primary %v", raw, what, a.Primary())
		}
	}
}
