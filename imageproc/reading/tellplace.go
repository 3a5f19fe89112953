package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
)

func (t *teller) placement() {
	t.focal()
	p := t.r.Placement
	l := Line{At: []plan.Point{p.Balance}, Area: t.window(p.Balance), Leads: ByCrop}
	if sideways := math.Abs(p.LeftWeight - 0.5); sideways > 0.25 {
		t.ask(OnPlacement, "balance", 0.2+sideways/2, l, "Weight: %s left, %s right: what answers it?", percent(p.LeftWeight), percent(1-p.LeftWeight))
		return
	}
	t.say(OnPlacement, "balance", 0.3, l, "Weight: %s left, %s above; it balances %s off the middle.", percent(p.LeftWeight), percent(p.TopWeight), percent(p.Off))
}

// sideNames are the words for what something is far from.
var sideNames = [...]string{"left", "right", "top", "bottom"}

// focal tells where the focal point lies: how far from the two nearest sides.
func (t *teller) focal() {
	p, f := t.r.Placement, t.r.Focal
	switch {
	case !f.Set:
		t.ask(OnPlacement, "focal", 0.5, Line{Leads: ByFocal}, "There is no focal point: what is the picture about?")
		return
	case !f.Inside:
		t.ask(OnPlacement, "focal", 0.95, Line{At: []plan.Point{f.At}, Leads: ByCrop}, "The focal point lies outside the crop: move it, or the crop?")
		return
	}
	across, side := p.Left, Left
	if p.Right < p.Left {
		across, side = p.Right, Right
	}
	up, edge := p.Top, Top
	if p.Bottom < p.Top {
		up, edge = p.Bottom, Bottom
	}
	l := Line{At: []plan.Point{f.At}, Leads: ByFocal}
	if p.Middle {
		t.ask(OnPlacement, "focal", 0.5, l, "Focal point in the middle, %s%s from %s: meant?",
			whole(across), t.onPanel(across*t.panelW), sideNames[side])
		return
	}
	t.say(OnPlacement, "focal", 0.5, l, "Focal point %s%s from %s, %s%s from %s.",
		whole(across), t.onPanel(across*t.panelW), sideNames[side], whole(up), t.onPanel(up*t.panelH), sideNames[edge])
}

// fewStraights is from how many on straight borders lead somewhere. Source: ours.
const fewStraights = 3

// beats reports whether a share is more than chance gives, as both are written.
func beats(share, chance float64) bool {
	return share > chance && percent(share) != percent(chance)
}

func (t *teller) directions() {
	d := t.r.Directions
	if d.Count == 0 {
		return
	}
	var at []plan.Point
	for _, s := range d.Longest {
		at = append(at, plan.Point{X: (s.From.X + s.To.X) / 2, Y: (s.From.Y + s.To.Y) / 2})
	}
	l := Line{At: at, Leads: ByFocal}
	switch {
	case !t.r.Focal.Inside:
		t.say(OnDirections, "pointing", 0.2, l, "%s, %s times the long side in all.", counted(d.Count, "long straight border"), one(d.Length))
	case !beats(d.Pointing, d.Anywhere) && d.Count < fewStraights:
		// Too few to say that they lead past the focal point.
		t.say(OnDirections, "pointing", 0.2, l, "%s, %s times the long side in all.", counted(d.Count, "long straight border"), one(d.Length))
	case !beats(d.Pointing, d.Anywhere):
		t.ask(OnDirections, "pointing", 0.15+0.25*(d.Anywhere-d.Pointing), l, "Straight borders to the focal point: %s, by chance %s. More?", percent(d.Pointing), percent(d.Anywhere))
	default:
		t.say(OnDirections, "pointing", 0.4, l, "Straight borders to the focal point: %s, by chance %s.", percent(d.Pointing), percent(d.Anywhere))
	}
}
