package outline

import (
	"math"
	"slices"

	"atelier/halflid/imageproc"
)

// Fill clears dst and marks each pixel whose middle lies inside the rings by the
// even-odd rule: a line from it to the left crosses the rings an odd number of
// times. A middle that lies on a ring counts as inside to the right of or below
// it, so that rings side by side share no pixel and leave none out. Rings may
// reach outside dst, cross and touch; those of fewer than three points mark
// nothing. It panics on a coordinate that is no number or beyond 10 million.
// Source: scan conversion by rows (Wylie, Romney, Evans and Erdahl 1967).
func Fill(dst imageproc.Mask, rings []Ring) {
	clear(dst.Pix)
	if dst.W == 0 || dst.H == 0 {
		return
	}
	// Where the rings cross each row's middle, gathered row by row: first counted,
	// then stored, as rows hold very different numbers.
	start := make([]int, dst.H+1)
	for _, r := range rings {
		r.check()
		r.eachSide(dst.H, func(_, _ Point, y0, y1 int) {
			for y := y0; y < y1; y++ {
				start[y+1]++
			}
		})
	}
	for y := range dst.H {
		start[y+1] += start[y]
	}
	cross := make([]int32, start[dst.H])
	at := slices.Clone(start[:dst.H])
	for _, r := range rings {
		r.eachSide(dst.H, func(a, b Point, y0, y1 int) {
			for y := y0; y < y1; y++ {
				cross[at[y]] = int32(firstRight(a, b, float64(y)+0.5, dst.W))
				at[y]++
			}
		})
	}
	for y := range dst.H {
		xs := cross[start[y]:start[y+1]]
		slices.Sort(xs)
		row := dst.Pix[y*dst.W : (y+1)*dst.W]
		for i := 0; i+1 < len(xs); i += 2 {
			span := row[xs[i]:xs[i+1]]
			for x := range span {
				span[x] = true
			}
		}
	}
}

// eachSide visits the sides that cross the middle of a row below h: a is the
// upper end, y0 to y1-1 are the rows.
func (r Ring) eachSide(h int, visit func(a, b Point, y0, y1 int)) {
	for i, a := range r {
		b := r[next(i, len(r))]
		if a.Y > b.Y {
			a, b = b, a
		}
		// A middle at a's height is crossed, one at b's is not: a corner counts once.
		y0 := max(0, int(math.Ceil(a.Y-0.5)))
		y1 := min(h, int(math.Ceil(b.Y-0.5)))
		if y0 < y1 {
			visit(a, b, y0, y1)
		}
	}
}

// firstRight returns the first pixel, 0..w, whose middle is not left of where the
// side from a down to b crosses the height y.
func firstRight(a, b Point, y float64, w int) int {
	x := a.X + float64((y-a.Y)*(b.X-a.X))/(b.Y-a.Y)
	return min(max(int(math.Ceil(x-0.5)), 0), w)
}
