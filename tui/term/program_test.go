//go:build unix

package term_test

import (
	"fmt"
	"image"
	"io"
	"os"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/term"
)

// studio is the least program with a picture, a line beside it that changes, a
// status line, and a picture painted apart from the view.
type studio struct {
	screen *cells.Screen
	w, h   int
	keys   string
	shade  uint8
}

type shadeMsg uint8

func (s studio) Init() tea.Cmd { return nil }

const column = 12

// band is the whole window but a column on the right and the last row.
func (s studio) band() image.Rectangle { return image.Rect(0, 0, s.w-column, s.h-1) }

func (s studio) Update(m tea.Msg) (tea.Model, tea.Cmd) {
	switch m := m.(type) {
	case tea.WindowSizeMsg:
		s.w, s.h = m.Width, m.Height
		s.screen.Resize(s.w, s.h)
		s.screen.SetBand(s.band())
		return s, s.paint()
	case shadeMsg:
		s.shade = uint8(m)
		return s, s.paint()
	case tea.KeyMsg:
		for _, k := range term.SplitKeys(m) {
			s.keys += k.String()
			if k.String() == "q" {
				return s, tea.Quit
			}
		}
	}
	return s, nil
}

// picture is what the band shows: a slope of greys that starts at shade.
func picture(size image.Point, shade uint8) imageproc.Raster {
	r := imageproc.NewRaster(size.X, 2*size.Y)
	for y := range r.H {
		for x := range r.W {
			v := shade + uint8(3*x) + uint8(y)
			r.Set(x, y, palette.SRGB{R: v, G: v, B: v / 2})
		}
	}
	return r
}

// paint paints at once: commands would bring older pictures after newer ones.
func (s studio) paint() tea.Cmd {
	var g cells.Grid
	band := s.band()
	cells.Encode(&g, picture(band.Size(), s.shade), cells.TrueColour)
	if err := s.screen.Paint(&g, band.Min); err != nil {
		return tea.Quit
	}
	return nil
}

func (s studio) beside(y int) string {
	return fmt.Sprintf("%c%-10d", 'a'+y%26, int(s.shade)+len(s.keys))
}

func (s studio) status() string { return "keys " + s.keys }

func (s studio) View() string {
	if s.w == 0 {
		return ""
	}
	rows := make([]string, 0, s.h)
	for y := range s.band().Dy() {
		rows = append(rows, fmt.Sprintf("\x1b[%dC", s.band().Dx())+s.beside(y)) // steps over the band
	}
	return strings.Join(append(rows, s.status()), "\n")
}

// desk is a terminal: an emulator at the other end of a pseudo terminal, which
// answers what it is asked.
type desk struct {
	t     *testing.T
	near  *os.File
	mu    sync.Mutex
	emu   *vt.Emulator
	bytes int
}

func newDesk(t *testing.T, w, h int) (*desk, *os.File) {
	near, far, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, near: near, emu: vt.NewEmulator(w, h)}
	if err := pty.Setsize(near, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)}); err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	wg.Add(2)
	go func() {
		defer wg.Done()
		buf := make([]byte, 4096)
		for {
			n, err := near.Read(buf)
			if err != nil {
				return
			}
			d.mu.Lock()
			_, _ = d.emu.Write(buf[:n])
			d.bytes += n
			d.mu.Unlock()
		}
	}()
	go func() {
		defer wg.Done()
		_, _ = io.Copy(near, d.emu) // its answers
	}()
	t.Cleanup(func() {
		far.Close()
		near.Close()
		d.emu.InputPipe().(io.Closer).Close()
		wg.Wait()
	})
	return d, far
}

func (d *desk) resize(w, h int) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.emu.Resize(w, h)
	if err := pty.Setsize(d.near, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)}); err != nil {
		d.t.Error(err)
	}
	// The program is not in the terminal's session, so the signal is ours.
	if err := syscall.Kill(os.Getpid(), syscall.SIGWINCH); err != nil {
		d.t.Error(err)
	}
}

// differs says where the screen is not as s should look, or nothing.
func (d *desk) differs(s studio) string {
	d.mu.Lock()
	defer d.mu.Unlock()
	if !d.emu.IsAltScreen() {
		return "not in the alternate screen"
	}
	if d.emu.Width() != s.w || d.emu.Height() != s.h {
		return "size"
	}
	r := picture(s.band().Size(), s.shade)
	for y := range s.h - 1 {
		for x := range s.band().Dx() {
			top, bottom := r.At(x, 2*y), r.At(x, 2*y+1)
			if got, want := d.halves(x, y), fmt.Sprint(top, bottom); got != want {
				return fmt.Sprintf("cell %d, %d: %s, want %s", x, y, got, want)
			}
		}
		if got, want := d.row(y, s.band().Dx(), s.w), s.beside(y); got != strings.TrimRight(want, " ") {
			return fmt.Sprintf("row %d: %q, want %q", y, got, want)
		}
	}
	if got := d.row(s.h-1, 0, s.w); got != strings.TrimRight(s.status(), " ") {
		return fmt.Sprintf("status: %q, want %q", got, s.status())
	}
	return ""
}

func (d *desk) row(y, from, to int) string {
	var b strings.Builder
	for x := from; x < to; x++ {
		if c := d.emu.CellAt(x, y); c != nil && c.Content != "" {
			b.WriteString(c.Content)
		} else {
			b.WriteByte(' ')
		}
	}
	return strings.TrimRight(b.String(), " ")
}

func (d *desk) halves(x, y int) string {
	c := d.emu.CellAt(x, y)
	if c == nil || c.Style.Bg == nil {
		return "nothing"
	}
	code := func(c interface{ RGBA() (r, g, b, a uint32) }) palette.SRGB {
		r, g, b, _ := c.RGBA()
		return palette.SRGB{R: uint8(r >> 8), G: uint8(g >> 8), B: uint8(b >> 8)}
	}
	bg := code(c.Style.Bg)
	fg := bg
	if c.Style.Fg != nil {
		fg = code(c.Style.Fg)
	}
	switch c.Content {
	case "▀":
		return fmt.Sprint(fg, bg)
	case "▄":
		return fmt.Sprint(bg, fg)
	case "█":
		return fmt.Sprint(fg, fg)
	case " ":
		return fmt.Sprint(bg, bg)
	}
	return c.Content
}

// eventually waits until the screen is as s should look.
func (d *desk) eventually(s studio, what string) {
	d.t.Helper()
	var last string
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if last = d.differs(s); last == "" {
			return
		}
	}
	d.t.Fatalf("%s: %s", what, last)
}

// TestProgramInTerminal runs Bubble Tea, the Reader and the Screen together.
func TestProgramInTerminal(t *testing.T) {
	d, far := newDesk(t, 60, 20)
	screen := cells.NewScreen(far)
	screen.SetSync(true)
	var answered sync.WaitGroup
	answered.Add(1)
	reader := term.NewReader(far, func(a term.Answer) {
		if a.Kind == term.Attributes {
			answered.Done()
		}
	})
	p := tea.NewProgram(studio{screen: screen}, tea.WithAltScreen(), tea.WithInput(reader), tea.WithOutput(screen), tea.WithoutSignalHandler())
	done := make(chan studio)
	go func() {
		m, err := p.Run()
		if err != nil {
			t.Error(err)
		}
		done <- m.(studio)
	}()
	want := studio{w: 60, h: 20}
	d.eventually(want, "at the start")

	// A held key, and an answer that comes in its midst.
	typed := func(s string) {
		if _, err := io.WriteString(d.near, s); err != nil {
			t.Error(err)
		}
	}
	for i := range 40 {
		p.Send(shadeMsg(i))
		if i%4 == 0 {
			typed("nn")
		}
	}
	if _, err := screen.Write([]byte("\x1b[c")); err != nil {
		t.Error(err)
	}
	answered.Wait()
	want.shade, want.keys = 39, strings.Repeat("n", 20)
	d.eventually(want, "after a held key")

	d.resize(41, 12)
	p.Send(shadeMsg(60))
	typed("\x1b")
	d.resize(97, 50)
	p.Send(shadeMsg(61))
	want = studio{w: 97, h: 50, shade: 61, keys: want.keys + "esc"}
	d.eventually(want, "after two sizes")
	d.resize(64, 18)
	want.w, want.h = 64, 18
	d.eventually(want, "after a smaller size")

	p.Send(tea.ClearScreen())
	d.eventually(want, "after a cleared screen")
	p.Send(tea.ExitAltScreen())
	p.Send(shadeMsg(99))
	p.Send(tea.EnterAltScreen())
	want.shade = 99
	d.eventually(want, "after a pause")

	typed("q")
	if last := <-done; !strings.HasSuffix(last.keys, "escq") {
		t.Errorf("keys at the end %q", last.keys)
	}
	before := d.written()
	var g cells.Grid
	cells.Encode(&g, picture(image.Pt(40, 10), 7), cells.TrueColour)
	if err := screen.Paint(&g, image.Point{}); err != nil {
		t.Error(err)
	}
	if n := d.written(); n != before {
		t.Errorf("%d bytes painted after the end", n-before)
	}
}

// written waits until the terminal has read what was sent and returns its bytes.
func (d *desk) written() int {
	last := -1
	for {
		time.Sleep(30 * time.Millisecond)
		d.mu.Lock()
		n := d.bytes
		d.mu.Unlock()
		if n == last {
			return n
		}
		last = n
	}
}
