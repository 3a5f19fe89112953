package study

import (
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// values is a squinted crop in K values, crumbs taken in.
type values struct {
	squint int
	want   plan.Values
	shapes plan.Shapes
	made   bool

	labels imageproc.Labels
	cuts   []palette.L
	tones  []palette.L
	shares []float64
	count  int
	kept   float64
}

func (v *values) figures() Figures {
	return Figures{
		Cuts: slices.Clone(v.cuts), Tones: slices.Clone(v.tones),
		Shares: slices.Clone(v.shares), Shapes: v.count, Kept: v.kept,
	}
}

// setValues brings v up to date with the squint and with the plan's values. An
// error means cuts or tones that no edit makes: they came from outside.
func (d *Desk) setValues(v *values, p plan.Plan) (*values, error) {
	if v.made && v.squint == d.squint.made && v.want == p.Values && v.shapes == p.Shapes {
		return v, nil
	}
	cuts, err := d.cuts(p.Values)
	if err != nil {
		return nil, err
	}
	v.made = false
	v.labels = v.labels.Reshape(d.squint.l.W, d.squint.l.H)
	tone.Classify(v.labels, d.squint.l, cuts)
	// Tones are taken before crumbs are: a value's own mean then always lies
	// between its cuts, and the tones keep their order.
	v.tones, err = d.tones(p.Values, v.labels, cuts)
	if err != nil {
		return nil, err
	}
	v.cuts = cuts
	v.kept = d.squint.hist.Kept(cuts)
	v.count = d.takeCrumbs(v.labels, v.tones, p.Shapes)
	v.shares = tone.Shares(v.labels, p.Values.K)
	v.squint, v.want, v.shapes, v.made = d.squint.made, p.Values, p.Shapes, true
	return v, nil
}

func (d *Desk) cuts(v plan.Values) ([]palette.L, error) {
	switch v.CutMethod {
	case plan.CutEqualSteps:
		return tone.EqualSteps(v.K), nil
	case plan.CutByHand:
		cuts := lightnesses(v.HandCuts())
		return cuts, tone.CheckCuts(cuts, v.K)
	default:
		return tone.LeastError(d.squint.hist, v.K), nil
	}
}

func (d *Desk) tones(v plan.Values, labels imageproc.Labels, cuts []palette.L) ([]palette.L, error) {
	switch v.ToneMethod {
	case plan.ToneFixed:
		return tone.FixedTones(v.K), nil
	case plan.ToneByHand:
		tones := lightnesses(v.HandTones())
		return tones, tone.CheckTones(tones, v.K)
	default:
		return tone.MeanTones(labels, d.squint.y, cuts), nil
	}
}

func lightnesses(vs []palette.Value) []palette.L {
	out := make([]palette.L, len(vs))
	for i, v := range vs {
		out[i] = v.L()
	}
	return out
}

// takeCrumbs gives shapes that are too small to their neighbour of nearest
// value, and goes on with the smallest until no more than wanted are left. It
// returns how many shapes there are.
func (d *Desk) takeCrumbs(labels imageproc.Labels, tones []palette.L, want plan.Shapes) int {
	least := max(1, int(want.Smallest/100*float64(len(labels.Pix))+0.5))
	n := d.absorber.Absorb(labels, tones, least)
	if want.Wanted == 0 || n <= want.Wanted {
		return n
	}
	// A larger least area goes on from where a smaller one stopped, so the number
	// of shapes only falls, and two areas that leave the same number leave the
	// same shapes. Halve the range, as a ratio since most shapes are small. At
	// high, no more than wanted have room.
	d.start = append(d.start[:0], labels.Pix...)
	low, high := least+1, len(labels.Pix)/want.Wanted+1
	for low < high {
		mid := min(max(int(math.Sqrt(float64(low)*float64(high))), low), high-1)
		n = d.absorber.Absorb(labels, tones, mid)
		switch {
		case n == want.Wanted:
			return n
		case n > want.Wanted:
			copy(d.start, labels.Pix)
			low = mid + 1
		default:
			copy(labels.Pix, d.start)
			high = mid
		}
	}
	return d.absorber.Absorb(labels, tones, high)
}
