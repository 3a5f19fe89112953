package study

import (
	"atelier/halflid/imageproc/plan"
)

// place fills in the plane and the depth of each shape: what the painter said of
// most of it, otherwise the proposal of Figures.Space.
func (f *Figures) place(d *Desk) {
	for i, s := range f.Space() {
		one := &f.List[i]
		one.Plane, one.PlaneSure, one.Depth, one.DepthSure = s.Plane, s.PlaneSure, s.Depth, s.DepthSure
	}
	c := &d.decided
	said := false
	for i, x := range c.choices {
		said = said || c.stands[i] == Holds && (x.What == plan.PlaneIs || x.What == plan.DepthIs)
	}
	if !said {
		return
	}
	planes, depths := make([]map[plan.Plane]int, len(f.List)), make([]map[plan.Depth]int, len(f.List))
	for i := range f.List {
		planes[i], depths[i] = map[plan.Plane]int{}, map[plan.Depth]int{}
	}
	for at, b := range c.base.Labels().Pix {
		s := f.Map.Pix[at]
		if i := c.ruling.plane[b]; i >= 0 {
			planes[s][c.choices[i].Plane]++
		}
		if i := c.ruling.depth[b]; i >= 0 {
			depths[s][c.choices[i].Depth]++
		}
	}
	all := len(f.Map.Pix)
	for i := range f.List {
		s := &f.List[i]
		half := s.Share * float64(all) / 2
		for p, n := range planes[i] {
			if float64(n) > half { // of one plane only
				s.Plane, s.PlaneSure = p, 1
			}
		}
		for p, n := range depths[i] {
			if float64(n) > half {
				s.Depth, s.DepthSure = p, 1
			}
		}
	}
}
