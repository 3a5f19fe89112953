package reading

import (
	"slices"
	"strings"

	"atelier/halflid/imageproc/plan"
)

func (t *teller) values() {
	v, l := t.r.Values, Line{Leads: ByValues}
	k := len(v.Shares)
	if k == 1 {
		t.ask(OnValues, "shares", 0.9, l, "All is one value, N%s: where is light and dark?", one(float64(v.Tones[0])))
		return
	}
	var shares, gaps []string
	for i, s := range v.Shares {
		shares = append(shares, valueName(i, k)+" "+whole(s))
	}
	t.say(OnValues, "shares", 0.6, l, "%s.", capital(strings.Join(shares, ", ")))
	t.rules(v)
	for i, s := range v.Steps {
		gaps = append(gaps, one(s))
		if s < 1 {
			t.ask(OnValues, "close", 0.3+0.4*(1-s), l, "%s and %s are only %s of a value apart: enough?",
				capital(valueName(i, k)), valueName(i+1, k), one(s))
		}
	}
	t.say(OnValues, "steps", 0.3, l, "Steps from tone to tone, dark to light: %s values.", strings.Join(gaps, ", "))
	if v.Kept < 0.695 { // 70 % as it is written is enough
		t.ask(OnValues, "kept", 0.8-v.Kept, l, "The values keep %s of the photo's light and dark: too few?", percent(v.Kept))
		return
	}
	t.say(OnValues, "kept", 0.25, l, "The values keep %s of the photo's light and dark.", percent(v.Kept))
}

// rules tells which value rules, or asks if another has nearly as much. Of the
// others it asks about the two that are most nearly equal: which of them is the
// lesser does not say what rules.
func (t *teller) rules(v Values) {
	l, k := Line{Leads: ByValues}, len(v.Shares)
	pair := func(e Equal) string {
		return capital(valueName(e.Dark, k)) + " " + percent(v.Shares[e.Dark]) + ", " + valueName(e.Light, k) + " " + percent(v.Shares[e.Light]) + ", nearly equal"
	}
	leads := func(e Equal) bool { return e.Dark == v.Ruling || e.Light == v.Ruling }
	if i := slices.IndexFunc(v.Equal, leads); i >= 0 {
		t.ask(OnValues, "rules", 0.35+4*(equalShares-v.Equal[i].Apart), l, "%s: which rules?", pair(v.Equal[i]))
	} else {
		t.say(OnValues, "rules", 0.35, l, "%s rules, with %s.", capital(valueName(v.Ruling, k)), percent(v.Shares[v.Ruling]))
	}
	if i := slices.IndexFunc(v.Equal, func(e Equal) bool { return !leads(e) }); i >= 0 {
		t.ask(OnValues, "equal", 0.25+4*(equalShares-v.Equal[i].Apart), l, "%s: meant?", pair(v.Equal[i]))
	}
}

// manyMain is how many shapes making up nine tenths are many: of hand-drawn
// outlines nine in ten have fewer. Source: ours, after BSDS500.
const manyMain = 15

func (t *teller) simplicity() {
	v, l := t.r.Simplicity, Line{Leads: ByShapes}
	if v.Main > manyMain {
		t.ask(OnSimplicity, "shapes", 0.4+float64(v.Main-manyMain)/50, l, "%d shapes share nine tenths of the picture: pull some together?", v.Main)
	} else {
		t.say(OnSimplicity, "shapes", 0.5, l, "%s; %d of them %s up nine tenths of the picture.", counted(v.Shapes, "shape"), v.Main, either(v.Main == 1, "makes", "make"))
	}
	t.say(OnSimplicity, "borders", 0.15, l, "All borders together are %s times the way round the picture.", one(v.Border))
	small := Line{At: []plan.Point{v.SmallestAt}, Leads: ByShapes}
	if v.SmallestMM > 0 {
		t.say(OnSimplicity, "smallest", 0.2, small, "The smallest shape is %s, %s mm square on the panel.", percent(v.Smallest), one(v.SmallestMM))
	} else {
		t.say(OnSimplicity, "smallest", 0.2, small, "The smallest shape is %s of the picture.", percent(v.Smallest))
	}
	if n := len(v.Gone); n > 0 {
		for _, g := range v.Gone {
			l.At = append(l.At, g.At)
		}
		t.ask(OnSimplicity, "gone", 0.15+0.1*min(1, float64(n)/10), l, "From ten times as far off %s vanish%s: %s needed?", counted(n, "shape"),
			either(n == 1, "es", ""), either(n == 1, "is it", "are they"))
	}
	t.say(OnSimplicity, "afar", 0.2, Line{Leads: ByShapes}, "From ten times as far off %s of the picture changes its value.", percent(v.Changed))
}
