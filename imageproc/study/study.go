// Package study derives everything that is seen or measured from a photo and a
// plan: the one pipeline of the project. The studio, the commands and saved
// pictures all go through it, so the same plan gives the same picture at every
// terminal size and without a screen.
package study

import (
	"context"
	"fmt"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/tone"
)

// WorkingSide is the long side, in pixels, of the picture that everything is
// measured on. A crop that is smaller in the master is taken as it is. It is
// never derived from a window: 768 is what the value plan's sizes are stated for
// and what can be computed within one frame of a held key.
const WorkingSide = 768

// Desk makes studies of one photo, one after the other. It remembers each stage
// for the decisions that it depends on, so that a new number of values does not
// blur again and a new squint does not crop again. A Desk is not for concurrent
// use, and the planes of a Study are its Desk's: they hold until the next Make.
type Desk struct {
	master   imageproc.Picture
	averager imageproc.Averager
	blurrer  tone.Blurrer
	absorber mass.Absorber

	retouched retouched // what master holds beyond the photo

	frame  frame
	squint squint
	colour colour
	values values
	shapes shapes
	whole  whole

	decided decided

	// Scratch: fresh memory at every key is dear.
	small imageproc.Picture // a picture at the size of a raster
	shown imageproc.Labels  // labels at the size of a raster
}

// NewDesk returns a desk for the master picture of a photo (photo.Photo.Master).
// It panics on an empty picture.
func NewDesk(master imageproc.Picture) *Desk {
	if s := master.Size(); s.X < 1 || s.Y < 1 {
		panic("study: empty photo")
	}
	return &Desk{master: master, retouched: retouched{photo: master}}
}

// Study is what a plan makes of a photo. Its planes hold until the next Make on
// the same Desk; Figures and the rasters it returns are the caller's.
type Study struct {
	desk    *Desk
	plan    plan.Plan
	made    [views]bool
	Figures Figures
}

// Make makes what the named views of the photo show for p, a fitted plan
// (plan.Fit), and measures it: Figures are those of the flat shapes if Plan is
// named, or Outline or Steps, which are drawn from it; else of the values if Values
// is; else only Crop is set. It gives up with ctx's error when ctx ends, and with
// an error on cuts or tones that no edit makes; the desk can be used on after both.
// The memory it uses is the desk's and is reused at the next call. It panics on a
// view that there is not.
func (d *Desk) Make(ctx context.Context, p plan.Plan, views ...View) (*Study, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if err := d.setRetouched(ctx, p); err != nil {
		return nil, err
	}
	d.setRect(p)
	s := &Study{desk: d, plan: p, Figures: Figures{Crop: d.frame.rect}}
	for _, v := range []View{Whole, Photo, Squint, Values, Notan, Plan, Outline, Steps} {
		if !slices.Contains(views, v) {
			continue
		}
		if err := s.make(ctx, v); err != nil {
			return nil, err
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s.made[v] = true
	}
	for _, v := range views {
		s.check(v)
	}
	return s, nil
}

// make brings the stages behind a view up to date.
func (s *Study) make(ctx context.Context, v View) error {
	d, p := s.desk, s.plan
	switch v {
	case Squint:
		d.setFrame()
		if err := ctx.Err(); err != nil {
			return err
		}
		d.setColour(p)
	case Values:
		if err := d.setSquint(ctx, p); err != nil {
			return err
		}
		if err := d.setValues(p); err != nil {
			return err
		}
		s.Figures = d.values.figures(d.frame.rect)
	case Plan, Notan, Outline, Steps:
		if err := d.setSquint(ctx, p); err != nil {
			return err
		}
		if v == Notan {
			return d.setDrawing(ctx, &d.shapes.notan, notanOf(p))
		}
		if err := d.setDrawing(ctx, &d.shapes.drawing, p); err != nil {
			return err
		}
		if !s.made[Plan] {
			s.Figures = d.shapes.drawing.figures(d)
			s.made[Plan] = true // all that the outline and the steps are made of
		}
	}
	return nil
}

// check panics unless the view was made.
func (s *Study) check(v View) {
	if v < 0 || v >= views || !s.made[v] {
		panic(fmt.Sprintf("study: %v was not made", v))
	}
}

// Plan returns the plan that the study was made for.
func (s *Study) Plan() plan.Plan { return s.plan }
