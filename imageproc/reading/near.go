package reading

import "math"

// nearTouches finds shapes that almost touch.
func (s *scene) nearTouches() []Touch {
	var seen []sight
	far := int(math.Ceil(almost * s.long * math.Sqrt2))
	whole := make([]int32, len(s.share)) // each shape by itself
	for i := range whole {
		whole[i] = int32(i)
	}
	for _, c := range s.cracks {
		for _, way := range []int{1, -1} {
			from, over := c.a, c.b
			if way < 0 {
				from, over = c.b, c.a
			}
			if s.share[from] < leastTouch {
				continue
			}
			s.look(c, way, far, func(at int) bool { return s.d.Map.Pix[at] == over }, func(at int, t sight) {
				to := s.d.Map.Pix[at]
				if to != from && s.share[to] >= leastTouch && s.tone[to] != s.tone[from] && !touch(s.pairs, from, to) {
					t.a, t.c = min(from, to), max(from, to)
					seen = append(seen, t)
				}
			})
		}
	}
	var out []Touch
	for _, g := range s.narrowest(seen, whole, almost*s.long, far) {
		if g.extent <= touchLong*s.long {
			out = append(out, Touch{int(g.a), int(g.c), g.width / s.long, s.at(g.at.x, g.at.y), s.on(int(g.a)), s.on(int(g.c))})
		}
	}
	return out
}
