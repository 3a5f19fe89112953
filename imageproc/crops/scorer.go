package crops

import (
	"context"
	"fmt"
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
)

// Scorer scores any crop of a photo as Propose scores its proposals, to
// compare it with them. It is not for concurrent use.
type Scorer struct{ s *studio }

// NewScorer returns a scorer for a photo and what o says of the plan, squint,
// values and brush. It panics as Propose does.
func NewScorer(photo imageproc.Picture, full image.Point, o Options) *Scorer {
	o.check(photo, full)
	return &Scorer{newStudio(photo, full, o)}
}

// Score returns how much of what practice asks of the crop is answered with yes,
// 0..1, and the answers, as Answers does. Its error is that of ctx. The panel is
// not free and its way is said; the crop lies inside the photo, or it panics.
func (s *Scorer) Score(ctx context.Context, panel plan.Panel, crop plan.Crop, focus plan.Focus) (float64, []Reason, error) {
	if panel.Free() || panel.Way == plan.Unsaid {
		panic("crops: score for a panel without a form: " + panel.String())
	}
	h := crop.W * float64(s.s.full.X) / float64(s.s.full.Y) / panel.Aspect()
	const slack = 2e-6 // the plan file's decimals
	if !(crop.X >= 0 && crop.Y >= 0 && crop.W > 0 && crop.X+crop.W <= 1+slack && crop.Y+h <= 1+slack) {
		panic(fmt.Sprintf("crops: crop %v outside the photo", crop))
	}
	reasons, err := s.s.answers(ctx, panel, crop, focus)
	if err != nil {
		return 0, nil, err
	}
	return scoreOf(reasons), reasons, nil
}
