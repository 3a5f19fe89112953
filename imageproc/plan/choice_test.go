package plan

import (
	"math"
	"slices"
	"testing"

	"atelier/halflid/palette"
)

// fieldsOf says which fields a fitted choice may have set, by what it is.
func fieldsOf(c Choice) Choice {
	only := Choice{What: c.What, Off: c.Off, Area: c.Area, unknown: c.unknown}
	switch c.What {
	case Apart:
		only.Other = c.Other
	case GiveValue:
		only.Value, only.Of = c.Value, c.Of
	case Add:
		only.Value, only.Of, only.Tone = c.Value, c.Of, c.Tone
	case Move, Copy:
		only.DX, only.DY, only.Scale, only.Mirror = c.DX, c.DY, c.Scale, c.Mirror
	case Detail:
		only.Shapes = c.Shapes
	case Outline:
		only.Smooth = c.Smooth
	case PlaneIs:
		only.Plane = c.Plane
	case DepthIs:
		only.Depth = c.Depth
	}
	return only
}

// decimal reports whether v is one of the decimals of 1/units, and no -0.
func decimal(v, units float64) bool {
	return v == math.Round(v*units)/units && !(v == 0 && math.Signbit(v))
}

func TestChoiceFit(t *testing.T) {
	r := seeded(t, 31)
	kinds := map[What]int{}
	for range 10_000 {
		raw := randomChoice(r)
		c, ok := raw.Fit()
		needs := !raw.Area.Empty() && slices.Contains(Whats(), raw.What) &&
			(raw.What != Apart || !raw.Other.Empty()) &&
			(raw.What != PlaneIs || slices.Contains(Planes(), raw.Plane)) &&
			(raw.What != DepthIs || slices.Contains(Depths(), raw.Depth))
		if ok != needs {
			t.Fatalf("%+v: sound %v", raw, ok)
		}
		if !ok {
			if c != (Choice{}) {
				t.Fatalf("%+v is not sound, and comes back", raw)
			}
			continue
		}
		kinds[c.What]++
		if again, ok := c.Fit(); !ok || again != c {
			t.Fatalf("fitted %+v\nagain  %+v", c, again)
		}
		if c != fieldsOf(c) {
			t.Fatalf("fields that do not belong there: %+v", c)
		}
		if c.What != raw.What || c.Off != raw.Off || c.Area != raw.Area {
			t.Fatalf("%+v became %+v", raw, c)
		}
		if c.valued() && !(c.Of >= MinK && c.Of <= MaxK && c.Value >= 0 && c.Value < c.Of) ||
			!(c.Tone >= 0 && c.Tone <= 10 && decimal(float64(c.Tone), 100)) ||
			c.What == Detail && !(c.Shapes >= 1 && c.Shapes <= MaxWanted) ||
			!(c.Smooth >= 0 && c.Smooth <= MaxSmooth && decimal(c.Smooth, 10)) ||
			!(c.DX >= -1 && c.DX <= 1 && decimal(c.DX, 1e4) && c.DY >= -1 && c.DY <= 1 && decimal(c.DY, 1e4)) ||
			c.carries() && !(c.Scale >= MinScale && c.Scale <= MaxScale && decimal(c.Scale, 100)) {
			t.Fatalf("out of range: %+v", c)
		}
	}
	for _, w := range Whats() {
		if kinds[w] < 500 {
			t.Errorf("only %d of %q", kinds[w], w)
		}
	}
}

func TestChoiceFitKeepsWhatIsSound(t *testing.T) {
	a := BoxArea(0.1, 0.2, 0.3, 0.4)
	for _, c := range []Choice{
		{What: Move, Area: a, Scale: 1},
		{What: Copy, Area: a, DX: -0.1234, DY: 1, Scale: 0.1, Mirror: true},
		{What: Add, Area: a, Value: 4, Of: 5, Tone: 9.75},
		{What: GiveValue, Area: a, Of: 2, Off: true},
		{What: Detail, Area: a, Shapes: 500},
		{What: Outline, Area: a, Smooth: 4.9},
	} {
		if got, ok := c.Fit(); !ok || got != c {
			t.Errorf("%+v became %+v", c, got)
		}
	}
	nan := math.NaN()
	for _, p := range []struct{ in, want Choice }{
		{Choice{What: Move, Area: a}, Choice{What: Move, Area: a, Scale: 1}},
		{Choice{What: Move, Area: a, DX: nan, DY: -1e-9, Scale: nan}, Choice{What: Move, Area: a, Scale: 1}},
		{Choice{What: Move, Area: a, DX: -3, DY: math.Inf(1), Scale: math.Inf(1)}, Choice{What: Move, Area: a, DX: -1, DY: 1, Scale: 10}},
		{Choice{What: Add, Area: a, Value: 9, Of: 9, Tone: palette.Value(nan)}, Choice{What: Add, Area: a, Value: 4, Of: 5}},
		{Choice{What: Outline, Area: a, Smooth: 1.26}, Choice{What: Outline, Area: a, Smooth: 1.3}},
	} {
		if got, _ := p.in.Fit(); got != p.want {
			t.Errorf("%+v became %+v", p.in, got)
		}
	}
}

// The same end of the scale stays the end, the order is kept, and a plan of as
// many values has the value itself. In between: the nearest, as rounding of the
// proportion says, a half to the darker.
func TestValueIn(t *testing.T) {
	for of := MinK; of <= MaxK; of++ {
		for k := MinK; k <= MaxK; k++ {
			last := 0
			for v := range of {
				got := Choice{What: GiveValue, Value: v, Of: of}.ValueIn(k)
				if want := int(math.Ceil(float64(v)/float64(of-1)*float64(k-1) - 0.5 - 1e-9)); got != want {
					t.Errorf("value %d of %d in %d: %d, want %d", v, of, k, got, want)
				}
				if k == of && got != v || v == 0 && got != 0 || v == of-1 && got != k-1 || got < last {
					t.Errorf("value %d of %d in %d: %d", v, of, k, got)
				}
				last = got
			}
		}
	}
	if got := (Choice{Value: 1, Of: 3}).ValueIn(2); got != 0 {
		t.Errorf("the middle of three in two: %d, want the darker", got)
	}
	for _, c := range []Choice{{}, {Value: 3}, {Value: -2, Of: 3}} {
		if got := c.ValueIn(4); got != 0 {
			t.Errorf("%+v: %d", c, got)
		}
	}
	if (Choice{Value: 2, Of: 3}).ValueIn(1) != 0 || (Choice{Value: 9, Of: 3}).ValueIn(5) != 4 {
		t.Error("out of range")
	}
}

func TestChoiceWords(t *testing.T) {
	for want, c := range map[string]Choice{
		"left out":                             {What: LeaveOut},
		"moved":                                {What: Move, Scale: 1, DX: 0.2},
		"copied, mirrored":                     {What: Copy, Scale: 1, Mirror: true},
		"moved, 1.25 times as large, mirrored": {What: Move, Scale: 1.25, Mirror: true},
		"added, value 1 of 3 (darkest)":        {What: Add, Of: 3},
		"value 2 of 3":                         {What: GiveValue, Value: 1, Of: 3},
		"value 5 of 5 (lightest)":              {What: GiveValue, Value: 4, Of: 5},
		"pulled together":                      {What: Together},
		"kept apart":                           {What: Apart},
		"at most 5 shapes here":                {What: Detail, Shapes: 5},
		"one shape here":                       {What: Detail, Shapes: 1},
		"outline smoothed 1 %":                 {What: Outline, Smooth: 1},
		"outline as in the photo":              {What: Outline},
		"plane: sky":                           {What: PlaneIs, Plane: Sky},
		"depth: far":                           {What: DepthIs, Depth: Far},
		"":                                     {},
	} {
		if got := c.Words(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	retouches := 0
	for _, w := range Whats() {
		c := Choice{What: w}
		if c.Words() == "" {
			t.Errorf("no words for %q", w)
		}
		if c.Retouches() {
			retouches++
		}
	}
	if retouches != 4 || !(Choice{What: Add}).Retouches() || (Choice{What: Outline}).Retouches() {
		t.Errorf("%d kinds retouch", retouches)
	}
}
