package sheet

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc/page"
)

// overlap is the width that neighbouring tiles share, millimetres: room to cut
// and to glue.
const overlap = 10

// tiling is how a picture larger than the room of a page is divided: into tiles
// of one size that share strips of overlap.
type tiling struct {
	w, h         float64 // of the picture
	across, down int
	turned       bool // the paper lies across
}

// mostTiles bounds how many pages an outline takes.
const mostTiles = 400

// tilesOn returns the division into the fewest tiles, of the paper's two ways the
// one that needs fewer, of equals the one as the picture is turned. head is what
// stands above the picture on each page.
func tilesOn(p page.Paper, w, h, head float64) tiling {
	best := tiling{}
	for _, turned := range []bool{w > h, w <= h} {
		room := roomOn(p, turned)
		t := tiling{w: w, h: h, across: count(w, room.W), down: count(h, room.H-head), turned: turned}
		if best.across == 0 || t.across*t.down < best.across*best.down {
			best = t
		}
	}
	return best
}

// count returns how many tiles cover a length.
func count(length, room float64) int {
	if length <= room+1e-9 {
		return 1
	}
	return int(math.Ceil((length - overlap - 1e-9) / (room - overlap)))
}

func (t tiling) one() bool { return t.across*t.down == 1 }

// tile returns where a tile lies on the picture.
func (t tiling) tile(x, y int) page.Rect {
	w, h := (t.w+float64(t.across-1)*overlap)/float64(t.across), (t.h+float64(t.down-1)*overlap)/float64(t.down)
	return page.Rect{X: float64(x) * (w - overlap), Y: float64(y) * (h - overlap), W: w, H: h}
}

// name of a tile: its row a letter, its column a number.
func (t tiling) name(x, y int) string { return fmt.Sprintf("%s%d", rowName(y), x+1) }

func rowName(y int) string {
	if y >= mostNamed {
		return rowName(y/mostNamed-1) + rowName(y%mostNamed)
	}
	return string(rune('A' + y))
}

// joins are the lines, in the middle of each overlap, along which tiles are cut
// and laid together.
func (t tiling) joins() []aside {
	var out []aside
	for x := 1; x < t.across; x++ {
		at := t.tile(x, 0).X + overlap/2
		out = append(out, aside{page.Point{X: at}, page.Point{X: at, Y: t.h}})
	}
	for y := 1; y < t.down; y++ {
		at := t.tile(0, y).Y + overlap/2
		out = append(out, aside{page.Point{Y: at}, page.Point{X: t.w, Y: at}})
	}
	return out
}

// Marks by which tiles are laid on each other.
const (
	markArm    = 3.0
	markRadius = 1.6
)

// marks are the places of the registration marks: two on each stretch of a join
// between two tiles, the same on both.
func (t tiling) marks() []page.Point {
	var out []page.Point
	for y := range t.down {
		for x := range t.across {
			r := t.tile(x, y)
			for _, part := range []float64{0.25, 0.75} {
				if x > 0 {
					out = append(out, page.Point{X: r.X + overlap/2, Y: r.Y + part*r.H})
				}
				if y > 0 {
					out = append(out, page.Point{X: r.X + part*r.W, Y: r.Y + overlap/2})
				}
			}
		}
	}
	return out
}

// around is the room that a mark takes.
func around(p page.Point) page.Rect {
	return page.Rect{X: p.X - markArm, Y: p.Y - markArm, W: 2 * markArm, H: 2 * markArm}
}

// mark draws a registration mark: a cross in a ring.
func mark(p page.Point) []page.Line {
	return []page.Line{
		line(p.X-markArm, p.Y, p.X+markArm, p.Y), line(p.X, p.Y-markArm, p.X, p.Y+markArm), ring(p, markRadius),
	}
}

// ring returns a circle. Source: the usual four curves, their controls at
// 4/3 (sqrt 2 - 1) of the radius, 0.03 % off at most.
func ring(c page.Point, r float64) page.Line {
	k := 4. / 3 * (math.Sqrt2 - 1) * r
	at := func(x, y float64) page.Point { return page.Point{X: c.X + x, Y: c.Y + y} }
	return page.Line{Closed: true, Segments: []page.Segment{
		{From: at(r, 0), C1: at(r, k), C2: at(k, r), To: at(0, r)},
		{From: at(0, r), C1: at(-k, r), C2: at(-r, k), To: at(-r, 0)},
		{From: at(-r, 0), C1: at(-r, -k), C2: at(-k, -r), To: at(0, -r)},
		{From: at(0, -r), C1: at(k, -r), C2: at(r, -k), To: at(r, 0)},
	}}
}

// key draws a small map of the tiles, the one at x, y dark, its upper right corner
// at at. It returns its width.
func (t tiling) key(at page.Point, x, y int) ([]page.Item, float64) {
	k := headHeight / max(t.h, t.w/2)
	w, h := t.w*k, t.h*k
	cw, ch := w/float64(t.across), h/float64(t.down)
	var cells []page.Line
	var here page.Line
	for row := range t.down {
		for col := range t.across {
			c := page.Box(page.Rect{X: at.X - w + float64(col)*cw, Y: at.Y + float64(row)*ch, W: cw, H: ch})
			cells = append(cells, c)
			if col == x && row == y {
				here = c
			}
		}
	}
	return []page.Item{
		page.Path{Lines: []page.Line{here}, Fill: inkQuiet},
		page.Path{Lines: cells, Stroke: inkLine, Width: hair},
	}, w
}
