package study

import (
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
)

// How choices act, all of them at once:
//
//   - Retouches change the photo in the order of the list, before anything is
//     measured. What was said about a place that is later left out, moved away,
//     painted over or laid over is forgotten there.
//   - A choice about shapes is tied to an area of the photo. It takes the base
//     shapes that lie in it by more than half; if these do not agree with the
//     area (another squint has drawn other outlines), the area itself is cut out
//     of them, so that what the painter said holds at every squint.
//   - Where two choices of one kind meet, the later wins. A value that was said
//     later than a pulling together, and for less than half of it, takes its
//     place out of it. Pulling together forgets earlier values of smaller parts.
//   - Of two equal choices the earlier does nothing, so a list applied twice is
//     the list. The order of choices whose areas do not meet does not matter.
//   - Outside the crop a choice sleeps.

// Standing is what becomes of a choice in a plan.
type Standing int

// The standings.
const (
	Holds      Standing = iota
	Off                 // the painter switched it off
	Asleep              // its place lies outside the crop
	Overruled           // later choices have taken its place
	CannotHold          // the values that were said for both sides leave no way to keep them apart
)

// String returns the standing in a word for the painter; empty if the choice
// holds.
func (s Standing) String() string {
	return [...]string{"", "off", "outside the crop", "overruled", "cannot hold"}[s]
}

// listed is a choice with its place in the list.
type listed struct {
	at     int
	choice plan.Choice
}

// standing returns the choices that are not switched off, of equal ones the last.
func standing(list []plan.Choice) []listed {
	last := make(map[plan.Choice]int, len(list))
	for i, c := range list {
		last[c] = i
	}
	var out []listed
	for i, c := range list {
		if !c.Off && last[c] == i {
			out = append(out, listed{i, c})
		}
	}
	return out
}

// decided is what the painter's choices mean for the base shapes of the crop.
type decided struct {
	cut     int             // the base shapes of the crop that it was found for
	rect    image.Rectangle // of the master: crops a fraction of a working pixel apart share base shapes
	list    plan.Choices
	base    *mass.Base // those, carved where need be
	areas   []int      // of its base shapes, pixels
	made    int
	parts   map[partKey]found // of the base shapes that are not carved
	members [][]int32         // by choice: its base shapes, in order; nil if none
	others  [][]int32         // the same of plan.Choice.Other
	stands  []Standing
	choices []plan.Choice
	ruling  ruling
	count   []int32 // scratch: pixels of each base shape
}

// setDecided finds the base shapes that each choice is about.
func (d *Desk) setDecided(p plan.Plan) {
	s, c, rect := &d.shapes, &d.decided, d.frame.rect
	if c.made > 0 && c.cut == s.made && c.list == p.Choices && (c.rect == rect || c.list.Len() == 0) {
		return
	}
	if c.cut != s.made || c.rect != rect {
		c.parts = map[partKey]found{}
	}
	c.cut, c.rect, c.list, c.base = s.made, rect, p.Choices, s.cut
	c.made++
	c.measure()
	list := p.Choices.List()
	c.members, c.others = make([][]int32, len(list)), make([][]int32, len(list))
	c.stands = make([]Standing, len(list))
	for i := range c.stands {
		c.stands[i] = Off
	}
	all := standing(list)
	if knives := d.findMembers(all, true); knives != nil {
		c.base = s.cut.Carve(*knives)
		c.measure()
		d.findMembers(all, false)
	}
	for i, x := range list {
		if !x.Off && c.stands[i] == Off {
			c.stands[i] = Overruled // an equal one follows
		}
	}
	c.choices = list
	d.rule(list)
}

// measure counts the pixels of the base shapes.
func (c *decided) measure() {
	c.areas, c.count = make([]int, c.base.Shapes()), make([]int32, c.base.Shapes())
	for _, b := range c.base.Labels().Pix {
		c.areas[b]++
	}
}

// findMembers finds the base shapes of each choice. With whole, they are those
// that are not carved yet, and it returns the areas that none stand for, numbered
// from 1, the later over the earlier; nil if there are none.
func (d *Desk) findMembers(all []listed, whole bool) *imageproc.Labels {
	c := &d.decided
	var knives *imageproc.Labels
	n := int32(0)
	find := func(a plan.Area, without []plan.Area, must bool) ([]int32, Standing) {
		if d.sleeps(a) == Asleep {
			return nil, Asleep
		}
		f := d.find(a, without, whole)
		switch {
		case f.pixels == 0:
			return nil, Overruled
		case whole && must && !f.agree:
			if knives == nil {
				size := d.frame.pic.Size()
				fresh := imageproc.NewLabels(size.X, size.Y)
				knives = &fresh
			}
			n++
			p := d.patchOn(a, without)
			for y := range p.Mask.H {
				row := knives.Row(p.At.Y + y)[p.At.X:]
				for x, in := range p.Mask.Pix[y*p.Mask.W:][:p.Mask.W] {
					if in {
						row[x] = n
					}
				}
			}
		}
		return f.members, Holds
	}
	for i, x := range all {
		if x.choice.Retouches() && x.choice.What != plan.Add {
			c.stands[x.at] = d.sleeps(x.choice.Area)
			if c.stands[x.at] == Asleep && x.choice.What != plan.LeaveOut {
				c.stands[x.at] = d.sleeps(Carried(x.choice))
			}
			continue
		}
		without := forgotten(x.choice, all[i+1:])
		c.members[x.at], c.stands[x.at] = find(x.choice.Area, without, cuts(x.choice))
		if x.choice.What == plan.Apart && c.stands[x.at] == Holds {
			c.others[x.at], c.stands[x.at] = find(x.choice.Other, without, true)
		}
	}
	return knives
}

// cuts reports whether a choice must have its very place.
func cuts(c plan.Choice) bool {
	switch c.What {
	case plan.GiveValue, plan.Add, plan.Together, plan.Apart:
		return true
	}
	return false
}

// sleeps tells whether an area lies outside the crop.
func (d *Desk) sleeps(a plan.Area) Standing {
	x0, y0, x1, y1 := a.Bounds()
	m, r := d.master.Size(), d.frame.rect
	w, h := float64(m.X), float64(m.Y)
	if x1*w <= float64(r.Min.X) || x0*w >= float64(r.Max.X) || y1*h <= float64(r.Min.Y) || y0*h >= float64(r.Max.Y) {
		return Asleep
	}
	return Holds
}

// forgotten are the parts of the photo that retouches later than c have changed.
func forgotten(c plan.Choice, later []listed) []plan.Area {
	var out []plan.Area
	for _, x := range later {
		switch x.choice.What {
		case plan.LeaveOut, plan.Add:
			out = append(out, x.choice.Area)
		case plan.Move:
			out = append(out, x.choice.Area, Carried(x.choice))
		case plan.Copy:
			out = append(out, Carried(x.choice))
		}
	}
	near := out[:0]
	for _, a := range out {
		if meet(a, c.Area) || meet(a, c.Other) {
			near = append(near, a)
		}
	}
	return near
}

// meet reports whether the boxes around two areas overlap.
func meet(a, b plan.Area) bool {
	ax0, ay0, ax1, ay1 := a.Bounds()
	bx0, by0, bx1, by1 := b.Bounds()
	return ax0 < bx1 && bx0 < ax1 && ay0 < by1 && by0 < ay1
}

// Carried is where a moved or copied area comes to lie.
func Carried(c plan.Choice) plan.Area {
	x0, y0, x1, y1 := c.Area.Bounds()
	cx, cy := (x0+x1)/2, (y0+y1)/2
	across := c.Scale
	if c.Mirror {
		across = -across
	}
	rings := c.Area.Rings()
	for _, ring := range rings {
		for i, p := range ring {
			ring[i] = plan.Point{X: cx + c.DX + float64(across*(p.X-cx)), Y: cy + c.DY + float64(c.Scale*(p.Y-cy))}
		}
	}
	return plan.AreaOf(rings)
}
