package sheet

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc/page"
)

// Sizes of a value's number in millimetres.
const (
	mostNumber  = 4.6
	leastNumber = 2.4
)

// numberItems returns the number of each mass's value, 1 the darkest: at its most
// inner point where it has room, else near by at the end of a thin line, and left
// away where even that would lie over another.
func (c *composer) numberItems(d drawing) []page.Item {
	long := max(d.at.W, d.at.H)
	var out []page.Item
	var taken []page.Rect
	var small []int
	for i, n := range c.m.numbers {
		size := min(mostNumber, n.Room*long*1.25)
		if size < leastNumber {
			small = append(small, i)
			continue
		}
		at := c.numberAt(d, i)
		out = append(out, c.number(at, size, n.Value))
		taken = append(taken, boxOf(at, size))
	}
	for _, i := range small {
		n := c.m.numbers[i]
		from := c.numberAt(d, i)
		at, ok := freePlace(d.at, from, taken)
		if !ok {
			continue
		}
		taken = append(taken, boxOf(at, leastNumber))
		near := towards(at, from, leastNumber*0.62)
		out = append(out,
			page.Path{Lines: []page.Line{{Segments: []page.Segment{page.Straight(from, near)}}}, Stroke: c.leaderInk(n.Value), Width: 0.14},
			c.number(at, leastNumber, c.valueAt(d, at), n.Value))
	}
	return out
}

func (c *composer) numberAt(d drawing, i int) page.Point {
	n := c.m.numbers[i]
	x := n.X
	if d.mirror {
		x = 1 - x
	}
	return page.Point{X: d.at.X + x*d.at.W, Y: d.at.Y + n.Y*d.at.H}
}

// number writes a value's number with its middle at at. Over filled masses its ink
// follows the tone that it stands on: on, and say what it says if that is another.
func (c *composer) number(at page.Point, size float64, on int, say ...int) page.Item {
	v := on
	if len(say) > 0 {
		v = say[0]
	}
	ink := dark
	if c.o.Fill {
		ink = inkOn(c.m.figures.Tones[on])
	}
	return page.Text{At: page.Point{X: at.X, Y: at.Y + page.Cap(size)/2}, Words: fmt.Sprint(v + 1), Size: size, Anchor: page.Middle, Ink: ink}
}

func (c *composer) leaderInk(int) page.Ink { return midGrey }

// valueAt returns the value of the mass under a place.
func (c *composer) valueAt(d drawing, at page.Point) int {
	m := c.m.figures.Map
	x := (at.X - d.at.X) / d.at.W
	if d.mirror {
		x = 1 - x
	}
	px := min(max(int(x*float64(m.W)), 0), m.W-1)
	py := min(max(int((at.Y-d.at.Y)/d.at.H*float64(m.H)), 0), m.H-1)
	return c.m.figures.List[m.At(px, py)].Value
}

// boxOf is the place that a number takes.
func boxOf(at page.Point, size float64) page.Rect {
	w, h := size*0.75, size*0.95
	return page.Rect{X: at.X - w/2, Y: at.Y - h/2, W: w, H: h}
}

// freePlace returns a place near from, inside the drawing, that no number has.
func freePlace(in page.Rect, from page.Point, taken []page.Rect) (page.Point, bool) {
	for _, far := range []float64{4, 5.5, 7, 9, 11, 14} {
		for i := range 12 {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / 12)
			at := page.Point{X: from.X + far*cos, Y: from.Y + far*sin}
			box := boxOf(at, leastNumber)
			free := box.X > in.X && box.Y > in.Y && box.X+box.W < in.X+in.W && box.Y+box.H < in.Y+in.H
			for _, t := range taken {
				free = free && (box.X > t.X+t.W || t.X > box.X+box.W || box.Y > t.Y+t.H || t.Y > box.Y+box.H)
			}
			if free {
				return at, true
			}
		}
	}
	return page.Point{}, false
}

// towards returns the place on the way from a to b that lies far from a.
func towards(a, b page.Point, far float64) page.Point {
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	if long <= far {
		return b
	}
	return page.Point{X: a.X + (b.X-a.X)*far/long, Y: a.Y + (b.Y-a.Y)*far/long}
}
