package study

import (
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/plan"
)

// keptBand is how far to both sides of an outline a choice to keep it as it is
// reaches, in parts of the crop's long side.
const keptBand = 0.01

// smoothed redraws the outlines that the painter wants smoother. Where two such
// choices meet the later wins.
func (d *Desk) smoothed(l *mass.Layout, p mass.Plan, brush float64) mass.Plan {
	c := &d.decided
	long := float64(max(p.Labels.W, p.Labels.H))
	var outlines []mass.Outline
	for i, x := range c.choices {
		if x.What != plan.Outline || c.stands[i] != Holds {
			continue
		}
		band := keptBand * long
		if x.Smooth > 0 {
			band = 3 * x.Smooth / 100 * long
		}
		whole := imageproc.NewMask(p.Labels.W, p.Labels.H)
		part := d.patchOn(x.Area, nil)
		for y := range part.Mask.H {
			copy(whole.Pix[(part.At.Y+y)*whole.W+part.At.X:], part.Mask.Pix[y*part.Mask.W:][:part.Mask.W])
		}
		outlines = append(outlines, mass.Outline{Mask: outline.Grow(whole, band), Sigma: x.Smooth / 100 * long})
	}
	if len(outlines) == 0 {
		return p
	}
	return l.Smooth(p, outlines, max(1, int(math.Round(brush*float64(len(p.Labels.Pix))))))
}
