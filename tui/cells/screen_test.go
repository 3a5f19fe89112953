package cells_test

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"io"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/charmbracelet/x/term"

	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

var _ term.File = (*cells.Screen)(nil)

// tape keeps each write apart.
type tape struct{ writes []string }

func (t *tape) Write(p []byte) (int, error) {
	t.writes = append(t.writes, string(p))
	return len(p), nil
}

// take returns what was written since the last take.
func (t *tape) take() []string {
	w := t.writes
	t.writes = nil
	return w
}

// taped is a Screen of 10 by 4 cells with a band of 4 by 2 at 2, 1 that is
// wholly black, in the alternate screen.
func taped(t *testing.T) (*tape, *cells.Screen) {
	t.Helper()
	out := new(tape)
	s := cells.NewScreen(out)
	s.Resize(10, 4)
	s.SetBand(image.Rect(2, 1, 6, 3))
	write(t, s, "\x1b[?1049h", "\x1b[2J", "\x1b[H")
	paint(t, s, black)
	out.take()
	return out, s
}

func write(t *testing.T, s *cells.Screen, pieces ...string) {
	t.Helper()
	for _, p := range pieces {
		if n, err := io.WriteString(s, p); n != len(p) || err != nil {
			t.Fatalf("Write = %d, %v", n, err)
		}
	}
}

func flat(c palette.SRGB) *cells.Grid {
	g := cells.Grid{Surround: c}
	cells.Place(&g, 4, 2, raster(1, c), image.Point{}, cells.TrueColour)
	return &g
}

func paint(t *testing.T, s *cells.Screen, c palette.SRGB) {
	t.Helper()
	if err := s.Paint(flat(c), image.Pt(2, 1)); err != nil {
		t.Fatal(err)
	}
}

func want(t *testing.T, out *tape, what string, writes ...string) {
	t.Helper()
	if got := out.take(); fmt.Sprintf("%q", got) != fmt.Sprintf("%q", writes) {
		t.Errorf("%s: wrote\n%q, want\n%q", what, got, writes)
	}
}

const ink = "\x1b[48;2;0;0;0m"

func TestScreenBytes(t *testing.T) {
	out, s := taped(t)
	paint(t, s, black)
	want(t, out, "the same again")
	g := flat(black)
	g.Set(1, 0, cells.Halves(cells.Exact(white), cells.Exact(black)))
	if err := s.Paint(g, image.Pt(2, 1)); err != nil {
		t.Fatal(err)
	}
	want(t, out, "one cell", "\x1b[m\x1b[2;4H\x1b[38;5;231;48;2;0;0;0m▀\x1b[m\x1b[H")
	g.Set(1, 0, flat(black).At(0, 0))
	g.Set(3, 0, cells.Halves(cells.Exact(sky), cells.Exact(sky)))
	if err := s.Paint(g, image.Pt(2, 1)); err != nil {
		t.Fatal(err)
	}
	want(t, out, "a gap written over", "\x1b[m\x1b[2;4H"+ink+"  \x1b[48;2;120;160;200m \x1b[m\x1b[H")
}

func TestTextPassesUntouched(t *testing.T) {
	out, s := taped(t)
	texts := []string{"\x1b[Htide out\x1b[K\r\n\n\r\nstatus\x1b[K\x1b[4;0H", "\x1b[?25l", "\x1b]2;harbour\x07", "\x1b[2;9Hx\x1b[K", "\x1b[2;1Hab\x1b[4Ccd\x1b[K"}
	write(t, s, texts...)
	want(t, out, "beside the band", texts...)
}

func TestWipedCellsFollowInTheSameWrite(t *testing.T) {
	for _, text := range []string{
		"\x1b[2;1H\x1b[K",
		"\x1b[2;5Hx",
		"\x1b[3;4H\x1b[1K",
		"\x1b[2J",
		"\x1b[1;1H\x1b[J",
		"\x1b[2;1H\x1b[2X",
		"\x1b[2;1H\x1b[P",
		"\x1b[L",
		"\x1bM",
		"\x1b8",
		"\x1b[4;1H\n",
		"\x1b[2;1H\t\tx",
		"\x1b[1;1H\x1bEabc",
		"\x1b[H\x1bDabc",
		"\x1b[4;1H\x1b[2Aabc",
		"\x1b[4;1H\x1b[2Fabc",
		"\x1b[H\x1b[Babc",
		"\x1b[H\x1b[2dabc",
		"\x1b[2;9H\x1b[6Dx",
		"\x1b[2;9H\x1b[4Gx",
		"\x1b[2;4H\bx",
		"\x1b[2;1Ha\x1b[9b",
	} {
		out, s := taped(t)
		write(t, s, "\x1b[H")
		out.take()
		write(t, s, text)
		got := out.take()
		if len(got) != 1 || !strings.HasPrefix(got[0], text) || !strings.Contains(got[0], ink) {
			t.Errorf("after %q wrote %q: no cells in the same write", text, got)
		}
	}
}

// Bubble Tea enters the alternate screen in four writes, of which the second
// clears it: the picture is painted once, after that.
func TestEnteringPaintsOnce(t *testing.T) {
	out, s := taped(t)
	write(t, s, "\x1b[?1049l")
	paint(t, s, white)
	want(t, out, "outside", "\x1b[?1049l")
	for i, seq := range []string{"\x1b[?1049h", "\x1b[2J", "\x1b[H", "\x1b[?25l"} {
		write(t, s, seq)
		got := out.take()
		if painted := len(got[0]) > len(seq); len(got) != 1 || painted != (i == 1) {
			t.Errorf("entering, write %d: %q", i, got)
		}
	}
}

func TestNothingIsPaintedInsideASequence(t *testing.T) {
	out, s := taped(t)
	for _, cut := range [][2]string{{"\x1b", "[H"}, {"\x1b[", "H"}, {"\x1b[1;", "2H"}, {"\x1b]2;har", "bour\x07"}, {"\x1b]2;x\x1b", "\\"}, {"\xe8", "\x88\xb9"}, {"\xe8\x88", "\xb9"}, {"\x1b(", "B"}} {
		write(t, s, cut[0])
		s.Invalidate()
		paint(t, s, white)
		want(t, out, "inside", cut[0])
		write(t, s, cut[1])
		got := strings.Join(out.take(), "")
		if !strings.HasPrefix(got, cut[1]) || !strings.Contains(got, "\x1b[48;5;231m") {
			t.Errorf("after %q: %q", cut, got)
		}
	}
}

func TestSync(t *testing.T) {
	out, s := taped(t)
	s.SetSync(true)
	write(t, s, "tide")
	want(t, out, "only text", "tide")
	paint(t, s, white)
	write(t, s, "\x1b[2J")
	for _, w := range out.take() {
		if !strings.HasPrefix(w, "\x1b[?2026h") || !strings.HasSuffix(w, "\x1b[?2026l") {
			t.Errorf("frame %q", w)
		}
	}
}

func TestRepeat(t *testing.T) {
	m, s := bench(100, 30)
	n := m.cost(t, s, plan(scene(100, 60), 3))
	m, s = bench(100, 30)
	s.SetRepeat(true)
	if k := m.cost(t, s, plan(scene(100, 60), 3)); k >= n {
		t.Errorf("a plan takes %d bytes, with repeats %d", n, k)
	}
}

func TestErrorIsReturnedOnce(t *testing.T) {
	f := &failing{left: 3}
	s := cells.NewScreen(f)
	s.SetBand(image.Rect(2, 1, 6, 3))
	write(t, s, "\x1b[?1049h")
	write(t, s, "\x1b[H")
	paint(t, s, black)
	if err := s.Paint(flat(white), image.Pt(2, 1)); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("first error %v", err)
	}
	n := f.writes
	if err := s.Paint(flat(sky), image.Pt(2, 1)); err != nil || f.writes != n {
		t.Errorf("second %v, %d writes", err, f.writes-n)
	}
	if _, err := s.Write([]byte("x")); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("text: %v", err)
	}
}

func TestCloseEndsPainting(t *testing.T) {
	out, s := taped(t)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	paint(t, s, white)
	write(t, s, "\x1b[2J")
	want(t, out, "closed", "\x1b[2J")
}

func TestBand(t *testing.T) {
	out, s := taped(t)
	s.SetBand(image.Rect(2, 1, 6, 3))
	write(t, s, "x")
	want(t, out, "the same band", "x")
	s.SetBand(image.Rect(4, 2, 8, 4))
	write(t, s, "\x1b[H")
	// Two cells keep what they show; the others are blank.
	want(t, out, "moved", "\x1b[H\x1b[m\x1b[3;7H  \x1b[4;5H    \x1b[H")
	s.SetBand(image.Rectangle{})
	paint(t, s, white)
	write(t, s, "\x1b[2J")
	want(t, out, "no band", "\x1b[2J")
	// Beyond the terminal nothing is painted.
	s.SetBand(image.Rect(8, 3, 12, 5))
	if err := s.Paint(flat(black), image.Pt(8, 3)); err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(out.take(), ""); strings.Count(got, " ") != 2 || strings.Contains(got, "\n") {
		t.Errorf("at the corner: %q", got)
	}
	defer func() {
		if r := recover(); r == nil || !strings.HasPrefix(fmt.Sprint(r), "cells: ") {
			t.Errorf("panic %v", r)
		}
	}()
	s.SetBand(image.Rect(-1, 0, 3, 3))
}

func TestScreenIsAFile(t *testing.T) {
	f, err := os.CreateTemp(t.TempDir(), "out")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.WriteString("tide"); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		t.Fatal(err)
	}
	s := cells.NewScreen(f)
	buf := make([]byte, 9)
	n, err := s.Read(buf)
	if s.Fd() != f.Fd() || s.Name() != f.Name() || string(buf[:n]) != "tide" || err != nil {
		t.Errorf("fd %d, name %q, read %q, %v", s.Fd(), s.Name(), buf[:n], err)
	}
	s = cells.NewScreen(new(tape))
	if n, err := s.Read(buf); s.Fd() != ^uintptr(0) || s.Name() != "" || n != 0 || !errors.Is(err, io.EOF) {
		t.Errorf("no file: fd %d, name %q, read %d, %v", s.Fd(), s.Name(), n, err)
	}
}

func TestSent(t *testing.T) {
	_, s := taped(t)
	frames, n := s.Sent()
	paint(t, s, white)
	write(t, s, "text")
	if f, m := s.Sent(); f != frames+1 || m <= n {
		t.Errorf("%d frames, %d bytes; before %d, %d", f, m, frames, n)
	}
}

// Text and pictures from two goroutines never mix.
func TestScreenIsSafeTogether(t *testing.T) {
	var out bytes.Buffer
	s := cells.NewScreen(&out)
	s.SetBand(image.Rect(0, 0, 4, 2))
	write(t, s, "\x1b[?1049h", "\x1b[2J")
	var wg sync.WaitGroup
	wg.Add(3)
	go func() {
		defer wg.Done()
		for i := range 200 {
			if err := s.Paint(flat(palette.SRGB{R: uint8(i)}), image.Point{}); err != nil {
				t.Error(err)
			}
		}
	}()
	go func() {
		defer wg.Done()
		for range 200 {
			if _, err := io.WriteString(s, "\x1b[H<tide out>\x1b[K"); err != nil {
				t.Error(err)
			}
		}
	}()
	go func() {
		defer wg.Done()
		for i := range 50 {
			s.SetBand(image.Rect(0, 0, 4, 2+i%2))
			s.Resize(20, 5+i%2)
			s.Sent()
		}
	}()
	wg.Wait()
	if n := strings.Count(out.String(), "\x1b[H<tide out>\x1b[K"); n != 200 {
		t.Errorf("%d of 200 texts whole", n)
	}
}
