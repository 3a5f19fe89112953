// Package crops proposes crops of a photo that are worth trying: for the panels
// at hand and a focal point it searches place and size, reads a coarse plan of
// each crop and keeps those of which most of what practice asks is answered with
// yes; those that it proposes are read in full, as package reading reads any plan,
// and say what that reading says. It weighs no taste and decides nothing; each
// proposal says its reasons.
package crops

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
)

// Kinds of failure of Propose, for what the painter may have asked for.
var (
	ErrPanels = errors.New("no panel with sides to crop for: name a size")
	ErrFocus  = errors.New("the focal point does not lie on the photo")
)

// Options says what crops are for.
type Options struct {
	// Panels are the panels at hand. One whose way is unsaid is tried upright and
	// across, a square one once; a free one has no form and is left out.
	Panels []plan.Panel
	// Focus is what the picture is about. The zero Focus: the strongest places of
	// the squinted photo are tried, at most three.
	Focus plan.Focus
	// N is how many proposals there are at most, 1 or more.
	N int
	// Squint is as in a plan: percent of the crop's long side, 0 to
	// plan.MaxSquint.
	Squint float64
	// Values is how many values the coarse plan has, plan.MinK to plan.MaxK.
	Values int
	// Brush is as in a plan: the width of the smallest mark in mm on the panel, 0 to
	// plan.MaxBrush. Coarse plans show nothing that small.
	Brush float64
	// Plan is whose other decisions the plans that are read have: how values are cut
	// and toned, how many shapes are wanted, choices about shapes. The zero Plan:
	// plan.Default's. What it leaves out or lays in is in the photo already.
	Plan plan.Plan
}

// Proposal is a crop worth trying.
type Proposal struct {
	Panel plan.Panel // upright or across, never unsaid
	Crop  plan.Crop  // inside the photo, on the decimals of the plan file; H is 0
	Focus plan.Focus // what it was found for
	// Score is how much of what practice asks is answered with yes, 0..1: the
	// weighted mean of Reason.Met, by the reading of its plan as the studio shows
	// it.
	Score   float64
	Reasons []Reason // those met first, the weightiest first
	// PixelsPerInch is how many pixels of the photo lie on an inch of the panel.
	PixelsPerInch float64
}

// LeastPixels is how many pixels an inch must have to look sharp in the hand: with
// fewer a print looks soft. Source: common practice of printers, half of their
// usual 300; no source.
const LeastPixels = 150

// Course is how many proposals are found, read in full and put in order together.
const Course = 6

// Enlarges reports whether the panel asks for more than the photo has: fewer than
// LeastPixels an inch.
func (p Proposal) Enlarges() bool { return p.PixelsPerInch < LeastPixels }

// Sharpness says in one short line how the photo bears the size of the panel.
func (p Proposal) Sharpness() string {
	if p.Enlarges() {
		return fmt.Sprintf("At %s the photo has %.0f pixels an inch: it will look soft.", p.Panel.Name(), math.Floor(p.PixelsPerInch))
	}
	return fmt.Sprintf("At %s the photo has %.0f pixels an inch.", p.Panel.Name(), math.Floor(p.PixelsPerInch))
}

// Edit takes the proposal: panel and crop, and the focal point if the plan has
// none. All else of the plan stays.
func (p Proposal) Edit() plan.Edit {
	return func(from plan.Plan, f plan.Frame) plan.Plan {
		out := plan.SetPanel(p.Panel)(from, f)
		out = plan.SetCrop(p.Crop)(out, f)
		if out.Focus.None() {
			out = plan.SetFocus(p.Focus)(out, f)
		}
		return out
	}
}

// Propose returns up to o.N crops, no two of which share 70 % or more of the photo
// (intersection over union). They come in courses of Course, each by falling score;
// of the first course a first look promised most, and so on, so that fewer crops
// are the first of more. photo is the master picture, full the photo's size in pixels, of which
// photo is a copy of any size. There are fewer than o.N if no more were found that
// differ, and never none. What the painter left out or laid in has to be so in photo
// (study.Retouched). It calls progress, if not nil, from its own goroutine
// with numbers that rise to 1.
//
// The same photo and options give the same proposals, whatever the number of
// processors. Of the mirrored photo the same crops, mirrored, are read, but plans
// of a crop and of its mirror image differ a little where parts of the photo
// outside of it weigh in, and then other crops may come first. It gives up with
// ctx's error when ctx ends, and with ErrPanels or ErrFocus. It panics on an empty
// photo and on numbers out of their range.
//
// Source: ours.
func Propose(ctx context.Context, photo imageproc.Picture, full image.Point, o Options, progress func(float64)) ([]Proposal, error) {
	o.check(photo, full)
	forms := formsOf(o.Panels)
	if len(forms) == 0 {
		return nil, ErrPanels
	}
	if f := o.Focus; !f.None() && !(f.X >= 0 && f.X <= 1 && f.Y >= 0 && f.Y <= 1 && f.Radius > 0) {
		return nil, ErrFocus
	}
	if progress == nil {
		progress = func(float64) {}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s := &search{ctx: ctx, o: o, photo: photo, full: full, progress: progress}
	found, err := s.run(forms)
	if err != nil {
		return nil, err
	}
	return s.proposals(found), nil
}

func (o Options) check(photo imageproc.Picture, full image.Point) {
	size := photo.Size()
	switch {
	case size.X < 1 || size.Y < 1 || full.X < 1 || full.Y < 1:
		panic("crops: empty photo")
	case o.N < 1:
		panic(fmt.Sprintf("crops: %d proposals", o.N))
	case !(o.Squint >= 0 && o.Squint <= plan.MaxSquint):
		panic(fmt.Sprintf("crops: squint of %g %%", o.Squint))
	case o.Values < plan.MinK || o.Values > plan.MaxK:
		panic(fmt.Sprintf("crops: %d values", o.Values))
	case !(o.Brush >= 0 && o.Brush <= plan.MaxBrush):
		panic(fmt.Sprintf("crops: brush of %g mm", o.Brush))
	}
}
