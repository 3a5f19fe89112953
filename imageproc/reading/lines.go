package reading

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"atelier/halflid/imageproc/plan"
)

// Topic is what a line is about, in a word for the painter.
type Topic string

// The topics, in the order of lines that weigh the same.
const (
	OnValues     Topic = "values"
	OnSimplicity Topic = "simplicity"
	OnDarks      Topic = "darks"
	OnLights     Topic = "lights"
	OnContrast   Topic = "contrast"
	OnEdges      Topic = "edges"
	OnPlacement  Topic = "placement"
	OnDirections Topic = "directions"
	OnPlanes     Topic = "planes"
	OnRecession  Topic = "recession"
	OnBorders    Topic = "borders"
)

// Activity is where the painter can change what a line speaks of.
type Activity string

// The activities; empty: nowhere, it is something to know.
const (
	ByFocal  Activity = "focal point"
	ByHand   Activity = "shape in the hand"
	ByCrop   Activity = "crop"
	ByValues Activity = "values"
	ByShapes Activity = "shapes"
)

// Line is one finding in a painter's words.
type Line struct {
	Topic  Topic
	Words  string       // one sentence with its figures and units, 66 characters or fewer
	Asks   bool         // common practice would ask here
	Weight float64      // how much it matters, 0..1, among those that ask and those that do not
	At     []plan.Point // places on the photo; a shape that it speaks of lies under its place
	Area   plan.Area    // the part of the photo that it speaks of, if it is not a shape
	Leads  Activity
}

// Lines returns the reading in words, lengths on the panel in u, what would be
// asked first and of that the weightiest first; equals in the order of the
// topics. Never empty. It panics if u is no unit.
func (r Reading) Lines(u plan.Unit) []Line {
	t := teller{r: r, u: u}
	w, h := r.Panel.Size(u)
	t.panelW, t.panelH = w, h
	t.values()
	t.simplicity()
	t.linked(OnDarks, "dark", r.Darks.Darkest, r.Darks.Shadow, 1)
	t.linked(OnLights, "light", r.Lights.Lightest, r.Lights.Light, 0.6)
	t.contrast()
	t.edges()
	t.placement()
	t.directions()
	t.planes()
	t.recession()
	t.borders()
	slices.SortStableFunc(t.lines, func(a, b Line) int {
		switch {
		case a.Asks != b.Asks && a.Asks:
			return -1
		case a.Asks != b.Asks:
			return 1
		case a.Weight > b.Weight:
			return -1
		case a.Weight < b.Weight:
			return 1
		}
		return 0
	})
	return t.lines
}

// teller writes the lines.
type teller struct {
	r              Reading
	u              plan.Unit
	panelW, panelH float64 // 0 for a free panel
	lines          []Line
}

// say adds a line that asks nothing, ask one that asks. Weights are held to 0..1
// and rounded, so that the last bit of a sum orders nothing.
func (t *teller) say(on Topic, weight float64, l Line, format string, args ...any) {
	l.Topic, l.Words = on, fmt.Sprintf(format, args...)
	l.Weight = math.Round(1000*min(max(weight, 0), 1)) / 1000
	t.lines = append(t.lines, l)
}

func (t *teller) ask(on Topic, weight float64, l Line, format string, args ...any) {
	l.Asks = true
	t.say(on, weight, l, format, args...)
}

// percent writes a share: whole percent, a decimal below 3 %, two below 0.1 %.
func percent(v float64) string {
	switch v = 100 * v; {
	case v == 0:
	case math.Abs(v) < 0.095:
		return strconv.FormatFloat(v, 'f', 2, 64) + " %"
	case math.Abs(v) < 2.95:
		return strconv.FormatFloat(v, 'f', 1, 64) + " %"
	}
	return strconv.FormatFloat(v, 'f', 0, 64) + " %"
}

// part writes a share of a length with what it is on the panel, "8 % (1.6 cm)".
func (t *teller) part(v, whole float64) string {
	if whole == 0 {
		return percent(v)
	}
	decimals := map[plan.Unit]int{plan.Inch: 2, plan.Centimetre: 1, plan.Millimetre: 0}[t.u]
	return fmt.Sprintf("%s (%s %s)", percent(v), strconv.FormatFloat(v*whole, 'f', decimals, 64), t.u)
}

func (t *teller) length(v float64) string { return t.part(v, max(t.panelW, t.panelH)) }

// one writes a number with one decimal, counted a number of things.
func one(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

func counted(n int, thing string) string {
	switch {
	case n == 1:
		return "1 " + thing
	case strings.HasSuffix(thing, "s"):
		return strconv.Itoa(n) + " " + thing + "es"
	}
	return strconv.Itoa(n) + " " + thing + "s"
}

// window returns the round window about a place.
func (t *teller) window(at plan.Point) plan.Area { return t.r.disc(at, windowShare/2*t.r.long) }

// valueNames are the words for 1 to 5 values, dark to light.
var valueNames = [...][]string{
	{"tone"},
	{"dark", "light"},
	{"dark", "middle", "light"},
	{"dark", "half-dark", "half-light", "light"},
	{"darkest", "dark", "middle", "light", "lightest"},
}

func valueName(i, k int) string {
	if k > len(valueNames) {
		return "value " + strconv.Itoa(i+1)
	}
	return valueNames[k-1][i]
}

// capital returns words with a capital.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func (t *teller) values() {
	v := t.r.Values
	k := len(v.Shares)
	if k == 1 {
		t.ask(OnValues, 0.9, Line{Leads: ByValues}, "All is one value, N%s: where is light and dark?", one(float64(v.Tones[0])))
		return
	}
	var shares, gaps []string
	for i, s := range v.Shares {
		shares = append(shares, valueName(i, k)+" "+percent(s))
	}
	t.say(OnValues, 0.6, Line{Leads: ByValues}, "%s.", capital(strings.Join(shares, ", ")))
	t.say(OnValues, 0.35, Line{Leads: ByValues}, "%s rules, with %s.", capital(valueName(v.Ruling, k)), percent(v.Shares[v.Ruling]))
	for _, e := range v.Equal[:min(1, len(v.Equal))] {
		t.ask(OnValues, 0.35+4*(equalShares-e.Apart), Line{Leads: ByValues}, "%s %s, %s %s, nearly equal: which rules?",
			capital(valueName(e.Dark, k)), percent(v.Shares[e.Dark]), valueName(e.Light, k), percent(v.Shares[e.Light]))
	}
	for i, s := range v.Steps {
		gaps = append(gaps, one(s))
		if s < 1 {
			t.ask(OnValues, 0.3+0.4*(1-s), Line{Leads: ByValues}, "%s and %s lie only %s of a value apart: enough to read?",
				capital(valueName(i, k)), valueName(i+1, k), one(s))
		}
	}
	t.say(OnValues, 0.3, Line{Leads: ByValues}, "Steps from tone to tone, dark to light: %s values.", strings.Join(gaps, ", "))
	if v.Kept < 0.7 {
		t.ask(OnValues, 0.7-v.Kept, Line{Leads: ByValues}, "The values keep %s of the photo's light and dark: too few?", percent(v.Kept))
		return
	}
	t.say(OnValues, 0.25, Line{Leads: ByValues}, "The values keep %s of the photo's light and dark.", percent(v.Kept))
}

// manyMain is how many shapes making up nine tenths are many: of hand-drawn
// outlines nine in ten have fewer. Source: ours, after BSDS500.
const manyMain = 15

func (t *teller) simplicity() {
	v := t.r.Simplicity
	if v.Main > manyMain {
		t.ask(OnSimplicity, 0.4+float64(v.Main-manyMain)/50, Line{Leads: ByShapes}, "%d shapes share nine tenths of it: pull some together?", v.Main)
	} else {
		t.say(OnSimplicity, 0.5, Line{Leads: ByShapes}, "%s; %d of them %s up nine tenths.", capital(counted(v.Shapes, "shape")), v.Main, map[bool]string{true: "makes", false: "make"}[v.Main == 1])
	}
	t.say(OnSimplicity, 0.15, Line{Leads: ByShapes}, "All borders are %s times as long as the picture's edge.", one(v.Border))
	small := Line{At: []plan.Point{v.SmallestAt}, Leads: ByShapes}
	if v.SmallestMM > 0 {
		t.say(OnSimplicity, 0.2, small, "The smallest shape is %s, %s mm square on the panel.", percent(v.Smallest), one(v.SmallestMM))
	} else {
		t.say(OnSimplicity, 0.2, small, "The smallest shape is %s of the picture.", percent(v.Smallest))
	}
	if n := len(v.Gone); n > 0 {
		l := Line{Leads: ByShapes}
		for _, g := range v.Gone {
			l.At = append(l.At, g.At)
		}
		t.ask(OnSimplicity, 0.15+0.1*min(1, float64(n)/10), l, "At a tenth of the size %s vanish%s: %s needed?", counted(n, "shape"),
			map[bool]string{true: "es", false: ""}[n == 1], map[bool]string{true: "is it", false: "are they"}[n == 1])
	}
	t.say(OnSimplicity, 0.2, Line{Leads: ByShapes}, "At a tenth of the size %s of it changes its value.", percent(v.Changed))
}

// maxAsked is how many places of one kind are asked about.
const maxAsked = 3

func (t *teller) linked(on Topic, word string, one, family Linked, much float64) {
	t.family(on, "The "+word+"s", word+"s", one, much)
	if family.Values > one.Values && one.Values > 0 {
		t.family(on, map[Topic]string{OnDarks: "The shadow family", OnLights: "All that is light"}[on],
			map[Topic]string{OnDarks: "shadow masses", OnLights: "light masses"}[on], family, 0.8*much)
	}
}

func (t *teller) family(on Topic, name, parts string, f Linked, much float64) {
	if f.Share == 0 {
		return
	}
	is := "are"
	if !strings.HasSuffix(name, "s") {
		is = "is"
	}
	l := Line{At: []plan.Point{f.At}, Leads: ByHand}
	switch {
	case f.Masses >= 3 && f.Largest < 0.6:
		t.ask(on, much*(0.35+0.4*(0.6-f.Largest)), l, "%s %s %s, the largest %s of %s: link more?", name, is, counted(f.Masses, "mass"), percent(f.Largest), map[bool]string{true: "them", false: "it"}[is == "are"])
	case f.Masses == 1:
		t.say(on, 0.5*much, l, "%s %s one mass, %s of the picture.", name, is, percent(f.Share))
	default:
		t.say(on, 0.5*much, l, "%s %s %s, the largest %s of %s.", name, is, counted(f.Masses, "mass"), percent(f.Largest), map[bool]string{true: "them", false: "it"}[is == "are"])
	}
	asked := 0
	for _, g := range f.Gaps {
		area := t.window(g.At)
		if asked == maxAsked || slices.ContainsFunc(t.lines, func(l Line) bool { return l.Topic == on && l.Area == area }) {
			continue // the darkest themselves have been asked about there
		}
		asked++
		apart := "lie " + t.length(g.Width) + " apart here"
		if g.Width == 0 {
			apart = "touch at a corner only"
		}
		t.ask(on, much*(0.5+10*(almost-g.Width)), Line{At: []plan.Point{g.A, g.B}, Area: area, Leads: ByHand}, "Two %s %s: link them?", parts, apart)
	}
	switch {
	case f.Reach < 0 || on == OnLights:
	case f.Reaches:
		t.say(on, 0.4*much, l, "%s reach%s the focal point.", name, map[bool]string{true: "", false: "es"}[is == "are"])
	default:
		t.ask(on, much*min(0.3, f.Reach), l, "%s stop%s %s short of the focal point: lead there?", name, map[bool]string{true: "", false: "s"}[is == "are"], percent(f.Reach))
	}
}

func (t *teller) contrast() {
	c := t.r.Contrast
	if len(c.Strongest) == 0 {
		return
	}
	first := c.Strongest[0]
	l := Line{At: []plan.Point{first.At}, Area: t.window(first.At), Leads: ByHand}
	switch {
	case !t.r.Focal.Inside:
		t.say(OnContrast, 0.6, l, "The strongest contrast is here, as of %s steps side by side.", one(first.Strength))
	case c.Elsewhere.Strength > 1.05*c.Focal.Strength: // a twentieth is not seen
		by := min(99, ratio(c.Elsewhere.Strength, c.Focal.Strength, 99))
		t.ask(OnContrast, 0.6+0.3*min(1, by-1), l, "Contrast %s times the focal point's %s away: calm it?", one(by), t.length(c.Distance))
	case c.Elsewhere.Strength > 0:
		l = Line{At: []plan.Point{c.Focal.At}, Area: t.window(c.Focal.At), Leads: ByHand}
		t.say(OnContrast, 0.8, l, "The contrast at the focal point is %s times the next strongest.", one(min(99, c.Focal.Strength/c.Elsewhere.Strength)))
	default:
		t.say(OnContrast, 0.8, l, "All contrast is at the focal point.")
	}
	if !t.r.Focal.Inside {
		return
	}
	best := 0.0
	for _, s := range c.Stands {
		best = max(best, math.Abs(s.Steps))
	}
	if best < 1 {
		t.ask(OnContrast, 0.55+0.3*(1-best), Line{Area: t.r.disc(t.r.Focal.At, t.r.Focal.Radius*t.r.long), Leads: ByHand}, "Nothing at the focal point stands out by a whole value.")
		return
	}
	for i, s := range c.Stands[:min(2, len(c.Stands))] {
		if math.Abs(s.Steps) >= 1 {
			t.say(OnContrast, 0.5-0.1*float64(i), Line{At: []plan.Point{s.At}, Leads: ByHand}, "At the focal point this stands out, %s values %s.",
				one(math.Abs(s.Steps)), map[bool]string{true: "lighter", false: "darker"}[s.Steps > 0])
		}
	}
}

// strip returns the band along a side, or a corner's square.
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
	e, c := t.r.Edges, t.r.Contrast
	measure, what := c.Focal.Strength, "the focal point's"
	if !t.r.Focal.Inside && len(c.Strongest) > 0 {
		measure, what = c.Strongest[0].Strength, "the strongest"
	}
	share, worst := 0.0, Left
	for side, s := range e.Sides {
		share += s.Share
		if s.Strongest.Strength > e.Sides[worst].Strongest.Strength {
			worst = Side(side)
		}
	}
	if s := e.Sides[worst].Strongest; s.Strength > 0 && s.Strength >= 0.8*measure {
		t.ask(OnEdges, 0.25+0.3*min(1, ratio(s.Strength, measure, 2)-0.8), Line{At: []plan.Point{s.At}, Area: t.window(s.At), Leads: ByCrop},
			"Contrast at the %s edge, %s times %s: calm it?", worst, one(min(99, ratio(s.Strength, measure, 99))), what)
	} else if s.Strength > 0 {
		t.say(OnEdges, 0.3, Line{At: []plan.Point{s.At}, Area: t.strip(worst), Leads: ByCrop}, "Of the four sides the %s has the most contrast, %s of it all.", worst, percent(e.Sides[worst].Share))
	}
	for i, s := range e.Corners {
		if s.Share > 4*s.Area && s.Share > 0.02 {
			t.ask(OnEdges, 0.2+2*s.Share, Line{At: []plan.Point{s.Strongest.At}, Area: t.corner(i), Leads: ByCrop}, "The %s corner has %s of the contrast: a way out?", cornerNames[i], percent(s.Share))
		}
	}
	for _, g := range e.Tangents[:min(maxAsked, len(e.Tangents))] {
		l := Line{At: []plan.Point{g.At}, Area: t.window(g.At), Leads: ByCrop}
		if g.Gap == 0 {
			t.ask(OnEdges, 0.45, l, "A shape just touches the %s edge: cut it, or clear it?", g.Side)
		} else {
			t.ask(OnEdges, 0.4, l, "A shape stops %s short of the %s edge: more room?", t.length(g.Gap), g.Side)
		}
	}
	for _, n := range e.Near[:min(maxAsked, len(e.Near))] {
		how := "almost touch, " + t.length(n.Gap)
		if n.Gap == 0 {
			how = "touch at a corner only"
		}
		t.ask(OnEdges, 0.3+10*(almost-n.Gap), Line{At: []plan.Point{n.AtA, n.AtB}, Area: t.window(n.At), Leads: ByHand}, "Two shapes %s: overlap or part them?", how)
	}
	strips, cuts := 0, [4]int{}
	for _, c := range e.Cuts {
		if cuts[c.Side]++; c.Depth < 0.03 && c.Share >= 0.05 && strips < maxAsked {
			strips++
			t.ask(OnEdges, 0.3, Line{At: []plan.Point{c.At}, Leads: ByCrop}, "Along the %s edge a shape is a strip %s deep: in or out?", c.Side, percent(c.Depth))
		}
	}
	t.say(OnEdges, 0.1, Line{Leads: ByCrop}, "Shapes cut by the edge: left %d, right %d, upper %d, lower %d.", cuts[Left], cuts[Right], cuts[Top], cuts[Bottom])
}

// nearSide are the words for what something is far from.
var nearSide = [...]string{"left", "right", "top", "foot"}

func (t *teller) placement() {
	p, f := t.r.Placement, t.r.Focal
	switch {
	case !f.Set:
		t.ask(OnPlacement, 0.5, Line{Leads: ByFocal}, "There is no focal point: what is the picture about?")
	case !f.Inside:
		t.ask(OnPlacement, 0.95, Line{At: []plan.Point{f.At}, Leads: ByCrop}, "The focal point lies outside the crop: move which?")
	default:
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
			t.ask(OnPlacement, 0.5, l, "The focal point lies in the middle, %s from %s: meant?", t.part(across, t.panelW), nearSide[side])
		} else {
			t.say(OnPlacement, 0.5, l, "Focal point %s from %s, %s from %s.", t.part(across, t.panelW), nearSide[side], t.part(up, t.panelH), nearSide[edge])
		}
	}
	l := Line{At: []plan.Point{p.Balance}, Area: t.window(p.Balance), Leads: ByCrop}
	words := fmt.Sprintf("Weight %s left, %s above; it balances %s off the middle", percent(p.LeftWeight), percent(p.TopWeight), percent(p.Off))
	if sideways := math.Abs(p.LeftWeight - 0.5); sideways > 0.25 {
		t.ask(OnPlacement, 0.2+sideways/2, l, "Weight %s left, %s right: what answers it?", percent(p.LeftWeight), percent(1-p.LeftWeight))
		return
	}
	t.say(OnPlacement, 0.3, l, "%s.", words)
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
		t.say(OnDirections, 0.2, l, "%s, %s times the long side in all.", capital(counted(d.Count, "long straight border")), one(d.Length))
	case d.Pointing < 0.8*d.Anywhere && d.Count >= 3:
		t.ask(OnDirections, 0.2+0.2*(d.Anywhere-d.Pointing), l, "Straight borders to the focal point: %s, by chance %s. More?", percent(d.Pointing), percent(d.Anywhere))
	default:
		t.say(OnDirections, 0.4, l, "Straight borders to the focal point: %s, by chance %s.", percent(d.Pointing), percent(d.Anywhere))
	}
}

// planeNames are the words for planes in a sentence.
var planeNames = map[plan.Plane]string{plan.Sky: "sky", plan.Ground: "ground", plan.Slant: "slants", plan.Standing: "uprights"}

func (t *teller) planes() {
	p := t.r.Planes
	var tones []string
	places := map[plan.Plane]plan.Point{}
	for _, one := range p.List {
		tones = append(tones, planeNames[one.Plane]+" N"+strconv.FormatFloat(float64(one.Tone), 'f', 1, 64))
		places[one.Plane] = one.At
	}
	if len(tones) > 1 {
		t.say(OnPlanes, 0.3, Line{Leads: ByHand}, "%s.", capital(strings.Join(tones, ", ")))
	}
	for _, a := range p.Against[:min(2, len(p.Against))] {
		t.ask(OnPlanes, 0.15+0.25*a.Sure*min(1, a.By), Line{At: []plan.Point{places[a.Darker], places[a.Lighter]}, Leads: ByHand},
			"%s %s lighter than %s: snow, low sun, water, white?", capital(planeNames[a.Darker]), one(a.By), planeNames[a.Lighter])
	}
	if p.Uprights > 1 {
		t.ask(OnPlanes, 0.1+0.05*float64(p.Uprights), Line{At: []plan.Point{places[plan.Standing]}, Leads: ByHand}, "The uprights lie in %d values: would one do?", p.Uprights)
	}
}

func (t *teller) recession() {
	r := t.r.Recession
	if !r.Known {
		return
	}
	places := map[plan.Depth]plan.Point{}
	for _, one := range r.List {
		places[one.Depth] = one.At
	}
	l := Line{At: []plan.Point{places[plan.Far], places[plan.Near]}, Leads: ByHand}
	more := func(v float64, more, as, less string) string {
		switch {
		case math.Abs(v) < 0.05:
			return as
		case v < 0:
			return one(-v) + " " + less
		}
		return one(v) + " " + more
	}
	words := "Far: " + more(r.Lighter, "values lighter", "as light", "values darker")
	forward := math.Max(0, -r.Lighter/2)
	if r.Coloured {
		words += ", " + more(r.Chroma, "stronger", "as strong", "weaker") + " in colour, " + more(r.Warmer, "warmer", "as warm", "cooler")
		forward += math.Max(0, r.Chroma/20) + math.Max(0, r.Warmer)
	}
	if forward > 0.5 {
		t.ask(OnRecession, 0.15+0.15*min(1, forward), l, "%s?", words)
		return
	}
	t.say(OnRecession, 0.3, l, "%s.", words)
}

func (t *teller) borders() {
	b := t.r.Borders
	if !b.Known {
		return
	}
	t.say(OnBorders, 0.3, Line{Leads: ByHand}, "Borders in the photo: %s hard, %s soft, %s lost.", percent(b.Hard), percent(b.Soft), percent(b.Lost))
	if b.Hardest.Strength == 0 {
		return
	}
	l := Line{At: []plan.Point{b.Hardest.At}, Area: t.window(b.Hardest.At), Leads: ByHand}
	if b.Distance > t.r.Focal.Radius {
		t.ask(OnBorders, 0.2+0.2*min(1, b.Distance), l, "The hardest edges lie %s from the focal point: soften?", t.length(b.Distance))
		return
	}
	t.say(OnBorders, 0.25, l, "The hardest edges lie here.")
}
