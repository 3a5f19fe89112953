package plan

// Has reports whether a place lies in the area, by the even-odd rule. Of two
// areas that meet along a line, a place on the line lies in one of them.
//
// Source: Shimrat 1962, Algorithm 112, Commun. ACM 5 (from memory).
func (a Area) Has(p Point) bool {
	in := false
	for _, ring := range a.Rings() {
		last := ring[len(ring)-1]
		for _, q := range ring {
			if (q.Y > p.Y) != (last.Y > p.Y) && p.X < float64((last.X-q.X)*(p.Y-q.Y))/(last.Y-q.Y)+q.X {
				in = !in
			}
			last = q
		}
	}
	return in
}
