package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
)

func (t *teller) contrast() {
	c := t.r.Contrast
	if len(c.Strongest) == 0 {
		return
	}
	t.strongest(c)
	if t.r.Focal.Inside {
		t.stands(c.Stands)
	}
}

// leastMore is how many times as strong is told as stronger. Source: ours.
const leastMore = 1.05

func (t *teller) strongest(c Contrast) {
	first := c.Strongest[0]
	l := Line{At: []plan.Point{first.At}, Area: t.window(first.At), Leads: ByHand}
	switch {
	case !t.r.Focal.Inside && len(c.Strongest) == 1:
		t.say(OnContrast, "strongest", 0.6, l, "All contrast is here.")
	case !t.r.Focal.Inside:
		t.say(OnContrast, "strongest", 0.6, l, "The strongest contrast is here, %s times the next.", times(first.Strength/c.Strongest[1].Strength))
	case c.Focal.Strength == 0:
		t.ask(OnContrast, "strongest", 0.9, l, "No contrast at the focal point, but %s off: move it?", t.length(c.Distance))
	case c.Elsewhere.Strength > leastMore*c.Focal.Strength:
		by := c.Elsewhere.Strength / c.Focal.Strength
		l = Line{At: []plan.Point{c.Elsewhere.At}, Area: t.window(c.Elsewhere.At), Leads: ByHand}
		off := t.r.apart(c.Elsewhere.At, t.r.Focal.At)
		far := t.length(off)
		if by >= 9.95 || off >= 0.995 { // a line has no room for more
			far = percent(off)
		}
		t.ask(OnContrast, "strongest", 0.6+0.3*min(1, by-1), l, "Contrast %s times the focal point's, %s off: calm it?", times(by), far)
	case c.Focal.Strength <= leastMore*c.Elsewhere.Strength:
		l = Line{At: []plan.Point{c.Elsewhere.At}, Area: t.window(c.Elsewhere.At), Leads: ByHand}
		t.say(OnContrast, "strongest", 0.8, l, "Contrast elsewhere is as strong as at the focal point.")
	case c.Elsewhere.Strength > 0:
		l = Line{At: []plan.Point{c.Focal.At}, Area: t.window(c.Focal.At), Leads: ByHand}
		t.say(OnContrast, "strongest", 0.8, l, "The contrast at the focal point is %s times the next strongest.", times(c.Focal.Strength/c.Elsewhere.Strength))
	default:
		t.say(OnContrast, "strongest", 0.8, l, "All contrast is at the focal point.")
	}
}

func (t *teller) stands(all []Stand) {
	best := 0.0
	for _, s := range all {
		best = max(best, math.Abs(s.Steps))
	}
	if best < 1 {
		t.ask(OnContrast, "stands", 0.55+0.3*(1-best), Line{Area: t.r.disc(t.r.Focal.At, t.r.Focal.Radius*t.r.long), Leads: ByHand}, "Nothing at the focal point stands out by a whole value.")
		return
	}
	var list []alike
	for i, s := range all[:min(2, len(all))] {
		if math.Abs(s.Steps) < 1 {
			continue
		}
		by := one(math.Abs(s.Steps)) + " values " + either(s.Steps > 0, "lighter", "darker")
		list = append(list, alike{
			weight: 0.5 - 0.1*float64(i), line: Line{At: []plan.Point{s.At}, Leads: ByHand},
			one:  "At the focal point a shape is " + by + " than around it.",
			many: [2]string{"At the focal point ", " shapes stand out, " + by + "."},
		})
	}
	t.tellAlike(OnContrast, "stands", list)
}
