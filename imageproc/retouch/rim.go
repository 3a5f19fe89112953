package retouch

import (
	"math"

	"atelier/halflid/imageproc"
)

// rimReach is how far, in pixels, the average that holds the membrane reaches,
// and rimSigma the width of its Gaussian weights.
//
// Along a straight border the average has 0.27 times the noise of a pixel, no
// pixel counts for more than 13 % of it, and its middle lies 0.75 pixels outside
// the border pixel: on a ground that rises by half an L* a pixel the step onto
// the fill stays below one L* (TestSeam). Wider is quieter and steps more.
// Source: normalised averaging, Knutsson & Westin 1993; the width is ours.
const (
	rimReach = 3
	rimSigma = 1.5
)

// tap is one pixel of the average, from its middle.
type tap struct {
	x, y   int
	weight float32
}

func rimTaps() []tap {
	var taps []tap
	for y := -rimReach; y <= rimReach; y++ {
		for x := -rimReach; x <= rimReach; x++ {
			if d2 := x*x + y*y; d2 <= rimReach*rimReach {
				taps = append(taps, tap{x, y, float32(math.Exp(-float64(d2) / (2 * rimSigma * rimSigma)))})
			}
		}
	}
	return taps
}

// hold gives each rim pixel of the three sheets the average of the pixels
// around it that lie in pic and outside the patch, and the open pixels the mean
// of those. It returns the least and the largest light of each plane's rim.
func (r *Retoucher) hold(pic imageproc.Picture, p Patch) (low, high [3]float32) {
	if r.taps == nil {
		r.taps = rimTaps()
	}
	g, size, planes := &r.grid, pic.Size(), pic.Planes()
	var sum [3]float64
	for c := range low {
		low[c], high[c] = float32(math.Inf(1)), float32(math.Inf(-1))
	}
	for _, i := range g.rim {
		x := int(i)%g.stride - 1 + g.box.Min.X
		y := int(i)/g.stride - 1 + g.box.Min.Y
		var light [3]float32
		weight := float32(0)
		for _, t := range r.taps {
			tx, ty := x+t.x, y+t.y
			if uint(tx) >= uint(size.X) || uint(ty) >= uint(size.Y) || p.has(tx, ty) {
				continue
			}
			j := ty*size.X + tx
			weight += t.weight
			for c := range light {
				light[c] += float32(t.weight * planes[c].Pix[j])
			}
		}
		for c := range light {
			v := light[c] / weight
			r.sheets[c].u[i] = v
			sum[c] += float64(v)
			low[c], high[c] = min(low[c], v), max(high[c], v)
		}
	}
	for c := range sum {
		r.sheets[c].fill(g, float32(sum[c]/float64(len(g.rim))))
	}
	return low, high
}

// fill gives every open pixel the same light.
func (s *sheet) fill(g *grid, light float32) {
	for y := range g.h {
		row := s.u[(y+1)*g.stride+1:]
		for _, r := range g.runs[g.rows[y]:g.rows[y+1]] {
			for x := r.x0; x < r.x1; x++ {
				row[x] = light
			}
		}
	}
}
