package study

import (
	"context"
	"image"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
)

// leastSquint is what base shapes are made with when the plan does not squint,
// in percent: no blur that shows. To the engine 0 means its own default.
const leastSquint = 0.01

// regionKey is all that base shapes depend on. Crops of other sizes can have the
// same region where the photo's edge cuts it, but not the same scale.
type regionKey struct {
	rect   image.Rectangle // of the master
	size   image.Point     // it is measured at
	long   int             // side of the working picture, which lengths are parts of
	squint float64

	retouched int // which state of the photo
}

// cropKey is where in the region the crop lies, in the region's pixels.
type cropKey struct {
	region regionKey
	rect   image.Rectangle
}

// regionOf returns the part of the photo that base shapes are made of for a
// crop: half as wide and high again as the crop, laid out in steps of half a
// crop. A crop that moves inside one step keeps its region, and with it every
// outline that it shows; which region it is depends on the crop alone, so the
// same plan gives the same shapes however the crop came there.
func regionOf(crop image.Rectangle, photo image.Point) image.Rectangle {
	along := func(at, length, n int) (int, int) {
		step := max(1, length/2)
		from := at / step * step
		return from, min(n, from+step+length)
	}
	x0, x1 := along(crop.Min.X, crop.Dx(), photo.X)
	y0, y1 := along(crop.Min.Y, crop.Dy(), photo.Y)
	return image.Rect(x0, y0, x1, y1)
}

// setBase makes the base shapes of the region and cuts the crop out of them.
func (d *Desk) setBase(ctx context.Context, p plan.Plan) error {
	s, f := &d.shapes, &d.frame
	rect := regionOf(f.rect, d.master.Size())
	work := f.pic.Size()
	scale := func(n, work, crop int) int { return max(1, (2*n*work+crop)/(2*crop)) }
	size := image.Pt(scale(rect.Dx(), work.X, f.rect.Dx()), scale(rect.Dy(), work.Y, f.rect.Dy()))
	key := regionKey{rect, size, max(work.X, work.Y), p.Squint, d.retouched.made}
	if s.survey == nil || s.region != key {
		s.survey, s.base, s.cut = nil, nil, nil
		pic := f.pic
		if rect != f.rect {
			s.pic = s.pic.Reshape(size.X, size.Y)
			pic = s.pic
			d.averager.Average(pic, d.master, imageproc.Box{
				X0: float64(rect.Min.X), Y0: float64(rect.Min.Y), X1: float64(rect.Max.X), Y1: float64(rect.Max.Y),
			})
		}
		survey, err := s.maker.Survey(ctx, pic, mass.Options{Squint: max(p.Squint, leastSquint), Long: float64(key.long)})
		if err != nil {
			return err
		}
		s.survey, s.region = survey, key
	}
	if s.base == nil || s.focus != p.Focus {
		s.base, s.cut = nil, nil
		base, err := s.maker.Base(ctx, s.survey, focusIn(rect, p.Focus, d.master.Size()))
		if err != nil {
			return err
		}
		s.base, s.focus = base, p.Focus
	}
	at := image.Pt(
		min((2*(f.rect.Min.X-rect.Min.X)*work.X+f.rect.Dx())/(2*f.rect.Dx()), size.X-work.X),
		min((2*(f.rect.Min.Y-rect.Min.Y)*work.Y+f.rect.Dy())/(2*f.rect.Dy()), size.Y-work.Y))
	crop := cropKey{key, image.Rectangle{Min: at, Max: at.Add(work)}}
	if s.cut == nil || s.crop != crop {
		s.cut = s.base
		if size != work {
			s.cut = s.base.Clip(crop.rect)
		}
		s.crop = crop
		s.made++
	}
	return nil
}

// focusIn returns the focal point in parts of a region of the photo; nil if there
// is none. It may lie outside the region.
func focusIn(region image.Rectangle, f plan.Focus, photo image.Point) *mass.Focus {
	if f.None() {
		return nil
	}
	return &mass.Focus{
		X:      (float64(f.X*float64(photo.X)) - float64(region.Min.X)) / float64(region.Dx()),
		Y:      (float64(f.Y*float64(photo.Y)) - float64(region.Min.Y)) / float64(region.Dy()),
		Radius: f.Radius * float64(max(photo.X, photo.Y)) / float64(max(region.Dx(), region.Dy())),
		Far:    f.Fall.Far(),
	}
}

// SameShapes reports whether two plans of one photo have the same base shapes,
// the costly part: a desk that has made one makes the other at once.
func SameShapes(a, b plan.Plan) bool {
	if a.Crop != b.Crop || a.Panel != b.Panel || a.Squint != b.Squint || a.Focus != b.Focus {
		return false
	}
	return a.Choices == b.Choices || slices.Equal(retouchesOf(a), retouchesOf(b))
}
