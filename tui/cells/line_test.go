package cells_test

import (
	"bytes"
	"image"
	"slices"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"

	"atelier/halflid/imageproc"
	"atelier/halflid/tui/cells"
)

// hours is a clock that stands still unless it is told to go on.
type hours struct {
	now  time.Time
	due  []*alarm
	last int
}

type alarm struct {
	at   time.Time
	n    int
	f    func()
	dead bool
}

func newHours() *hours { return &hours{now: time.Date(2024, 5, 1, 6, 0, 0, 0, time.UTC)} }

func (h *hours) Now() time.Time { return h.now }

func (h *hours) After(d time.Duration, f func()) func() {
	h.last++
	a := &alarm{at: h.now.Add(d), n: h.last, f: f}
	h.due = append(h.due, a)
	return func() { a.dead = true }
}

// pass lets a time pass, with everything that falls into it.
func (h *hours) pass(d time.Duration) {
	end := h.now.Add(d)
	for {
		var next *alarm
		h.due = slices.DeleteFunc(h.due, func(a *alarm) bool { return a.dead })
		for _, a := range h.due {
			if !a.at.After(end) && (next == nil || a.at.Before(next.at) || a.at.Equal(next.at) && a.n < next.n) {
				next = a
			}
		}
		if next == nil {
			h.now = end
			return
		}
		next.dead = true
		if next.at.After(h.now) {
			h.now = next.at
		}
		next.f()
	}
}

// line is a terminal at the end of a slow line with a buffer without end.
type line struct {
	t      *testing.T
	clock  *hours
	screen *cells.Screen
	rate   float64       // bytes a second
	delay  time.Duration // one way
	emu    *vt.Emulator

	free    time.Time // when the line has sent all that was written
	stopped bool
	held    []func() // what arrived while it was stopped
	mute    bool

	bytes, asked int
	queue, most  int // frames on their way, and the most of them at once
	paint, shown int // the newest picture painted and the newest shown
	ages         []time.Duration
	wanted       map[int]time.Time
}

func newLine(t *testing.T, w, h int, rate float64, delay time.Duration) *line {
	l := &line{t: t, clock: newHours(), rate: rate, delay: delay, emu: vt.NewEmulator(w, h), wanted: map[int]time.Time{}}
	l.screen = cells.NewScreen(l)
	l.screen.SetClock(l.clock)
	l.screen.SetAsk(true)
	l.screen.Hail()
	l.screen.Resize(w, h)
	l.screen.SetBand(image.Rect(0, 0, w, h))
	write(t, l.screen, "\x1b[?1049h", "\x1b[2J", "\x1b[H")
	l.clock.pass(time.Second)
	return l
}

func (l *line) Write(p []byte) (int, error) {
	begin := l.clock.now
	if l.free.After(begin) {
		begin = l.free
	}
	l.free = begin.Add(time.Duration(float64(len(p)) / l.rate * float64(time.Second)))
	// The emulator's own answer would wait for a reader.
	data, frame := bytes.ReplaceAll(p, []byte("\x1b[c"), nil), l.paint
	l.bytes += len(p)
	questions := bytes.Count(p, []byte("\x1b[c"))
	l.asked += questions
	if questions > 0 {
		l.queue++
		l.most = max(l.most, l.queue)
	}
	l.clock.After(l.free.Add(l.delay).Sub(l.clock.now), func() {
		arrive := func() {
			_, _ = l.emu.Write(data)
			l.shown = max(l.shown, frame)
			for range questions {
				l.queue--
				if !l.mute {
					l.clock.After(l.delay, l.screen.Answered)
				}
			}
		}
		if l.stopped {
			l.held = append(l.held, arrive)
			return
		}
		arrive()
	})
	return len(p), nil
}

// goesOn lets what was held arrive.
func (l *line) goesOn() {
	l.stopped = false
	for _, f := range l.held {
		f()
	}
	l.held = nil
}

// hold paints n pictures, one each pace, and looks at the age of what is shown
// each ms, from the first of them on.
func (l *line) hold(n int, pace time.Duration, lossy bool, picture func(i int) imageproc.Raster) {
	l.t.Helper()
	var g cells.Grid
	before := l.paint
	for i := range n {
		l.paint++
		l.wanted[l.paint] = l.clock.now
		cells.Encode(&g, picture(i), cells.TrueColour)
		show := l.screen.Paint
		if lossy {
			show = l.screen.PaintLossy
		}
		if err := show(&g, image.Point{}); err != nil {
			l.t.Fatal(err)
		}
		for range pace / time.Millisecond {
			l.clock.pass(time.Millisecond)
			if l.shown > before {
				l.ages = append(l.ages, l.clock.now.Sub(l.wanted[l.shown]))
			}
		}
	}
}

// arrives waits until all that was painted has arrived and been answered.
func (l *line) arrives() {
	l.t.Helper()
	for n := 0; l.queue > 0 || l.screen.Unanswered() > 0; n++ {
		if n > 20000 {
			l.t.Fatal("frames do not arrive")
		}
		l.clock.pass(time.Millisecond)
	}
}

func (l *line) age(q float64) time.Duration {
	s := slices.Clone(l.ages)
	slices.Sort(s)
	return s[min(int(q*float64(len(s))), len(s)-1)]
}

// exact fails unless the terminal shows r.
func (l *line) exact(r imageproc.Raster) {
	l.t.Helper()
	if n, at := l.wrong(r); n > 0 {
		l.t.Errorf("%d cells are not as wanted, the first at %v", n, at)
	}
}

func (l *line) wrong(r imageproc.Raster) (n int, first image.Point) {
	var g cells.Grid
	cells.Encode(&g, r, cells.TrueColour)
	for y := range g.H {
		for x := range g.W {
			if lookOf(l.emu.CellAt(x, y)) != wanted(g.At(x, y)) {
				if n == 0 {
					first = image.Pt(x, y)
				}
				n++
			}
		}
	}
	return n, first
}

const key = 33 * time.Millisecond // a key held at 30 a second

// squints are pictures as a held squint key brings them.
func squints(w, h, n int) func(i int) imageproc.Raster {
	r := scene(w, h)
	all := make([]imageproc.Raster, n)
	for i := range all {
		all[i] = soft(r, 2+float64(i)/6)
	}
	return func(i int) imageproc.Raster { return all[i%n] }
}

// soft is r blurred by three boxes of about radius k; fractions mix two radii.
func soft(r imageproc.Raster, k float64) imageproc.Raster {
	a, b := boxed(r, int(k)), boxed(r, int(k)+1)
	f := k - float64(int(k))
	for i := range a.Pix {
		a.Pix[i] = uint8(float64(a.Pix[i])*(1-f) + float64(b.Pix[i])*f + 0.5)
	}
	return a
}

func boxed(r imageproc.Raster, k int) imageproc.Raster {
	out := window(r, 0, 0, r.W, r.H)
	pass := func(n, step, rows, row int) {
		for y := range rows {
			for c := range 3 {
				line := make([]int, n)
				for x := range line {
					line[x] = int(out.Pix[3*(y*row+x*step)+c])
				}
				for x := range line {
					sum := 0
					for d := -k; d <= k; d++ {
						sum += line[min(max(x+d, 0), n-1)]
					}
					out.Pix[3*(y*row+x*step)+c] = uint8(sum / (2*k + 1))
				}
			}
		}
	}
	for range 2 {
		pass(r.W, 1, r.H, r.W)
		pass(r.H, r.W, r.W, 1)
	}
	return out
}
