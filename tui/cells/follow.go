package cells

import (
	"image"
	"unicode/utf8"
)

// follower reads along with Bubble Tea's writes: whether the alternate screen
// is up, where the cursor is, and whether a sequence is still open. The width of
// a letter outside the plain ones is the terminal's affair, so the column is
// kept as a span, lo to hi, that holds it for certain.
type follower struct {
	alt      bool
	entering bool // the last write entered the alternate screen and did not clear it yet
	row      int
	lo, hi   int
	sure     bool // row, lo and hi hold
	wide     bool // a letter that may be wide was written since the screen was cleared

	mode    mode
	private byte
	inner   byte
	params  [4]int
	count   int
	rest    int // bytes of a letter still to come
}

// mode is what the byte to come belongs to.
type mode uint8

const (
	inText mode = iota
	inEscape
	inControl // after CSI
	inString  // an OSC, DCS, APC, PM or SOS until its end
	inStringEscape
)

// unbounded is past any column.
const unbounded = 1 << 30

// between reports whether the terminal is not in the middle of a sequence or
// letter, so that we may write.
func (f *follower) between() bool { return f.mode == inText && f.rest == 0 }

// exact reports whether the cursor's cell is known.
func (f *follower) exact() bool { return f.sure && f.lo == f.hi }

// lose forgets where the cursor is.
func (f *follower) lose() { f.sure = false }

// scan follows p and spoils the cells of the band that it overwrites.
func (s *Screen) scan(p []byte) {
	f := &s.follow
	f.entering = false
	for i := 0; i < len(p); {
		c := p[i]
		if f.mode != inText {
			s.scanEscape(c)
			i++
			continue
		}
		switch {
		case f.rest > 0 && c&0xc0 == 0x80:
			f.rest--
			i++
		case c >= 0x20 && c < 0x7f:
			f.rest = 0
			j := i + 1
			for j < len(p) && p[j] >= 0x20 && p[j] < 0x7f {
				j++
			}
			s.printed(j-i, j-i)
			i = j
		case c >= 0x80:
			i += s.scanLetter(p[i:])
		default:
			f.rest = 0
			s.scanControl(c)
			i++
		}
	}
}

// scanLetter follows the letter at the start of p and returns its length.
func (s *Screen) scanLetter(p []byte) int {
	s.follow.rest = 0
	if !utf8.FullRune(p) {
		switch {
		case p[0] >= 0xf0:
			s.follow.rest = 3
		case p[0] >= 0xe0:
			s.follow.rest = 2
		default:
			s.follow.rest = 1
		}
		s.follow.wide = true
		s.printed(0, 2)
		return 1
	}
	r, n := utf8.DecodeRune(p)
	if narrow(r) {
		s.printed(1, 1)
	} else {
		s.follow.wide = true
		s.printed(0, 2)
	}
	return n
}

// narrow reports whether r is surely one cell wide and joins no other letter:
// Latin, dashes and quotes, arrows, frames and blocks.
func narrow(r rune) bool {
	return r >= 0xa0 && r < 0x300 && r != 0xad ||
		r >= 0x2010 && r <= 0x2027 || r >= 0x2030 && r <= 0x205e ||
		r >= 0x2190 && r <= 0x21ff || r >= 0x2500 && r <= 0x25ff && r != 0x25fd && r != 0x25fe
}

// printed follows text of at least lo and at most hi cells.
func (s *Screen) printed(lo, hi int) {
	f := &s.follow
	if !f.alt {
		return
	}
	if !f.sure {
		s.forget()
		return
	}
	s.spoil(f.row, f.lo, f.hi+hi)
	f.lo, f.hi = f.lo+lo, f.hi+hi
	if s.size.X > 0 && f.lo > s.size.X {
		// It went over the edge into the next row, and may have scrolled.
		s.forget()
		f.lose()
	}
}

func (s *Screen) scanControl(c byte) {
	f := &s.follow
	switch c {
	case 0x1b:
		f.mode = inEscape
	case '\r':
		f.lo, f.hi = 0, 0
	case '\n', '\v', '\f':
		s.down()
	case '\b':
		f.lo, f.hi = max(f.lo-1, 0), max(f.hi-1, 0)
	case '\t':
		f.lo, f.hi = f.lo+1, f.hi+8
	}
}

// down follows a line feed.
func (s *Screen) down() {
	f := &s.follow
	f.row++
	if s.size.Y > 0 && f.row >= s.size.Y {
		s.forget() // scrolled
		f.row = s.size.Y - 1
	}
}

func (s *Screen) scanEscape(c byte) {
	f := &s.follow
	switch f.mode {
	case inEscape:
		s.scanAfterEscape(c)
	case inControl:
		s.scanParams(c)
	case inString:
		switch c {
		case 0x07, 0x18, 0x1a:
			f.mode = inText
		case 0x1b:
			f.mode = inStringEscape
		}
	case inStringEscape:
		f.mode = inText
		if c != '\\' {
			s.scanAfterEscape(c)
		}
	}
}

func (s *Screen) scanAfterEscape(c byte) {
	f := &s.follow
	f.mode = inText
	switch {
	case c == '[':
		f.mode, f.private, f.inner, f.count = inControl, 0, 0, 0
		f.params = [4]int{}
	case c == ']' || c == 'P' || c == '_' || c == '^' || c == 'X':
		f.mode = inString
	case c >= 0x20 && c < 0x30, c == 0x1b:
		f.mode = inEscape // the byte that selects is still to come
	case c == 'D':
		s.down()
	case c == 'E':
		s.down()
		f.lo, f.hi = 0, 0
	case c == 'M' || c == '8':
		s.forget()
		f.lose()
	case c == 'c':
		f.alt = false
		s.forget()
		f.lose()
	}
}

func (s *Screen) scanParams(c byte) {
	f := &s.follow
	switch {
	case c >= '0' && c <= '9':
		if f.count < len(f.params) {
			f.params[f.count] = min(f.params[f.count]*10+int(c-'0'), unbounded)
		}
	case c == ';' || c == ':':
		f.count++
	case c >= 0x3c && c <= 0x3f:
		f.private = c
	case c >= 0x20 && c < 0x30:
		f.inner = c
	case c >= 0x40 && c < 0x7f:
		f.mode = inText
		s.control(c)
	case c == 0x18 || c == 0x1a:
		f.mode = inText
	case c == 0x1b:
		f.mode = inEscape
	case c < 0x20:
		s.scanControl(c)
	}
}

// control follows a complete CSI sequence.
func (s *Screen) control(final byte) {
	f := &s.follow
	if f.private == '?' {
		if final == 'h' || final == 'l' {
			s.setModes(final == 'h')
		}
		return
	}
	if f.private != 0 || f.inner != 0 {
		return
	}
	n := max(f.params[0], 1)
	switch final {
	case 'H', 'f':
		f.row, f.lo, f.sure = n-1, max(f.params[1], 1)-1, true
		f.hi = f.lo
		if s.size != (image.Point{}) {
			f.row, f.lo = min(f.row, s.size.Y-1), min(f.lo, s.size.X-1)
			f.hi = f.lo
		}
	case 'A', 'F':
		f.row = max(f.row-n, 0)
	case 'B', 'E', 'e':
		f.row += n
		if s.size.Y > 0 {
			f.row = min(f.row, s.size.Y-1)
		}
	case 'C', 'a':
		s.right(n)
	case 'D':
		f.lo, f.hi = max(f.lo-n, 0), max(f.hi-n, 0)
	case 'G', '`':
		f.lo, f.hi = n-1, n-1
	case 'd':
		f.row = n - 1
	case 'J':
		s.erased(f.params[0])
	case 'K':
		s.wiped(f.params[0])
	case 'X', 'P', '@':
		s.wiped(0)
	case 'b':
		s.printed(0, 2*n)
	case 'L', 'M', 'S', 'T', 'r', 'u':
		s.forget()
		f.lose()
	}
	if final == 'E' || final == 'F' {
		f.lo, f.hi = 0, 0
	}
}

func (s *Screen) right(n int) {
	f := &s.follow
	f.lo, f.hi = f.lo+n, f.hi+n
	if s.size.X > 0 {
		f.lo, f.hi = min(f.lo, s.size.X-1), min(f.hi, s.size.X-1)
	}
}

// wiped follows an erased part of the row: 0 from the cursor, 1 up to it, 2 all.
func (s *Screen) wiped(part int) {
	f := &s.follow
	switch {
	case !f.sure:
		s.forget()
	case part == 0:
		// Text that filled the row leaves the cursor on its last cell.
		from := f.lo
		if s.size.X == 0 {
			from--
		} else {
			from = min(from, s.size.X-1)
		}
		s.spoil(f.row, from, unbounded)
	case part == 1:
		s.spoil(f.row, 0, f.hi+1)
	default:
		s.spoil(f.row, 0, unbounded)
	}
}

// erased follows an erased part of the screen, numbered like that of a row.
func (s *Screen) erased(part int) {
	f := &s.follow
	f.entering = false
	if !f.sure || part > 1 {
		f.wide = f.wide && part != 2
		s.forget()
		return
	}
	s.wiped(part)
	from, to := f.row+1, s.band.Max.Y
	if part == 1 {
		from, to = s.band.Min.Y, f.row
	}
	for y := from; y < to; y++ {
		s.spoil(y, 0, unbounded)
	}
}

// setModes follows modes being set; only the alternate screen matters. Entering
// it is not answered by a frame at once, since Bubble Tea clears it next.
func (s *Screen) setModes(on bool) {
	f := &s.follow
	for _, m := range f.params[:min(f.count+1, len(f.params))] {
		if m == 1049 || m == 1047 || m == 47 {
			s.leaving = s.leaving && !on
			f.alt, f.entering = on, on
			f.lose()
			s.forget()
		}
	}
}
