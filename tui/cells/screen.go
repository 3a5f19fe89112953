package cells

import (
	"bytes"
	"fmt"
	"image"
	"io"
	"sync"
	"time"
)

// Screen is the writer that both Bubble Tea and we write to. Bubble Tea gets it
// as its output and writes the text; Paint puts the picture into the band, the
// part of the screen that is ours, and sends only the cells that differ from
// what the terminal shows. One lock is held by either, so neither ever writes
// into the middle of the other.
//
// What Bubble Tea writes is read along. Where it clears or overwrites cells of
// the band (a cleared screen, the alternate screen entered again after a pause,
// a row wiped to its end) those cells are painted again in the same write. Rows of
// the view that lie under the band never change, so that it leaves them alone.
//
// On a terminal that answers (see SetAsk) frames are only sent as fast as the
// line takes them. While it is full Paint keeps the newest picture, which goes
// out when an answer says that there is room, so a line never has a backlog. What
// Bubble Tea writes is never held back.
//
// Nothing is painted outside the alternate screen, after Close, or after a
// failed write. A Screen is safe for concurrent use.
type Screen struct {
	mu  sync.Mutex
	out io.Writer

	size  image.Point     // of the terminal; zero: not told
	band  image.Rectangle // in cells of the terminal
	want  []Cell          // what the band shall show, row-major
	known []Cell          // what the terminal is known to show there
	owed  bool            // some cell of known may differ from want
	loose bool            // some may, by no more than the tolerance that it was sent with

	lossy   bool      // want may be painted within a tolerance while pictures follow each other
	level   int       // the tolerance to begin with, an index of tolerances
	labs    *labs     // made when it is needed
	spare   []Cell    // known before a frame that may be too large
	painted time.Time // the last Paint
	since   time.Time // the first Paint that was not sent yet; zero: all are

	flow flow
	pump pump

	follow follower // reads along with Bubble Tea
	pen    pen
	buf    []byte

	synced, repeats bool
	shifts          bool
	closed, failed  bool
	leaving         bool
	err             error // of a frame that no Paint sent
	frames, bytes   uint64
}

// NewScreen returns a Screen that writes to out, with no band. If out is a file
// the Screen has its descriptor, so that Bubble Tea sees the terminal.
func NewScreen(out io.Writer) *Screen {
	return &Screen{out: out, shifts: true, pump: pump{clock: realClock{}}}
}

// Fd returns the descriptor of the underlying file, or one that is no terminal.
func (s *Screen) Fd() uintptr {
	if f, ok := s.out.(interface{ Fd() uintptr }); ok {
		return f.Fd()
	}
	return ^uintptr(0)
}

// Name returns the name of the underlying file, if it is one.
func (s *Screen) Name() string {
	if f, ok := s.out.(interface{ Name() string }); ok {
		return f.Name()
	}
	return ""
}

// Read reads from the underlying file. Nobody does; it makes a Screen a file in
// the eyes of Bubble Tea, which else would not take it for a terminal.
func (s *Screen) Read(p []byte) (int, error) {
	if r, ok := s.out.(io.Reader); ok {
		return r.Read(p)
	}
	return 0, io.EOF
}

// Close ends painting for good. The underlying file stays open: it is the
// caller's, and Bubble Tea still has to restore the terminal.
func (s *Screen) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.closed = true
	s.disarm()
	return nil
}

// SetSync says whether the terminal takes a frame as one (mode 2026). Ask it
// first: an answer is needed, since some print the request.
func (s *Screen) SetSync(on bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.synced = on
}

// SetRepeat says whether the terminal can repeat a blank (CSI b), which saves a
// tenth to a half on plans and nothing on photographs.
func (s *Screen) SetRepeat(on bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.repeats = on
}

// SetShift says whether the terminal may be told to move what it shows when a
// picture has moved by some cells, which is the case at first. It takes only
// orders of the VT102, but a terminal that gets them wrong shows torn pictures.
func (s *Screen) SetShift(on bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.shifts = on
}

// Resize tells the size of the terminal, w by h cells (0 by 0: not known).
// Call it at each report of a size, also an unchanged one: whatever the
// terminal showed is no longer relied on. The band is not moved, but nothing
// outside the terminal is painted.
func (s *Screen) Resize(w, h int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.size = image.Pt(max(w, 0), max(h, 0))
	s.forget()
	s.follow.lose()
}

// Invalidate says that the terminal may show anything. The next write, ours or
// Bubble Tea's, paints the whole band.
func (s *Screen) Invalidate() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.forget()
}

// SetBand makes r, in cells of the terminal, the part of the screen that is
// painted; an empty r ends painting until the next. Cells in both the old and
// the new band keep what they show, others are blank until they are painted.
// Nothing is written yet: the next Paint, or the view that changes with the
// layout, brings it. It panics on a band above or left of the screen.
func (s *Screen) SetBand(r image.Rectangle) {
	if r = r.Canon(); r.Min.X < 0 || r.Min.Y < 0 {
		panic(fmt.Sprintf("cells: band at %v", r.Min))
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if r == s.band {
		return
	}
	w, n := r.Dx(), r.Dx()*r.Dy()
	want, known := make([]Cell, n), make([]Cell, n)
	fill(want, Cell{Glyph: Blank})
	keep := r.Intersect(s.band)
	for y := keep.Min.Y; y < keep.Max.Y; y++ {
		from := (y-s.band.Min.Y)*s.band.Dx() + keep.Min.X - s.band.Min.X
		to := (y-r.Min.Y)*w + keep.Min.X - r.Min.X
		copy(want[to:to+keep.Dx()], s.want[from:])
		copy(known[to:to+keep.Dx()], s.known[from:])
	}
	s.band, s.want, s.known, s.owed = r, want, known, true
}

// Paint makes the band show g with its upper left cell at cell at of the
// terminal, and writes what has to change in one write, or later if the line is
// full. What of g lies outside the band is cut off, so a picture made for an
// older layout does no harm; what of the band lies outside g stays as it is. g
// may be used again at once. Outside the alternate screen the picture is only
// kept, to be painted when it is entered. An error of the terminal is returned
// once; then nothing is painted.
func (s *Screen) Paint(g *Grid, at image.Point) error { return s.paint(g, at, false) }

// PaintLossy is Paint for a photograph: on a line that is slow against it the
// picture may be off within a tolerance in OKLab, chosen by the Screen, while
// pictures follow each other, and becomes exact by itself once none has come for
// Rest. On a fast line, and in cells of other colours than exact ones, it is
// Paint. It is not for pictures of few values.
func (s *Screen) PaintLossy(g *Grid, at image.Point) error { return s.paint(g, at, true) }

func (s *Screen) paint(g *Grid, at image.Point, lossy bool) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.err; err != nil {
		s.err = nil
		return fmt.Errorf("painting on the terminal: %w", err)
	}
	if s.closed || s.failed {
		return nil
	}
	r := image.Rectangle{Min: at, Max: at.Add(g.Size())}.Intersect(s.band)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		src := g.Row(y - at.Y)[r.Min.X-at.X:]
		to := (y-s.band.Min.Y)*s.band.Dx() + r.Min.X - s.band.Min.X
		for i := range s.want[to : to+r.Dx()] {
			s.want[to+i] = src[i].canon()
		}
	}
	now := s.pump.clock.Now()
	s.owed = s.owed || !r.Empty()
	s.lossy, s.painted = lossy, now
	if s.since.IsZero() && s.owed {
		s.since = now
	}
	if err := s.advance(now); err != nil {
		s.err = nil
		return fmt.Errorf("painting on the terminal: %w", err)
	}
	return nil
}

// Sent returns how many frames were painted and the bytes that they took,
// including text of Bubble Tea that went out with one.
func (s *Screen) Sent() (frames, bytes uint64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.frames, s.bytes
}

// Write passes p on to the terminal, followed in the same write by the cells of
// the band that p wiped.
func (s *Screen) Write(p []byte) (n int, err error) {
	defer s.guard(func() { n, err = 0, io.ErrClosedPipe })
	if bytes.Contains(p, leave) {
		s.leaves()
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.pump.clock.Now()
	s.takeAnswers(now)
	between := s.follow.between()
	s.scan(p)
	switch part := s.part(now); {
	case part == noPart || s.follow.entering:
		if _, err = s.out.Write(s.hailed(p, now)); err == nil {
			s.flow.unasked += len(p)
		}
	case between:
		err = s.send(p, part, now)
	default:
		// p began inside a sequence: nothing may stand before it.
		if _, err = s.out.Write(p); err == nil {
			s.flow.unasked += len(p)
			err = s.send(nil, part, now)
		}
	}
	if err != nil {
		s.failed = true
		return 0, err
	}
	s.arm(now)
	return len(p), nil
}

// hailed returns p with the first question behind it if that is due.
func (s *Screen) hailed(p []byte, now time.Time) []byte {
	if !s.flow.hail || !s.follow.between() {
		return p
	}
	s.flow.unasked += len(question)
	s.flow.ask(now, false, time.Time{})
	return append(bytes.Clone(p), question...)
}

// forget makes every cell of the band one that the terminal is not known to show.
func (s *Screen) forget() {
	clear(s.known)
	s.owed, s.loose = true, false
}

// spoil does so for columns from to to of a row of the terminal.
func (s *Screen) spoil(row, from, to int) {
	if row < s.band.Min.Y || row >= s.band.Max.Y {
		return
	}
	from, to = max(from, s.band.Min.X), min(to, s.band.Max.X)
	if from >= to {
		return
	}
	i := (row-s.band.Min.Y)*s.band.Dx() - s.band.Min.X
	clear(s.known[i+from : i+to])
	s.owed = true
}
