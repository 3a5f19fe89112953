package crops

import (
	"image"
	"math"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/palette"
)

// looker looks at crops of one size, w by h pixels of the survey, about one focal
// point: it answers the
// questions that a survey can answer, and takes the others as met.
type looker struct {
	s      *survey
	g      *gathered
	k      int
	fx, fy float64 // the focal point and its radius, pixels of the survey
	fr     float64
	focal  int64 // strongest window there
	values [bins]float64
}

func newLooker(g *gathered, k int, focus plan.Focus, w, h float64) *looker {
	s := g.survey
	l := &looker{s: s, g: g, k: k, fx: focus.X * float64(s.w), fy: focus.Y * float64(s.h)}
	l.fr = reading.FocalRadius(focus, image.Pt(s.w, s.h), w, h)
	r := int(math.Ceil(l.fr))
	for y := max(0, int(l.fy)-r); y <= min(s.h-1, int(l.fy)+r); y++ {
		for x := max(0, int(l.fx)-r); x <= min(s.w-1, int(l.fx)+r); x++ {
			if l.near(x, y) {
				l.focal = max(l.focal, g.sums[y*s.w+x])
			}
		}
	}
	for b := range l.values {
		l.values[b] = float64(palette.L((float64(b) + 0.5) * 100 / bins).Value())
	}
	return l
}

// near reports whether a pixel lies within the focal radius.
func (l *looker) near(x, y int) bool {
	return math.Hypot(float64(x)+0.5-l.fx, float64(y)+0.5-l.fy) <= l.fr
}

// figures returns what the survey tells of a crop.
func (l *looker) figures(b box, focus plan.Focus) figures {
	r := l.s.rect(b)
	f := figures{
		linked: 1, masses: 1, stands: 10, main: 1, radius: 1,
		x: (focus.X - b.x) / b.w, y: (focus.Y - b.y) / b.h,
	}
	l.valuesOf(&f, r)
	elsewhere := int64(0)
	for _, p := range l.g.peaks {
		if p.x >= r.x0 && p.x < r.x1 && p.y >= r.y0 && p.y < r.y1 && !l.near(p.x, p.y) {
			elsewhere = p.v
			break
		}
	}
	f.focal = ratio(float64(l.focal), float64(elsewhere))
	f.edge = ratio(float64(l.along(r)), float64(l.focal))
	return f
}

// along returns the strongest window along the sides.
func (l *looker) along(r rect) int64 {
	in := max(0, int(0.025*float64(max(r.x1-r.x0, r.y1-r.y0))))
	step := max(1, l.g.reach)
	x0, x1, y0, y1 := min(r.x0+in, r.x1-1), max(r.x1-1-in, r.x0), min(r.y0+in, r.y1-1), max(r.y1-1-in, r.y0)
	most := int64(0)
	at := func(x, y int) { most = max(most, l.g.sums[y*l.g.w+x]) }
	// Steps are counted from both ends, so that the mirrored crop is looked at in
	// the mirrored places.
	for i := 0; r.x0+i < r.x1; i += step {
		at(r.x0+i, y0)
		at(r.x0+i, y1)
		at(r.x1-1-i, y0)
		at(r.x1-1-i, y1)
	}
	for i := 0; r.y0+i < r.y1; i += step {
		at(x0, r.y0+i)
		at(x1, r.y0+i)
	}
	return most
}

// valuesOf parts the lightnesses of a crop into k values and weighs its halves.
func (l *looker) valuesOf(f *figures, r rect) {
	h := l.s.histogram(r)
	of, k := partBins(&h, l.k)
	var n, sum, left [plan.MaxK]float64
	mid := (r.x0 + r.x1) / 2
	halves := l.s.histogram(rect{r.x0, r.y0, max(mid, r.x0), r.y1})
	middle := [bins]int32{}
	if (r.x0+r.x1)%2 != 0 { // half of the middle column
		middle = l.s.histogram(rect{mid, r.y0, mid + 1, r.y1})
	}
	all := 0.0
	for b, c := range h {
		v := of[b]
		n[v] += float64(c)
		sum[v] += float64(float64(c) * l.values[b])
		left[v] += float64(halves[b]) + float64(middle[b])/2
		all += float64(c)
	}
	f.k, f.step = k, 10
	shares := make([]float64, k)
	for v := range k {
		shares[v] = n[v] / all
		sum[v] /= n[v]
		if v > 0 {
			f.step = min(f.step, sum[v]-sum[v-1])
		}
	}
	if k < 2 {
		f.step = 0
	}
	f.setShares(shares)
	weight, weightLeft := 0.0, 0.0
	for v := range k {
		w := math.Abs(sum[v] - sum[f.ruling])
		weight += float64(w * n[v])
		weightLeft += float64(w * left[v])
	}
	if f.left = 0.5; weight > 0 {
		f.left = weightLeft / weight
	}
}

// partBins parts counted bins into at most k runs with the least squared error and
// returns the run of each bin and how many there are; none is empty.
//
// Source: the dynamic programme of Wang and Song 2011.
func partBins(h *[bins]int32, k int) (of [bins]int, runs int) {
	var at [bins]int // the bins that hold something
	var n, sum, square [bins + 1]float64
	m := 0
	for b, c := range h {
		if c == 0 {
			continue
		}
		at[m] = b
		v := float64(c)
		n[m+1], sum[m+1], square[m+1] = n[m]+v, sum[m]+v*float64(b), square[m]+v*float64(b*b)
		m++
	}
	if k = min(k, m); k == 0 {
		return of, 0
	}
	cost := func(i, j int) float64 {
		s := sum[j] - sum[i]
		return square[j] - square[i] - s*s/(n[j]-n[i])
	}
	var least [plan.MaxK + 1][bins + 1]float64
	var from [plan.MaxK + 1][bins + 1]int
	for j := 1; j <= m; j++ {
		least[1][j] = cost(0, j)
	}
	for c := 2; c <= k; c++ {
		for j := c; j <= m; j++ {
			least[c][j] = math.Inf(1)
			for i := c - 1; i < j; i++ {
				if e := least[c-1][i] + cost(i, j); e < least[c][j] {
					least[c][j], from[c][j] = e, i
				}
			}
		}
	}
	for c, j := k, m; c >= 1; c-- {
		i := from[c][j]
		for ; j > i; j-- {
			of[at[j-1]] = c - 1
		}
	}
	return of, k
}
