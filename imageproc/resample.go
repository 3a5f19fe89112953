package imageproc

import (
	"fmt"
	"math"

	"atelier/halflid/palette"
)

// Box is a rectangle in pixels of a picture, edges at whole numbers: pixel x
// covers X from x to x+1. Edges may fall inside pixels.
type Box struct{ X0, Y0, X1, Y1 float64 }

// WholeBox returns the box that covers a picture of w by h pixels.
func WholeBox(w, h int) Box { return Box{0, 0, float64(w), float64(h)} }

// clamp returns b cut to a picture of w by h, so that a crop worked out in
// fractions may overshoot the edge by a rounding error.
func (b Box) clamp(w, h int) Box {
	c := Box{max(b.X0, 0), max(b.Y0, 0), min(b.X1, float64(w)), min(b.Y1, float64(h))}
	if !(c.X0 < c.X1 && c.Y0 < c.Y1) { // also catches NaN
		panic(fmt.Sprintf("imageproc: box %v holds nothing of a picture of %d by %d", b, w, h))
	}
	return c
}

// Averager averages areas and keeps its scratch memory: once warm it allocates
// nothing. The zero value is ready. Not for concurrent use.
type Averager struct {
	crew   Crew
	cols   []cell
	rows   []cell
	sums   [][]float32
	dst    []float32
	src    []float32
	dw, sw int
}

// cell says what one output sample takes from its axis: weight left of sample
// first, 1 of each of the full samples that follow, weight right of the one
// after them; all times scale. An output inside one sample has full < 0.
type cell struct {
	first, full        int
	left, right, scale float32
}

// Average fills dst with the means of src over the cells that divide the box
// from into dst.W by dst.H equal parts, exactly by area, in linear light.
// from is in pixels of src, may be fractional, and is cut to src; parts smaller
// than a pixel are fine (a large dst shows the pixels as squares). dst must not
// share memory with src. An empty dst is left alone; an empty box panics.
// The result is the same for any number of processors.
func (a *Averager) Average(dst, src Picture, from Box) {
	d, s := dst.Planes(), src.Planes()
	for i := range d {
		AverageWith(a, d[i], s[i], from)
	}
}

// Average is Averager.Average with scratch memory of its own.
func Average(dst, src Picture, from Box) { new(Averager).Average(dst, src, from) }

// AveragePlane is Average for one plane.
func AveragePlane[U palette.Unit](dst, src Plane[U], from Box) {
	AverageWith(new(Averager), dst, src, from)
}

// AverageWith is AveragePlane with the scratch memory of a. The mean is right
// for units that add up as light does (Light, Y); of other units it is the
// plain mean.
func AverageWith[U palette.Unit](a *Averager, dst, src Plane[U], from Box) {
	if dst.W == 0 || dst.H == 0 {
		return
	}
	from = from.clamp(src.W, src.H)
	a.cols = divide(a.cols[:0], from.X0, from.X1, dst.W, src.W)
	a.rows = divide(a.rows[:0], from.Y0, from.Y1, dst.H, src.H)
	workers := Workers()
	for len(a.sums) < workers {
		a.sums = append(a.sums, nil)
	}
	for i := range a.sums {
		if cap(a.sums[i]) < src.W {
			a.sums[i] = make([]float32, src.W)
		}
	}
	a.dst, a.src, a.dw, a.sw = dst.Pix, src.Pix, dst.W, src.W
	perRow := (from.Y1-from.Y0)/float64(dst.H) + 2
	cost := int((from.X1-from.X0+4)*(perRow+1)/2) + 2*dst.W
	a.crew.Do(dst.H, cost, workers, (*averageRows)(a))
	a.dst, a.src = nil, nil
}

// divide appends the n cells of the stretch lo..hi of an axis with size samples.
func divide(cells []cell, lo, hi float64, n, size int) []cell {
	step := (hi - lo) / float64(n)
	at := func(i int) float64 {
		if i == n {
			return hi
		}
		return lo + float64(float64(i)*step)
	}
	for i := range n {
		x0, x1 := at(i), at(i+1)
		first := min(int(x0), size-1)
		last := max(min(int(math.Ceil(x1))-1, size-1), first)
		if first == last || !(x1 > x0) {
			cells = append(cells, cell{first: first, full: -1, scale: 1})
			continue
		}
		cells = append(cells, cell{
			first: first, full: last - first - 1,
			left: float32(float64(first+1) - x0), right: float32(x1 - float64(last)),
			scale: float32(1 / (x1 - x0)),
		})
	}
	return cells
}

// averageRows is the job of an Averager: down each column first, then along
// the row of sums.
type averageRows Averager

func (a *averageRows) Rows(worker, y0, y1 int) {
	x0 := a.cols[0].first
	end := a.cols[len(a.cols)-1]
	x1 := end.first + max(end.full, -1) + 2
	sum := a.sums[worker][:cap(a.sums[worker])]
	for y := y0; y < y1; y++ {
		c := a.rows[y]
		row := func(i int) []float32 { return a.src[i*a.sw+x0 : i*a.sw+x1] }
		line := sum[x0:x1]
		if c.full < 0 {
			copy(line, row(c.first))
		} else {
			addEnds(line, row(c.first), row(c.first+c.full+1), c.left, c.right)
			i, stop := c.first+1, c.first+1+c.full
			for ; i+3 <= stop; i += 3 {
				add3(line, row(i), row(i+1), row(i+2))
			}
			for ; i < stop; i++ {
				add1(line, row(i))
			}
		}
		along(a.dst[y*a.dw:(y+1)*a.dw], sum, a.cols, c.scale)
	}
}

func addEnds(dst, a, b []float32, wa, wb float32) {
	a, b = a[:len(dst)], b[:len(dst)]
	for x := range dst {
		dst[x] = float32(a[x]*wa) + float32(b[x]*wb)
	}
}

func add3(dst, a, b, c []float32) {
	a, b, c = a[:len(dst)], b[:len(dst)], c[:len(dst)]
	for x := range dst {
		dst[x] += a[x] + b[x] + c[x]
	}
}

func add1(dst, a []float32) {
	a = a[:len(dst)]
	for x := range dst {
		dst[x] += a[x]
	}
}

// along averages one row of sums into dst.
func along(dst, sum []float32, cols []cell, scale float32) {
	cols = cols[:len(dst)]
	for x := range dst {
		c := &cols[x]
		if c.full < 0 {
			dst[x] = sum[c.first] * scale
			continue
		}
		p := sum[c.first : c.first+c.full+2]
		v := float32(p[0]*c.left) + float32(p[len(p)-1]*c.right)
		for _, s := range p[1 : len(p)-1] {
			v += s
		}
		dst[x] = float32(v*c.scale) * scale
	}
}
