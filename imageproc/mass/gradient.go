package mass

import "math"

// Whole-number Gaussians: of .8 pixel with sum 32, of 1.3 pixels with sum 64.
var (
	gauss08 = []int32{16, 7, 1}
	gauss13 = []int32{20, 15, 6, 1}
)

// gradients fills rise with the gradient of the guide in steps of L* a pixel,
// and edge with sqrt(rise^2 + 4 c^2), c the gradient of OKLab a and b times
// 100. Twice either is about the height of an edge there. Whole numbers up to
// the root make both the same for a turned or mirrored picture.
//
// Source: Scharr 2000, 3 10 3 / 32, on mirrored borders.
func gradients(rise, edge, guide []uint16, a, b []int16, w, h, threads int) {
	bands(threads, h, func(_, lo, hi int) {
		g := newSlope(w, gauss08)
		ca, cb := newSlope(w, gauss13), newSlope(w, gauss13)
		gx, gy := make([]int32, w), make([]int32, w)
		sum := make([]float64, w)
		for y := lo; y < hi; y++ {
			g.row(gx, gy, func(dst []int32, y int) { filterRow(dst, guide, w, h, y, gauss08, g.buf) }, y, h)
			r, e := rise[y*w:][:w], edge[y*w:][:w]
			for x := range sum {
				fx, fy := float64(gx[x]), float64(gy[x])
				s := (float64(fx*fx) + float64(fy*fy)) * (1. / (32 * 32 * 32 * 32 * 32 * 32))
				sum[x] = s
				r[x] = uint16(math.Sqrt(s) + .5)
			}
			ca.row(gx, gy, func(dst []int32, y int) { filterRow(dst, a, w, h, y, gauss13, ca.buf) }, y, h)
			addColour(sum, gx, gy)
			cb.row(gx, gy, func(dst []int32, y int) { filterRow(dst, b, w, h, y, gauss13, cb.buf) }, y, h)
			addColour(sum, gx, gy)
			for x, s := range sum {
				e[x] = uint16(min(math.Sqrt(s)+.5, 65535))
			}
		}
	})
}

// addColour adds four times the squared colour gradient, in steps of L*.
func addColour(sum []float64, gx, gy []int32) {
	const unit = float64(stepsL) / (stepsAB * 64 * 64 * 32)
	gx, gy = gx[:len(sum)], gy[:len(sum)]
	for x := range sum {
		fx, fy := float64(gx[x]), float64(gy[x])
		sum[x] += float64((float64(fx*fx) + float64(fy*fy)) * (4 * unit * unit))
	}
}

// slope keeps three smoothed rows of a plane, each with one mirrored number at
// both ends.
type slope struct {
	rows [3][]int32
	at   [3]int // which row of the picture each holds
	buf  []int32
}

func newSlope(w int, k []int32) *slope {
	s := &slope{buf: make([]int32, w+2*len(k)), at: [3]int{-1, -1, -1}}
	for i := range s.rows {
		s.rows[i] = make([]int32, w+2)
	}
	return s
}

// row sets gx and gy to the Scharr differences at row y; smooth makes a row.
func (s *slope) row(gx, gy []int32, smooth func(dst []int32, y int), y, h int) {
	w := len(gx)
	var line [3][]int32
	for i := range 3 {
		yy := mirrored(y-1+i, h)
		if s.at[yy%3] != yy {
			r := s.rows[yy%3]
			smooth(r[1:w+1], yy)
			r[0], r[w+1] = r[1], r[w]
			s.at[yy%3] = yy
		}
		line[i] = s.rows[yy%3]
	}
	p, q, r := line[0][:w+2], line[1][:w+2], line[2][:w+2]
	gy = gy[:w]
	for x := range gx {
		gx[x] = 3*((p[x+2]-p[x])+(r[x+2]-r[x])) + 10*(q[x+2]-q[x])
		gy[x] = 3*((r[x]-p[x])+(r[x+2]-p[x+2])) + 10*(r[x+1]-p[x+1])
	}
}
