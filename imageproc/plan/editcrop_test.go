package plan

import (
	"image"
	"math"
	"testing"

	"atelier/halflid/palette/oracle"
)

// Whatever is done in whatever order, the plan stays sound.
func TestEditsKeepThePlanSound(t *testing.T) {
	r := seeded(t, 1)
	for range 600 {
		photo := randomPhoto(r)
		p := Default(photo)
		for range 25 {
			name, e := randomEdit(r)
			before := p
			p = e(p, Frame{photo})
			sound(t, name, p, photo)
			if again := e(before, Frame{photo}); again != p {
				t.Fatalf("%s is not the same twice", name)
			}
		}
	}
}

// An edit makes even a plan sound that was put together by hand.
func TestEditsMendThePlan(t *testing.T) {
	r := seeded(t, 2)
	for range 2000 {
		photo := randomPhoto(r)
		p := Plan{Crop: Crop{X: r.NormFloat64(), Y: math.NaN(), W: r.NormFloat64(), H: r.Float64()}, Panel: Panel{Short: r.NormFloat64(), Long: 8, Unit: Inch}}
		name, e := randomEdit(r)
		sound(t, name, e(p, Frame{photo}), photo)
	}
}

// pixels returns the crop's centre, width and height in pixels.
func pixels(p Plan, photo image.Point) (cx, cy, w, h float64) {
	b := p.box(Frame{photo})
	return b.cx, b.cy, b.w, b.h
}

func TestMoveCropStepIsTheSameEachWay(t *testing.T) {
	photo := image.Pt(6000, 2000)
	f := Frame{photo}
	p := ResizeCrop(0.5)(Default(photo), f)
	cx, cy, w, h := pixels(p, photo)
	q := MoveCrop(0.1, 0.1)(p, f)
	qx, qy, qw, qh := pixels(q, photo)
	oracle.Close(t, "to the right", qx-cx, 0.1*max(w, h), 0.01)
	oracle.Close(t, "down", qy-cy, 0.1*max(w, h), 0.01)
	if qw != w || qh != h {
		t.Errorf("moving changed the size from %v by %v to %v by %v", w, h, qw, qh)
	}
	if back := MoveCrop(-0.1, -0.1)(q, f); back != p {
		t.Errorf("there and back: %+v, want %+v", back.Crop, p.Crop)
	}
}

func TestMoveCropStopsAtTheEdges(t *testing.T) {
	photo := image.Pt(3000, 2000)
	f := Frame{photo}
	p := ResizeCrop(0.4)(Default(photo), f)
	for _, d := range [][2]float64{{9, 0}, {-9, 0}, {0, 9}, {0, -9}, {math.Inf(1), math.Inf(-1)}} {
		q := MoveCrop(d[0], d[1])(p, f)
		sound(t, "move", q, photo)
		x0, y0, x1, y1 := q.Rect(photo)
		at := map[[2]float64]float64{{9, 0}: 1 - x1, {-9, 0}: x0, {0, 9}: 1 - y1, {0, -9}: y0}[d]
		oracle.Close(t, "gap at the edge", at, 0, 2e-6)
		_, _, w, h := pixels(q, photo)
		_, _, pw, ph := pixels(p, photo)
		if w != pw || h != ph {
			t.Errorf("%v: size changed", d)
		}
	}
}

func TestResizeCropKeepsTheCentre(t *testing.T) {
	photo := image.Pt(3000, 2000)
	f := Frame{photo}
	p := MoveCrop(0.3, 0.1)(ResizeCrop(0.4)(Default(photo), f), f)
	cx, cy, w, _ := pixels(p, photo)
	q := ResizeCrop(0.8)(p, f)
	qx, qy, qw, qh := pixels(q, photo)
	oracle.Close(t, "centre x", qx, cx, 0.01)
	oracle.Close(t, "centre y", qy, cy, 0.01)
	oracle.Close(t, "width", qw, 0.8*w, 0.01)
	oracle.Close(t, "proportions", qw/qh, 4.0/3, 1e-9)
}

func TestResizeCropStops(t *testing.T) {
	for _, photo := range []image.Point{{X: 3000, Y: 2000}, {X: 90, Y: 60}, {X: 9, Y: 6}, {X: 1, Y: 1}, {X: 50000, Y: 40}} {
		f := Frame{photo}
		large := ResizeCrop(1e9)(Default(photo), f)
		if large != Default(photo) {
			t.Errorf("%v: grew past the photo: %+v", photo, large.Crop)
		}
		p := large
		for range 100 {
			p = ResizeCrop(0.9)(p, f)
		}
		_, _, w, h := pixels(p, photo)
		_, _, lw, lh := pixels(large, photo)
		long := min(0.05*float64(max(photo.X, photo.Y)), max(lw, lh))
		short := min(16, float64(min(photo.X, photo.Y)), min(lw, lh))
		if max(w, h) < long*0.99 || min(w, h) < short*0.99 {
			t.Errorf("%v: shrank to %v by %v", photo, w, h)
		}
		if q := ResizeCrop(0.9)(p, f); q != p && math.Abs(q.Crop.W-p.Crop.W) > 2e-6 {
			t.Errorf("%v: still shrinks from %v to %v", photo, p.Crop, q.Crop)
		}
	}
	p := Default(image.Pt(300, 200))
	for _, factor := range []float64{0, -1, math.NaN()} {
		if q := ResizeCrop(factor)(p, Frame{image.Pt(300, 200)}); q != p {
			t.Errorf("factor %v changed the crop", factor)
		}
	}
}

func TestSetPanelKeepsCentreAndArea(t *testing.T) {
	photo := image.Pt(3000, 2000)
	f := Frame{photo}
	p := ResizeCrop(0.5)(Default(photo), f)
	cx, cy, w, h := pixels(p, photo)
	for _, panel := range Panels() {
		q := SetPanel(panel)(p, f)
		qx, qy, qw, qh := pixels(q, photo)
		oracle.Close(t, panel.Name()+" centre x", qx, cx, 0.02)
		oracle.Close(t, panel.Name()+" centre y", qy, cy, 0.02)
		oracle.Close(t, panel.Name()+" area", qw*qh/(w*h), 1, 1e-4)
		if !panel.Free() {
			a := Panel{panel.Short, panel.Long, panel.Unit, Across}.Aspect()
			oracle.Close(t, panel.Name()+" proportions", qw/qh, a, 1e-9)
		}
		if q.Panel.Way != Across {
			t.Errorf("%s is turned %s", panel.Name(), q.Panel.Way)
		}
	}
}

// Another size of the same proportions moves the crop by nothing at all.
func TestSetPanelOfTheSameProportions(t *testing.T) {
	r := seeded(t, 12)
	for range 500 {
		photo := randomPhoto(r)
		f := Frame{photo}
		p := SetPanel(Panel{Short: 6, Long: 8, Unit: Inch})(randomPlan(r, photo), f)
		q := SetPanel(Panel{Short: 9, Long: 12, Unit: Inch})(p, f)
		if q.Crop != p.Crop || q.Panel.Name() != "9x12 in" {
			t.Fatalf("%v on %v became %v", p.Crop, photo, q.Crop)
		}
	}
}

// Once round all the panels, a crop that was as large as fits still is.
func TestNextPanelGoesRound(t *testing.T) {
	for _, photo := range []image.Point{{X: 3000, Y: 2000}, {X: 2000, Y: 3000}, {X: 1237, Y: 1237}} {
		f := Frame{photo}
		first := Default(photo)
		seen := map[string]bool{}
		p := first
		for range Panels() {
			p = NextPanel(p, f)
			seen[p.Panel.Name()] = true
			if !p.Panel.Free() && p.Crop.W < maxWidth(p.Panel, f)-2e-6 {
				t.Errorf("%v %v: %v wide, %v fits", photo, p.Panel, p.Crop.W, maxWidth(p.Panel, f))
			}
		}
		if len(seen) != len(Panels()) || p.Panel != first.Panel {
			t.Errorf("%v: %d panels, back at %v", photo, len(seen), p.Panel)
		}
		if q := PrevPanel(NextPanel(p, f), f); q.Panel != p.Panel {
			t.Errorf("next and previous lead to %v", q.Panel)
		}
	}
	f := Frame{image.Pt(300, 200)}
	own := SetPanel(Panel{Short: 7, Long: 9, Unit: Inch})(Default(f.Photo), f)
	if got := NextPanel(own, f).Panel.Name(); got != "5x7 in" {
		t.Errorf("after a size of her own comes %s", got)
	}
	if got := PrevPanel(own, f).Panel.Name(); got != "free" {
		t.Errorf("before a size of her own comes %s", got)
	}
}

func TestTurn(t *testing.T) {
	photo := image.Pt(3000, 2000)
	f := Frame{photo}
	p := ResizeCrop(0.5)(Default(photo), f)
	cx, cy, w, h := pixels(p, photo)
	q := Turn(p, f)
	qx, qy, qw, qh := pixels(q, photo)
	if q.Panel.Way != Upright {
		t.Errorf("turned %s", q.Panel.Way)
	}
	for i, d := range []float64{qx - cx, qy - cy, qw - h, qh - w} {
		oracle.Close(t, []string{"centre x", "centre y", "width", "height"}[i], d, 0, 0.01)
	}
	if back := Turn(q, f); back.Panel != p.Panel || math.Abs(back.Crop.W-p.Crop.W) > 2e-6 {
		t.Errorf("turned twice: %+v, want %+v", back, p)
	}
	free := SetFree(3)(p, f)
	_, _, w, h = pixels(free, photo)
	_, _, qw, qh = pixels(Turn(free, f), photo)
	oracle.Close(t, "free width", qw, h, 0.02)
	oracle.Close(t, "free height", qh, w, 0.02)
	square := SetPanel(Panel{Short: 6, Long: 6, Unit: Inch})(p, f)
	if q := Turn(square, f); q.Crop != square.Crop || q.Panel.Way != Upright {
		t.Errorf("a square turned to %+v", q)
	}
}

func TestFreeCrop(t *testing.T) {
	photo := image.Pt(3000, 2000)
	f := Frame{photo}
	p := ResizeCrop(0.5)(Default(photo), f)
	_, _, w, h := pixels(p, photo)
	q := SetFree(0)(p, f)
	if x0, y0, x1, y1 := q.Rect(photo); !q.Panel.Free() || q.Crop.X != x0 || math.Abs((x1-x0)*3000-w) > 0.01 || math.Abs((y1-y0)*2000-h) > 0.01 {
		t.Errorf("freed: %+v", q)
	}
	q = SetFree(2)(q, f)
	_, _, qw, qh := pixels(q, photo)
	oracle.Close(t, "aspect", q.Aspect(photo), 2, 1e-4)
	oracle.Close(t, "area", qw*qh/(w*h), 1, 1e-4)
	oracle.Close(t, "stretched", Stretch(1.1)(q, f).Aspect(photo), 2.2, 1e-3)
	oracle.Close(t, "upright", SetFree(0.5)(q, f).Aspect(photo), 0.5, 1e-4)
	oracle.Close(t, "widest", SetFree(1e9)(q, f).Aspect(photo), 20, 0.01)
	oracle.Close(t, "tallest", Stretch(1e-9)(q, f).Aspect(photo), 0.05, 0.01)
	if got := Stretch(1.1)(p, f); got != p {
		t.Error("a panel with sides was stretched")
	}
}

func TestSetCrop(t *testing.T) {
	photo := image.Pt(3000, 2000)
	f := Frame{photo}
	p := Default(photo)
	q := SetCrop(Crop{X: 0.1, Y: 0.2, W: 0.5})(p, f)
	if want := (Crop{X: 0.1, Y: 0.2, W: 0.5}); q.Crop != want || q.Panel != p.Panel {
		t.Errorf("%+v", q)
	}
	q = SetCrop(Crop{X: 0.1, Y: 0.2, W: 0.5, H: 0.3})(p, f)
	if want := (Crop{X: 0.1, Y: 0.2, W: 0.5, H: 0.3}); q.Crop != want || !q.Panel.Free() {
		t.Errorf("%+v", q)
	}
	q = SetCrop(Crop{W: 0.25})(q, f) // stays free: half as wide, half as high
	if want := (Crop{W: 0.25, H: 0.15}); q.Crop != want {
		t.Errorf("%+v", q.Crop)
	}
	tall := SetCrop(Crop{W: 0.1, H: 1})(p, f)
	for _, w := range []float64{0.5, 0.15} {
		if q = SetCrop(Crop{W: w})(tall, f); q.Crop != (Crop{W: 0.1, H: 1}) {
			t.Errorf("%v wide: %+v", w, q.Crop)
		}
	}
}
