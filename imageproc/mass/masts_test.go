package mass

import (
	"math"
	"testing"

	"atelier/halflid/imageproc"
)

// TestMasts: far from the focal point a mast of a third of the brush's width
// goes, one of twice that stays; with the focal point on it the thin one stays
// too. By area alone none of them would be a brush mark.
func TestMasts(t *testing.T) {
	const w, h, thin, broad = 384, 256, 5, 10
	pic := grey(w, h, func(x, y int) float64 {
		switch {
		case y >= 200:
			return 45 // mud
		case y >= 40 && y < 180 && (x >= 300 && x < 300+thin || x >= 340 && x < 340+broad):
			return 15
		}
		return 80
	})
	stand := func(f *Focus, brush float64) (thinStands, broadStands bool) {
		b := build(t, pic, Options{Focus: f})
		p := b.Values(Cutting{Values: 3, BrushMark: brush}).Shapes(imageproc.Labels{}, math.MaxInt)
		value := func(x int) int { return p.Shapes[p.Labels.At(x, 110)].Value }
		sky := value(200)
		return value(300+thin/2) != sky, value(340+broad/2) != sky
	}
	far, on := &Focus{X: .1, Y: .9}, &Focus{X: .8, Y: .43}
	// The focal weight far away is .15, so the brush is the root of .0003 w h / .15
	// wide there, 14 pixels.
	brush := math.Sqrt(DefaultBrushMark * w * h / .15)
	if r := thin / brush; r < .3 || r > .4 {
		t.Fatalf("the mast has %v of the brush's width", r)
	}
	for _, c := range []struct {
		name        string
		focus       *Focus
		brush       float64
		thin, broad bool
	}{
		{"far from the focal point", far, 0, false, true},
		{"on the focal point", on, 0, true, true},
		{"without one", nil, 0, true, true},
		{"far, without a brush", far, -1, true, true},
	} {
		if thin, broad := stand(c.focus, c.brush); thin != c.thin || broad != c.broad {
			t.Errorf("%s: the thin mast stands: %v, the broad one: %v", c.name, thin, broad)
		}
	}
}
