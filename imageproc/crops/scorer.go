package crops

import (
	"fmt"
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
)

// Scorer scores any crop of a photo as Propose does, through the same coarse plan:
// to compare a crop with what is proposed. It is not for concurrent use.
type Scorer struct{ c *coarsener }

// NewScorer returns a scorer for a photo and what Options says of squint and
// values. It panics as Propose does.
func NewScorer(photo imageproc.Picture, full image.Point, squint float64, values int) *Scorer {
	Options{N: 1, Squint: squint, Values: values}.check(photo, full)
	return &Scorer{newCoarsener(newGround(photo, full), squint, values)}
}

// Score returns how much of what practice asks of the crop is answered with yes,
// 0..1, and the answers, as Answers does of the coarse plan. The panel is not
// free and its way is said; the crop lies inside the photo, or it panics.
func (s *Scorer) Score(panel plan.Panel, crop plan.Crop, focus plan.Focus) (float64, []Reason) {
	full := s.c.ground.full
	if panel.Free() || panel.Way == plan.Unsaid {
		panic("crops: score for a panel without a form: " + panel.String())
	}
	x0, y0, x1, y1 := plan.Plan{Panel: panel, Crop: crop}.Rect(full)
	if !(x0 >= 0 && y0 >= 0 && x1 <= 1 && y1 <= 1 && x0 < x1 && y0 < y1) {
		panic(fmt.Sprintf("crops: crop %v outside the photo", crop))
	}
	return Answers(s.c.design(box{x0, y0, x1 - x0, y1 - y0}, panel, focus))
}
