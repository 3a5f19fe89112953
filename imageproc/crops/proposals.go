package crops

import (
	"image"

	"atelier/halflid/imageproc/plan"
)

// proposals puts finalists into a painter's terms.
func (s *search) proposals(found []candidate) []Proposal {
	out := make([]Proposal, 0, len(found))
	for _, c := range found {
		out = append(out, Proposal{
			Panel: c.panel, Crop: cropOf(c.panel, c.box, s.full), Focus: s.quests[c.quest].focus,
			Score: c.score, Reasons: c.reasons, PixelsPerInch: perInch(c.panel, c.box, s.full),
		})
	}
	return out
}

// cropOf returns a crop on the decimals of the plan file.
func cropOf(panel plan.Panel, b box, full image.Point) plan.Crop {
	p := plan.Default(full)
	p.Panel, p.Crop = panel, plan.Crop{X: b.x, Y: b.y, W: b.w}
	return plan.Fit(p, plan.Frame{Photo: full}).Crop
}

// choosePanels gives each candidate a panel of its form: of those that the photo
// bears at that size the one that was given least often so far; if it bears none,
// the smallest. Of equals the one that was named first.
func (s *search) choosePanels(list []candidate) {
	for i, c := range list {
		panels := s.quests[c.quest].form.panels
		best, bears := panels[0], false
		for _, p := range panels {
			per := perInch(p, c.box, s.full)
			switch ok := per >= LeastPixels; {
			case ok && (!bears || s.taken[p] < s.taken[best]):
				best, bears = p, true
			case !ok && !bears && per > perInch(best, c.box, s.full):
				best = p
			}
		}
		s.taken[best]++
		list[i].panel = best
	}
}

// perInch returns how many pixels of the photo lie on an inch of the panel.
func perInch(p plan.Panel, b box, full image.Point) float64 {
	w, _ := p.Size(plan.Inch)
	return b.w * float64(full.X) / w
}
