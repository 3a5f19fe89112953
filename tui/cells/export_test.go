package cells

// Tolerances returns the tolerances that a frame may be painted with.
func Tolerances() []float64 { return tolerances[:] }

// Loosen makes the next lossy frame of s one of a tolerance, as on a line that
// has just room for it.
func Loosen(s *Screen, level int) {
	s.flow = flow{on: true, perByte: 1e-9, trip: 1}
	s.level = level
}
