package sheet

import (
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/page"
)

// number is the number of a mass's value. Places are in millimetres from the
// picture's upper left corner, before it is mirrored.
type number struct {
	value int        // from 0, the darkest
	on    int        // the value that it stands on: its own, or that of a mass beside it
	at    page.Point // its middle
	size  float64
	led   bool       // it stands beside its mass, and a line leads there
	from  page.Point // where the line begins, inside the mass
}

// half is how far the number and the white around it reach from its middle.
func half(size float64) float64 {
	return math.Hypot(page.Width("4", size, false), page.Cap(size))/2 + 0.35
}

// aside are the lines that numbers keep off where they can.
type aside struct{ a, b page.Point }

// distance returns how far p lies from the line.
func (l aside) distance(p page.Point) float64 {
	dx, dy := l.b.X-l.a.X, l.b.Y-l.a.Y
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = min(1, max(0, (float64((p.X-l.a.X)*dx)+(p.Y-l.a.Y)*dy)/n))
	}
	return math.Hypot(p.X-l.a.X-t*dx, p.Y-l.a.Y-t*dy)
}

// slack is how many pixels curves may lie inside the pixel border, besides the
// half pixel from a pixel's middle to its side.
const slack = 1.5

// numbering places numbers on a picture of w by h millimetres.
type numbering struct {
	m           *contour.Map
	w, h        float64
	regions     imageproc.Labels
	depth       []float32
	most, least float64 // sizes of the numbers
	lines       []aside
	taken       []page.Rect // by what stands there already
	out         []number
}

// placeNumbers returns a number for each mass, in the order of the map's regions:
// at its most inner point, or where it has most room off the lines if that is
// room enough; those of masses too small stand beside them. A mass too small that
// has no free place near it gets none.
func placeNumbers(m *contour.Map, w, h, most, least float64, lines []aside, taken []page.Rect) []number {
	n := &numbering{m: m, w: w, h: h, regions: m.RegionMap(), most: most, least: least, lines: lines, taken: taken}
	n.depth = make([]float32, len(n.regions.Pix))
	outline.Depth(n.depth, n.regions)
	var small []int
	best, clear := n.mostInner()
	for i := range m.Regions {
		at, ok := clear[i], clear[i] >= 0
		if !ok || !n.place(i, at) {
			if !n.place(i, best[i]) {
				small = append(small, i)
			}
		}
	}
	for _, i := range small {
		n.lead(i, best[i])
	}
	return n.out
}

// perPixel is the size of a pixel in millimetres.
func (n *numbering) perPixel() float64 { return n.w / float64(n.m.W) }

// room is how far from a pixel's middle, in millimetres, its mass reaches for
// certain.
func (n *numbering) room(pixel int) float64 {
	return (float64(n.depth[pixel]) - slack) * n.perPixel()
}

func (n *numbering) middle(pixel int) page.Point {
	return page.Point{
		X: (float64(pixel%n.m.W) + 0.5) * n.w / float64(n.m.W),
		Y: (float64(pixel/n.m.W) + 0.5) * n.h / float64(n.m.H),
	}
}

// mostInner returns for each region its most inner pixel, and the most inner of
// those that lie off the lines; -1 if there is none with room. Of equals the first
// in raster order.
func (n *numbering) mostInner() (best, clear []int) {
	best, clear = make([]int, len(n.m.Regions)), make([]int, len(n.m.Regions))
	for i := range best {
		best[i], clear[i] = -1, -1
	}
	off := n.offLines()
	need := float32(half(n.least)/n.perPixel() + slack)
	for i, r := range n.regions.Pix {
		d := n.depth[i]
		if best[r] < 0 || d > n.depth[best[r]] {
			best[r] = i
		}
		if d >= need && off(i) && (clear[r] < 0 || d > n.depth[clear[r]]) {
			clear[r] = i
		}
	}
	return best, clear
}

// offLines returns whether a number of the largest size at a pixel touches none of
// the lines. Upright and level lines, all but a few, are looked up by column and
// row.
func (n *numbering) offLines() func(pixel int) bool {
	column, row := make([]bool, n.m.W), make([]bool, n.m.H)
	reach := half(n.most)
	var slanting []aside
	for _, l := range n.lines {
		switch {
		case l.a.X == l.b.X:
			for x := range column {
				at := (float64(x) + 0.5) * n.w / float64(n.m.W)
				column[x] = column[x] || math.Abs(at-l.a.X) < reach
			}
		case l.a.Y == l.b.Y:
			for y := range row {
				at := (float64(y) + 0.5) * n.h / float64(n.m.H)
				row[y] = row[y] || math.Abs(at-l.a.Y) < reach
			}
		default:
			slanting = append(slanting, l)
		}
	}
	return func(i int) bool {
		if column[i%n.m.W] || row[i/n.m.W] {
			return false
		}
		if len(slanting) == 0 {
			return true
		}
		p := n.middle(i)
		for _, l := range slanting {
			if l.distance(p) < reach {
				return false
			}
		}
		return true
	}
}

// place puts a region's number at a pixel as large as it has room for; false if
// it has none.
func (n *numbering) place(region, pixel int) bool {
	at := n.middle(pixel)
	for size := n.most; size >= n.least; size -= 0.2 {
		if n.room(pixel) >= half(size) && n.free(at, half(size)) {
			v := int(n.m.Regions[region].Label)
			n.put(number{value: v, on: v, at: at, size: size})
			return true
		}
	}
	return false
}

func (n *numbering) put(one number) {
	h := half(one.size)
	n.taken = append(n.taken, page.Rect{X: one.at.X - h, Y: one.at.Y - h, W: 2 * h, H: 2 * h})
	n.out = append(n.out, one)
}

// free reports whether nothing stands within reach of a place.
func (n *numbering) free(at page.Point, reach float64) bool {
	for _, r := range n.taken {
		if at.X+reach > r.X && at.X-reach < r.X+r.W && at.Y+reach > r.Y && at.Y-reach < r.Y+r.H {
			return false
		}
	}
	return true
}
