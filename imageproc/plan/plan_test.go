package plan

import (
	"image"
	"math"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func TestDefault(t *testing.T) {
	for _, c := range []struct {
		photo          image.Point
		way            Way
		x0, y0, x1, y1 float64
	}{
		{image.Pt(4000, 3000), Across, 0, 0, 1, 1},
		{image.Pt(3000, 4000), Upright, 0, 0, 1, 1},
		{image.Pt(6000, 4000), Across, 1.0 / 18, 0, 17.0 / 18, 1}, // 3:2: an eighteenth goes at each side
		{image.Pt(1000, 1000), Upright, 0.125, 0, 0.875, 1},
		{image.Pt(1000, 4000), Upright, 0, 1.0 / 3, 1, 2.0 / 3},
	} {
		p := Default(c.photo)
		sound(t, "default", p, c.photo)
		if p.Panel != (Panel{Short: 6, Long: 8, Unit: Inch, Way: c.way}) || p.Squint != 1 || p.Values.K != 3 {
			t.Errorf("%v: %+v", c.photo, p)
		}
		x0, y0, x1, y1 := p.Rect(c.photo)
		for i, got := range []float64{x0, y0, x1, y1} {
			oracle.Close(t, c.photo.String(), got, []float64{c.x0, c.y0, c.x1, c.y1}[i], 3e-6)
		}
	}
}

func TestDefaultOfNoPhotoPanics(t *testing.T) {
	for _, size := range []image.Point{{}, {X: -3, Y: 4}, {X: 3}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("a photo of %v was planned", size)
				}
			}()
			Default(size)
		}()
	}
}

func TestRectFollowsPanelAndPhoto(t *testing.T) {
	photo := image.Pt(3000, 2000)
	p := Default(photo)
	p.Panel.Way = Upright
	p.Crop = Crop{X: 0.5, Y: 0.25, W: 0.25}
	x0, y0, x1, y1 := p.Rect(photo)
	// 750 pixels wide, so 1000 high on a 6x8 upright: half of 2000.
	if x0 != 0.5 || y0 != 0.25 || x1 != 0.75 || y1 != 0.75 {
		t.Errorf("rect %v %v %v %v", x0, y0, x1, y1)
	}
	if got, want := p.PixelRect(photo), image.Rect(1500, 500, 2250, 1500); got != want {
		t.Errorf("pixels %v, want %v", got, want)
	}
	if got, want := p.PixelRect(image.Pt(300, 200)), image.Rect(150, 50, 225, 150); got != want {
		t.Errorf("pixels %v, want %v", got, want)
	}
	oracle.Close(t, "aspect", p.Aspect(photo), 0.75, 1e-12)
	p.Panel = Panel{Way: Upright}
	p.Crop.H = 0.1
	oracle.Close(t, "free aspect", p.Aspect(photo), 3.75, 1e-12)
}

// A crop that is moved keeps its pixel size, so that nothing else changes.
func TestPixelRectKeepsItsSizeWhenMoved(t *testing.T) {
	photo, master := image.Pt(6000, 4000), image.Pt(2048, 1365)
	f := Frame{photo}
	p := ResizeCrop(0.613)(Default(photo), f)
	want := p.PixelRect(master).Size()
	for range 400 {
		p = MoveCrop(0.0037, -0.0011)(p, f)
		if got := p.PixelRect(master).Size(); got != want {
			t.Fatalf("size %v after a move, was %v", got, want)
		}
	}
}

func TestPixelRectIsNeverEmptyOrOutside(t *testing.T) {
	r := seeded(t, 11)
	for range 5000 {
		photo, size := randomPhoto(r), randomPhoto(r)
		p := randomPlan(r, photo)
		got := p.PixelRect(size)
		if got.Empty() || !got.In(image.Rectangle{Max: size}) {
			t.Fatalf("%+v on %v: %v", p, size, got)
		}
	}
}

// Half of a photo's width on a panel 8 in wide: the whole would be 16 in wide.
func TestWhole(t *testing.T) {
	photo := image.Pt(3000, 2000)
	p := Default(photo)
	p.Crop = Crop{W: 0.5}
	w, h, ok := p.Whole(photo, Inch)
	if !ok {
		t.Fatal("no size")
	}
	oracle.Close(t, "width", w, 16, 1e-9)
	oracle.Close(t, "height", h, 16*2.0/3, 1e-9)
	w, _, _ = p.Whole(photo, Centimetre)
	oracle.Close(t, "width in cm", w, 16*2.54, 1e-9)
	if _, _, ok = SetFree(0)(p, Frame{photo}).Whole(photo, Inch); ok {
		t.Error("a free panel has a size")
	}
}

func TestEqual(t *testing.T) {
	p := Default(image.Pt(400, 300))
	q := p
	if !p.Equal(q) {
		t.Error("a copy differs")
	}
	q.Values.Cuts[2] = 1
	if p.Equal(q) || p.Values.Cuts[2] != 0 {
		t.Error("a copy shares its cuts")
	}
	q = p
	q.unknown = "\t\t\"a\"\t1\n"
	if p.Equal(q) {
		t.Error("unknown fields do not count")
	}
}

func TestFitMendsAnything(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	photo := image.Pt(640, 480)
	for _, p := range []Plan{
		{},
		{Crop: Crop{nan, nan, nan, nan}, Squint: nan, Panel: Panel{Short: nan, Long: nan, Unit: "ell"}, Shapes: Shapes{Brush: nan}},
		{Crop: Crop{inf, -inf, inf, inf}, Squint: inf, Panel: Panel{Short: 1e9, Long: 1e300, Unit: Inch}, Shapes: Shapes{Wanted: -4, Brush: inf}},
		{Crop: Crop{-1, 2, 1e-9, 0}, Squint: -1, Panel: Panel{Short: 8, Long: 6, Unit: Inch}, Values: Values{K: 99, CutMethod: CutByHand, Cuts: [4]palette.Value{9, palette.Value(nan), palette.Value(inf), -3}}},
		{Values: Values{K: 2, CutMethod: "x", ToneMethod: ToneByHand, Tones: [5]palette.Value{5, 5, 5, 5, 5}}},
	} {
		q := Fit(p, Frame{photo})
		sound(t, "fit", q, photo)
		if p.Values.CutMethod != CutByHand && q.Values.CutMethod != CutNested || p.Values.ToneMethod != ToneByHand && q.Values.ToneMethod != ToneMean {
			t.Errorf("methods %q and %q became %q and %q", p.Values.CutMethod, p.Values.ToneMethod, q.Values.CutMethod, q.Values.ToneMethod)
		}
		if q.Squint < 0 || q.Squint > MaxSquint || q.Shapes.Wanted < 0 || !(q.Shapes.Brush <= MaxBrush) {
			t.Errorf("%+v", q)
		}
	}
}

// A free crop without a height is as high as it is wide.
func TestFitOfAFreeCropWithoutAHeight(t *testing.T) {
	f := Frame{image.Pt(4000, 3000)}
	for _, h := range []float64{0, -1, math.NaN()} {
		p := SetFree(0)(Default(f.Photo), f)
		p.Crop = Crop{X: 0.1, Y: 0.2, W: 0.3, H: h}
		if got, want := Fit(p, f).Crop, (Crop{X: 0.1, Y: 0.2, W: 0.3, H: 0.4}); got != want {
			t.Errorf("height %v: %+v, want %+v", h, got, want)
		}
	}
	p := SetFree(0)(Default(f.Photo), f)
	p.Crop = Crop{W: 1}
	if got := Fit(p, f).Crop; got != (Crop{W: 1, H: 1}) {
		t.Errorf("the whole width: %+v", got)
	}
}

func TestFitKeepsWhatIsSound(t *testing.T) {
	photo := image.Pt(640, 480)
	p := Default(photo)
	p.Crop = Crop{X: 0.7, Y: 0.2, W: 0.3} // 0.7 + 0.3 is just above 1 in binary or just below
	p.Values = Values{K: 4, CutMethod: CutByHand, Cuts: [4]palette.Value{0.1, 0.2, 9.9}, ToneMethod: ToneByHand, Tones: [5]palette.Value{0, 0.1, 9.9, 10}}
	if q := Fit(p, Frame{photo}); q != p {
		t.Errorf("got %+v\nwant %+v", q, p)
	}
}

// A crop that ends exactly at the edge stays there, though 1-w is often a hair
// less in binary than the decimals that were written.
func TestFitLeavesCropsAtTheEdge(t *testing.T) {
	photo := image.Pt(1000, 1000)
	for k := 1; k < 1000; k++ {
		p := SetFree(0)(Default(photo), Frame{photo})
		w := float64(k) / 1000
		x := float64(1000-k) / 1000
		p.Crop = Crop{X: x, Y: x, W: w, H: w}
		if q := Fit(p, Frame{photo}); q != p {
			t.Fatalf("%+v became %+v", p.Crop, q.Crop)
		}
	}
}

// Values set too near each other move apart by no more than they must.
func TestSpread(t *testing.T) {
	for _, c := range []struct{ in, want []palette.Value }{
		{[]palette.Value{3, 6}, []palette.Value{3, 6}},
		{[]palette.Value{6, 3}, []palette.Value{3, 6}},
		{[]palette.Value{5, 5, 5}, []palette.Value{5, 5.1, 5.2}},
		{[]palette.Value{11, 12}, []palette.Value{9.8, 9.9}},
		{[]palette.Value{-1, 0}, []palette.Value{0.1, 0.2}},
		{[]palette.Value{4.999, 5.001}, []palette.Value{5, 5.1}},
	} {
		got := spread(c.in, MinGap, 10-MinGap)
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%v: %v, want %v", c.in, got, c.want)
			}
		}
	}
}
