package cells

import "time"

// part is what of a picture a frame brings.
type part int

const (
	noPart    part = iota
	allPart        // all that differs
	wipedPart      // what Bubble Tea has wiped
	finePart       // what is off within a tolerance, some rows at a time
)

// Rest is how long no picture must have come before one that was painted within
// a tolerance is made exact.
const Rest = 80 * time.Millisecond

// ready reports whether the terminal may be painted on.
func (s *Screen) ready() bool {
	return s.follow.alt && s.follow.between() && !s.closed && !s.failed && !s.leaving
}

// part returns what may be sent now.
func (s *Screen) part(now time.Time) part {
	if !s.ready() || !s.owed && !s.loose {
		return noPart
	}
	room, _ := s.flow.room(now)
	switch {
	case s.owed && room:
		return allPart
	case s.owed && s.fewWiped():
		return wipedPart
	case !s.owed && room && now.Sub(s.painted) >= Rest:
		return finePart
	}
	return noPart
}

// fewWiped reports whether some cells, and not many, are not known: so few that
// they are painted at once even on a line that is full, lest the picture has holes.
func (s *Screen) fewWiped() bool {
	n := 0
	for _, c := range s.known {
		if c == (Cell{}) {
			n++
		}
	}
	return n > 0 && 8*n <= len(s.known)
}

// send writes text and then a part of the picture, as one write. It must only
// be called when ready.
func (s *Screen) send(text []byte, what part, now time.Time) error {
	const begin, end = "\x1b[?2026h", "\x1b[?2026l"
	s.pen.buf = s.buf[:0]
	if s.synced {
		s.pen.buf = append(s.pen.buf, begin...)
	}
	s.pen.buf = append(s.pen.buf, text...)
	n := s.appendPart(what)
	if n > 0 && s.synced {
		s.pen.buf = append(s.pen.buf, end...)
	}
	out := s.pen.buf
	if n == 0 {
		out = append(out[:0], text...)
	}
	ask := n > 0 && s.flow.on || s.flow.hail
	if ask {
		out = append(out, question...)
	}
	s.buf = out
	since := s.since
	if what == allPart {
		s.since = time.Time{}
	}
	if len(out) == 0 {
		return nil
	}
	if n > 0 {
		s.frames++
		s.bytes += uint64(len(out))
	}
	s.flow.unasked += len(out)
	if ask {
		s.flow.ask(now, n > 0, since)
	}
	if _, err := s.out.Write(out); err != nil {
		s.failed = true
		return err
	}
	return nil
}

// appendPart appends a part of the picture and returns the number of cells.
func (s *Screen) appendPart(what part) int {
	budget := s.flow.budget()
	switch {
	case what == wipedPart:
		n, _ := s.appendFrame(stroke{wiped: true})
		return n
	case what == finePart:
		n, whole := s.appendFrame(stroke{limit: budget})
		s.loose = !whole
		return n
	case s.lossy && budget > 0:
		n := s.appendWithin(budget)
		s.owed = false
		return n
	}
	n, _ := s.appendFrame(stroke{})
	s.owed, s.loose, s.level = false, false, 0
	return n
}

// appendWithin appends the picture at the least tolerance that keeps the frame
// within a budget of bytes, or at the largest. It begins with the one that the
// last frame took, or with the one below if that was small.
func (s *Screen) appendWithin(budget int) int {
	if s.labs == nil {
		s.labs = new(labs)
	}
	begun := len(s.pen.buf)
	follow := s.follow
	s.spare = append(s.spare[:0], s.known...)
	for {
		n, _ := s.appendFrame(stroke{tol: tolerances[s.level]})
		size := len(s.pen.buf) - begun
		s.loose = s.level > 0
		if size <= budget || s.level == len(tolerances)-1 {
			if 3*size < budget && s.level > 0 {
				s.level--
			}
			return n
		}
		s.level = min(s.level+1+size/(3*budget), len(tolerances)-1)
		copy(s.known, s.spare)
		s.pen.buf, s.follow = s.pen.buf[:begun], follow
	}
}
