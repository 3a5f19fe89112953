package reading

import (
	"slices"
	"strings"

	"atelier/halflid/imageproc/plan"
)

// maxAsked is how many places of one kind are asked about.
const maxAsked = 3

// linked tells how the darkest or the lightest value hangs together and, if that
// is more, all of its family.
func (t *teller) linked(on Topic, word string, own, family Linked, much float64) {
	t.gaps = t.gaps[:0]
	t.family(on, "", "The "+word+"s", word+"s", own, much)
	if family.Values > own.Values && own.Values > 0 {
		if own.Reaches {
			family.Reach = -1 // it has been said of the darkest
		}
		name, parts := "The shadow family", "shadow masses"
		if on == OnLights {
			name, parts = "All that is light", "light masses"
		}
		t.family(on, "family.", name, parts, family, 0.8*much)
	}
}

func (t *teller) family(on Topic, kind, name, parts string, f Linked, much float64) {
	if f.Share == 0 {
		return
	}
	many := strings.HasSuffix(name, "s")
	is, them := either(many, "are", "is"), either(many, "them", "it")
	l := Line{At: []plan.Point{f.At}, Leads: ByHand}
	switch {
	case f.Masses >= 3 && f.Largest < 0.6:
		t.ask(on, kind+"linked", much*(0.35+0.4*(0.6-f.Largest)), l, "%s %s %s, the largest %s of %s: link more?", name, is, counted(f.Masses, "mass"), percent(f.Largest), them)
	case f.Masses == 1:
		t.say(on, kind+"linked", 0.5*much, l, "%s %s one mass, %s of the picture.", name, is, percent(f.Share))
	default:
		t.say(on, kind+"linked", 0.5*much, l, "%s %s %s, the largest %s of %s.", name, is, counted(f.Masses, "mass"), percent(f.Largest), them)
	}
	var asked []alike
	for _, g := range f.Gaps {
		if len(asked) == maxAsked || slices.ContainsFunc(t.gaps, func(p plan.Point) bool { return t.r.apart(p, g.At) < windowShare }) {
			continue // the darkest themselves have been asked about there
		}
		t.gaps = append(t.gaps, g.At)
		apart := "lie " + t.length(g.Width) + " apart here"
		if g.Width == 0 {
			apart = "touch at a corner only"
		}
		asked = append(asked, alike{
			weight: much * (0.5 + 10*(almost-g.Width)), asks: true,
			line: Line{At: []plan.Point{g.A, g.B}, Area: t.window(g.At), Leads: ByHand},
			one:  "Two " + parts + " " + apart + ": link them?",
			many: [2]string{"", " pairs of " + parts + " " + strings.TrimSuffix(apart, " here") + ": link?"},
		})
	}
	t.tellAlike(on, kind+"gap", asked)
	main := either(many, "The main dark", "The main shadow")
	switch {
	case f.Reach < 0 || on == OnLights:
	case f.Reaches:
		t.say(on, kind+"reach", 0.4*much, l, "%s reaches the focal point.", main)
	default:
		t.ask(on, kind+"reach", much*min(0.3, f.Reach), l, "%s stops %s short of the focal point: lead there?", main, percent(f.Reach))
	}
}
