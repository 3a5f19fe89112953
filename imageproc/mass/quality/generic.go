package quality

import (
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// Flat is a picture of few values: what plans are compared with.
type Flat struct {
	Values imageproc.Labels
	Shapes int
	Tones  []palette.L
}

// levels is how finely the generic ways count lightness.
const levels = 512

// Blurred returns the plain way to few shapes, to compare with: blur by share
// of the longer side (0: none), k values by least square error or at equal
// steps, then the smallest shapes absorbed until s are left. Tones are the
// means of light.
//
// Source: multi-level Otsu as in Liao, Chen, Chung 2001; k-means without blur.
func Blurred(pic imageproc.Picture, share float64, k, s int, equal bool) Flat {
	w, h := pic.R.W, pic.R.H
	y := pic.Luminance(imageproc.Plane[palette.Y]{})
	soft := y
	if share > 0 {
		soft = imageproc.NewPlane[palette.Y](w, h)
		var b tone.Blurrer
		tone.BlurPlane(&b, soft, y, share*float64(max(w, h)))
	}
	l := imageproc.Lightness(imageproc.Plane[palette.L]{}, soft)
	var count [levels]float64
	for _, v := range l.Pix {
		count[level(v)]++
	}
	starts := leastError(&count, k)
	if equal {
		for i := range starts {
			starts[i] = i * levels / k
		}
	}
	f := Flat{Values: imageproc.NewLabels(w, h)}
	for i, v := range l.Pix {
		c, at := len(starts)-1, level(v)
		for starts[c] > at {
			c--
		}
		f.Values.Pix[i] = int32(c)
	}
	f.Tones = meanTones(f.Values, y, len(starts))
	f.reduce(s)
	f.Tones = meanTones(f.Values, y, len(starts))
	return f
}

func level(l float32) int { return min(levels-1, max(0, int(l*levels/100))) }

// reduce absorbs the smallest shapes until at most s are left.
func (f *Flat) reduce(s int) {
	var a mass.Absorber
	try := imageproc.NewLabels(f.Values.W, f.Values.H)
	lo, hi := 0, len(f.Values.Pix)+1 // hi leaves few enough, lo too many
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		copy(try.Pix, f.Values.Pix)
		if a.Absorb(try, f.Tones, mid) <= s {
			hi = mid
		} else {
			lo = mid
		}
	}
	f.Shapes = a.Absorb(f.Values, f.Tones, hi)
}

// meanTones returns L* of the mean light of each value; values without pixels
// stand between their neighbours.
func meanTones(values imageproc.Labels, y imageproc.Plane[palette.Y], k int) []palette.L {
	n, sum := make([]float64, k), make([]float64, k)
	for i, v := range values.Pix {
		n[v]++
		sum[v] += float64(y.Pix[i])
	}
	out := make([]palette.L, k)
	for i := range out {
		out[i] = palette.L(100 * (float64(i) + .5) / float64(k))
		if n[i] > 0 {
			out[i] = palette.Y(sum[i] / n[i]).L()
		}
	}
	return out
}

// leastError returns where the k classes with the least square error begin.
func leastError(count *[levels]float64, k int) []int {
	var n, x, xx [levels + 1]float64
	for i, c := range count {
		v := float64(i)
		n[i+1], x[i+1], xx[i+1] = n[i]+c, x[i]+c*v, xx[i]+c*v*v
	}
	spread := func(a, b int) float64 {
		m := n[b] - n[a]
		if m == 0 {
			return 0
		}
		s := x[b] - x[a]
		return xx[b] - xx[a] - s*s/m
	}
	cost := make([]float64, levels+1)
	for i := range cost {
		cost[i] = spread(0, i)
	}
	from := make([][levels + 1]int, k)
	for c := 1; c < k; c++ {
		next := make([]float64, levels+1)
		for i := range next {
			next[i] = math.Inf(1)
			for j := range i + 1 {
				if v := cost[j] + spread(j, i); v < next[i] {
					next[i], from[c][i] = v, j
				}
			}
		}
		cost = next
	}
	starts := make([]int, k)
	for c, i := k-1, levels; c > 0; c-- {
		i = from[c][i]
		starts[c] = i
	}
	return starts
}
