package palette

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"atelier/halflid/palette/oracle"
)

// inOrder fails unless different tones have different entries whose lightness
// is in the order of the tones'.
func inOrder(t *testing.T, tones []SRGB, got []uint8) {
	t.Helper()
	if len(got) != len(tones) {
		t.Fatalf("%d entries for %d tones", len(got), len(tones))
	}
	for i, a := range tones {
		if got[i] < 16 {
			t.Fatalf("%v: tone %v has the user's entry %d", tones, a, got[i])
		}
		for j, b := range tones[:i] {
			la, lb := labOf(a).L, labOf(b).L
			sa, sb := labOf(XTerm256(got[i])).L, labOf(XTerm256(got[j])).L
			switch {
			case a == b && got[i] != got[j]:
				t.Fatalf("%v: equal tones have entries %d and %d", tones, got[i], got[j])
			case a != b && got[i] == got[j]:
				t.Fatalf("%v: tones %v and %v share entry %d", tones, a, b, got[i])
			case la > lb && sa <= sb, la < lb && sa >= sb:
				t.Fatalf("%v: tones %v and %v are shown out of order", tones, a, b)
			}
		}
	}
}

func TestDistinct256KeepsTonesApart(t *testing.T) {
	for _, tones := range [][]SRGB{
		{},
		{grey(128)},
		{grey(0), grey(255)},
		{grey(127), grey(128)},
		{grey(128), grey(127)},
		{grey(0), grey(1), grey(2)},
		{grey(253), grey(254), grey(255)},
		{grey(30), grey(31), grey(32), grey(33)},
		{grey(60), grey(61), grey(200), grey(201), grey(202)},
		{grey(40), grey(40), grey(90)},
		{grey(255), grey(4), grey(120), grey(3), grey(121)},
		{{100, 90, 80}, {101, 90, 80}, {102, 90, 80}, {100, 91, 80}, {100, 92, 80}},
		{{60, 62, 66}, {60, 61, 62}, {200, 60, 40}, {201, 60, 40}, {250, 240, 220}},
		{{255, 0, 0}, {0, 0, 255}, {0, 0, 254}},
	} {
		inOrder(t, tones, Distinct256(tones))
	}
}

func TestDistinct256Property(t *testing.T) {
	r := dice()
	for range 300 {
		k := 2 + r.IntN(4)
		base, spread := r.IntN(256), 1+r.IntN(40)
		tones := make([]SRGB, k)
		for i := range tones {
			g := min(255, max(0, base+r.IntN(2*spread)-spread))
			tones[i] = grey(g)
			if r.IntN(4) == 0 {
				tones[i] = SRGB{uint8(g), uint8(r.IntN(256)), uint8(r.IntN(256))}
			}
		}
		got := Distinct256(tones)
		inOrder(t, tones, got)
		// The order in which the tones come changes nothing.
		back := slices.Clone(tones)
		slices.Reverse(back)
		again := Distinct256(back)
		slices.Reverse(again)
		if !slices.Equal(got, again) {
			t.Fatalf("%v: %v, and %v in the other order", tones, got, again)
		}
	}
}

// Tones far enough apart get what they would get alone.
func TestDistinct256IsNearestWhenFree(t *testing.T) {
	for base := range 40 {
		tones := []SRGB{grey(base + 10), grey(base + 60), grey(base + 120), grey(base + 200)}
		for i, n := range Distinct256(tones) {
			if want := Nearest256(tones[i]); n != want {
				t.Errorf("grey %d: entry %d, alone %d", tones[i].G, n, want)
			}
		}
	}
}

// Against trying every pair and triple of greys.
func TestDistinct256IsBest(t *testing.T) {
	var greys []uint8
	for _, e := range sortedEntries() {
		if e.grey {
			greys = append(greys, e.index)
		}
	}
	off := func(c SRGB, i uint8) float64 {
		d := float64(labOf(c).L - labOf(XTerm256(i)).L)
		return valueWeight * valueWeight * d * d
	}
	for _, tones := range [][]SRGB{
		{grey(99), grey(100), grey(101)}, {grey(90), grey(96), grey(99)}, {grey(0), grey(2), grey(9)}, {grey(240), grey(250), grey(254)},
	} {
		best := math.Inf(1)
		for i := range greys {
			for j := range i {
				for k := range j {
					best = min(best, off(tones[0], greys[k])+off(tones[1], greys[j])+off(tones[2], greys[i]))
				}
			}
		}
		sum := 0.0
		for i, n := range Distinct256(tones) {
			sum += off(tones[i], n)
		}
		oracle.Close(t, fmt.Sprintf("error of %v", tones), sum, best, 1e-9)
	}
}

func TestDistinct256TooMany(t *testing.T) {
	tones := make([]SRGB, 31)
	for i := range tones {
		tones[i] = grey(8 * i)
	}
	inOrder(t, tones[:30], Distinct256(tones[:30]))
	for i, n := range Distinct256(tones) {
		if want := Nearest256(tones[i]); n != want {
			t.Errorf("grey %d of too many: entry %d, want its nearest, %d", tones[i].G, n, want)
		}
	}
}
