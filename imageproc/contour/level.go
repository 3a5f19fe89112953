package contour

import "math"

// What an area may lack before it is levelled, and how far a line is moved for it
// at most, both in pixels of the whole line's width.
const (
	leastLevel = 0.02
	mostLevel  = 0.3
)

// level moves the corners between the ends of the border sideways, all as far, so
// that its lines enclose the area that the pixels do: curves do already, straight
// lines between places that are held do not. It reports whether it moved any.
// Source: ours.
func (d *smoother) level() bool {
	b, last := d.b, len(d.v)-1
	if b.edge || last < 2 {
		return false
	}
	begin := d.v[0].at
	lacks := b.swept(b.begin, b.begin+b.length(), begin, d.v[last].at)
	for i := range b.segments {
		lacks -= b.segments[i].sweep(begin)
	}
	moves := func(i int) bool {
		return b.level[b.corner(b.wrapped(d.v[i].along))] != asPixels && (b.closed || i > 0 && i < last)
	}
	long := 0.0
	for i := range last {
		l := distance(d.v[i].at, d.v[i+1].at)
		if moves(i) {
			long += l / 2
		}
		if moves(i + 1) {
			long += l / 2
		}
	}
	if long == 0 || math.Abs(lacks) < leastLevel*long {
		return false
	}
	by := min(max(lacks/long, -mostLevel), mostLevel)
	moved := make([]Point, len(d.v))
	for i := range d.v {
		moved[i] = d.v[i].at
		if !moves(i) {
			continue
		}
		in, out := i-1, i
		if b.closed && (i == 0 || i == last) {
			in, out = last-1, 0
		}
		u := unit(minus(d.v[in+1].at, d.v[in].at))
		w := unit(minus(d.v[out+1].at, d.v[out].at))
		// Both sides move as far to the left: the corner along their bisector.
		if turn := 1 + dot(u, w); turn > 0.5 {
			moved[i] = plus(moved[i], by/turn, Point{u.Y + w.Y, -u.X - w.X})
		}
	}
	for i, p := range moved {
		d.v[i].at = p
	}
	return true
}
