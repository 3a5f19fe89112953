package crops

import (
	"context"
	"image"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
)

// studio makes the plan of a crop as the studio does, on a copy of the photo of any
// size. It is not for concurrent use.
type studio struct {
	full  image.Point
	desk  *study.Desk
	start plan.Plan
}

func newStudio(picture imageproc.Picture, full image.Point, o Options) *studio {
	f := plan.Frame{Photo: full}
	start := o.Plan
	if start == (plan.Plan{}) {
		start = plan.Default(full)
	}
	start.Choices = unpainted(start.Choices)
	start = plan.SetBrush(o.Brush)(plan.SetK(o.Values)(plan.SetSquint(o.Squint)(start, f), f), f)
	return &studio{full: full, desk: study.NewDesk(picture), start: start}
}

// unpainted returns the choices that are not in the photo already.
func unpainted(list plan.Choices) plan.Choices {
	return plan.ListOf(slices.DeleteFunc(slices.Clone(list.List()), plan.Choice.Retouches)...)
}

// answers reads the plan of a crop.
func (s *studio) answers(ctx context.Context, panel plan.Panel, crop plan.Crop, focus plan.Focus) ([]Reason, error) {
	p := s.start
	p.Panel, p.Crop, p.Focus = panel, crop, focus
	made, err := s.desk.Make(ctx, plan.Fit(p, plan.Frame{Photo: s.full}), study.Plan)
	if err != nil {
		return nil, err
	}
	return answersOf(reading.Read(made)), nil
}

// readPlans reads the plans that studios make of candidates, which take their
// scores from it; each costs as much as cost coarse readings.
func (s *search) readPlans(list []candidate, studios []*studio, cost float64) error {
	s.studios = studios
	for len(list) > 0 {
		if err := s.ctx.Err(); err != nil {
			return err
		}
		n := min(len(studios), len(list))
		s.batch, list = list[:n], list[n:]
		s.failed = make([]error, n)
		s.crew.Do(n, 20_000_000, len(studios), (*planJob)(s))
		for _, err := range s.failed {
			if err != nil {
				return err
			}
		}
		s.advance(float64(n) * cost)
	}
	return s.ctx.Err()
}

// planJob reads the plan of a candidate a row.
type planJob search

func (j *planJob) Rows(worker, y0, y1 int) {
	for i := y0; i < y1; i++ {
		c := &j.batch[i]
		reasons, err := j.studios[worker].answers(j.ctx, c.panel, cropOf(c.panel, c.box, j.full), j.quests[c.quest].focus)
		if err != nil {
			j.failed[i] = err
			continue
		}
		c.reasons, c.score = reasons, scoreOf(reasons)
	}
}
