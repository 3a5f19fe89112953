package crops

import (
	"atelier/halflid/imageproc/plan"
)

// proposals puts candidates into a painter's terms.
func (s *search) proposals(found []candidate) []Proposal {
	taken := map[plan.Panel]int{}
	out := make([]Proposal, 0, len(found))
	for _, c := range found {
		q := s.quests[c.quest]
		panel := s.panelFor(q.form, c.box, taken)
		taken[panel]++
		out = append(out, Proposal{
			Panel: panel, Crop: s.crop(panel, c.box), Focus: q.focus,
			Score: c.score, Reasons: c.fig.reasons(), PixelsPerInch: s.perInch(panel, c.box),
		})
	}
	return out
}

// crop returns a crop on the decimals of the plan file.
func (s *search) crop(panel plan.Panel, b box) plan.Crop {
	p := plan.Default(s.ground.full)
	p.Panel, p.Crop = panel, plan.Crop{X: b.x, Y: b.y, W: b.w}
	return plan.Fit(p, plan.Frame{Photo: s.ground.full}).Crop
}

// panelFor chooses among panels of one form the one that has been proposed least
// so far of those that the photo bears at that size; if it bears none, the
// smallest. Of equals the one that was named first.
func (s *search) panelFor(f form, b box, taken map[plan.Panel]int) plan.Panel {
	best, bears := f.panels[0], false
	for _, p := range f.panels {
		per := s.perInch(p, b)
		switch ok := per >= LeastPixels; {
		case ok && (!bears || taken[p] < taken[best]):
			best, bears = p, true
		case !ok && !bears && per > s.perInch(best, b):
			best = p
		}
	}
	return best
}

// perInch returns how many pixels of the photo lie on an inch of the panel.
func (s *search) perInch(p plan.Panel, b box) float64 {
	w, _ := p.Size(plan.Inch)
	return b.w * float64(s.ground.full.X) / w
}
