package mass

// sides notes for each of a number of shapes which sides of which pairs it
// holds: for every pair a bit of side A and one of side B.
type sides struct {
	words int // of each side
	bits  []uint64
}

func newSides(shapes, pairs int) *sides {
	words := (pairs + 63) / 64
	return &sides{words, make([]uint64, 2*words*shapes)}
}

// of returns the bits of shape i: those of the sides A, then those of B.
func (s *sides) of(i int32) []uint64 { return s.bits[2*s.words*int(i):][:2*s.words] }

// set notes that shape i holds side 0 or 1 of a pair, or that it does not.
func (s *sides) set(i int32, pair, side int, holds bool) {
	w, bit := &s.of(i)[side*s.words+pair/64], uint64(1)<<(pair%64)
	if *w &^= bit; holds {
		*w |= bit
	}
}

// unite adds the bits of from to those of to.
func unite(to, from []uint64) {
	for i, w := range from {
		to[i] |= w
	}
}

// clash says whether bits hold both sides of a pair.
func clash(bits []uint64) bool {
	n := len(bits) / 2
	for i, w := range bits[:n] {
		if w&bits[n+i] != 0 {
			return true
		}
	}
	return false
}

// gather returns the bits of n shapes, each made of those that lead to it.
func (s *sides) gather(lead []int32, n int) *sides {
	out := &sides{s.words, make([]uint64, 2*s.words*n)}
	for i, k := range lead {
		unite(out.of(k), s.of(int32(i)))
	}
	return out
}
