package study

import (
	"context"
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// shapes are the crop's base shapes, from which the plan and the notan are drawn.
type shapes struct {
	maker mass.Maker

	region regionKey
	pic    imageproc.Picture
	survey *mass.Survey // of the region, whatever the painter looks at
	focus  plan.Focus
	base   *mass.Base // of the region, with the focal point

	crop cropKey
	cut  *mass.Base // of the crop
	made int        // counts the cuts, so that later stages see a new one

	drawing drawing // the plan
	notan   drawing
}

// drawing is base shapes in few values, pulled together to few shapes.
type drawing struct {
	decided int
	values  plan.Values
	brush   float64
	layout  *mass.Layout
	lost    []int // choices that cannot hold

	wanted int // shapes, at most
	drawn  bool
	plan   mass.Plan
	tones  []palette.L
	labels imageproc.Labels // the value of each pixel

	outlines    *contour.Map // nil until they are wanted
	outlinesFor near
}

// setDrawing brings a drawing up to date with p. Each stage is kept for exactly
// what it depends on: another number of shapes only cuts the hierarchy elsewhere.
func (d *Desk) setDrawing(ctx context.Context, g *drawing, p plan.Plan) error {
	if err := d.setBase(ctx, p); err != nil {
		return err
	}
	d.setDecided(p)
	brush := p.BrushShare()
	if g.layout == nil || g.decided != d.decided.made || g.values != p.Values || g.brush != brush {
		g.layout, g.drawn = nil, false
		layout, lost, err := d.layOut(p.Values, brush)
		if err != nil {
			return err
		}
		g.layout, g.lost, g.decided, g.values, g.brush = layout, lost, d.decided.made, p.Values, brush
	}
	if g.drawn && g.wanted == p.Shapes.Wanted {
		return nil
	}
	g.drawn, g.outlines = false, nil
	g.plan = d.smoothed(g.layout, g.layout.Shapes(g.plan.Labels, mostShapes(p.Shapes.Wanted)), brush)
	g.tones = g.plan.Tones
	if p.Values.ToneMethod != plan.ToneMean {
		tones, err := d.tones(p.Values, imageproc.Labels{}, nil)
		if err != nil {
			return err
		}
		g.tones = nearest(tones, g.plan.Tones)
	}
	g.labels = valuesOf(g.labels, &g.plan)
	g.wanted, g.drawn = p.Shapes.Wanted, true
	return nil
}

// mostShapes returns the number of shapes to stop at: all of them for 0.
func mostShapes(wanted int) int {
	if wanted == 0 {
		return math.MaxInt
	}
	return wanted
}

// nearest returns as many of the tones, in their order, as a photo has values:
// those that together lie nearest to the means of the values; ties: the darker.
// A photo of two values is so painted in the dark and the light of three tones
// if that is what it is.
func nearest(tones, means []palette.L) []palette.L {
	var best []palette.L
	least := math.Inf(1)
	for set := range 1 << len(tones) { // the darker come first
		var some []palette.L
		off := 0.0
		for i, t := range tones {
			if n := len(some); set>>i&1 == 1 && n < len(means) {
				d := float64(t - means[n])
				off += float64(d * d)
				some = append(some, t)
			}
		}
		if len(some) == len(means) && off < least {
			best, least = some, off
		}
	}
	return best
}

// valuesOf returns the value of each pixel of a plan.
func valuesOf(dst imageproc.Labels, p *mass.Plan) imageproc.Labels {
	value := make([]int32, len(p.Shapes))
	for i, s := range p.Shapes {
		value[i] = int32(s.Value)
	}
	dst = dst.Reshape(p.Labels.W, p.Labels.H)
	for i, s := range p.Labels.Pix {
		dst.Pix[i] = value[s]
	}
	return dst
}

// figures measures a drawing against the squinted crop.
func (g *drawing) figures(d *Desk) Figures {
	f := Figures{
		Choices: slices.Clone(d.decided.stands),
		Size:    g.labels.Size(), Crop: d.frame.rect,
		Cuts: g.layout.Cuts(), Tones: slices.Clone(g.tones), Shares: slices.Clone(g.plan.Shares),
		Shapes: len(g.plan.Shapes), Most: g.layout.Most(), Kept: tone.KeptBy(g.labels, d.squint.l, len(g.tones)),
		Map: imageproc.Labels{W: g.plan.Labels.W, H: g.plan.Labels.H, Pix: slices.Clone(g.plan.Labels.Pix)},
	}
	for _, i := range g.lost {
		f.Choices[i] = CannotHold
	}
	for _, s := range g.plan.Shapes {
		f.List = append(f.List, Shape{
			Value: s.Value, Tone: g.tones[s.Value], Share: s.Share, Bounds: s.Bounds, X: s.X, Y: s.Y,
		})
	}
	// Borders are sorted, so each shape's neighbours come out in order.
	for _, b := range g.plan.Borders {
		one, other := &f.List[b.A], &f.List[b.B]
		step := palette.Value(math.Abs(float64(one.Tone.Value() - other.Tone.Value())))
		one.Neighbours = append(one.Neighbours, Neighbour{Shape: b.B, Length: b.Len, Step: step})
		other.Neighbours = append(other.Neighbours, Neighbour{Shape: b.A, Length: b.Len, Step: step})
	}
	f.place(d)
	return f
}

var methods = map[plan.CutMethod]mass.Method{
	plan.CutNested: mass.Nested, plan.CutLeastError: mass.LeastError,
	plan.CutEqualSteps: mass.ByHand, plan.CutByHand: mass.ByHand,
}

// layOut groups the base shapes into the plan's values, as far as the painter has
// not decided otherwise; lost are the choices that cannot hold beside others. Equal
// steps are steps of the value scale, so they are handed over like cuts by hand.
func (d *Desk) layOut(v plan.Values, brush float64) (_ *mass.Layout, lost []int, _ error) {
	base := d.decided.base
	c := mass.Cutting{Values: v.K, Method: methods[v.CutMethod], BrushMark: brush}
	if brush == 0 {
		c.BrushMark = -1
	}
	if c.Method == mass.ByHand {
		cuts, err := d.cuts(v)
		if err != nil {
			return nil, nil, err
		}
		c.Hand = cuts
	}
	apart := d.decide(&c, base.CountValues(c))
	l := base.Values(c)
	for _, i := range l.Broken() {
		lost = append(lost, apart[i])
	}
	return l, lost, nil
}

// notanOf returns the plan of the two-value reading: the same squint and shapes,
// one cut, where light and shadow part.
func notanOf(p plan.Plan) plan.Plan {
	p.Values = plan.Values{K: 2, CutMethod: plan.CutNested, ToneMethod: plan.ToneMean}
	return p
}
