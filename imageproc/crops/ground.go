package crops

import (
	"image"

	"atelier/halflid/imageproc"
)

// groundSide is the long side, in pixels, of the picture that the search looks at:
// the smallest crop still has about as many of them as a thumbnail. Source: ours.
const groundSide = 320

// lightUnits is how many steps full light is counted in: sums of whole numbers do
// not depend on their order, so that a mirrored photo has the mirrored sums.
const lightUnits = 1 << 20

// ground is the photo, small.
type ground struct {
	full    image.Point // pixels of the photo
	w, h    int
	picture imageproc.Picture
}

// newGround reduces a photo by averaging areas of linear light.
func newGround(photo imageproc.Picture, full image.Point) *ground {
	size := photo.Size()
	long := max(size.X, size.Y)
	n := min(long, groundSide)
	scaled := func(v int) int { return max(1, (2*v*n+long)/(2*long)) }
	g := &ground{full: full, w: scaled(size.X), h: scaled(size.Y)}
	g.picture = imageproc.NewPicture(g.w, g.h)
	r := &reducer{photo: photo, g: g, lines: make([][]int64, imageproc.Workers())}
	for i := range r.lines {
		r.lines[i] = make([]int64, g.w)
	}
	new(imageproc.Crew).Do(g.h, size.X*(size.Y/g.h+2)*6, len(r.lines), r)
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
	h, ph := r.g.h, r.photo.R.H
	line := r.lines[worker]
	whole := float64(r.photo.R.W) * float64(ph) * lightUnits
	to := r.g.picture.Planes()
	for y := y0; y < y1; y++ {
		for i, plane := range r.photo.Planes() {
			clear(line)
			from, end := y*ph, (y+1)*ph // in units of 1/h of a pixel
			for py := from / h; py*h < end; py++ {
				addRow(line, plane.Row(py), int64(min(end, (py+1)*h)-max(from, py*h)))
			}
			out := to[i].Row(y)
			for x, v := range line {
				out[x] = float32(float64(v) / whole)
			}
		}
	}
}

// addRow adds a row of the photo to a line of the ground, down times. What is no
// number counts as black.
func addRow(line []int64, row []float32, down int64) {
	w, pw := len(line), len(row)
	x, end := 0, pw // the cell, and its right edge in units of 1/w of a pixel
	for px, v := range row {
		if !(v > 0) {
			v = 0
		}
		light := int64(float64(min(v, 1)*lightUnits)+0.5) * down
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
		line[x+1] += light * int64(right-end)
		x, end = x+1, end+pw
	}
}
