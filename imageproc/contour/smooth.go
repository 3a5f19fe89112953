package contour

import "math"

// knot is a place on a side of the polygon where curves may be joined: the side's
// direction is theirs.
type knot struct {
	at, way Point
	along   float64 // of the pixel border
	poly    float64 // of the polygon
	next    int     // the corner that follows; the last knot of a run: the one before it
	plain   bool    // the stretch to the next knot is part of a long side: straight
	sample  int     // the first sample at or after it
}

// smoother draws one border; its memory is used again for the next.
type smoother struct {
	b       *border
	v       []corner
	samples []sample
	knots   []knot
	loose   []knot
	joined  []sample
	seam    bool // the border is a smooth loop that begins in the middle of a side
}

const (
	// sampleEvery is how far apart the samples are, in pixels of the polygon.
	sampleEvery = 3
	// leastPlain is how long the middle of a side must be, in pixels and as a part
	// of it, to be straight among curves.
	leastPlain, plainPart = 8, 0.4
	// mostTurn is how far one curve may turn, in radians: a cubic follows a
	// quarter of a circle to 3 parts in 10000.
	mostTurn = 1.9
)

// draw sets the border's segments from its polygon.
func (d *smoother) draw(b *border, joints []joint) {
	d.b = b
	d.v = b.cornersAt(joints)
	d.seam = false
	if b.closed {
		d.turnToCorner()
	}
	b.begin = d.v[0].along
	d.curves()
	if d.level() {
		d.curves()
	}
}

// curves draws the polygon as it stands.
func (d *smoother) curves() {
	d.b.segments, d.b.reach = d.b.segments[:0], d.b.reach[:0]
	d.measure()
	for i := 0; i+1 < len(d.v); {
		j := i + 1
		for j+1 < len(d.v) && !d.v[j].sharp {
			j++
		}
		d.run(i, j)
		i = j
	}
}

// turnToCorner begins a closed polygon at a corner that stays one; if it has
// none, in the middle of its longest side, where curves meet without a kink.
func (d *smoother) turnToCorner() {
	m := len(d.v) - 1
	first := -1
	for i := 0; i < m && first < 0; i++ {
		if d.v[i].sharp {
			first = i
		}
	}
	total := d.b.length()
	turned := make([]corner, 0, m+3)
	rest := func(from int) {
		for k := range m {
			c := d.v[(from+k)%m]
			if from+k >= m {
				c.along += total
			}
			turned = append(turned, c)
		}
	}
	if first >= 0 {
		rest(first)
		end := turned[0]
		end.along += total
		d.v = append(turned, end)
		return
	}
	long, most := 0, -1.0
	for i := range m {
		if l := distance(d.v[i].at, d.v[i+1].at); l > most {
			long, most = i, l
		}
	}
	a, c := d.v[long], d.v[long+1]
	middle := corner{between(a.at, c.at, 0.5), (a.along + c.along) / 2, true, min(a.aim, c.aim)}
	turned = append(turned, middle)
	rest(long + 1)
	middle.along += total
	d.seam = true
	d.v = append(turned, middle)
}

// measure takes samples of the pixel border, evenly along the polygon: its
// length is nearly that of the smooth line, which the pixel sides' is not.
func (d *smoother) measure() {
	d.samples = d.samples[:0]
	way := 0.0
	for i := 0; i+1 < len(d.v); i++ {
		a, c := &d.v[i], &d.v[i+1]
		l := distance(a.at, c.at)
		n := max(2, int(l/sampleEvery+0.5))
		for k := range n {
			f := (float64(k) + 0.5) / float64(n)
			// The middles of pixel sides lie evenly on both sides of a smooth line.
			s := math.Floor(a.along+float64(f*(c.along-a.along))) + 0.5
			d.samples = append(d.samples, sample{d.b.pointAt(s), way + f*l})
		}
		way += l
	}
}

// run draws from one corner that stays to the next.
func (d *smoother) run(i, j int) {
	if j == i+1 {
		d.put(straight(d.v[i].at, d.v[j].at), d.v[j].along)
		return
	}
	d.tie(i, j)
	d.loosen()
	for k := 0; k+1 < len(d.knots); {
		if d.knots[k].plain {
			d.put(straight(d.knots[k].at, d.knots[k+1].at), d.knots[k+1].along)
			k++
			continue
		}
		s := d.span(k, k+1)
		c, ok := s.fit()
		if !ok {
			c = s.round(d.v[d.knots[k].next].at)
		}
		end, turn := k+1, d.turn(k)
		misses := 0
		for e := k + 2; e < len(d.knots) && !d.knots[e-1].plain && misses < 2; e++ {
			if turn += d.turn(e - 1); turn > mostTurn {
				break
			}
			s := d.span(k, e)
			if longer, ok := s.fit(); ok {
				c, end, misses = longer, e, 0
			} else {
				misses++
			}
		}
		d.put(c, d.knots[end].along)
		k = end
	}
}

func (d *smoother) put(s Segment, along float64) {
	d.b.segments = append(d.b.segments, s)
	d.b.reach = append(d.b.reach, along)
}
