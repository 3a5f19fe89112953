package study

import (
	"math"

	"atelier/halflid/imageproc/plan"
)

// Spaced is a proposal of how a shape lies in space. Sureness runs from 0, a
// guess, to mostSure.
type Spaced struct {
	Plane     plan.Plane
	PlaneSure float64
	Depth     plan.Depth
	DepthSure float64
}

// mostSure is the most that a proposal claims: without colour and without knowing
// what things are, more would be vain.
const mostSure = 0.8

// Space proposes for each shape in List the plane that it lies in and how far
// away it is, from places, sizes, borders and tones alone, as one reads a value
// study of a view out of doors. The mirrored picture gives the same answers. What
// the painter says stands above it. Nil without shapes or without a Map. Source:
// common practice of landscape painters, no source for the numbers; the order of
// the planes by their tone: Carlson 1929 (from memory).
func (f Figures) Space() []Spaced {
	if len(f.List) == 0 || len(f.Map.Pix) == 0 {
		return nil
	}
	forms := f.forms()
	out := make([]Spaced, len(f.List))
	for i, s := range forms {
		out[i].Plane, out[i].PlaneSure = s.plane()
	}
	f.clouds(out, forms)
	sky := 0
	for i, s := range out {
		if s.Plane == plan.Sky {
			sky += forms[i].pixels
		}
	}
	horizon := float64(sky) / float64(f.Map.W*f.Map.H)
	for i := range out {
		out[i].Depth, out[i].DepthSure = forms[i].depth(out[i], horizon)
	}
	return out
}

// form is what of a shape speaks of its place in space; all of it is the same for
// the mirrored shape.
type form struct {
	pixels       int
	top, bottom  float64 // share of the picture's upper and lower edge that it touches
	wide, high   float64 // its bounds, in pixels
	span         float64 // its bounds' width as a share of the picture's
	middle, foot float64 // height of its centre and of its lowest part, 0 top to 1 bottom
	tilt         float64 // 0 lies level or stands plumb, 1 lies at 45 degrees and is long
	light        float64 // 0 the darkest tone of the plan, 1 the lightest
	beside       int     // pixel sides of the border with other shapes
}

// sums are whole numbers, so that they are exactly mirrored with the picture.
// Places are counted in half pixels from its middle.
type sums struct {
	n, top, bottom, x, y, xx, yy, xy int
	rows                             []int // pixels in each row of the bounds
}

// forms measures all shapes.
func (f Figures) forms() []form {
	all := make([]sums, len(f.List))
	for i, s := range f.List {
		all[i].rows = make([]int, s.Bounds.Dy())
	}
	w, h := f.Map.W, f.Map.H
	for y := range h {
		row, v := f.Map.Row(y), 2*y+1-h
		for x := 0; x < w; {
			x0, id := x, row[x]
			for x < w && row[x] == id {
				x++
			}
			// A run of n pixels in whole: their sum, and the sum of their squares.
			n, mid := x-x0, x0+x-w
			s := &all[id]
			s.n += n
			s.x, s.y = s.x+n*mid, s.y+n*v
			s.xx, s.yy, s.xy = s.xx+n*mid*mid+n*(n*n-1)/3, s.yy+n*v*v, s.xy+n*mid*v
			s.rows[y-f.List[id].Bounds.Min.Y] += n
			if y == 0 {
				s.top += n
			}
			if y == h-1 {
				s.bottom += n
			}
		}
	}
	dark, light := f.List[0].Tone, f.List[0].Tone
	for _, s := range f.List {
		dark, light = min(dark, s.Tone), max(light, s.Tone)
	}
	out := make([]form, len(all))
	for i, s := range all {
		b := f.List[i].Bounds
		o := form{
			pixels: s.n, top: float64(s.top) / float64(w), bottom: float64(s.bottom) / float64(w),
			wide: float64(b.Dx()), high: float64(b.Dy()), span: float64(b.Dx()) / float64(w),
			middle: 0.5 + float64(s.y)/float64(2*h*max(1, s.n)), tilt: s.tilt(), light: 0.5,
			foot: float64(b.Min.Y+s.lowest()) / float64(h),
		}
		if light > dark {
			o.light = float64((f.List[i].Tone - dark) / (light - dark))
		}
		for _, n := range f.List[i].Neighbours {
			o.beside += n.Length
		}
		out[i] = o
	}
	return out
}

// lowest returns the lower side of the row below which a fiftieth of the shape
// lies, so that a thread hanging down is no foot.
func (s *sums) lowest() int {
	below := 0
	for y := len(s.rows) - 1; y >= 0; y-- {
		if below += s.rows[y]; 50*below > s.n {
			return y + 1
		}
	}
	return len(s.rows)
}

// tilt returns how much the shape is long in a slanting direction: of its two
// axes of inertia how much longer the longer is, and how far it is from level
// and plumb.
func (s *sums) tilt() float64 {
	n := float64(max(1, s.n))
	a := float64(s.xx) - float64(s.x)*float64(s.x)/n
	b := float64(s.yy) - float64(s.y)*float64(s.y)/n
	c := float64(s.xy) - float64(s.x)*float64(s.y)/n
	if a+b <= 0 {
		return 0
	}
	// (2c)/(a+b) is the sine of twice the axis' angle times (l1-l2)/(l1+l2).
	return min(1, math.Abs(2*c)/(a+b))
}

// plane weighs the four planes against each other.
func (s form) plane() (plan.Plane, float64) {
	flat := between(s.wide/s.high, 1, 4)
	tall := between(s.high/s.wide, 0.8, 3)
	low := between(s.middle, 0.35, 0.75)
	score := []struct {
		plane plan.Plane
		v     float64
	}{
		// What touches the upper edge widely and is light, and does not come down.
		{plan.Sky, between(s.top, 0, 0.6) * (0.15 + float64(0.85*s.light)) * (1 - between(s.bottom, 0, 0.3))},
		// What touches the lower edge widely, or lies wide and flat below the middle.
		{plan.Ground, max(between(s.bottom, 0, 0.6), flat*between(s.span, 0.1, 0.7)*low) * (1 - float64(0.8*between(s.top, 0, 0.5)))},
		// What runs slanting: roofs, banks, hillsides.
		{plan.Slant, between(s.tilt, 0.15, 0.7) * (1 - float64(0.7*max(between(s.top, 0, 0.5), between(s.bottom, 0, 0.5))))},
		// What is tall against its width; the darker, the likelier.
		{plan.Standing, (0.1 + float64(0.9*tall)) * (1 - float64(0.3*s.light)) * (1 - float64(0.7*max(between(s.top, 0.1, 0.6), between(s.bottom, 0.1, 0.6))))},
	}
	best, second := score[0], 0.0
	for _, c := range score[1:] {
		switch {
		case c.v > best.v:
			best, second = c, best.v
		default:
			second = max(second, c.v)
		}
	}
	if best.v <= 0 {
		return best.plane, 0
	}
	return best.plane, sureness((best.v - second) * min(1, 0.5+best.v/2))
}

// clouds gives what touches hardly anything but sky, light and not tall, to the
// sky: it would else count as standing in it.
func (f Figures) clouds(out []Spaced, forms []form) {
	sky := make([]bool, len(out))
	for i, s := range out {
		sky[i] = s.Plane == plan.Sky && s.PlaneSure > 0
	}
	for i, s := range forms {
		in := 0
		for _, n := range f.List[i].Neighbours {
			if sky[n.Shape] {
				in += n.Length
			}
		}
		if !sky[i] && in > 0 && s.bottom == 0 && 10*in >= 9*s.beside && s.light >= 0.6 && s.high <= s.wide && s.middle < 0.6 {
			out[i].Plane, out[i].PlaneSure = plan.Sky, sureness(0.4)
		}
	}
}

// The limits between far, middle and near, from the horizon (0) to the lower edge
// (1). Level ground seen at height t between them is 1/t times as far away as
// the ground at the lower edge: four times, and one and a half times.
const (
	farAbove  = 1 / 4.0
	nearBelow = 2 / 3.0
)

// depth goes by the lowest part of a shape: the higher it is in the picture, the
// farther it stands. horizon is the share of the picture that is sky, which is
// where its lower edge lies on the average.
func (s form) depth(as Spaced, horizon float64) (plan.Depth, float64) {
	if as.Plane == plan.Sky {
		return plan.Far, as.PlaneSure
	}
	// Without a sky it is open where the horizon lies, or whether there is one.
	trust := 0.5
	if horizon > 0 {
		trust = 0.75
	}
	t := s.foot
	if horizon < 1 {
		t = min(max((s.foot-horizon)/(1-horizon), 0), 1)
	}
	switch {
	case t < farAbove:
		if s.foot < horizon && as.Plane != plan.Ground {
			trust /= 3 // it stands on something else, a lantern on a tower: its foot is hidden
		}
		// Far things are lighter; a dark one may be a near one that hangs in.
		return plan.Far, sureness(trust * (farAbove - t) / farAbove * (0.6 + float64(0.4*s.light)))
	case t > nearBelow:
		// What the lower edge cuts widely lies before the painter's feet.
		return plan.Near, sureness(min(1, float64(trust*(t-nearBelow))/(1-nearBelow)+between(s.bottom, 0, 0.8)/4))
	}
	return plan.Middle, sureness(trust * min(t-farAbove, nearBelow-t) / (nearBelow - farAbove))
}

// between returns 0 up to lo, 1 from hi on, and the share of the way in between.
func between(v, lo, hi float64) float64 { return min(max((v-lo)/(hi-lo), 0), 1) }

// sureness returns a share, 0..1, of the most that is claimed, in hundredths: no
// one reads more out of it, and rounding hides the last bit of a mirrored sum.
func sureness(v float64) float64 {
	return math.Round(100*mostSure*min(max(v, 0), 1)) / 100
}
