package cells_test

import (
	"bytes"
	"image"
	"strings"
	"sync"
	"testing"
	"time"

	"atelier/halflid/tui/cells"
)

// A panic while the Screen paints by itself is reported, nothing more is
// painted, and what Bubble Tea writes to restore the terminal still passes.
func TestPanicOfThePainter(t *testing.T) {
	out := new(tape)
	h := newHours()
	s := cells.NewScreen(out)
	s.SetClock(h)
	s.SetAsk(true)
	s.SetBand(image.Rect(0, 0, 4, 2))
	var said []string
	s.OnPanic(func(v any, trace string) {
		said = append(said, v.(string))
		if !strings.Contains(trace, "pump_test.go") {
			t.Error("the trace does not lead to the place")
		}
	})
	write(t, s, "\x1b[?1049h", "\x1b[2J")
	if err := s.Paint(flat(white), image.Point{}); err != nil {
		t.Fatal(err)
	}
	s.SetFault(func(place string) { panic("asked for in " + place) })
	s.Answered()
	h.pass(0)
	if len(said) != 1 || said[0] != "asked for in painter" {
		t.Fatalf("reported %q", said)
	}
	out.take()
	if err := s.Paint(flat(black), image.Point{}); err != nil {
		t.Error(err)
	}
	write(t, s, "\x1b[?25h", "\x1b[?1049l")
	want(t, out, "after the panic", "\x1b[?25h", "\x1b[?1049l")
	h.pass(time.Minute)
	want(t, out, "later")
}

// panicking is a terminal whose next write panics.
type panicking struct {
	tape
	armed bool
}

func (p *panicking) Write(b []byte) (int, error) {
	if p.armed {
		p.armed = false
		panic("no terminal")
	}
	return p.tape.Write(b)
}

// Bubble Tea writes from a goroutine of its own that nobody guards.
func TestPanicInAWriteOfBubbleTea(t *testing.T) {
	out := new(panicking)
	s := cells.NewScreen(out)
	s.SetBand(image.Rect(0, 0, 4, 2))
	said := 0
	s.OnPanic(func(any, string) { said++ })
	write(t, s, "\x1b[?1049h", "\x1b[2J")
	out.armed = true
	if n, err := s.Write([]byte("tide")); n != 0 || err == nil || said != 1 {
		t.Errorf("Write = %d, %v, reported %d times", n, err, said)
	}
	out.take()
	write(t, s, "\x1b[?1049l")
	want(t, &out.tape, "the end", "\x1b[?1049l")
}

// Before the alternate screen is left the answers that are still to come can be
// waited for, and none is asked for after that, until it is entered again.
func TestLeaving(t *testing.T) {
	out := new(tape)
	h := newHours()
	s := cells.NewScreen(out)
	s.SetClock(h)
	s.SetAsk(true)
	s.SetBand(image.Rect(0, 0, 4, 2))
	write(t, s, "\x1b[?1049h", "\x1b[2J")
	if err := s.Paint(flat(white), image.Point{}); err != nil {
		t.Fatal(err)
	}
	calls := 0
	s.OnLeave(func() {
		calls++
		for _, w := range out.writes {
			if strings.Contains(w, "\x1b[?1049l") {
				t.Error("left before the answers were waited for")
			}
		}
		if calls == 1 && s.Unanswered() != 1 {
			t.Errorf("%d answers to come", s.Unanswered())
		}
		if err := s.Paint(flat(black), image.Point{}); err != nil {
			t.Error(err)
		}
		s.Answered()
		if s.Unanswered() != 0 {
			t.Errorf("%d answers to come after the last", s.Unanswered())
		}
		h.pass(time.Second)
	})
	out.take()
	write(t, s, "\x1b[?1049l")
	want(t, out, "leaving", "\x1b[?1049l")
	if calls != 1 {
		t.Errorf("called %d times", calls)
	}
	write(t, s, "\x1b[?1049h", "\x1b[2J")
	if got := out.take(); len(got) != 2 || !strings.HasSuffix(got[1], "\x1b[c") {
		t.Errorf("back again: %q", got)
	}
}

// echo answers each question from a goroutine of its own, as a terminal does.
type echo struct {
	mu  sync.Mutex
	buf bytes.Buffer
	ask chan struct{}
}

func (e *echo) Write(p []byte) (int, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	for range bytes.Count(p, []byte("\x1b[c")) {
		e.ask <- struct{}{}
	}
	return e.buf.Write(p)
}

// With the real clock, answers, text and pictures from four goroutines: no text
// is torn, and the last picture arrives without anyone asking for it.
func TestAnswersFromAnotherGoroutine(t *testing.T) {
	out := &echo{ask: make(chan struct{}, 10000)}
	s := cells.NewScreen(out)
	s.SetAsk(true)
	s.Hail()
	s.SetBand(image.Rect(0, 0, 40, 10))
	var answers, work sync.WaitGroup
	answers.Add(1)
	go func() {
		defer answers.Done()
		for range out.ask {
			time.Sleep(200 * time.Microsecond)
			s.Answered()
		}
	}()
	write(t, s, "\x1b[?1049h", "\x1b[2J")
	work.Add(2)
	go func() {
		defer work.Done()
		var g cells.Grid
		for i := range 150 {
			cells.Encode(&g, window(scene(60, 40), i%20, i%20, 40, 20), cells.TrueColour)
			if err := s.PaintLossy(&g, image.Point{}); err != nil {
				t.Error(err)
			}
		}
		g.Reshape(40, 10)
		for i := range g.Cells {
			g.Cells[i] = cells.Halves(cells.Exact(sky), cells.Exact(sky))
		}
		if err := s.PaintLossy(&g, image.Point{}); err != nil {
			t.Error(err)
		}
	}()
	go func() {
		defer work.Done()
		for range 300 {
			if _, err := s.Write([]byte("\x1b[12;1H<tide out>\x1b[K")); err != nil {
				t.Error(err)
			}
		}
	}()
	work.Wait()
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(time.Millisecond) {
		out.mu.Lock()
		blue := strings.Contains(out.buf.String(), "48;2;120;160;200m")
		out.mu.Unlock()
		if blue && s.Unanswered() == 0 {
			break
		}
		if time.Now().After(end) {
			t.Fatal("the last picture did not arrive")
		}
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	out.mu.Lock()
	texts := strings.Count(out.buf.String(), "\x1b[12;1H<tide out>\x1b[K")
	out.mu.Unlock()
	if texts != 300 {
		t.Errorf("%d of 300 texts whole", texts)
	}
	close(out.ask)
	answers.Wait()
}
