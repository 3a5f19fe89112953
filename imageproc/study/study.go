// Package study derives everything that is seen or measured from a photo and a
// plan: the one pipeline of the project. The studio, the commands and saved
// pictures all go through it, so the same plan gives the same picture at every
// terminal size and without a screen.
package study

import (
	"context"
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
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

	frame  frame
	squint squint
	colour colour
	values [2]values // the plan's own, and the notan
	whole  whole

	// Scratch: fresh memory at every key is dear.
	start []int32           // see takeCrumbs
	small imageproc.Picture // a picture at the size of a raster
	shown imageproc.Labels  // labels at the size of a raster
}

// NewDesk returns a desk for the master picture of a photo (photo.Photo.Master).
// It panics on an empty picture.
func NewDesk(master imageproc.Picture) *Desk {
	if s := master.Size(); s.X < 1 || s.Y < 1 {
		panic("study: empty photo")
	}
	return &Desk{master: master}
}

// Study is what a plan makes of a photo. Its planes hold until the next Make on
// the same Desk; Figures and the rasters it returns are the caller's.
type Study struct {
	desk    *Desk
	plan    plan.Plan
	Figures Figures
}

// Figures is what is measured about a plan. Slices run from dark to light.
type Figures struct {
	Size   image.Point // pixels of the working picture
	Crop   image.Rectangle
	Cuts   []palette.L // K-1 limits between the values
	Tones  []palette.L // K lightnesses that are painted
	Shares []float64   // K shares of the picture, summing to 1
	Shapes int         // connected shapes of one value
	Kept   float64     // share of the squinted photo's variance of L* that the K values keep: eta squared, 0..1
}

// Make returns the study of the photo for p, a fitted plan (plan.Fit). It gives
// up with ctx's error when ctx ends, and with an error on cuts or tones that no
// edit makes; the desk can be used on after both. The memory it uses is the
// desk's and is reused at the next call.
func (d *Desk) Make(ctx context.Context, p plan.Plan) (*Study, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	d.setFrame(p)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	d.setSquint(p)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	v, err := d.setValues(&d.values[0], p)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s := &Study{desk: d, plan: p, Figures: v.figures()}
	s.Figures.Size = d.frame.pic.Size()
	s.Figures.Crop = d.frame.rect
	return s, nil
}

// Plan returns the plan that the study was made for.
func (s *Study) Plan() plan.Plan { return s.plan }

// frame is the crop at working size.
type frame struct {
	rect image.Rectangle // of the master
	pic  imageproc.Picture
	y    imageproc.Plane[palette.Y]
	made int // counts the frames, so that later stages see a new one
}

func (d *Desk) setFrame(p plan.Plan) {
	rect := p.PixelRect(d.master.Size())
	f := &d.frame
	if f.made > 0 && f.rect == rect {
		return
	}
	size := workingSize(rect.Size())
	f.pic = f.pic.Reshape(size.X, size.Y)
	d.averager.Average(f.pic, d.master, imageproc.Box{
		X0: float64(rect.Min.X), Y0: float64(rect.Min.Y), X1: float64(rect.Max.X), Y1: float64(rect.Max.Y),
	})
	f.y = f.pic.Luminance(f.y)
	f.rect = rect
	f.made++
}

// workingSize returns the size of the working picture for a crop of the master.
func workingSize(crop image.Point) image.Point {
	long := max(crop.X, crop.Y)
	if long <= WorkingSide {
		return crop
	}
	scale := func(n int) int { return max(1, (2*n*WorkingSide+long)/(2*long)) }
	return image.Pt(scale(crop.X), scale(crop.Y))
}

// squint is the crop's value after squinting.
type squint struct {
	frame int
	sigma float64
	made  int
	y     imageproc.Plane[palette.Y]
	l     imageproc.Plane[palette.L]
	hist  tone.Histogram
}

func (d *Desk) setSquint(p plan.Plan) {
	s, size := &d.squint, d.frame.pic.Size()
	sigma := tone.SigmaPixels(p.Squint, max(size.X, size.Y))
	if s.made > 0 && s.frame == d.frame.made && s.sigma == sigma {
		return
	}
	// Blurring is linear, so the luminance of the squinted picture is the
	// squinted luminance: one plane instead of three.
	s.y = s.y.Reshape(size.X, size.Y)
	tone.BlurPlane(&d.blurrer, s.y, d.frame.y, sigma)
	s.l = imageproc.Lightness(s.l, s.y)
	s.hist.Count(s.l)
	s.frame, s.sigma = d.frame.made, sigma
	s.made++
}

// colour is the crop squinted at in colour, for the eye only.
type colour struct {
	squint int
	pic    imageproc.Picture
}

func (d *Desk) setColour() {
	if d.colour.squint == d.squint.made {
		return
	}
	size := d.frame.pic.Size()
	d.colour.pic = d.colour.pic.Reshape(size.X, size.Y)
	d.blurrer.Blur(d.colour.pic, d.frame.pic, d.squint.sigma)
	d.colour.squint = d.squint.made
}
