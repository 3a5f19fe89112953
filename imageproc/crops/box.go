package crops

import (
	"image"
	"math"

	"atelier/halflid/imageproc/plan"
)

// box is a crop in fractions of the photo's width and height. Edges lie on steps
// of 1/lattice, so that the mirrored box is exact too; heights follow from the
// form.
type box struct{ x, y, w, h float64 }

const lattice = 1 << 12

// onLattice rounds a fraction down to the lattice.
func onLattice(v float64) float64 { return math.Floor(v*lattice) / lattice }

// nearLattice rounds where a stretch begins to the lattice. A half, as near as
// rounding errors leave it one, goes away from the middle of the photo, so that
// mirrored stretches round to mirrored ones. length lies on the lattice.
func nearLattice(at, length float64) float64 {
	const slack = 1e-6
	v := at * lattice
	if at+length/2 < 0.5 {
		return math.Ceil(v-0.5-slack) / lattice
	}
	return math.Floor(v+0.5+slack) / lattice
}

// pixels returns the crop on a photo of that size in whole pixels, never empty.
func (b box) pixels(size image.Point) image.Rectangle {
	r := image.Rect(toPixels(b.x, size.X), toPixels(b.y, size.Y), toPixels(b.x+b.w, size.X), toPixels(b.y+b.h, size.Y))
	if r.Dx() == 0 {
		r.Min.X = min(r.Min.X, size.X-1)
		r.Max.X = r.Min.X + 1
	}
	if r.Dy() == 0 {
		r.Min.Y = min(r.Min.Y, size.Y-1)
		r.Max.Y = r.Min.Y + 1
	}
	return r
}

// toPixels rounds a fraction of n pixels to whole ones, a half towards the middle,
// so that mirrored fractions round to mirrored pixels.
func toPixels(v float64, n int) int {
	if v < 0.5 {
		return max(0, int(float64(v*float64(n))+0.5))
	}
	return n - max(0, int(float64((1-v)*float64(n))+0.5))
}

// overlap returns the area that two crops share over the area that they cover
// together.
func (b box) overlap(c box) float64 {
	w := min(b.x+b.w, c.x+c.w) - max(b.x, c.x)
	h := min(b.y+b.h, c.y+c.h) - max(b.y, c.y)
	if w <= 0 || h <= 0 {
		return 0
	}
	shared := w * h
	return shared / (float64(b.w*b.h) + float64(c.w*c.h) - shared)
}

// form is the proportions of panels: width over height in pixels of the photo, as
// they are turned.
type form struct {
	aspect float64
	panels []plan.Panel // of that form, in the order in which they were given
}

// formsOf returns the forms of panels, upright before across, in the order of the
// panels; panels of equal form share one.
func formsOf(panels []plan.Panel) []form {
	var out []form
	add := func(p plan.Panel) {
		for i := range out {
			if math.Abs(out[i].aspect/p.Aspect()-1) < 1e-9 {
				for _, q := range out[i].panels {
					if q == p {
						return
					}
				}
				out[i].panels = append(out[i].panels, p)
				return
			}
		}
		out = append(out, form{p.Aspect(), []plan.Panel{p}})
	}
	for _, p := range panels {
		if p.Free() {
			continue
		}
		for _, way := range []plan.Way{plan.Upright, plan.Across} {
			if p.Way == way || p.Way == plan.Unsaid && !(p.Square() && way == plan.Across) {
				q := p
				q.Way = way
				add(q)
			}
		}
	}
	return out
}

// widest returns the width of the largest crop of a form, a fraction of the
// photo's, on the lattice.
func (f form) widest(full image.Point) float64 {
	return onLattice(min(1, f.aspect*float64(full.Y)/float64(full.X)))
}

// box returns a crop of the form.
func (f form) box(x, y, w float64, full image.Point) box {
	return box{x, y, w, min(1, w*float64(full.X)/float64(full.Y)/f.aspect)}
}
