package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// Values is how the plan divides light and dark.
type Values struct {
	Tones  []palette.Value // what is painted, Munsell, dark to light
	Shares []float64       // of the picture, one a tone, summing to 1
	Ruling int             // the tone with the largest share; of equals the darker
	Steps  []float64       // between neighbouring tones, steps of Munsell value; one fewer than tones
	Kept   float64         // share of the photo's light and dark that the values keep: of the squinted photo's variance of L*, eta squared, 0..1

	// Equal are the pairs of values whose shares differ by 5 points or less, the
	// most nearly equal first: neither rules the other. Values below 5 % are left
	// out. Source: that unequal shares read better is common practice, no source.
	Equal []Equal
}

// Equal is two values of nearly equal share, the darker first.
type Equal struct {
	Dark, Light int
	Apart       float64 // difference of the shares, 0..0.05
}

const (
	equalShares = 0.05
	leastShare  = 0.05
)

// values is read off the shares; Kept is the plan's own figure. Source: common
// practice for what is asked; ours.
func (s *scene) values() Values {
	out := Values{Shares: append([]float64(nil), s.shares...), Kept: s.d.Kept}
	for i, t := range s.d.Tones {
		out.Tones = append(out.Tones, t.Value())
		if i > 0 {
			out.Steps = append(out.Steps, steps(out.Tones[i], out.Tones[i-1]))
		}
		if s.shares[i] > s.shares[out.Ruling] {
			out.Ruling = i
		}
		for j := range i {
			apart := math.Abs(s.shares[i] - s.shares[j])
			if apart <= equalShares && min(s.shares[i], s.shares[j]) >= leastShare {
				out.Equal = insert(out.Equal, Equal{j, i, apart}, func(a, b Equal) bool { return a.Apart < b.Apart })
			}
		}
	}
	return out
}

// insert puts v into a sorted list, after those that are its equals.
func insert[T any](list []T, v T, before func(a, b T) bool) []T {
	list = append(list, v)
	for i := len(list) - 1; i > 0 && before(list[i], list[i-1]); i-- {
		list[i], list[i-1] = list[i-1], list[i]
	}
	return list
}

// Simplicity is how much there is to paint.
type Simplicity struct {
	Shapes int
	// Masses is how many parts of one value, touching along a side, hold 0.5 % of
	// the picture or more; shapes of one value side by side are one mass.
	Masses int
	// Main is how many of the largest shapes make up nine tenths of the picture.
	// Of hand-drawn outlines of photographs seven do (median; half of the
	// outlines: BSDS500, computed). Source: ours.
	Main int
	// Border is the length of all borders between shapes over the length around
	// the picture, 0 or more.
	Border float64

	// Smallest is the share of the smallest shape, of equals the first; SmallestMM
	// the side of a square of its area on the panel, in mm, 0 for a free panel.
	Smallest      float64
	SmallestMM    float64
	SmallestShape int
	SmallestAt    plan.Point

	// Changed is the share of the picture that changes its value when seen at a
	// tenth of the size: each of 77 cells along the long side shows the value that
	// covers most of it, the darker of equals. 0..1. Gone lists the shapes that
	// then cover no cell, the largest first. Source: ours.
	Changed float64
	Gone    []Gone
}

// Gone is a shape that a look from afar does not find.
type Gone struct {
	Shape int
	Share float64
	At    plan.Point
}

// farCells is how many cells the long side has at a tenth of the working size;
// odd, so that no pixel's middle lies between two.
const farCells = 77

func (s *scene) simplicity() Simplicity {
	out := Simplicity{Shapes: len(s.share), SmallestShape: 0, Smallest: s.share[0]}
	sizes := make([]float64, 0, len(s.share))
	for i, v := range s.share {
		sizes = insert(sizes, v, func(a, b float64) bool { return a > b })
		if v < out.Smallest {
			out.Smallest, out.SmallestShape = v, i
		}
	}
	sum := 0.0
	for _, v := range sizes {
		if sum += v; sum > 0.9-1e-9 {
			out.Main++
			break
		}
		out.Main++
	}
	out.SmallestAt = s.on(out.SmallestShape)
	for v := range s.d.Tones {
		_, shares := s.partsOf(v, v+1)
		for _, share := range shares {
			if share >= leastMass {
				out.Masses++
			}
		}
	}
	w, h := s.d.Panel.Size(plan.Millimetre)
	out.SmallestMM = math.Sqrt(out.Smallest * w * h)
	length := 0.0
	for _, p := range s.pairs {
		length += p.length
	}
	out.Border = length / float64(2*(s.w+s.h))
	out.Changed, out.Gone = s.fromAfar()
	return out
}

// fromAfar sees the plan at a tenth of its size.
func (s *scene) fromAfar() (changed float64, gone []Gone) {
	nx, ny := odd(float64(s.w)*farCells/s.long), odd(float64(s.h)*farCells/s.long)
	k := len(s.d.Tones)
	column := make([]int32, s.w)
	for x := range column {
		column[x] = int32((2*x + 1) * nx / (2 * s.w))
	}
	count := make([]int32, nx*ny*k)
	m := s.d.Map
	for y := range m.H {
		cells := count[(2*y+1)*ny/(2*s.h)*nx*k:]
		for x, id := range m.Row(y) {
			cells[int(column[x])*k+s.d.Shapes[id].Value]++
		}
	}
	value := make([]int32, nx*ny)
	lost := 0
	for c := range value {
		all, most := int32(0), int32(0)
		for v, n := range count[c*k : (c+1)*k] {
			if all += n; n > most {
				most, value[c] = n, int32(v)
			}
		}
		lost += int(all - most)
	}
	found := make([]bool, len(s.share))
	for y := range m.H {
		cells := value[(2*y+1)*ny/(2*s.h)*nx:]
		for x, id := range m.Row(y) {
			if int(cells[column[x]]) == s.d.Shapes[id].Value {
				found[id] = true
			}
		}
	}
	for i, f := range found {
		if !f {
			gone = insert(gone, Gone{i, s.share[i], s.on(i)}, func(a, b Gone) bool { return a.Share > b.Share })
		}
	}
	return float64(lost) / s.pixels, gone
}

// odd returns the odd whole number nearest to v, at least 1.
func odd(v float64) int { return max(1, 2*int(math.Floor(v/2))+1) }
