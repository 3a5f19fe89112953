package reading

// bounds is where a shape lies in pixels, the far edges not included.
type bounds struct{ x0, y0, x1, y1 int }

// boxes returns the bounds of every shape: from its borders and the picture's edge.
func (s *scene) boxes() []bounds {
	out := make([]bounds, len(s.share))
	for i := range out {
		out[i] = bounds{s.w, s.h, 0, 0}
	}
	grow := func(id int32, x, y int) {
		b := &out[id]
		*b = bounds{min(b.x0, x), min(b.y0, y), max(b.x1, x), max(b.y1, y)}
	}
	for _, c := range s.cracks {
		x, y := int(c.x2)/2, int(c.y2)/2
		grow(c.a, x, y)
		grow(c.b, x, y)
		x, y = int(c.x2+1)/2, int(c.y2+1)/2
		grow(c.a, x, y)
		grow(c.b, x, y)
	}
	m := s.d.Map
	for x := range m.W {
		grow(m.Pix[x], x, 0)
		grow(m.Pix[x], x+1, 0)
		grow(m.At(x, m.H-1), x, m.H)
		grow(m.At(x, m.H-1), x+1, m.H)
	}
	for y := range m.H {
		grow(m.Pix[y*m.W], 0, y)
		grow(m.Pix[y*m.W], 0, y+1)
		grow(m.At(m.W-1, y), m.W, y)
		grow(m.At(m.W-1, y), m.W, y+1)
	}
	return out
}
