package plan

import (
	"image"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/palette"
)

// seeded returns a generator whose seed is the same in every run and is printed
// when the test fails.
func seeded(t testing.TB, seed uint64) *rand.Rand {
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("random seed %d", seed)
		}
	})
	return rand.New(rand.NewPCG(seed, 0x5eed))
}

// randomPhoto returns sizes from one pixel to panoramas.
func randomPhoto(r *rand.Rand) image.Point {
	switch r.IntN(10) {
	case 0:
		return image.Pt(1+r.IntN(4), 1+r.IntN(4))
	case 1:
		return image.Pt(1+r.IntN(MaxSide), 1+r.IntN(50))
	case 2:
		return image.Pt(1+r.IntN(50), 1+r.IntN(MaxSide))
	}
	return image.Pt(200+r.IntN(8000), 200+r.IntN(8000))
}

func randomPanel(r *rand.Rand) Panel {
	p := Panels()[r.IntN(len(Panels()))]
	if r.IntN(6) == 0 {
		short := 1 + 9*r.Float64()
		p = Panel{Short: short, Long: short * (1 + 3*r.Float64()), Unit: []Unit{Inch, Centimetre}[r.IntN(2)]}
		p.Short = max(p.Short, 2)
		p.Long = max(p.Long, p.Short)
	}
	p.Way = []Way{Unsaid, Upright, Across}[r.IntN(3)]
	return p
}

// values returns n random Munsell values, some out of range and out of order.
func randomValues(r *rand.Rand, n int) []palette.Value {
	out := make([]palette.Value, n)
	for i := range out {
		out[i] = palette.Value(12*r.Float64() - 1)
	}
	return out
}

// randomEdit returns an edit of any kind, with arguments that may be absurd.
func randomEdit(r *rand.Rand) (string, Edit) {
	x, y := 4*r.Float64()-2, 4*r.Float64()-2
	switch r.IntN(25) {
	case 18, 19:
		return "choose", Choose(randomChoice(r))
	case 20:
		return "switch", SwitchChoice(r.IntN(5) - 1)
	case 21:
		return "drop", DropChoice(r.IntN(5) - 1)
	case 22:
		return "replace", ReplaceChoice(r.IntN(5)-1, randomChoice(r))
	case 23:
		return "raise", RaiseChoice(r.IntN(5)-1, r.IntN(7)-3)
	case 0, 1:
		return "move", MoveCrop(x/10, y/10)
	case 2, 3:
		return "resize", ResizeCrop(0.5 + r.Float64())
	case 4:
		return "next panel", NextPanel
	case 5:
		return "previous panel", PrevPanel
	case 6:
		return "turn", Turn
	case 7:
		return "panel", SetPanel(randomPanel(r))
	case 8:
		return "free", SetFree(x)
	case 9:
		return "stretch", Stretch(0.2 + 2*r.Float64())
	case 10:
		return "more squint", SquintMore
	case 11:
		return "less squint", SquintLess
	case 12:
		return "squint", SetSquint(30*r.Float64() - 2)
	case 13:
		return "values", SetK(r.IntN(8))
	case 14:
		return "cut", MoveCut(randomValues(r, 1+r.IntN(4)), r.IntN(5)-1, palette.Value(x))
	case 15:
		return "tone", MoveTone(randomValues(r, 1+r.IntN(5)), r.IntN(6)-1, palette.Value(y))
	case 16:
		ms := append(CutMethods(), "unheard of")
		return "cut method", SetCutMethod(ms[r.IntN(len(ms))])
	case 17:
		ms := append(ToneMethods(), "unheard of")
		return "tone method", SetToneMethod(ms[r.IntN(len(ms))])
	}
	if r.IntN(2) == 0 {
		return "crop", SetCrop(Crop{X: x, Y: y, W: r.Float64(), H: max(0, r.Float64()-0.5)})
	}
	if r.IntN(2) == 0 {
		return "brush", SetBrush(10 * x)
	}
	if r.IntN(2) == 0 {
		return "focus", SetFocus(Focus{X: x, Y: y, Radius: r.Float64() - 0.3, Fall: Falls()[r.IntN(3)]})
	}
	return "shapes", SetShapes(r.IntN(600) - 20)
}

// randomPlan returns a plan that some edits led to.
func randomPlan(r *rand.Rand, photo image.Point) Plan {
	p := Default(photo)
	for range r.IntN(12) {
		_, e := randomEdit(r)
		p = e(p, Frame{photo})
	}
	return p
}

// tackle lists the unknown fields that randomFile puts in, by the object's path.
var tackle = []string{`"depth":3`, `"note":"low tide <&> \u00e9"`, `"marks":[{"x":0.25,"y":1e-3},null,[]]`, `"later":{}`}

// randomUnknown returns unknown fields for the given objects, each after one of
// their known fields.
func randomUnknown(r *rand.Rand, objects map[string][]string) unknown {
	var u unknown
	for _, path := range slices.Sorted(maps.Keys(objects)) { // the same in every run
		known := objects[path]
		for i, text := range tackle {
			if r.IntN(12) == 0 {
				name, value, _ := cutField(text)
				u += unknown(unknownLine(path, known[(i+r.IntN(len(known)))%len(known)], name, []byte(value)))
			}
		}
	}
	return u
}

func cutField(text string) (name, value string, ok bool) {
	for i := range text {
		if text[i] == ':' {
			return text[:i], text[i+1:], true
		}
	}
	return text, "", false
}

var planObjects = map[string][]string{
	"": {"", "crop", "panel", "squint", "values", "shapes", "focus", "choices"}, "crop": {"", "x", "y", "w", "h"},
	"panel": {"size", "way"}, "values": {"count", "cuts", "tones"}, "values.cuts": {"", "method", "at"},
	"values.tones": {"method", "at"}, "shapes": {"", "wanted", "brush_mm"}, "focus": {"", "x", "y", "radius", "fall"},
}

func randomFile(r *rand.Rand) File {
	photo := randomPhoto(r)
	f := File{
		Photo: Photo{
			Name:   []string{"slipway.jpg", "low tide \"2\".png", "gr\u00fcn & <rot>.tif", "crane\u2028hoist.jpeg"}[r.IntN(4)],
			SHA256: testSHA, Width: photo.X, Height: photo.Y,
		},
		unknown: randomUnknown(r, map[string][]string{"": {"", "halflid", "version", "photo", "plan", "thumbnails", "choices", "history"}, "photo": {"", "name", "height"}}),
	}
	p := randomPlan(r, photo)
	p.unknown = randomUnknown(r, planObjects)
	h := NewHistory(State{Plan: p})
	h.unknown = randomUnknown(r, map[string][]string{"": {"", "done", "first", "steps"}, "first": {"plan", "thumbnails"}})
	for range r.IntN(4) {
		h = h.DoState("keep", randomKept(r, h.State(), photo)).Break()
	}
	if r.IntN(3) == 0 { // a file without steps
		return f.WithHistory(NewHistory(h.State()))
	}
	for range r.IntN(6) {
		h = randomStep(r, h, photo)
	}
	for range r.IntN(4) {
		h = h.Undo()
	}
	f = f.WithHistory(h)
	if r.IntN(4) == 0 {
		f = f.With(randomPlan(r, photo))
	}
	return f
}

// randomKept returns s with a thumbnail more.
func randomKept(r *rand.Rand, s State, photo image.Point) State {
	p := randomPlan(r, photo)
	p.unknown = randomUnknown(r, planObjects)
	s, _ = s.Keep([]string{"", "higher horizon", "evening"}[r.IntN(3)], p)
	s.Thumbnails[len(s.Thumbnails)-1].unknown = randomUnknown(r, map[string][]string{"": {"", "name", "plan"}})
	return s
}

// randomStep does anything that undo covers.
func randomStep(r *rand.Rand, h History, photo image.Point) History {
	s := h.State()
	switch i := r.IntN(4) - 1; r.IntN(9) {
	case 0:
		s = randomKept(r, s, photo)
	case 1:
		s = s.Drop(i)
	case 2:
		s = s.Rename(i, []string{"", "noon", "a\tb"}[r.IntN(3)])
	case 3:
		s = s.Shift(i, r.IntN(5)-2)
	default:
		_, e := randomEdit(r)
		s = s.With(e(s.Plan, Frame{photo}))
	}
	h = h.DoState([]string{"", "key", "crop & <panel>", "h\u00f6her"}[r.IntN(4)], s).Break()
	if n := len(h.steps); n > 0 && h.at == n && r.IntN(4) == 0 {
		h.steps[n-1].unknown = randomUnknown(r, map[string][]string{"": {"", "action", "plan", "thumbnails"}})
	}
	return h
}

const testSHA = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

// sound reports what is wrong with a plan that an edit returned.
func sound(t *testing.T, what string, p Plan, photo image.Point) {
	t.Helper()
	if q := Fit(p, Frame{photo}); q != p {
		t.Fatalf("%s on %v: plan is not fitted\n got %+v\nwant %+v", what, photo, p, q)
	}
	x0, y0, x1, y1 := p.Rect(photo)
	if !(0 <= x0 && x0 < x1 && x1 <= 1 && 0 <= y0 && y0 < y1 && y1 <= 1) {
		t.Fatalf("%s on %v: crop %v %v %v %v of %+v", what, photo, x0, y0, x1, y1, p)
	}
	px := p.PixelRect(photo)
	if px.Empty() || !px.In(image.Rectangle{Max: photo}) {
		t.Fatalf("%s on %v: pixels %v", what, photo, px)
	}
	v := p.Values
	if v.K < MinK || v.K > MaxK {
		t.Fatalf("%s: %d values", what, v.K)
	}
	for _, list := range [][]palette.Value{v.HandCuts(), v.HandTones()} {
		for i := 1; i < len(list); i++ {
			if !(list[i]-list[i-1] >= MinGap-1e-9) {
				t.Fatalf("%s: %v are nearer than %v", what, list, MinGap)
			}
		}
	}
}
