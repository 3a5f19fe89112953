package plan

import "math"

// Edit leads from one plan to the next. It is pure: the same plan and frame
// give the same result, which is always fitted (see Fit). An edit that has
// nothing to change returns an equal plan. It panics if the frame's photo has
// no pixels.
type Edit func(Plan, Frame) Plan

// The smallest crop that ResizeCrop and the panel edits go to: its long side
// this part of the photo's long side, its short side this many pixels. Source:
// ours; below it a snapshot has nothing left to plan with.
const (
	minLongPart    = 0.05
	minShortPixels = 16
)

// box is a crop in photo pixels, by its centre.
type box struct{ cx, cy, w, h float64 }

func (p Plan) box(f Frame) box {
	tall := p.height(f)
	w, h := f.size()
	return box{
		cx: (p.Crop.X + p.Crop.W/2) * w, cy: (p.Crop.Y + tall/2) * h,
		w: p.Crop.W * w, h: tall * h,
	}
}

// place returns p with the crop at b, made smaller where b is too large for the
// photo and moved inside where it lies out.
func (p Plan) place(b box, f Frame) Plan {
	w, h := f.size()
	s := min(1, w/b.w, h/b.h)
	part := b.h * s / h
	p.Crop.W = min(round(b.w*s/w, cropUnits), maxWidth(p.Panel, f))
	p.Crop.H = 0
	if p.Panel.Free() {
		p.Crop.H = round(part, cropUnits)
		part = p.Crop.H
	}
	p.Crop.X = b.cx/w - p.Crop.W/2
	p.Crop.Y = b.cy/h - part/2
	return Fit(p, f)
}

// largest reports whether b is as large as its proportions allow.
func (b box) largest(f Frame) bool {
	w, h := f.size()
	return b.w >= w*(1-4/cropUnits) || b.h >= h*(1-4/cropUnits)
}

// least returns the scale, at most 1, at which b reaches the smallest crop.
func (b box) least(f Frame) float64 {
	w, h := f.size()
	long := minLongPart * max(w, h) / max(b.w, b.h)
	short := min(minShortPixels, w, h) / min(b.w, b.h)
	return min(1, max(long, short))
}

// MoveCrop moves the crop by dx to the right and dy downwards, both in
// fractions of the crop's own long side, so that a step looks the same in every
// direction and at every size. It stops at the photo's edges.
func MoveCrop(dx, dy float64) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		b := p.box(f)
		w, h := f.size()
		long := max(b.w, b.h)
		p.Crop.X += dx * long / w
		p.Crop.Y += dy * long / h
		return Fit(p, f)
	}
}

// ResizeCrop makes the crop factor times as wide and high about its centre,
// moved inward at the photo's edges. It stops at the largest that fits, and at
// a smallest: 5 % of the photo's long side, 16 pixels on the short side. A
// factor that is not above 0 changes nothing.
func ResizeCrop(factor float64) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		if !(factor > 0) {
			return p
		}
		b := p.box(f)
		factor = max(min(factor, 1e6), b.least(f))
		b.w, b.h = b.w*factor, b.h*factor
		return p.place(b, f)
	}
}

// SetCrop puts the crop at c, moved and made smaller as far as the photo and
// the panel need. A height (c.H above 0) frees the panel; without one a free
// panel keeps the proportions that it has.
func SetCrop(c Crop) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		switch {
		case c.H > 0:
			p.Panel = Panel{Way: p.Panel.Way}
		case p.Panel.Free():
			c.H = c.W * p.Crop.H / p.Crop.W
			if c.H > 1 {
				c.W, c.H = c.W/c.H, 1
			}
		}
		p.Crop = c
		return Fit(p, f)
	}
}

// SetPanel changes the panel. The crop keeps its centre and its area as far as
// the photo allows; a crop that was as large as fits stays as large as fits. A
// panel whose way is Unsaid is turned as the present one. A free panel leaves
// the crop as it is.
func SetPanel(panel Panel) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		if panel.Way == Unsaid {
			panel.Way = p.Panel.Way
		}
		return p.changePanel(panel.fit(), f)
	}
}

// NextPanel changes to the panel that follows in Panels, the first after the
// last and after a size that is not on offer, as SetPanel does.
func NextPanel(p Plan, f Frame) Plan { return stepPanel(p, f, 1) }

// PrevPanel changes to the panel before in Panels, as NextPanel does.
func PrevPanel(p Plan, f Frame) Plan { return stepPanel(p, f, -1) }

func stepPanel(p Plan, f Frame, by int) Plan {
	panels := Panels()
	at := -1
	for i, q := range panels {
		if q.same(p.Panel) {
			at = i
		}
	}
	if at < 0 && by < 0 {
		at = 0
	}
	return SetPanel(panels[(at+by+len(panels))%len(panels)])(p, f)
}

// Turn turns the panel from upright to across and back, the crop about its
// centre. A square stays as it is but remembers the way; a free crop changes
// its width for its height.
func Turn(p Plan, f Frame) Plan {
	p = Fit(p, f)
	panel := p.Panel
	panel.Way = Upright
	if p.Panel.Way == Upright {
		panel.Way = Across
	}
	if !panel.Free() {
		return p.changePanel(panel, f)
	}
	b := p.box(f)
	p.Panel = panel
	return p.reshape(b, b.h/b.w, f)
}

// SetFree frees the panel and gives the crop the aspect width over height in
// photo pixels, about its centre with its area kept as SetPanel does. An aspect
// that is not above 0 keeps the present one; it is held within 1:20 and 20:1.
func SetFree(aspect float64) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		p = p.changePanel(Panel{Way: p.Panel.Way}, f)
		if !(aspect > 0) {
			return p
		}
		return p.reshape(p.box(f), aspect, f)
	}
}

// Stretch makes a free crop factor times as wide for its height, about its
// centre with its area kept as SetPanel does. It changes nothing on a panel
// that has sides.
func Stretch(factor float64) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		if !p.Panel.Free() || !(factor > 0) {
			return p
		}
		b := p.box(f)
		return p.reshape(b, b.w/b.h*factor, f)
	}
}

func (p Plan) changePanel(panel Panel, f Frame) Plan {
	b := p.box(f)
	was := p.Panel
	p.Panel = panel
	switch {
	case panel.Free():
		p.Crop.H = b.h / float64(f.Photo.Y)
		return Fit(p, f)
	case !was.Free() && was.Aspect() == panel.Aspect():
		return Fit(p, f)
	}
	return p.reshape(b, panel.Aspect(), f)
}

// maxFreeAspect bounds the proportions a free crop is given by an edit.
const maxFreeAspect = 20

// reshape gives the crop at b another aspect about its centre: as large as fits
// if it was, otherwise of the same area as far as that fits.
func (p Plan) reshape(b box, aspect float64, f Frame) Plan {
	if p.Panel.Free() {
		aspect = clamp(aspect, 1.0/maxFreeAspect, maxFreeAspect)
	}
	w, h := f.size()
	tall := min(h, w/aspect)
	if !b.largest(f) {
		tall = min(tall, math.Sqrt(b.w*b.h/aspect))
	}
	return p.place(box{cx: b.cx, cy: b.cy, w: tall * aspect, h: tall}, f)
}
