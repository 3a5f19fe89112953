package crops

import (
	"atelier/halflid/imageproc"
)

// crumbShare is the share of the picture below which a shape of a coarse plan is a
// crumb. Source: ours.
const crumbShare = 0.0015

// rounds is how often crumbs are taken in at most: a crumb among crumbs waits
// until one of them is no crumb any more.
const rounds = 4

// shaper finds the shapes of a picture of values. It keeps its scratch memory.
type shaper struct {
	labels imageproc.Labels
	parent []int32
	area   []int32
	value  []int32
	sides  []int32 // by shape and value: length of its border with what is no crumb
}

// shapes takes crumbs into their neighbours, changing values, and returns the
// shape of each pixel, numbered in raster order, and the value of each shape. Both
// hold until the next call. All crumbs of a round change at once, each to the
// value that it touches longest of shapes that are no crumbs (of equals the
// darker), so no order decides.
func (s *shaper) shapes(values imageproc.Labels, k int) (imageproc.Labels, []int32) {
	least := int32(crumbShare * float64(len(values.Pix)))
	for range rounds {
		s.connect(values)
		if !s.takeIn(values, k, least) {
			break
		}
	}
	s.connect(values)
	return s.labels, s.value
}

// takeIn gives crumbs the value of a neighbour and reports whether there were any.
func (s *shaper) takeIn(values imageproc.Labels, k int, least int32) bool {
	n := len(s.value)
	s.sides = append(s.sides[:0], make([]int32, n*k)...)
	any := false
	meet := func(a, b int32) {
		if s.area[a] < least && s.area[b] >= least {
			s.sides[int(a)*k+int(s.value[b])]++
			any = true
		}
	}
	m := s.labels
	for y := range m.H {
		row := m.Row(y)
		for x := 1; x < len(row); x++ {
			if a, b := row[x-1], row[x]; a != b {
				meet(a, b)
				meet(b, a)
			}
		}
		if y == 0 {
			continue
		}
		above := m.Row(y - 1)
		for x, b := range row {
			if a := above[x]; a != b {
				meet(a, b)
				meet(b, a)
			}
		}
	}
	if !any {
		return false
	}
	for i := range n {
		best := int32(0)
		for v, length := range s.sides[i*k : (i+1)*k] {
			if length > best {
				best, s.value[i] = length, int32(v)
			}
		}
	}
	for i, l := range m.Pix {
		values.Pix[i] = s.value[l]
	}
	return true
}

// connect numbers the parts of one value that touch along a side.
//
// Source: two passes with union-find, Rosenfeld and Pfaltz 1966.
func (s *shaper) connect(values imageproc.Labels) {
	s.labels = s.labels.Reshape(values.W, values.H)
	s.parent = s.parent[:0]
	for y := range values.H {
		row, v := s.labels.Row(y), values.Row(y)
		for x, own := range v {
			id := int32(-1)
			if x > 0 && v[x-1] == own {
				id = row[x-1]
			}
			if y > 0 && values.At(x, y-1) == own {
				up := s.labels.At(x, y-1)
				if id < 0 {
					id = up
				} else if up != id {
					s.join(id, up)
				}
			}
			if id < 0 {
				id = int32(len(s.parent))
				s.parent = append(s.parent, id)
			}
			row[x] = id
		}
	}
	s.area, s.value = s.area[:0], s.value[:0]
	for i, p := range s.parent {
		if int(p) == i {
			s.parent[i] = int32(len(s.area))
			s.area, s.value = append(s.area, 0), append(s.value, 0)
		} else {
			s.parent[i] = s.parent[p] // the smaller number stands before: it is final
		}
	}
	for i, p := range s.labels.Pix {
		id := s.parent[p]
		s.labels.Pix[i] = id
		s.area[id]++
		s.value[id] = values.Pix[i]
	}
}

// join makes two provisional numbers one, the smaller.
func (s *shaper) join(a, b int32) {
	for s.parent[a] != a {
		s.parent[a] = s.parent[s.parent[a]]
		a = s.parent[a]
	}
	for s.parent[b] != b {
		s.parent[b] = s.parent[s.parent[b]]
		b = s.parent[b]
	}
	s.parent[max(a, b)] = min(a, b)
}
