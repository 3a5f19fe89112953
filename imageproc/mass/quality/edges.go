package quality

import (
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// ridges returns the height in L* of the edges of l, which was blurred by
// sigma pixels, where the gradient is largest across the edge, and zero
// elsewhere. The height of a step follows from its gradient as
// |grad| sqrt(2 pi) hypot(sigma, .6); .6 stands for the pixel itself.
//
// Source: Scharr 2000 (gradient); non-maximum suppression in four directions,
// Canny 1986, IEEE TPAMI 8.
func ridges(l imageproc.Plane[palette.L], sigma float64) []float64 {
	w, h := l.W, l.H
	slope, gx, gy := make([]float64, w*h), make([]float64, w*h), make([]float64, w*h)
	at := func(x, y int) float64 {
		return float64(l.At(min(w-1, max(0, x)), min(h-1, max(0, y))))
	}
	scale := math.Sqrt(2*math.Pi) * math.Hypot(sigma, .6)
	for y := range h {
		for x := range w {
			i := y*w + x
			gx[i] = (3*(at(x+1, y-1)-at(x-1, y-1)) + 10*(at(x+1, y)-at(x-1, y)) + 3*(at(x+1, y+1)-at(x-1, y+1))) / 32
			gy[i] = (3*(at(x-1, y+1)-at(x-1, y-1)) + 10*(at(x, y+1)-at(x, y-1)) + 3*(at(x+1, y+1)-at(x+1, y-1))) / 32
			slope[i] = math.Hypot(gx[i], gy[i]) * scale
		}
	}
	out := make([]float64, w*h)
	value := func(x, y int) float64 {
		if x < 0 || y < 0 || x >= w || y >= h {
			return 0
		}
		return slope[y*w+x]
	}
	for y := range h {
		for x := range w {
			i := y*w + x
			dx, dy := across(gx[i], gy[i])
			if s := slope[i]; s > 0 && s >= value(x-dx, y-dy) && s > value(x+dx, y+dy) {
				out[i] = s
			}
		}
	}
	return out
}

// across returns the neighbour that lies across an edge of that gradient.
func across(gx, gy float64) (dx, dy int) {
	ax, ay := math.Abs(gx), math.Abs(gy)
	switch tan := math.Tan(math.Pi / 8); {
	case ay <= tan*ax:
		return 1, 0
	case ax <= tan*ay:
		return 0, 1
	case gx*gy > 0:
		return 1, 1
	}
	return 1, -1
}

// hysteresis clears heights below low, and those below high that are not
// connected (at corners too) with one of high.
func hysteresis(height []float64, w, h int, low, high float64) {
	keep := make([]bool, len(height))
	var stack []int
	for i, v := range height {
		if v >= high && !keep[i] {
			keep[i] = true
			stack = append(stack, i)
		}
		for len(stack) > 0 {
			p := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for y := max(0, p/w-1); y <= min(h-1, p/w+1); y++ {
				for x := max(0, p%w-1); x <= min(w-1, p%w+1); x++ {
					if q := y*w + x; !keep[q] && height[q] >= low {
						keep[q] = true
						stack = append(stack, q)
					}
				}
			}
		}
	}
	for i := range height {
		if !keep[i] {
			height[i] = 0
		}
	}
}

// keepStrongest clears all but the n strongest heights and those below least.
func keepStrongest(height []float64, n int, least float64) {
	var all []float64
	for _, v := range height {
		if v >= least {
			all = append(all, v)
		}
	}
	if len(all) > n {
		slices.Sort(all)
		least = all[len(all)-n]
	}
	for i, v := range height {
		if v < least {
			height[i] = 0
		}
	}
}

func positive(v []float64) []bool {
	out := make([]bool, len(v))
	for i, x := range v {
		out[i] = x > 0
	}
	return out
}

// within marks the pixels at most r pixels from a marked one.
func within(mark []bool, w, h int, r float64) []bool {
	d := distances(mark, w, h)
	out := make([]bool, len(mark))
	for i, v := range d {
		out[i] = v <= r*r
	}
	return out
}

// distances returns the squared distance of each pixel to the nearest marked
// one, infinite if there is none.
//
// Source: lower envelope of parabolas, Felzenszwalb and Huttenlocher 2012,
// Theory of Computing 8.
func distances(mark []bool, w, h int) []float64 {
	d := make([]float64, w*h)
	for i, m := range mark {
		if !m {
			d[i] = math.Inf(1)
		}
	}
	e := newEnvelope(max(w, h))
	for x := range w {
		for y := range h {
			e.f[y] = d[y*w+x]
		}
		e.run(h)
		for y := range h {
			d[y*w+x] = e.d[y]
		}
	}
	for y := range h {
		row := d[y*w:][:w]
		copy(e.f, row)
		e.run(w)
		copy(row, e.d)
	}
	return d
}

type envelope struct {
	f, d, z []float64
	v       []int
}

func newEnvelope(n int) *envelope {
	return &envelope{make([]float64, n), make([]float64, n), make([]float64, n+1), make([]int, n)}
}

// run sets d to the distances along one line of n.
func (e *envelope) run(n int) {
	k := -1
	for q := range n {
		if math.IsInf(e.f[q], 1) {
			continue
		}
		s := math.Inf(-1)
		for k >= 0 {
			p := e.v[k]
			s = (e.f[q] + float64(q*q) - e.f[p] - float64(p*p)) / float64(2*(q-p))
			if s > e.z[k] {
				break
			}
			k--
		}
		if k < 0 {
			s = math.Inf(-1)
		}
		k++
		e.v[k], e.z[k], e.z[k+1] = q, s, math.Inf(1)
	}
	if k < 0 {
		for q := range n {
			e.d[q] = math.Inf(1)
		}
		return
	}
	j := 0
	for q := range n {
		for j < k && e.z[j+1] < float64(q) {
			j++
		}
		p := e.v[j]
		e.d[q] = float64((q-p)*(q-p)) + e.f[p]
	}
}

// thin returns the share of area that opening each value's mask with a disc of
// radius r pixels takes away. Outside the picture the masks go on as at its edge.
func thin(values imageproc.Labels, n int, r float64) float64 {
	lost := 0
	mask := make([]bool, len(values.Pix))
	for v := range int32(n) {
		for i, p := range values.Pix {
			mask[i] = p != v
		}
		core := make([]bool, len(mask))
		for i, d := range distances(mask, values.W, values.H) {
			core[i] = d > r*r
		}
		open := within(core, values.W, values.H, r)
		for i, p := range values.Pix {
			if p == v && !open[i] {
				lost++
			}
		}
	}
	return float64(lost) / float64(len(values.Pix))
}
