package contour

// leaving is the joint that half a chain leaves, and the way.
type leaving struct{ joint, way int }

// end returns the joint where half a chain ends and the way it arrives.
func (m *Map) end(half int32) (joint, way int) {
	l := m.leaves[half^1]
	return l.joint, (l.way + 2) & 3
}

// findRings notes one half of a chain for each ring of each region, its outline
// first.
func (m *Map) findRings() {
	m.leaves = make([]leaving, 2*len(m.Chains))
	for i, j := range m.joints {
		for way, half := range j.halves {
			if half >= 0 {
				m.leaves[half] = leaving{i, way}
			}
		}
	}
	m.starts = make([][]int32, len(m.Regions))
	seen := make([]bool, 2*len(m.Chains))
	for i := range seen {
		region := m.beside(int32(i))
		if seen[i] || region == Outside {
			continue
		}
		m.eachHalf(int32(i), func(half int32) { seen[half] = true })
		starts := append(m.starts[region], int32(i))
		if last := len(starts) - 1; m.ringArea(int32(i)) > 0 {
			starts[0], starts[last] = starts[last], starts[0]
		}
		m.starts[region] = starts
	}
}

// beside returns the region to the right of half a chain.
func (m *Map) beside(half int32) int {
	if c := &m.Chains[half/2]; half&1 == 0 {
		return c.Right
	} else {
		return c.Left
	}
}

// eachHalf visits the halves of the ring that begins with one, the region to the
// right.
func (m *Map) eachHalf(first int32, visit func(half int32)) {
	for half := first; ; {
		visit(half)
		if m.Chains[half/2].Closed {
			return
		}
		joint, way := m.end(half)
		// Pixels that only touch at a corner are not one region: right before left.
		for _, turn := range [3]int{1, 0, 3} {
			if half = m.joints[joint].halves[(way+turn)&3]; half >= 0 {
				break
			}
		}
		if half == first {
			return
		}
	}
}

func (m *Map) ringArea(first int32) float64 {
	area := 0.0
	var o Point
	m.eachHalf(first, func(half int32) {
		if half == first {
			o = m.Chains[half/2].Segments[0].From
		}
		sign := 1.0
		if half&1 == 1 {
			sign = -1
		}
		for _, s := range m.Chains[half/2].Segments {
			area += sign * s.sweep(o)
		}
	})
	return area
}

// ring returns the segments of the ring that begins with half a chain.
func (m *Map) ring(first int32) []Segment {
	var out []Segment
	m.eachHalf(first, func(half int32) {
		s := m.Chains[half/2].Segments
		if half&1 == 0 {
			out = append(out, s...)
			return
		}
		for i := len(s) - 1; i >= 0; i-- {
			out = append(out, s[i].Reverse())
		}
	})
	return out
}

// RegionRings returns the closed rings of a region: its outline, clockwise on the
// screen, and the other way round one for each group of regions that it
// encloses. The segments are those of the chains, in order and direction, those
// along the picture's edge too; they are the caller's. It panics on a region that
// is none.
func (m *Map) RegionRings(region int) [][]Segment {
	var out [][]Segment
	for _, half := range m.starts[region] {
		out = append(out, m.ring(half))
	}
	return out
}

// Rings returns the rings of all regions of a label, region by region; none if no
// pixel has it.
func (m *Map) Rings(label int) [][]Segment {
	var out [][]Segment
	for i, r := range m.Regions {
		if int(r.Label) == label {
			out = append(out, m.RegionRings(i)...)
		}
	}
	return out
}
