package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
)

// What lies along borders is gathered on a grid that is fixed to the picture and
// not to its pixels, so that half the resolution gives the same places.

// fieldLong is how many cells the long side has: a cell is about a tenth of the
// window wide. Source: ours.
const fieldLong = 160

// unit is how many parts a pixel's length times a step of value is counted in:
// whole numbers make sums that do not depend on their order.
const unit = 1 << 16

// field holds sums by cell, row-major.
type field struct {
	nx, ny int
	w, h   int // pixels of the picture
	cells  []int64
}

func newField(w, h int) *field {
	long := max(w, h)
	f := &field{w: w, h: h, nx: max(1, (w*fieldLong+long/2)/long), ny: max(1, (h*fieldLong+long/2)/long)}
	f.cells = make([]int64, f.nx*f.ny)
	return f
}

// add adds v, a multiple of 4, at a place in pixels; on the line between cells
// each takes half.
func (f *field) add(x, y float64, v int64) {
	x0, x1 := between(x, f.nx, f.w)
	y0, y1 := between(y, f.ny, f.h)
	v /= 4
	f.cells[y0*f.nx+x0] += v
	f.cells[y0*f.nx+x1] += v
	f.cells[y1*f.nx+x0] += v
	f.cells[y1*f.nx+x1] += v
}

// between returns the cells of n on a line of length that a place belongs to: two
// different ones if it lies on the line between them. Places count in parts of
// 4096 of a pixel.
func between(at float64, n, length int) (int, int) {
	place := int(math.Round(at*4096)) * n
	i := place / (4096 * length)
	j := i
	if place%(4096*length) == 0 {
		j = i - 1
	}
	return min(i, n-1), min(max(j, 0), n-1)
}

// parts returns v as a whole number that add can take.
func parts(v float64) int64 { return 4 * int64(math.Round(v*unit/4)) }

// gathered returns, for each cell, the sum over the cells whose middles lie within
// radius pixels of its own.
func (f *field) gathered(radius float64) *field {
	out := &field{nx: f.nx, ny: f.ny, w: f.w, h: f.h, cells: make([]int64, len(f.cells))}
	cw, ch := float64(f.w)/float64(f.nx), float64(f.h)/float64(f.ny)
	run := make([]int64, f.nx+1)
	reach := int(radius / ch)
	half := make([]int, reach+1) // how many cells to a side, by row
	for dy := range half {
		half[dy] = int(math.Sqrt(max(0, float64(radius*radius)-float64(float64(dy)*ch*float64(dy)*ch))) / cw)
	}
	for y := range f.ny {
		for x, v := range f.cells[y*f.nx : (y+1)*f.nx] {
			run[x+1] = run[x] + v
		}
		for to := max(0, y-reach); to <= min(f.ny-1, y+reach); to++ {
			k := half[max(to-y, y-to)]
			dst := out.cells[to*f.nx : (to+1)*f.nx]
			for x := range dst {
				dst[x] += run[min(x+k+1, f.nx)] - run[max(x-k, 0)]
			}
		}
	}
	return out
}

// middle returns the middle of a cell, in pixels.
func (f *field) middle(x, y int) (float64, float64) {
	return (float64(x) + 0.5) * float64(f.w) / float64(f.nx), (float64(y) + 0.5) * float64(f.h) / float64(f.ny)
}

// strongest returns the cell with the largest sum among those that may be taken,
// its middle in pixels; of equals the one nearest to the picture's middle, then
// the upper, then the left one. ok is false if there is none above 0.
func (f *field) strongest(may func(x, y float64) bool) (x, y float64, v int64, ok bool) {
	near := 0.0
	for cy := range f.ny {
		for cx := range f.nx {
			c := f.cells[cy*f.nx+cx]
			if c <= 0 || c < v {
				continue
			}
			mx, my := f.middle(cx, cy)
			if may != nil && !may(mx, my) {
				continue
			}
			ox, oy := math.Abs(2*mx-float64(f.w)), math.Abs(2*my-float64(f.h))
			d := math.Round((float64(ox*ox) + float64(oy*oy)) * 1024)
			if c > v || d < near {
				x, y, v, near, ok = mx, my, c, d, true
			}
		}
	}
	return x, y, v, ok
}

// Spot is a place where much is gathered.
type Spot struct {
	At       plan.Point // middle of the round window, 6 % of the long side wide
	Strength float64    // 0: there is none, and At is nowhere
}

// places returns the place of the spot, none if it has none.
func (s Spot) places() []plan.Point {
	if s.Strength == 0 {
		return nil
	}
	return []plan.Point{s.At}
}
