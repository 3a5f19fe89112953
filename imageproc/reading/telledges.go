package reading

import (
	"fmt"

	"atelier/halflid/imageproc/plan"
)

// strip returns the band along a side, corner a corner's square.
func (t *teller) strip(side Side) plan.Area {
	w, h, b := float64(t.r.w), float64(t.r.h), edgeShare*t.r.long
	return [...]plan.Area{t.r.box(0, 0, b, h), t.r.box(w-b, 0, w, h), t.r.box(0, 0, w, b), t.r.box(0, h-b, w, h)}[side]
}

func (t *teller) corner(i int) plan.Area {
	w, h, b := float64(t.r.w), float64(t.r.h), edgeShare*t.r.long
	x, y := [2]float64{0, w - b}[i%2], [2]float64{0, h - b}[i/2]
	return t.r.box(x, y, x+b, y+b)
}

func (t *teller) edges() {
	e := t.r.Edges
	t.sides(e)
	for i, s := range e.Corners {
		if s.Share > 4*s.Area && s.Share > 0.02 {
			t.ask(OnEdges, "corner", 0.2+2*s.Share, Line{At: s.Strongest.places(), Area: t.corner(i), Leads: ByCrop}, "The %s corner has %s of all contrast: a way out?", cornerNames[i], percent(s.Share))
		}
	}
	t.tangents(e.Tangents[:min(maxAsked, len(e.Tangents))])
	t.near(e.Near[:min(maxAsked, len(e.Near))])
	var strips []alike
	cuts := [4]int{}
	for _, c := range e.Cuts {
		if cuts[c.Side]++; c.Depth < 0.03 && c.Share >= 0.05 && len(strips) < maxAsked {
			at := fmt.Sprintf(" at the %s edge, %s deep: in or out?", c.Side, percent(c.Depth))
			strips = append(strips, alike{
				weight: 0.3, asks: true, line: Line{At: []plan.Point{c.At}, Leads: ByCrop},
				one: "A strip of a shape shows" + at, many: [2]string{"Strips of ", " shapes show" + at},
			})
		}
	}
	t.tellAlike(OnEdges, "strip", strips)
	t.say(OnEdges, "cut", 0.1, Line{Leads: ByCrop}, "Shapes cut by the edge: left %d, right %d, upper %d, lower %d.", cuts[Left], cuts[Right], cuts[Top], cuts[Bottom])
}

func (t *teller) tangents(all []Tangent) {
	var list []alike
	for _, g := range all {
		a := alike{
			weight: 0.45, asks: true, line: Line{At: []plan.Point{g.At}, Area: t.window(g.At), Leads: ByCrop},
			one:  fmt.Sprintf("A shape just touches the %s edge: cut it, or give it room?", g.Side),
			many: [2]string{"", fmt.Sprintf(" shapes just touch the %s edge: cut, or give room?", g.Side)},
		}
		if g.Gap > 0 {
			a.weight = 0.4
			a.one = fmt.Sprintf("A shape stops %s short of the %s edge: more room?", t.length(g.Gap), g.Side)
			a.many[1] = fmt.Sprintf(" shapes stop %s short of the %s edge: more room?", t.length(g.Gap), g.Side)
		}
		list = append(list, a)
	}
	t.tellAlike(OnEdges, "tangent", list)
}

func (t *teller) near(all []Touch) {
	var list []alike
	for _, n := range all {
		how := "almost touch, " + t.length(n.Gap)
		if n.Gap == 0 {
			how = "touch at a corner only"
		}
		list = append(list, alike{
			weight: 0.3 + 10*(almost-n.Gap), asks: true,
			line: Line{At: []plan.Point{n.AtA, n.AtB}, Area: t.window(n.At), Leads: ByHand},
			one:  "Two shapes " + how + ": overlap or part them?",
			many: [2]string{"", " pairs of shapes " + how + ": overlap or part?"},
		})
	}
	t.tellAlike(OnEdges, "near", list)
}

// sides tells of the strongest contrast at a side or, if that is weak, of the side
// where most of it lies.
func (t *teller) sides(e Edges) {
	c := t.r.Contrast
	measure, what := c.Focal.Strength, "the focal point's"
	if !t.r.Focal.Inside && len(c.Strongest) > 0 {
		measure, what = c.Strongest[0].Strength, "the strongest"
	}
	worst, most := Left, Left
	for side, s := range e.Sides {
		if s.Strongest.Strength > e.Sides[worst].Strongest.Strength {
			worst = Side(side)
		}
		if s.Share > e.Sides[most].Share {
			most = Side(side)
		}
	}
	s := e.Sides[worst].Strongest
	by := ratio(s.Strength, measure, 2)
	l := Line{At: []plan.Point{s.At}, Area: t.window(s.At), Leads: ByCrop}
	weight := 0.25 + 0.3*min(1, by-0.8)
	switch {
	case s.Strength <= 0:
	case measure == 0:
		t.ask(OnEdges, "contrast", 0.55, l, "Contrast at the %s edge and none at the focal point: calm it?", worst)
	case by >= 1 && !t.r.Focal.Inside:
		t.ask(OnEdges, "contrast", weight, l, "The strongest contrast is at the %s edge: calm it?", worst)
	case by > 1/leastMore && by < leastMore:
		t.ask(OnEdges, "contrast", weight, l, "Contrast at the %s edge equals %s: calm it?", worst, what)
	case by >= 0.8:
		t.ask(OnEdges, "contrast", weight, l, "Contrast at the %s edge, %s times %s: calm it?", worst, times(by), what)
	default:
		l = Line{At: e.Sides[most].Strongest.places(), Area: t.strip(most), Leads: ByCrop}
		t.say(OnEdges, "contrast", 0.3, l, "Of the four sides the %s has most contrast, %s of it all.", most, percent(e.Sides[most].Share))
	}
}
