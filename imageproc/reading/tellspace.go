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
	var tones []string
	var at []plan.Point
	places := map[plan.Plane]plan.Point{}
	for _, one := range p.List {
		tones = append(tones, planeNames[one.Plane]+" N"+strconv.FormatFloat(float64(one.Tone), 'f', 1, 64))
		places[one.Plane] = one.At
		at = append(at, one.At)
	}
	if len(tones) > 1 {
		t.say(OnPlanes, "tones", 0.3, Line{At: at, Leads: ByHand}, "%s.", capital(strings.Join(tones, ", ")))
	}
	for _, a := range p.Against[:min(2, len(p.Against))] {
		t.ask(OnPlanes, "order", 0.15+0.25*a.Sure*min(1, a.By), Line{At: []plan.Point{places[a.Darker], places[a.Lighter]}, Leads: ByHand},
			"%s lighter than %s by %s: snow, low sun, water, white?", capital(planeNames[a.Darker]), planeNames[a.Lighter], one(a.By))
	}
	if p.Uprights > 1 {
		t.ask(OnPlanes, "uprights", 0.1+0.05*float64(p.Uprights), Line{At: []plan.Point{places[plan.Standing]}, Leads: ByHand}, "The uprights lie in %d values: would one do?", p.Uprights)
	}
}

// seen is the least difference that is told as one.
const seen = 0.05

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
	more := func(v float64, more, as, less string) string {
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
	words := []string{more(r.Lighter, "values lighter", "as light", "values darker")}
	forward := []bool{r.Lighter <= -seen}
	much := math.Max(0, -r.Lighter/2)
	if r.Coloured {
		words = append(words, more(r.Chroma, "stronger", "as strong", "weaker")+" in colour", more(r.Warmer, "warmer", "as warm", "cooler"))
		forward = append(forward, r.Chroma >= seen, r.Warmer >= seen)
		much += math.Max(0, r.Chroma/20) + math.Max(0, r.Warmer)
	}
	if much <= 0.5 {
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
	case b.Distance > t.r.Focal.Radius:
		t.ask(OnBorders, "hardest", 0.2+0.2*min(1, b.Distance), l, "The hardest edges lie %s from the focal point: soften?", t.length(b.Distance))
	case t.r.Focal.Inside:
		t.say(OnBorders, "hardest", 0.25, l, "The hardest edges lie at the focal point.")
	default:
		t.say(OnBorders, "hardest", 0.25, l, "The hardest edges lie here.")
	}
}
