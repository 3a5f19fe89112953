package main

import (
	"context"

	"github.com/spf13/cobra"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// decisions are the painter's decisions given as flags; those not given leave
// the plan as it is.
type decisions struct {
	crop, panel, cuts, tones string
	upright, across          bool
	squint, brush            float64
	focal                    string
	values, shapes           int
	choices                  choiceFlags
	given                    func(flag string) bool
}

func (d *decisions) register(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&d.crop, "crop", "", "the crop as `x,y,w` in parts of the photo (0.1,0.2,0.5); x,y,w,h frees the panel")
	f.StringVar(&d.panel, "panel", "", "the panel's `size`: 5x7 6x8 8x10 9x12 11x14 12x16 (in), a5 a4, 13x18 18x24 24x30 (cm), square, free, or a size of your own such as 10x10in, 20x25cm")
	f.BoolVar(&d.upright, "upright", false, "turn the panel upright")
	f.BoolVar(&d.across, "across", false, "turn the panel across")
	f.Float64Var(&d.squint, "squint", 0, "squint in `percent` of the crop's long side, 0 to 25")
	f.IntVar(&d.values, "values", 0, "the `number` of values that carry the plan, 2 to 5")
	f.StringVar(&d.cuts, "cuts", "", "nested, least, equal, or the `limits` between the values in Munsell value (3.5,6.2)")
	f.StringVar(&d.tones, "tones", "", "mean, fixed, or the `tones` that are painted in Munsell value (2,5,8)")
	f.IntVar(&d.shapes, "shapes", 0, "the `number` of shapes at most, up to 500; 0: all that are not too small")
	f.Float64Var(&d.brush, "brush", 0, "width in `mm` on the panel of the smallest mark, 0 to 50; less is no shape")
	f.StringVar(&d.focal, "focal", "", "focal point as `x,y` or x,y,radius in parts of the photo, with ,gentle or ,strong for how detail falls off; or none")
	d.choices.register(f)
	d.given = f.Changed
}

// changes are what the flags do to a plan: edits in an order in which none undoes
// another, then choices about single places of what has come out of them.
type changes struct {
	edits  []plan.Edit
	places []placed
}

// apply makes the changes one after the other. The desk is the photo's.
func (c changes) apply(ctx context.Context, d *study.Desk, p plan.Plan, f plan.Frame) (plan.Plan, error) {
	p = plan.Fit(p, f)
	for _, e := range c.edits {
		p = e(p, f)
	}
	for _, at := range c.places {
		var err error
		if p, err = at.choose(ctx, d, p, f); err != nil {
			return p, err
		}
	}
	return p, nil
}

// read checks the flags and returns what they do.
func (d *decisions) read() (changes, error) {
	var out changes
	add := func(e plan.Edit) { out.edits = append(out.edits, e) }
	none := changes{}
	if d.given("panel") {
		p, err := plan.ParsePanel(d.panel)
		if err != nil {
			return none, usageError{err}
		}
		add(plan.SetPanel(p))
	}
	if d.upright && d.across {
		return none, usagef("a panel is upright or across, not both")
	}
	if d.upright || d.across {
		want := plan.Upright
		if d.across {
			want = plan.Across
		}
		add(func(p plan.Plan, f plan.Frame) plan.Plan {
			if p.Panel.Way == want {
				return p
			}
			return plan.Turn(p, f)
		})
	}
	if d.given("crop") {
		c, err := plan.ParseCrop(d.crop)
		if err != nil {
			return none, usageError{err}
		}
		add(plan.SetCrop(c))
	}
	if d.given("squint") {
		if !(d.squint >= 0 && d.squint <= plan.MaxSquint) {
			return none, usagef("a squint of %g %% is out of range: 0 to %g", d.squint, plan.MaxSquint)
		}
		add(plan.SetSquint(d.squint))
	}
	values, k, err := d.valueEdits()
	if err != nil {
		return none, err
	}
	out.edits = append(out.edits, values...)
	if d.given("shapes") {
		if d.shapes < 0 || d.shapes > plan.MaxWanted {
			return none, usagef("%d shapes are out of range: 0 to %d", d.shapes, plan.MaxWanted)
		}
		add(plan.SetShapes(d.shapes))
	}
	if d.given("brush") {
		if !(d.brush >= 0 && d.brush <= plan.MaxBrush) {
			return none, usagef("a brush of %g mm is out of range: 0 to %g", d.brush, plan.MaxBrush)
		}
		add(plan.SetBrush(d.brush))
	}
	if d.given("focal") {
		focus, err := plan.ParseFocus(d.focal)
		if err != nil {
			return none, usageError{err}
		}
		add(plan.SetFocus(focus))
	}
	if d.choices.none {
		add(withoutChoices)
	}
	if out.places, err = d.choices.read(k); err != nil {
		return none, err
	}
	return out, nil
}

// valueEdits are the edits of the number of values, the cuts and the tones. Cuts
// and tones given by hand say how many values there are; they must agree. k is how
// many values the flags say; 0 if they do not.
func (d *decisions) valueEdits() (out []plan.Edit, k int, err error) {
	k, said := d.values, "--values"
	if d.given("values") {
		if k < plan.MinK || k > plan.MaxK {
			return nil, 0, usagef("%d values are out of range: %d to %d", k, plan.MinK, plan.MaxK)
		}
		out = append(out, plan.SetK(k))
	}
	agree := func(n int, flag string) error {
		if k != 0 && n != k {
			return usagef("%s is for %d values, %s says %d", flag, n, said, k)
		}
		if k == 0 {
			k, said = n, flag
			out = append(out, plan.SetK(k))
		}
		return nil
	}
	if d.given("cuts") {
		way, cuts, err := plan.ParseCuts(d.cuts)
		switch {
		case err != nil:
			return nil, 0, usageError{err}
		case way != plan.CutByHand:
			out = append(out, plan.SetCutMethod(way))
		default:
			if err := agree(len(cuts)+1, "--cuts"); err != nil {
				return nil, 0, err
			}
			out = append(out, plan.SetCuts(cuts))
		}
	}
	if d.given("tones") {
		way, tones, err := plan.ParseTones(d.tones)
		switch {
		case err != nil:
			return nil, 0, usageError{err}
		case way != plan.ToneByHand:
			out = append(out, plan.SetToneMethod(way))
		default:
			if err := agree(len(tones), "--tones"); err != nil {
				return nil, 0, err
			}
			out = append(out, plan.SetTones(tones))
		}
	}
	return out, k, nil
}
