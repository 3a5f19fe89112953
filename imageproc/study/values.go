package study

import (
	"image"
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
	made   bool

	brush float64

	labels imageproc.Labels
	cuts   []palette.L
	tones  []palette.L
	shares []float64
	count  int
	kept   float64
}

func (v *values) figures(crop image.Rectangle) Figures {
	return Figures{
		Size: v.labels.Size(), Crop: crop,
		Cuts: slices.Clone(v.cuts), Tones: slices.Clone(v.tones),
		Shares: slices.Clone(v.shares), Shapes: v.count, Kept: v.kept,
	}
}

// setValues brings the values up to date with the squint and the plan. An error
// means cuts or tones that no edit makes: they came from outside.
func (d *Desk) setValues(p plan.Plan) error {
	v := &d.values
	if v.made && v.squint == d.squint.made && v.want == p.Values && v.brush == p.BrushShare() {
		return nil
	}
	cuts, err := d.cuts(p.Values)
	if err != nil {
		return err
	}
	v.made = false
	v.labels = v.labels.Reshape(d.squint.l.W, d.squint.l.H)
	tone.Classify(v.labels, d.squint.l, cuts)
	// Tones are taken before crumbs are: a value's own mean then always lies
	// between its cuts, and the tones keep their order.
	v.tones, err = d.tones(p.Values, v.labels, cuts)
	if err != nil {
		return err
	}
	v.cuts = cuts
	v.kept = d.squint.hist.Kept(cuts)
	least := int(float64(p.BrushShare()*float64(len(v.labels.Pix))) + 0.5)
	v.count = d.absorber.Absorb(v.labels, v.tones, max(1, least))
	v.shares = tone.Shares(v.labels, p.Values.K)
	v.squint, v.want, v.brush, v.made = d.squint.made, p.Values, p.BrushShare(), true
	return nil
}

func (d *Desk) cuts(v plan.Values) ([]palette.L, error) {
	switch v.CutMethod {
	case plan.CutEqualSteps:
		return tone.EqualSteps(v.K), nil
	case plan.CutByHand:
		cuts := lightnesses(v.HandCuts())
		return cuts, tone.CheckCuts(cuts, v.K)
	case plan.CutLeastError:
		return tone.LeastError(d.squint.hist, v.K), nil
	default:
		return tone.Nested(d.squint.hist, v.K), nil
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
