package sheet

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc/page"
)

// overlap is how far two parts of a drawing lie over each other, in millimetres.
const overlap = 10

// rulerRoom is how much of the foot the rulers and their words take.
const rulerRoom = 114.0

// tiles are the parts that a drawing is printed in.
type tiles struct {
	across, down int
	turned       bool      // paper lying across
	room         page.Rect // of one part
}

// tilesFor divides a drawing over papers that lie as gives fewest parts; of equals
// as the drawing lies.
func tilesFor(p page.Paper, w, h float64) tiles {
	count := func(turned bool) tiles {
		pw, ph := p.W, p.H
		if turned {
			pw, ph = ph, pw
		}
		room := roomOn(pw, ph)
		n := func(long, room float64) int {
			if long <= room+1e-6 {
				return 1
			}
			return int(math.Ceil((long - overlap) / (room - overlap)))
		}
		return tiles{n(w, room.W), n(h, room.H), turned, room}
	}
	first, second := count(w > h), count(w <= h)
	if second.across*second.down < first.across*first.down {
		return second
	}
	return first
}

// origin returns where in the drawing a part begins, in millimetres from its upper
// left corner.
func (t tiles) origin(row, col int) (x, y float64) {
	return float64(col) * (t.room.W - overlap), float64(row) * (t.room.H - overlap)
}

// marks returns the corner marks of a part, at the middle of the overlap, and the
// key that shows where it belongs.
func (t tiles) marks(p *sheetPage, row, col int, w, h float64) []page.Item {
	var lines []page.Line
	cross := func(x, y float64) {
		lines = append(lines,
			page.Line{Segments: []page.Segment{page.Straight(page.Point{X: x - 3, Y: y}, page.Point{X: x + 3, Y: y})}},
			page.Line{Segments: []page.Segment{page.Straight(page.Point{X: x, Y: y - 3}, page.Point{X: x, Y: y + 3})}})
	}
	r := p.room
	var xs, ys []float64
	if col > 0 {
		xs = append(xs, r.X+overlap/2)
	}
	if col < t.across-1 {
		xs = append(xs, r.X+r.W-overlap/2)
	}
	if row > 0 {
		ys = append(ys, r.Y+overlap/2)
	}
	if row < t.down-1 {
		ys = append(ys, r.Y+r.H-overlap/2)
	}
	for _, x := range xs {
		cross(x, r.Y+4)
		cross(x, r.Y+r.H-4)
	}
	for _, y := range ys {
		cross(r.X+4, y)
		cross(r.X+r.W-4, y)
	}
	// The key stands at the right end of the foot, beside the rulers.
	side := min(13, r.W-rulerRoom)
	k := min(side/w, side/h)
	at := page.Rect{X: r.X + r.W - w*k, Y: p.page.H - margin - h*k, W: w * k, H: h * k}
	x, y := t.origin(row, col)
	part := page.Rect{X: at.X + x*k, Y: at.Y + y*k, W: min(r.W, w-x) * k, H: min(r.H, h-y) * k}
	return []page.Item{
		page.Path{Lines: lines, Stroke: black, Width: 0.15},
		page.Path{Lines: []page.Line{page.Box(part)}, Fill: faint},
		frame(at, dark, 0.2),
		page.Text{At: page.Point{X: part.X + part.W/2, Y: part.Y + part.H/2 + page.Cap(smallText)/2}, Words: fmt.Sprint(row*t.across + col + 1), Size: smallText, Anchor: page.Middle, Ink: black},
	}
}
