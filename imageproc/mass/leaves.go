package mass

import (
	"cmp"
	"slices"
)

// regionSums are sums over the pixels of numbered regions, in whole steps and
// therefore exact in any order.
type regionSums struct {
	area, d, a, b, t []float64
	square           []float64 // of d
	focus            []float64 // sum of the focal weight
}

func (s *regionSums) columns() [7]*[]float64 {
	return [7]*[]float64{&s.area, &s.d, &s.a, &s.b, &s.t, &s.square, &s.focus}
}

func (s *regionSums) reset(n int) {
	for _, c := range s.columns() {
		*c = resize(*c, n)
		clear(*c)
	}
}

// add measures the n regions of label, with a focal weight of one.
func (s *regionSums) add(label []int32, n int, p *planes) {
	s.reset(n)
	type sums struct{ n, d, a, b, t, q int64 }
	acc := make([]sums, n)
	for y := range p.h {
		at := y * p.w
		row, d, t := label[at:][:p.w], p.d[at:][:p.w], p.t[at:][:p.w]
		a, b := p.a[at:][:p.w], p.b[at:][:p.w]
		for x, l := range row {
			r := &acc[l]
			v := int64(d[x])
			r.n++
			r.d += v
			r.q += v * v
			r.a += int64(a[x])
			r.b += int64(b[x])
			r.t += int64(t[x])
		}
	}
	for i, r := range acc {
		s.area[i], s.d[i], s.square[i] = float64(r.n), float64(r.d), float64(r.q)
		s.a[i], s.b[i], s.t[i] = float64(r.a), float64(r.b), float64(r.t)
		s.focus[i] = float64(r.n)
	}
}

// weigh measures the focal weight of the regions of label.
func (s *regionSums) weigh(label []int32, w int, focus *falloff) {
	clear(s.focus)
	for i, l := range label {
		s.focus[l] += float64(focus.at(i%w, i/w))
	}
	for i := range s.focus {
		s.focus[i] /= focusSteps
	}
}

// settle renumbers the n regions by what they are, the largest first, so that
// "the smaller number" means the same region in a mirrored picture. Only
// regions alike in every sum keep the order of the raster.
func (s *regionSums) settle(label []int32, n int) {
	order := make([]int32, n)
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, j int32) int {
		return cmp.Or(cmp.Compare(s.area[j], s.area[i]), cmp.Compare(s.d[i], s.d[j]),
			cmp.Compare(s.square[i], s.square[j]), cmp.Compare(s.a[i], s.a[j]),
			cmp.Compare(s.b[i], s.b[j]), cmp.Compare(s.t[i], s.t[j]), cmp.Compare(i, j))
	})
	number := make([]int32, n)
	for k, i := range order {
		number[i] = int32(k)
	}
	for i, l := range label {
		label[i] = number[l]
	}
	tmp := make([]float64, n)
	for _, c := range s.columns() {
		copy(tmp, *c)
		for k, i := range order {
			(*c)[k] = tmp[i]
		}
	}
}

// gather adds the regions up to those that region leads to, n of them.
func (s *regionSums) gather(region []int32, n int) *regionSums {
	var out regionSums
	out.reset(n)
	from, to := s.columns(), out.columns()
	for c := range from {
		for i, r := range region {
			(*to[c])[r] += (*from[c])[i]
		}
	}
	return &out
}

// mean returns the mean of d of region i in L*.
func (s *regionSums) mean(i int32) float64 { return s.d[i] / s.area[i] / stepsL }
