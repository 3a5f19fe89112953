package outline

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc"
)

// Grow returns a mask of all pixels whose middle lies within r pixels of the
// middle of a pixel that m marks, 0 <= r; nothing comes in from outside the
// picture. r below 1 gives m again. The mask is the caller's. It panics if r is
// below 0 or no number. Source: dilation by a disc (Matheron 1975), as one
// stretch of a row a chord of the disc.
func Grow(m imageproc.Mask, r float64) imageproc.Mask {
	if !(r >= 0) {
		panic(fmt.Sprintf("outline: grown by %v", r))
	}
	out := imageproc.NewMask(m.W, m.H)
	r = min(r, float64(m.W+m.H)) // no picture is wider
	reach := int(r)
	chord := make([]int, reach+1) // half of it, without the middle pixel
	for dy := range chord {
		half := int(math.Sqrt(max(0, float64(r*r)-float64(dy*dy))))
		for float64((half+1)*(half+1)+dy*dy) <= r*r {
			half++
		}
		for half > 0 && float64(half*half+dy*dy) > r*r {
			half--
		}
		chord[dy] = half
	}
	// Stretches that begin less those that end, at each pixel.
	width := m.W + 1
	edges := make([]int32, width*m.H)
	for y := range m.H {
		row := m.Pix[y*m.W : (y+1)*m.W]
		for x := 0; x < m.W; x++ {
			if !row[x] {
				continue
			}
			x0 := x
			for x < m.W && row[x] {
				x++
			}
			for to := max(0, y-reach); to <= min(m.H-1, y+reach); to++ {
				half := chord[max(to-y, y-to)]
				edges[to*width+max(0, x0-half)]++
				edges[to*width+min(m.W, x+half)]--
			}
		}
	}
	for y := range m.H {
		open := int32(0)
		for x, e := range edges[y*width : y*width+m.W] {
			open += e
			out.Pix[y*m.W+x] = open > 0
		}
	}
	return out
}
