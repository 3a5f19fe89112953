package plan

import (
	"image"
	"math"
	"slices"
	"testing"

	"atelier/halflid/palette"
)

// What was set by hand stays where an edit asks for no more than there is.
func TestHandValuesStay(t *testing.T) {
	p := SetCuts([]palette.Value{2, 4, 6, 8})(Default(harbour.Photo), harbour)
	if got := p.Values.HandCuts(); p.Values.K != MaxK || !slices.Equal(got, []palette.Value{2, 4, 6, 8}) {
		t.Fatalf("four cuts: %+v", p.Values)
	}
	p = MoveTone(nil, 0, 0.5)(SetToneMethod(ToneByHand)(p, harbour), harbour)
	if got := p.Values.HandTones(); !slices.Equal(got, []palette.Value{1.5, 3, 5, 7, 9}) {
		t.Fatalf("tones %v", got)
	}
	for what, e := range map[string]Edit{
		"more values than there can be": SetK(9),
		"tones by hand again":           SetToneMethod(ToneByHand),
		"no cuts":                       SetCuts(nil),
		"too few tones":                 SetTones([]palette.Value{1, 2, 3, 4}),
		"too many tones":                SetTones([]palette.Value{1, 2, 3, 4, 5, 6}),
	} {
		if got := e(p, harbour); got != p {
			t.Errorf("%s: %+v", what, got.Values)
		}
	}
	two := SetCuts([]palette.Value{5})(p, harbour)
	if got := SetK(-3)(two, harbour); got != two {
		t.Errorf("fewer values than there can be: %+v", got.Values)
	}
}

// Each way to cut, and to choose tones, can be gone to from each other.
func TestMethodsFromEachOther(t *testing.T) {
	for _, from := range CutMethods() {
		for _, to := range CutMethods() {
			p := SetCutMethod(to)(SetCutMethod(from)(Default(harbour.Photo), harbour), harbour)
			if p.Values.CutMethod != to {
				t.Errorf("cuts: from %q to %q is %q", from, to, p.Values.CutMethod)
			}
		}
	}
	for _, from := range ToneMethods() {
		for _, to := range ToneMethods() {
			p := SetToneMethod(to)(SetToneMethod(from)(Default(harbour.Photo), harbour), harbour)
			if p.Values.ToneMethod != to {
				t.Errorf("tones: from %q to %q is %q", from, to, p.Values.ToneMethod)
			}
		}
	}
}

// Hand-counted: cuts stay a tenth of a value inside the scale.
func TestCutsAtTheEnds(t *testing.T) {
	for _, c := range []struct{ in, want []palette.Value }{
		{[]palette.Value{0}, []palette.Value{0.1}},
		{[]palette.Value{10}, []palette.Value{9.9}},
		{[]palette.Value{0, 0}, []palette.Value{0.1, 0.2}},
		{[]palette.Value{10, 10, 10}, []palette.Value{9.7, 9.8, 9.9}},
	} {
		if got := SetCuts(c.in)(Default(harbour.Photo), harbour).Values.HandCuts(); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v, want %v", c.in, got, c.want)
		}
	}
}

// Hand-counted: in an upright crop of 1500 by 2000 pixels of a photo of 4000 by
// 3000 the long side is the height, a tenth of it 200 pixels.
func TestFocusInAnUprightCrop(t *testing.T) {
	f := Frame{image.Pt(4000, 3000)}
	p := SetPanel(Panel{Short: 6, Long: 8, Unit: Inch, Way: Upright})(Default(f.Photo), f)
	p = SetCrop(Crop{X: 0.25, Y: 0, W: 0.375})(p, f)
	p = MoveFocus(0, 0, 1)(p, f)
	if want := (Focus{X: 0.4375, Y: 0.3333, Radius: UsualRadius / 2}); p.Focus != want {
		t.Fatalf("a first focal point %v, want %v", p.Focus, want)
	}
	if got, want := MoveFocus(0.1, 0.1, 1)(p, f).Focus, (Focus{X: 0.4875, Y: 0.4, Radius: UsualRadius / 2}); got != want {
		t.Errorf("moved to %v, want %v", got, want)
	}
	for _, want := range []Fall{FallStrong, FallGentle, FallUsual} {
		if p = NextFall(p, f); p.Focus.Fall != want {
			t.Errorf("falls off %q, want %q", p.Focus.Fall, want)
		}
	}
	p.Focus.Fall = "like a stone"
	if got := Fit(p, f).Focus.Fall; got != FallUsual {
		t.Errorf("unheard of, it becomes %q", got)
	}
	p.Focus.Radius = math.NaN()
	if got := Fit(p, f).Focus; got != (Focus{}) {
		t.Errorf("without a radius: %v", got)
	}
}

// A mark covers no more than the picture.
func TestBrushLargerThanThePanel(t *testing.T) {
	p := Plan{Panel: Panel{Short: 1, Long: 1, Unit: Inch}, Shapes: Shapes{Brush: MaxBrush}}
	if got := p.BrushShare(); got != 1 {
		t.Errorf("a brush of 50 mm on 25 mm covers %v", got)
	}
}
