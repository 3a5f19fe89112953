package study

import (
	"context"
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// frame is the crop at working size.
type frame struct {
	rect image.Rectangle // of the master
	of   image.Rectangle // what the planes were made for
	pic  imageproc.Picture
	y    imageproc.Plane[palette.Y]
	made int // counts the frames, so that later stages see a new one

	retouched int // of which state of the photo
}

// setRect finds the crop on the master; setFrame makes it.
func (d *Desk) setRect(p plan.Plan) { d.frame.rect = p.PixelRect(d.master.Size()) }

func (d *Desk) setFrame() {
	f := &d.frame
	rect := f.rect
	if f.made > 0 && f.of == rect && f.retouched == d.retouched.made {
		return
	}
	size := workingSize(rect.Size())
	f.pic = f.pic.Reshape(size.X, size.Y)
	d.averager.Average(f.pic, d.master, imageproc.Box{
		X0: float64(rect.Min.X), Y0: float64(rect.Min.Y), X1: float64(rect.Max.X), Y1: float64(rect.Max.Y),
	})
	f.y = f.pic.Luminance(f.y)
	f.of, f.retouched = rect, d.retouched.made
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

func (d *Desk) setSquint(ctx context.Context, p plan.Plan) error {
	d.setFrame()
	if err := ctx.Err(); err != nil {
		return err
	}
	s, size := &d.squint, d.frame.pic.Size()
	sigma := d.sigma(p)
	if s.made > 0 && s.frame == d.frame.made && s.sigma == sigma {
		return nil
	}
	// Blurring is linear, so the luminance of the squinted picture is the
	// squinted luminance: one plane instead of three.
	s.y = s.y.Reshape(size.X, size.Y)
	tone.BlurPlane(&d.blurrer, s.y, d.frame.y, sigma)
	s.l = imageproc.Lightness(s.l, s.y)
	s.hist.Count(s.l)
	s.frame, s.sigma = d.frame.made, sigma
	s.made++
	return ctx.Err()
}

// sigma returns the plan's squint in pixels of the working picture.
func (d *Desk) sigma(p plan.Plan) float64 {
	size := d.frame.pic.Size()
	return tone.SigmaPixels(p.Squint, max(size.X, size.Y))
}

// colour is the crop squinted at in colour, for the eye only.
type colour struct {
	frame int
	sigma float64
	pic   imageproc.Picture
}

func (d *Desk) setColour(p plan.Plan) {
	c, sigma := &d.colour, d.sigma(p)
	if c.frame == d.frame.made && c.sigma == sigma {
		return
	}
	size := d.frame.pic.Size()
	c.pic = c.pic.Reshape(size.X, size.Y)
	d.blurrer.Blur(c.pic, d.frame.pic, sigma)
	c.frame, c.sigma = d.frame.made, sigma
}
