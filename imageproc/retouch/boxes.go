package retouch

import "image"

// worthGap is how many empty rows or columns between parts of a patch are worth
// solving the parts one by one.
const worthGap = 16

// boxes appends the rectangles that hold all marked pixels of p inside r, parted
// along wide empty stripes, so that the work and memory of a patch in several
// parts is that of the parts.
func (p Patch) boxes(out []image.Rectangle, r image.Rectangle) []image.Rectangle {
	r = p.bounds(r)
	if r.Empty() {
		return out
	}
	cols, rows := make([]bool, r.Dx()), make([]bool, r.Dy())
	for y := range rows {
		for x, marked := range p.row(r.Min.Y+y, r.Min.X, r.Max.X) {
			if marked {
				cols[x], rows[y] = true, true
			}
		}
	}
	x, wide := widestGap(cols)
	y, high := widestGap(rows)
	if max(wide, high) < worthGap {
		return append(out, r)
	}
	a, b := r, r
	if wide >= high {
		a.Max.X, b.Min.X = r.Min.X+x, r.Min.X+x+wide
	} else {
		a.Max.Y, b.Min.Y = r.Min.Y+y, r.Min.Y+y+high
	}
	return p.boxes(p.boxes(out, a), b)
}

// widestGap returns where the first of the longest stretches of false begins,
// and how long it is.
func widestGap(marked []bool) (at, n int) {
	from := 0
	for i, m := range marked {
		if !m {
			continue
		}
		if i-from > n {
			at, n = from, i-from
		}
		from = i + 1
	}
	return at, n
}
