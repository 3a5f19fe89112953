package reading

import (
	"math"
	"strconv"
	"strings"

	"atelier/halflid/imageproc/plan"
)

// planeNames are the words for planes in a sentence.
var planeNames = map[plan.Plane]string{plan.Sky: "sky", plan.Ground: "ground", plan.Slant: "slants", plan.Standing: "uprights"}

func (t *teller) planes() {
	p := t.r.Planes
	var tones, names []string
	var at []plan.Point
	same := true
	places := map[plan.Plane]plan.Point{}
	for _, one := range p.List {
		tones = append(tones, planeNames[one.Plane]+" N"+strconv.FormatFloat(float64(one.Tone), 'f', 1, 64))
		names = append(names, planeNames[one.Plane])
		same = same && steps(one.Tone, p.List[0].Tone) < seen
		places[one.Plane] = one.At
		at = append(at, one.At)
	}
	switch l := (Line{At: at, Leads: ByHand}); {
	case len(tones) < 2:
	case same:
		t.say(OnPlanes, "tones", 0.3, l, "%s are all N%s.", capital(strings.Join(names, ", ")), one(float64(p.List[0].Tone)))
	default:
		t.say(OnPlanes, "tones", 0.3, l, "%s.", capital(strings.Join(tones, ", ")))
	}
	for _, a := range p.Against[:min(2, len(p.Against))] {
		t.ask(OnPlanes, "order", 0.15+0.25*a.Sure*min(1, a.By), Line{At: []plan.Point{places[a.Darker], places[a.Lighter]}, Leads: ByHand},
			"%s lighter than %s by %s: snow, low sun, water, white?", capital(planeNames[a.Darker]), planeNames[a.Lighter], one(a.By))
	}
	if p.Uprights > 1 {
		t.ask(OnPlanes, "uprights", 0.1+0.05*float64(p.Uprights), Line{At: []plan.Point{places[plan.Standing]}, Leads: ByHand}, "The uprights lie in %d values: would one do?", p.Uprights)
	}
}

// Differences below these are not told: in steps of value and of warmth as they
// would be written, in chroma about what can just be seen. Source: ours.
const (
	seen       = 0.05
	seenChroma = 2.0
)

// recession tells how far differs from near; where it comes forward on the whole,
// it asks about what brings it forward.
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
	more := func(v, seen float64, more, as, less string) string {
		figure := one(math.Abs(v))
		if math.Abs(v) >= 9.95 {
			figure = strconv.FormatFloat(math.Abs(v), 'f', 0, 64)
		}
		switch {
		case math.Abs(v) < seen:
			return as
		case v < 0:
			return figure + " " + less
		}
		return figure + " " + more
	}
	words := []string{more(r.Lighter, seen, "values lighter", "as light", "values darker")}
	forward := []bool{r.Lighter <= -seen}
	much := math.Max(0, -r.Lighter/2)
	if r.Coloured {
		words = append(words, more(r.Chroma, seenChroma, "stronger", "as strong", "weaker")+" in colour", more(r.Warmer, seen, "warmer", "as warm", "cooler"))
		forward = append(forward, r.Chroma >= seenChroma, r.Warmer >= seen)
		much += math.Max(0, r.Chroma/20) + math.Max(0, r.Warmer)
	}
	switch {
	case math.Abs(r.Lighter) < seen && math.Abs(r.Chroma) < seenChroma && math.Abs(r.Warmer) < seen:
		t.say(OnRecession, "far", 0.3, l, "Far and near are alike%s.", either(r.Coloured, " in value, colour and warmth", " in value"))
		return
	case much <= 0.5:
		t.say(OnRecession, "far", 0.3, l, "Far: %s.", strings.Join(words, ", "))
		return
	}
	var asked []string
	for i, w := range words {
		if forward[i] {
			asked = append(asked, w)
		}
	}
	t.ask(OnRecession, "far", 0.15+0.15*min(1, much), l, "Far: %s: meant?", strings.Join(asked, ", "))
}

func (t *teller) borders() {
	b := t.r.Borders
	if !b.Known {
		return
	}
	t.say(OnBorders, "kinds", 0.3, Line{Leads: ByHand}, "Borders in the photo: %s hard, %s soft, %s lost.", percent(b.Hard), percent(b.Soft), percent(b.Lost))
	if b.Hardest.Strength == 0 {
		return
	}
	l := Line{At: []plan.Point{b.Hardest.At}, Area: t.window(b.Hardest.At), Leads: ByHand}
	switch {
	case b.Distance > t.r.Focal.Radius && b.Hardest.Strength > leastMore*b.Focal.Strength:
		t.ask(OnBorders, "hardest", 0.2+0.2*min(1, b.Distance), l, "The hardest edges lie %s from the focal point: soften?", t.length(b.Distance))
	case t.r.Focal.Inside:
		l.At, l.Area = []plan.Point{b.Focal.At}, t.window(b.Focal.At)
		t.say(OnBorders, "hardest", 0.25, l, "The hardest edges lie at the focal point.")
	default:
		t.say(OnBorders, "hardest", 0.25, l, "The hardest edges lie here.")
	}
}
