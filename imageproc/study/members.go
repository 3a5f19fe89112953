package study

import (
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/retouch"
)

// agreement is how well base shapes must agree with an area to stand for it:
// their intersection over their union. Source: ours.
const agreement = 0.7

// found is what was found in an area: its base shapes, and whether they agree
// with it. Of an area without a pixel nothing is found.
type found struct {
	members []int32
	pixels  int
	agree   bool
}

// partKey names what was counted: an area, and the rings that are taken from it.
type partKey struct{ area, without plan.Area }

// find returns the base shapes in an area but for what is forgotten of it: those
// that lie in it by more than half, or the one that has most of it.
func (d *Desk) find(a plan.Area, without []plan.Area, whole bool) found {
	c := &d.decided
	key := partKey{area: a}
	for _, w := range without {
		key.without = key.without.Union(w)
	}
	if f, known := c.parts[key]; known && whole {
		return f
	}
	p := d.patchOn(a, without)
	labels := c.base.Labels()
	var f found
	var touched []int32
	for y := range p.Mask.H {
		row := labels.Row(p.At.Y + y)[p.At.X:]
		for x, in := range p.Mask.Pix[y*p.Mask.W:][:p.Mask.W] {
			if in {
				f.pixels++
				if c.count[row[x]]++; c.count[row[x]] == 1 {
					touched = append(touched, row[x])
				}
			}
		}
	}
	slices.Sort(touched)
	both, union, best := 0, f.pixels, int32(-1)
	for _, b := range touched {
		n := int(c.count[b])
		if best < 0 || c.count[b] > c.count[best] {
			best = b
		}
		if 2*n > c.areas[b] {
			f.members = append(f.members, b)
			both += n
			union += c.areas[b] - n
		}
	}
	for _, b := range touched {
		c.count[b] = 0
	}
	f.agree = float64(both) >= agreement*float64(union)
	if len(f.members) == 0 && best >= 0 {
		f.members = []int32{best}
	}
	if whole {
		c.parts[key] = f
	}
	return f
}

// patchOn marks an area on the working crop, but for what is forgotten of it, in
// the smallest rectangle around it.
func (d *Desk) patchOn(a plan.Area, without []plan.Area) retouch.Patch {
	size, m, r := d.frame.pic.Size(), d.master.Size(), d.frame.rect
	s := scaling{x: float64(m.X) * float64(size.X) / float64(r.Dx()), y: float64(m.Y) * float64(size.Y) / float64(r.Dy())}
	s.dx = -float64(r.Min.X) * float64(size.X) / float64(r.Dx())
	s.dy = -float64(r.Min.Y) * float64(size.Y) / float64(r.Dy())
	p := patchIn(a, s, size, 0)
	for _, w := range without {
		off := imageproc.NewMask(p.Mask.W, p.Mask.H)
		outline.Fill(off, ringsOf(w, s.from(p.At)))
		for i, on := range off.Pix {
			p.Mask.Pix[i] = p.Mask.Pix[i] && !on
		}
	}
	return p
}
