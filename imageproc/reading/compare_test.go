package reading

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc/plan"
)

// Two squares that nearly touch and one of the same size cut from them: by hand
// the darks link in one and not in the other, and the gap is said of one only.
func TestCompare(t *testing.T) {
	apart, joined := twoDarks(3, 0).Read().Lines(plan.Inch), twoDarks(0, 0).Read().Lines(plan.Inch)
	pairs := Compare(apart, joined)
	find := func(kind string) Pair {
		i := slices.IndexFunc(pairs, func(p Pair) bool { return p.Kind == kind })
		if i < 0 {
			t.Fatalf("nothing of %s in %+v", kind, pairs)
		}
		return pairs[i]
	}
	gap := find("darks.gap")
	if !gap.HasA || gap.HasB || gap.Topic != OnDarks || !gap.A.Asks || gap.B.Words != "" {
		t.Errorf("the gap: %+v", gap)
	}
	if linked := find("darks.linked"); !linked.HasA || !linked.HasB || linked.B.Words != "The darks are one mass, 4 % of the picture." {
		t.Errorf("linked: %+v", linked)
	}
	if pairs[0].Kind != "darks.gap" {
		t.Errorf("first stands %s", pairs[0].Kind)
	}
	if slices.ContainsFunc(pairs, func(p Pair) bool { return p.Kind == "placement.focal" }) {
		t.Error("both have no focal point, and differ in it")
	}
}

// A reading does not differ from itself; exchanged, the pairs are exchanged; every
// pair differs, none is empty, and those that ask stand first.
func TestCompareRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 4))
	for range 60 {
		var l [2][]Line
		for i := range l {
			l[i] = withAll(scattered(r, 120+r.IntN(40), 100, 2+r.IntN(4), 9), r).Read().Lines(plan.Centimetre)
		}
		if same := Compare(l[0], l[0]); same != nil {
			t.Fatalf("differs from itself: %+v", same)
		}
		ab, ba := Compare(l[0], l[1]), Compare(l[1], l[0])
		if len(ab) != len(ba) {
			t.Fatalf("%d pairs, %d exchanged", len(ab), len(ba))
		}
		for i, p := range ab {
			if !slices.ContainsFunc(ba, func(q Pair) bool {
				return reflect.DeepEqual(q, Pair{p.Topic, p.Kind, p.B, p.A, p.HasB, p.HasA})
			}) {
				t.Fatalf("not there exchanged: %+v", p)
			}
			if !p.HasA && !p.HasB || p.HasA && p.HasB && p.A.Words == p.B.Words && p.A.Asks == p.B.Asks {
				t.Errorf("no difference: %+v", p)
			}
			for _, l := range []Line{p.A, p.B} {
				if l.Kind != "" && (l.Kind != p.Kind || l.Topic != p.Topic || !strings.HasPrefix(l.Kind, string(l.Topic)+".")) {
					t.Errorf("%+v in a pair of %s", l, p.Kind)
				}
			}
			if i > 0 && before(ab[i-1].first(), p.first()) > 0 {
				t.Errorf("pair %d out of order: %+v", i, p)
			}
		}
	}
	if Compare(nil, nil) != nil {
		t.Error("nothing differs from nothing")
	}
}
