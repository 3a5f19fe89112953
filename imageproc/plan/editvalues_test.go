package plan

import (
	"image"
	"math"
	"slices"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

var harbour = Frame{image.Pt(3000, 2000)}

func TestSquintLadder(t *testing.T) {
	ladder := SquintLadder()
	if ladder[0] != 0 || ladder[len(ladder)-1] != MaxSquint || !slices.Contains(ladder, 1.0) {
		t.Fatalf("ladder %v", ladder)
	}
	for i := 2; i < len(ladder)-1; i++ { // geometric by the root of two, within the rounding of lens stops
		oracle.Close(t, "step", ladder[i]/ladder[i-1], math.Sqrt2, 0.09)
	}
	p := SetSquint(0)(Default(harbour.Photo), harbour)
	for i := 1; i < len(ladder); i++ {
		if p = SquintMore(p, harbour); p.Squint != ladder[i] {
			t.Fatalf("step %d: %v, want %v", i, p.Squint, ladder[i])
		}
	}
	if p = SquintMore(p, harbour); p.Squint != MaxSquint {
		t.Errorf("past the end: %v", p.Squint)
	}
	for i := len(ladder) - 2; i >= 0; i-- {
		if p = SquintLess(p, harbour); p.Squint != ladder[i] {
			t.Fatalf("step %d: %v, want %v", i, p.Squint, ladder[i])
		}
	}
	if p = SquintLess(p, harbour); p.Squint != 0 {
		t.Errorf("below nothing: %v", p.Squint)
	}
}

func TestSquintBetweenSteps(t *testing.T) {
	p := SetSquint(1.2)(Default(harbour.Photo), harbour)
	if got := SquintMore(p, harbour).Squint; got != 1.4 {
		t.Errorf("more: %v", got)
	}
	if got := SquintLess(p, harbour).Squint; got != 1 {
		t.Errorf("less: %v", got)
	}
	for in, want := range map[float64]float64{-1: 0, 99: MaxSquint, 1.236: 1.24} {
		if got := SetSquint(in)(p, harbour).Squint; got != want {
			t.Errorf("%v: %v, want %v", in, got, want)
		}
	}
}

func TestSetK(t *testing.T) {
	p := Default(harbour.Photo)
	for in, want := range map[int]int{-1: 2, 2: 2, 3: 3, 5: 5, 9: 5} {
		if got := SetK(in)(p, harbour).Values.K; got != want {
			t.Errorf("%d: %d, want %d", in, got, want)
		}
	}
	hand := SetTones([]palette.Value{2, 5, 8})(SetCuts([]palette.Value{3.5, 6.2})(p, harbour), harbour)
	if q := SetK(3)(hand, harbour); q != hand {
		t.Error("the same number of values changed the plan")
	}
	q := SetK(4)(hand, harbour)
	if q.Values != (Values{K: 4, CutMethod: CutNested, ToneMethod: ToneMean}) {
		t.Errorf("another number of values: %+v", q.Values)
	}
	fixed := SetToneMethod(ToneFixed)(SetCutMethod(CutEqualSteps)(p, harbour), harbour)
	if q := SetK(4)(fixed, harbour); q.Values != (Values{K: 4, CutMethod: CutEqualSteps, ToneMethod: ToneFixed}) {
		t.Errorf("methods that need no hand: %+v", q.Values)
	}
}

func TestMoveCut(t *testing.T) {
	p := Default(harbour.Photo)
	now := []palette.Value{3.517, 6.204}
	q := MoveCut(now, 0, 0.1)(p, harbour)
	if got := q.Values.HandCuts(); !slices.Equal(got, []palette.Value{3.62, 6.2}) || q.Values.CutMethod != CutByHand {
		t.Errorf("%v %v", q.Values.CutMethod, got)
	}
	// A held key: the cuts on show are still those of the first plan.
	q = MoveCut(now, 0, 0.1)(q, harbour)
	if got := q.Values.HandCuts()[0]; got != 3.72 {
		t.Errorf("second move from old cuts: %v", got)
	}
	for _, c := range []struct {
		i    int
		d    palette.Value
		want []palette.Value
	}{
		{0, 9, []palette.Value{6.1, 6.2}},
		{0, -9, []palette.Value{0.1, 6.2}},
		{1, -9, []palette.Value{3.72, 3.82}},
		{1, 9, []palette.Value{3.72, 9.9}},
		{0, palette.Value(math.NaN()), []palette.Value{3.72, 6.2}},
		{2, 1, []palette.Value{3.72, 6.2}},
		{-1, 1, []palette.Value{3.72, 6.2}},
	} {
		if got := MoveCut(nil, c.i, c.d)(q, harbour).Values.HandCuts(); !slices.Equal(got, c.want) {
			t.Errorf("cut %d by %v: %v, want %v", c.i, c.d, got, c.want)
		}
	}
	// Cuts on show that belong to another number of values do nothing.
	if q := MoveCut([]palette.Value{5}, 0, 1)(p, harbour); q != p {
		t.Errorf("%+v", q.Values)
	}
	now[0] = 99
	if got := MoveCut(now, 0, 0)(p, harbour); got.Values.Cuts[0] != 6.2 {
		t.Errorf("absurd cuts on show: %v", got.Values.Cuts)
	}
}

func TestEditsKeepNoSliceOfTheCaller(t *testing.T) {
	p := Default(harbour.Photo)
	now := []palette.Value{3, 6}
	cut, set := MoveCut(now, 0, 0), SetCuts(now)
	tones := []palette.Value{2, 5, 8}
	tone, setTones := MoveTone(tones, 0, 0), SetTones(tones)
	now[0], tones[0] = 5, 4
	for _, e := range []Edit{cut, set} {
		if got := e(p, harbour).Values.Cuts[0]; got != 3 {
			t.Errorf("cut %v", got)
		}
	}
	for _, e := range []Edit{tone, setTones} {
		if got := e(p, harbour).Values.Tones[0]; got != 2 {
			t.Errorf("tone %v", got)
		}
	}
	hand := cut(p, harbour)
	hand.Values.HandCuts()[0] = 9
	if hand.Values.Cuts[0] != 3 {
		t.Error("HandCuts shares memory with the plan")
	}
}

func TestMoveTone(t *testing.T) {
	p := Default(harbour.Photo)
	q := MoveTone([]palette.Value{2.1, 5.3, 8.6}, 2, 9)(p, harbour)
	if got := q.Values.HandTones(); !slices.Equal(got, []palette.Value{2.1, 5.3, 10}) {
		t.Errorf("%v", got)
	}
	q = MoveTone(nil, 1, -9)(q, harbour)
	if got := q.Values.HandTones(); !slices.Equal(got, []palette.Value{2.1, 2.2, 10}) {
		t.Errorf("%v", got)
	}
	if q := MoveTone([]palette.Value{1, 2}, 0, 1)(p, harbour); q != p {
		t.Errorf("%+v", q.Values)
	}
}

func TestMethods(t *testing.T) {
	p := SetK(4)(Default(harbour.Photo), harbour)
	q := SetCutMethod(CutByHand)(p, harbour)
	if got := q.Values.HandCuts(); !slices.Equal(got, []palette.Value{2.5, 5, 7.5}) {
		t.Errorf("cuts %v", got)
	}
	moved := MoveCut(nil, 0, 0.3)(q, harbour)
	if got := SetCutMethod(CutByHand)(moved, harbour); got != moved {
		t.Error("by hand again forgot the cuts")
	}
	if got := SetCutMethod(CutEqualSteps)(moved, harbour).Values; got.Cuts != [4]palette.Value{} || got.CutMethod != CutEqualSteps {
		t.Errorf("%+v", got)
	}
	q = SetToneMethod(ToneByHand)(p, harbour)
	if got := q.Values.HandTones(); !slices.Equal(got, []palette.Value{1.25, 3.75, 6.25, 8.75}) {
		t.Errorf("tones %v", got)
	}
	if got := SetToneMethod(ToneByHand)(q, harbour); got != q {
		t.Error("by hand again changed the tones")
	}
	if got := SetCutMethod("by the moon")(SetToneMethod("by ear")(p, harbour), harbour); got != p {
		t.Errorf("%+v", got.Values)
	}
	if got := SetCuts(make([]palette.Value, 5))(p, harbour); got != p {
		t.Errorf("five cuts: %+v", got.Values)
	}
	if got := SetCuts([]palette.Value{5})(p, harbour).Values; got.K != 2 || got.HandTones() != nil {
		t.Errorf("one cut: %+v", got)
	}
}

func TestSetShapes(t *testing.T) {
	p := Default(harbour.Photo)
	for in, want := range map[int]int{-1: 0, 0: 0, 9: 9, 1 << 40: MaxWanted} {
		if got := SetShapes(in)(p, harbour).Shapes.Wanted; got != want {
			t.Errorf("%d: %d, want %d", in, got, want)
		}
	}
	for in, want := range map[float64]float64{-1: 0, 3.04: 3, 77: MaxBrush} {
		if got := SetBrush(in)(p, harbour).Shapes.Brush; got != want {
			t.Errorf("%v: %v, want %v", in, got, want)
		}
	}
}

func TestMoveFocus(t *testing.T) {
	f := Frame{image.Pt(4000, 3000)}
	p := SetCrop(Crop{X: 0.25, Y: 0.25, W: 0.5})(Default(f.Photo), f) // 2000 by 1500 pixels
	p = MoveFocus(0.3, 0.3, 2)(p, f)
	if want := (Focus{X: 0.5, Y: 0.5, Radius: UsualRadius / 2}); p.Focus != want {
		t.Fatalf("a first focal point %v, want it in the middle of the crop %v", p.Focus, want)
	}
	// A tenth of the crop's long side is 200 pixels.
	if got, want := MoveFocus(0.1, -0.1, 1)(p, f).Focus, (Focus{X: 0.55, Y: 0.4333, Radius: UsualRadius / 2}); got != want {
		t.Errorf("moved to %v, want %v", got, want)
	}
	if got := MoveFocus(9, -9, 1e9)(p, f).Focus; got != (Focus{X: 1, Y: 0, Radius: MaxRadius}) {
		t.Errorf("moved far off the photo: %v", got)
	}
	if got := SetFocus(Focus{})(p, f); !got.Focus.None() {
		t.Errorf("taken away: %v", got.Focus)
	}
	seen := map[float64]bool{}
	for range 3 {
		p = NextFall(p, f)
		seen[p.Focus.Fall.Far()] = true
	}
	if len(seen) != 3 || p.Focus.Fall != FallUsual {
		t.Errorf("falls off %v, %q after three", seen, p.Focus.Fall)
	}
	none := SetFocus(Focus{})(p, f)
	if NextFall(none, f) != none {
		t.Error("without a focal point nothing falls off")
	}
}

// What was found is held; what is by hand already stays.
func TestHoldValues(t *testing.T) {
	p := Default(harbour.Photo)
	cuts, tones := []palette.Value{3.517, 6.204}, []palette.Value{2, 5.111, 8}
	q := HoldValues(cuts, tones)(p, harbour)
	if v := q.Values; !slices.Equal(v.HandCuts(), []palette.Value{3.52, 6.2}) || !slices.Equal(v.HandTones(), []palette.Value{2, 5.11, 8}) {
		t.Errorf("%v, %v", v.HandCuts(), v.HandTones())
	}
	if again := HoldValues([]palette.Value{1, 2}, []palette.Value{1, 2, 3})(q, harbour); again != q {
		t.Error("what is by hand has changed")
	}
	half := SetCuts([]palette.Value{4, 7})(p, harbour)
	if v := HoldValues(cuts, tones)(half, harbour).Values; !slices.Equal(v.HandCuts(), []palette.Value{4, 7}) || v.ToneMethod != ToneByHand {
		t.Errorf("%v, tones %s", v.HandCuts(), v.ToneMethod)
	}
	if HoldValues(cuts[:1], tones[:2])(p, harbour) != p || HoldValues(cuts, tones[:2])(p, harbour) != p {
		t.Error("the cuts and tones of another number of values are held")
	}
}
