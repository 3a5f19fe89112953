package contour

import (
	"atelier/halflid/imageproc"
)

// The ways along pixel sides, in the order of right turns.
const (
	east = iota
	south
	west
	north
)

var steps = [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// joint is a place where chains meet: three or four pixel sides.
type joint struct {
	pixel  Point    // the corner of the pixels
	at     Point    // where the chains meet
	halves [4]int32 // the half of a chain that leaves each way, or -1: twice the chain, odd if it is walked backwards
}

// sides marks, for each corner of pixels, which ways a border leaves it.
func sidesOf(l imageproc.Labels) []uint8 {
	w := l.W + 1
	sides := make([]uint8, w*(l.H+1))
	for y := range l.H {
		row := l.Row(y)
		at := sides[y*w : (y+2)*w]
		at[0] |= 1 << south
		at[w] |= 1 << north
		for x := 1; x < l.W; x++ {
			if row[x] != row[x-1] {
				at[x] |= 1 << south
				at[w+x] |= 1 << north
			}
		}
		at[l.W] |= 1 << south
		at[w+l.W] |= 1 << north
	}
	for y := range l.H + 1 {
		at := sides[y*w : (y+1)*w]
		var above, below []int32
		if y > 0 {
			above = l.Row(y - 1)
		}
		if y < l.H {
			below = l.Row(y)
		}
		for x := range l.W {
			if above == nil || below == nil || above[x] != below[x] {
				at[x] |= 1 << east
				at[x+1] |= 1 << west
			}
		}
	}
	return sides
}

// meets tells which sets of ways make a joint.
func meets(ways uint8) bool {
	n := 0
	for ; ways != 0; ways &= ways - 1 {
		n++
	}
	return n > 2
}

// tracer follows borders along pixel sides and takes away those it has passed.
type tracer struct {
	w, h    int
	sides   []uint8
	isJoint [16]bool
	number  map[int]int // of the joint at a corner of pixels
	joints  []joint
	borders []*border
	regions imageproc.Labels
}

// trace returns all borders: first those between joints, in raster order of the
// joint where each was found, then closed ones in raster order of their topmost,
// there leftmost, corner.
func (t *tracer) trace(l imageproc.Labels) {
	t.w, t.h, t.sides = l.W, l.H, sidesOf(l)
	t.number = map[int]int{}
	for ways := range t.isJoint {
		t.isJoint[ways] = meets(uint8(ways))
	}
	w := t.w + 1
	var corners []int
	for v, ways := range t.sides {
		if t.isJoint[ways] {
			p := Point{float64(v % w), float64(v / w)}
			t.number[v] = len(t.joints)
			t.joints = append(t.joints, joint{p, p, [4]int32{-1, -1, -1, -1}})
			corners = append(corners, v)
		}
	}
	for i, v := range corners {
		for way := range 4 {
			if t.sides[v]>>way&1 == 1 && t.joints[i].halves[way] < 0 {
				t.follow(v, way, i)
			}
		}
	}
	for v, ways := range t.sides {
		if ways == 1<<east|1<<south {
			t.follow(v, east, -1)
		}
	}
}

// follow walks from a corner to the next joint, or round to where it began.
func (t *tracer) follow(v, way, from int) {
	w := t.w + 1
	first, begun := way, v
	x, y := v%w, v/w
	at := []Point{{float64(x), float64(y)}}
	edge := t.region(x, y, way, left) == Outside || t.region(x, y, way, right) == Outside
	sides := [2]int{t.region(x, y, way, left), t.region(x, y, way, right)}
	to := -1
	for {
		t.sides[v] &^= 1 << way
		x, y = x+steps[way][0], y+steps[way][1]
		v = y*w + x
		n, joint := t.number[v]
		if joint {
			t.sides[v] &^= 1 << ((way + 2) & 3)
			to = n
			t.joints[n].halves[(way+2)&3] = int32(2*len(t.borders) + 1)
			break
		}
		t.sides[v] &^= 1 << ((way + 2) & 3)
		if v == begun {
			break
		}
		next := onlyWay[t.sides[v]&15]
		if next != way {
			at = append(at, Point{float64(x), float64(y)})
		}
		way = next
	}
	if from >= 0 {
		t.joints[from].halves[first] = int32(2 * len(t.borders))
	}
	at = append(at, Point{float64(x), float64(y)})
	if from < 0 {
		at = fromFarthest(at)
	}
	b := newBorder(at)
	b.closed, b.edge, b.from, b.to = from < 0, edge, from, to
	b.left, b.right = sides[0], sides[1]
	t.borders = append(t.borders, b)
}

var onlyWay = [16]int{1 << east: east, 1 << south: south, 1 << west: west, 1 << north: north}

const (
	left = iota
	right
)

// beside gives, from a corner and a way, the pixels to the left and right of the
// side that leaves it.
var beside = [4][2][2]int{
	{{0, -1}, {0, 0}},
	{{0, 0}, {-1, 0}},
	{{-1, 0}, {-1, -1}},
	{{-1, -1}, {0, -1}},
}

func (t *tracer) region(x, y, way, side int) int {
	x, y = x+beside[way][side][0], y+beside[way][side][1]
	if x < 0 || y < 0 || x >= t.w || y >= t.h {
		return Outside
	}
	return int(t.regions.At(x, y))
}

// fromFarthest begins a loop at the corner that lies farthest from its middle:
// a true corner, if it has any.
func fromFarthest(at []Point) []Point {
	loop := at[:len(at)-1]
	x0, y0, x1, y1 := loop[0].X, loop[0].Y, loop[0].X, loop[0].Y
	for _, p := range loop {
		x0, x1 = min(x0, p.X), max(x1, p.X)
		y0, y1 = min(y0, p.Y), max(y1, p.Y)
	}
	middle, first, most := Point{(x0 + x1) / 2, (y0 + y1) / 2}, 0, -1.0
	for i, p := range loop {
		if d := distance(middle, p); d > most {
			first, most = i, d
		}
	}
	out := make([]Point, 0, len(at))
	out = append(out, loop[first:]...)
	out = append(out, loop[:first]...)
	return append(out, loop[first])
}
