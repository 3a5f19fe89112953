package crops

import (
	"image"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// groundSide is the long side, in pixels, of the picture that crops are sampled
// from: the smallest crop still has more of them than a coarse plan. Source: ours.
const groundSide = 512

// lightUnits is how many steps full light is counted in: sums of whole numbers do
// not depend on their order, so that a mirrored photo has the mirrored sums.
const lightUnits = 1 << 20

// ground is the light of the photo, small, as sums over all that lies above and
// to the left: the mean of any box is a few additions away.
type ground struct {
	full image.Point // pixels of the photo
	w, h int
	sums []int64 // (w+1) by (h+1)
}

// newGround reduces a photo by averaging areas of linear light.
func newGround(photo imageproc.Picture, full image.Point) *ground {
	size := photo.Size()
	long := max(size.X, size.Y)
	n := min(long, groundSide)
	scaled := func(v int) int { return max(1, (2*v*n+long)/(2*long)) }
	g := &ground{full: full, w: scaled(size.X), h: scaled(size.Y)}
	g.sums = make([]int64, (g.w+1)*(g.h+1))
	r := &reducer{photo: photo, g: g, lines: make([][]int64, imageproc.Workers())}
	for i := range r.lines {
		r.lines[i] = make([]int64, g.w)
	}
	new(imageproc.Crew).Do(g.h, size.X*(size.Y/g.h+2)*4, len(r.lines), r)
	for y := 1; y <= g.h; y++ {
		row, above := g.sums[y*(g.w+1):], g.sums[(y-1)*(g.w+1):]
		left := int64(0)
		for x := 1; x <= g.w; x++ {
			left += row[x]
			row[x] = above[x] + left
		}
	}
	return g
}

// reducer averages the rows of the photo that a row of the ground covers.
type reducer struct {
	photo imageproc.Picture
	g     *ground
	lines [][]int64 // by worker: sums of a row of the ground
}

// Rows averages exactly by area: in units of 1/w of a pixel's width every pixel
// and every cell has a whole number of them, and so down.
func (r *reducer) Rows(worker, y0, y1 int) {
	g, pw, ph := r.g, r.photo.R.W, r.photo.R.H
	line := r.lines[worker]
	whole := float64(pw) * float64(ph)
	for y := y0; y < y1; y++ {
		clear(line)
		from, to := y*ph, (y+1)*ph // in units of 1/g.h of a pixel
		for py := from / g.h; py*g.h < to; py++ {
			down := int64(min(to, (py+1)*g.h) - max(from, py*g.h))
			r.addRow(line, py, down)
		}
		out := g.sums[(y+1)*(g.w+1)+1:][:g.w]
		for x, v := range line {
			out[x] = int64(math.Round(float64(v) / whole))
		}
	}
}

// addRow adds row py of the photo to a line of the ground, down times.
func (r *reducer) addRow(line []int64, py int, down int64) {
	w, pw := r.g.w, r.photo.R.W
	red, green, blue := r.photo.R.Row(py), r.photo.G.Row(py), r.photo.B.Row(py)
	green, blue = green[:len(red)], blue[:len(red)]
	x, end := 0, pw // the cell, and its right edge in units of 1/w of a pixel
	for px, red := range red {
		v := float64(0.2126*red) + float64(0.7152*green[px]) + float64(0.0722*blue[px])
		if !(v > 0) { // also what is no number
			v = 0
		}
		light := int64(min(v, 1)*lightUnits+0.5) * down
		right := (px + 1) * w
		if right <= end {
			line[x] += light * int64(w)
			if right == end {
				x, end = x+1, end+pw
			}
			continue
		}
		// The pixel reaches into the next cell; never beyond, for no cell is
		// smaller than a pixel.
		line[x] += light * int64(w-(right-end))
		x, end = x+1, end+pw
		line[x] += light * int64(right-end+pw)
	}
}

// sampler keeps the scratch memory of sample.
type sampler struct {
	across        []edge
	before, after []float64
}

// sample fills dst with the mean light of the cells that divide a part of the
// photo, given in fractions of it.
func (s *sampler) sample(dst imageproc.Plane[palette.Y], g *ground, x0, y0, x1, y1 float64) {
	s.across, s.before, s.after = s.across[:0], s.before[:0], s.after[:0]
	for i := range dst.W + 1 {
		s.across = append(s.across, edgeAt(x0, x1, i, dst.W, g.w))
		s.before, s.after = append(s.before, 0), append(s.after, 0)
	}
	before, after := s.before, s.after
	area := (x1 - x0) * float64(g.w) / float64(dst.W) * (y1 - y0) * float64(g.h) / float64(dst.H) * lightUnits
	g.sumRow(before, edgeAt(y0, y1, 0, dst.H, g.h), s.across)
	for y := range dst.H {
		g.sumRow(after, edgeAt(y0, y1, y+1, dst.H, g.h), s.across)
		row := dst.Row(y)
		for x := range row {
			row[x] = float32(((after[x+1] - after[x]) - (before[x+1] - before[x])) / area)
		}
		before, after = after, before
	}
}

// edge is a place between two lattice lines: at the first one and part of the way
// to the next.
type edge struct {
	at   int
	part float64
}

// edgeAt is edge i of the n cells that divide lo..hi of an axis of size pixels.
func edgeAt(lo, hi float64, i, n, size int) edge {
	v := (lo + float64((hi-lo)*(float64(i)/float64(n)))) * float64(size)
	at := min(max(int(v), 0), size-1)
	return edge{at, min(max(v-float64(at), 0), 1)}
}

// sumRow writes the light above a place down and left of each of some places
// across.
func (g *ground) sumRow(dst []float64, down edge, across []edge) {
	above := g.sums[down.at*(g.w+1):][:g.w+1]
	below := g.sums[(down.at+1)*(g.w+1):][:g.w+1]
	for i, e := range across {
		a, b := float64(above[e.at]), float64(above[e.at+1])
		c, d := float64(below[e.at]), float64(below[e.at+1])
		a += float64(e.part * (b - a))
		c += float64(e.part * (d - c))
		dst[i] = a + float64(down.part*(c-a))
	}
}
