package contour

import "math"

// closeness is how one step of smoothing follows the pixels, all in pixels.
type closeness struct {
	band float64 // half the height of the square about each corner that a straight side passes through
	box  float64 // how far a corner of the polygon moves from the pixels' corner, across and down
	aim  float64 // how far a curve lies from the pixel sides
}

// The steps, from smooth to the pixels themselves. A straight line drawn in
// pixels never needs more than a band of 1 nor lies more than 0.71 from its sides.
var steady = [...]closeness{
	{band: 1, box: 0.5, aim: 0.9},
	{band: 0.6, box: 0.35, aim: 0.5},
	{},
}

const asPixels = uint8(len(steady) - 1)

// leastLimit is the tolerance below which only the pixels themselves will do: the
// distance of a slope of 45 degrees from its steps.
const leastLimit = 0.36

// closeAt returns how closely corner i is followed.
func (b *border) closeAt(i int) closeness {
	c := steady[b.level[i]]
	return closeness{min(c.band, b.limit[i]), min(c.box, b.limit[i]/2), min(c.aim, b.limit[i])}
}

// polygon chooses the corners of the polygon with the fewest sides that follows
// the pixel border, of those the one with the least squared distance. A side
// follows a stretch that is a straight line drawn in pixels, or, where it is long
// and does not bend, one that strays a little from that. Source: Selinger 2003,
// "Potrace: a polygon-based tracing algorithm", sections 2.2.1 to 2.2.3, for
// borders whose ends are fixed and over the turns of the border alone.
func (b *border) polygon() {
	n := len(b.at)
	far, drawn := b.farthest(), b.drawnStraight()
	count := make([]int32, n)
	cost := make([]float64, n)
	from := make([]int32, n)
	first := 0
	for j := 1; j < n; j++ {
		for int(far[first]) < j {
			first++
		}
		count[j], cost[j] = math.MaxInt32, math.Inf(1)
		for i := first; i < j; i++ {
			if count[i]+1 > count[j] || int(drawn[i]) < j && i+1 < j && !b.unbent(i, j) {
				continue
			}
			if c := cost[i] + b.penalty(i, j); count[i]+1 < count[j] || c < cost[j] {
				count[j], cost[j], from[j] = count[i]+1, c, int32(i)
			}
		}
	}
	b.corners = b.corners[:0]
	for j := n - 1; j > 0; j = int(from[j]) {
		b.corners = append(b.corners, j)
	}
	b.corners = append(b.corners, 0)
	for i, j := 0, len(b.corners)-1; i < j; i, j = i+1, j-1 {
		b.corners[i], b.corners[j] = b.corners[j], b.corners[i]
	}
	b.lines = b.lines[:0]
	for i := 1; i < len(b.corners); i++ {
		b.lines = append(b.lines, b.fitLine(b.corners[i-1], b.corners[i]))
	}
}

// farthest returns, for each corner, the last one that a straight side reaches
// from it; it never falls from one corner to the next.
func (b *border) farthest() []int32 {
	n := len(b.at)
	band := make([]float64, n)
	for i := range band {
		band[i] = b.closeAt(i).band
	}
	far := make([]int32, n)
	far[n-1] = int32(n - 1)
	for i := n - 2; i >= 0; i-- {
		far[i] = min(far[i+1], b.straightTo(i, band))
		if far[i] <= int32(i) {
			far[i] = int32(i + 1)
		}
	}
	return far
}

// straightTo returns the last corner that lies, with all before it, within the
// band about a straight line from corner i: directions that pass all squares so
// far are kept as a cone.
func (b *border) straightTo(i int, band []float64) int32 {
	o := b.at[i]
	var lo, hi Point
	var ways uint8
	for j := i + 1; j < len(b.at); j++ {
		step := minus(b.at[j], b.at[j-1])
		ways |= wayOf(step)
		p := minus(b.at[j], o)
		if ways == 15 || cross(lo, p) < 0 || cross(hi, p) > 0 {
			return int32(j - 1)
		}
		w := band[j]
		if math.Abs(p.X) <= w && math.Abs(p.Y) <= w {
			continue
		}
		// The corners of the square farthest to either side as seen from o; straight
		// ahead the nearer ones.
		l := Point{p.X + w*ahead(p.Y, -p.X), p.Y - w*ahead(p.X, p.Y)}
		h := Point{p.X - w*ahead(p.Y, p.X), p.Y + w*ahead(p.X, -p.Y)}
		if cross(lo, l) >= 0 {
			lo = l
		}
		if cross(hi, h) <= 0 {
			hi = h
		}
	}
	return int32(len(b.at) - 1)
}

// ahead returns the sign of a, of other where a is 0.
func ahead(a, other float64) float64 {
	if a > 0 || a == 0 && other > 0 {
		return 1
	}
	return -1
}

func wayOf(d Point) uint8 {
	switch {
	case d.X > 0:
		return 1
	case d.X < 0:
		return 2
	case d.Y > 0:
		return 4
	}
	return 8
}

// A stretch longer than leastLine whose halves differ in direction by less than
// lineBend (the sine) is one side though it is not quite straight in pixels: of a
// circle this takes in only arcs of more than some 700 pixels radius.
const (
	leastLine = 24
	lineBend  = 0.045
)

// unbent tells whether the stretch between corners i and j is long and does not
// bend.
func (b *border) unbent(i, j int) bool {
	if j-i < 2 || distance(b.at[i], b.at[j]) < leastLine {
		return false
	}
	k := b.corner((b.along[i] + b.along[j]) / 2)
	if k <= i {
		k++
	}
	if k >= j {
		return false
	}
	return math.Abs(cross(b.fitLine(i, k).way, b.fitLine(k, j).way)) < lineBend
}

// penalty returns the integral of the squared distance of the pixel sides between
// corners i and j from the straight line that joins the two.
func (b *border) penalty(i, j int) float64 {
	p, q := &b.sums[i], &b.sums[j]
	a, d := minus(b.at[i], b.at[0]), minus(b.at[j], b.at[i])
	long := dot(d, d)
	l, x, y := q.l-p.l, q.x-p.x, q.y-p.y
	xx := q.xx - p.xx - 2*a.X*x + float64(a.X*a.X)*l
	yy := q.yy - p.yy - 2*a.Y*y + float64(a.Y*a.Y)*l
	xy := q.xy - p.xy - a.X*y - a.Y*x + float64(a.X*a.Y)*l
	if long == 0 {
		return xx + yy
	}
	return (float64(xx*d.Y*d.Y) - 2*float64(xy*d.X*d.Y) + float64(yy*d.X*d.X)) / long
}

// principal returns the direction in which moments of inertia are greatest, on
// the same side as way.
func principal(xx, xy, yy float64, way Point) Point {
	// (1, 1) of the double angle: no trigonometry, and exact for upright lines.
	c, s := xx-yy, 2*xy
	h := math.Sqrt(float64(c*c) + float64(s*s))
	var d Point
	switch {
	case h <= 1e-12:
		d = unit(way)
	case c >= 0:
		d = unit(Point{h + c, s})
	default:
		d = unit(Point{s, h - c})
	}
	if dot(d, way) < 0 {
		d = Point{-d.X, -d.Y}
	}
	return d
}
