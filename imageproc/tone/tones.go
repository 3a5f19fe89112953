package tone

import (
	"errors"
	"fmt"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// ErrTones is wrapped by what CheckTones returns.
var ErrTones = errors.New("tones of the values")

// leastStep is how far apart, in L*, MeanTones keeps its tones.
const leastStep = 1.0 / 16

// MeanTones returns the tone of each of len(cuts)+1 values: the lightness of the
// mean light of its pixels, which is what the eye mixes from a distance. Tones
// strictly increase, always, by 1/16 L* or more:
//   - a value that no pixel carries takes the middle between its cuts (0 and 100
//     beyond the outer ones), so a flat photo still has k tones to paint; where
//     it is not in order it counts as half a pixel;
//   - where labels no longer follow the light (shapes that took a neighbour's
//     value) and a darker value came out lighter, the values that disagree take
//     their common mean and are then set 1/16 L* apart.
//
// Labels outside 0..len(cuts) panic; labels and y have the same size, or it
// panics.
// Source: ours; the common mean of values in the wrong order is that of isotonic
// regression, Ayer et al. 1955, Ann. Math. Statist. 26(4) 641-647.
func MeanTones(labels imageproc.Labels, y imageproc.Plane[palette.Y], cuts []palette.L) []palette.L {
	if labels.Size() != y.Size() {
		panic(fmt.Sprintf("tone: labels of %v on a plane of %v", labels.Size(), y.Size()))
	}
	k := len(cuts) + 1
	sum, n := make([]float64, k), make([]int, k)
	pix := y.Pix[:len(labels.Pix)]
	for i, v := range labels.Pix {
		sum[v] += float64(pix[i])
		n[v]++
	}
	tones, weights := make([]palette.L, k), make([]float64, k)
	for i := range tones {
		if n[i] > 0 {
			tones[i], weights[i] = palette.Y(sum[i]/float64(n[i])).L(), float64(n[i])
			continue
		}
		lo, hi := palette.L(0), palette.L(100)
		if i > 0 {
			lo = cuts[i-1]
		}
		if i < k-1 {
			hi = cuts[i]
		}
		tones[i], weights[i] = (lo+hi)/2, 0.5
	}
	return inOrder(tones, weights)
}

// inOrder changes tones as little as can be, by weight, to make them increase by
// leastStep or more within 0..100.
func inOrder(tones []palette.L, weights []float64) []palette.L {
	type run struct {
		mean, w float64
		n       int
	}
	var runs []run
	for i, t := range tones {
		runs = append(runs, run{float64(t), weights[i], 1})
		for m := len(runs); m > 1 && runs[m-1].mean < runs[m-2].mean; m-- {
			a, b := runs[m-2], runs[m-1]
			w := a.w + b.w
			runs = append(runs[:m-2], run{(float64(a.mean*a.w) + float64(b.mean*b.w)) / w, w, a.n + b.n})
		}
	}
	i, k := 0, len(tones)
	for _, r := range runs {
		for j := range r.n {
			t := r.mean + float64((float64(j)-float64(r.n-1)/2)*leastStep)
			t = min(max(t, float64(i)*leastStep), 100-float64(float64(k-1-i)*leastStep))
			if i > 0 {
				t = max(t, float64(tones[i-1])+leastStep)
			}
			tones[i] = palette.L(t)
			i++
		}
	}
	return tones
}

// FixedTones returns k steps of the Munsell value scale, in whole values that
// are easily mixed and lie between the darkest paint (about 1) and white (about
// 9.8): 2 values N2 N8; 3: N2 N5 N8; 4: N2 N4 N6 N8; 5: N1 N3 N5 N7 N9. Other
// numbers are equal steps from N1 to N9; one value is N5. It panics if k is less
// than 1.
// Source: ours; the reach of paint after measured masstones (PBk9 N1.3, PW6 N9.8).
func FixedTones(k int) []palette.L {
	if k < 1 {
		panic(fmt.Sprintf("tone: fixed tones of %d values", k))
	}
	lo, hi := 1.0, 9.0
	switch k {
	case 1:
		lo, hi = 5, 5
	case 2, 3, 4:
		lo, hi = 2, 8
	}
	tones := make([]palette.L, k)
	for i := range tones {
		v := lo
		if k > 1 {
			v += (hi - lo) * float64(i) / float64(k-1)
		}
		tones[i] = palette.Value(v).L()
	}
	return tones
}

// CheckTones returns nil if tones can be painted for k values: k of them, from
// black to white, each lighter than the one before. Otherwise the error wraps
// ErrTones and says which is wrong, in Munsell value.
func CheckTones(tones []palette.L, k int) error {
	if len(tones) != k {
		return fmt.Errorf("%w: %d values need %d tones, not %d", ErrTones, k, k, len(tones))
	}
	for i, t := range tones {
		switch {
		case !(t >= 0 && t <= 100):
			return fmt.Errorf("%w: tone %d is %s; choose one from black (0) to white (10)", ErrTones, i+1, inValue(t))
		case i > 0 && !(t > tones[i-1]):
			return fmt.Errorf("%w: tone %d, %s, is not lighter than tone %d, %s; give them from dark to light", ErrTones, i+1, inValue(t), i, inValue(tones[i-1]))
		}
	}
	return nil
}
