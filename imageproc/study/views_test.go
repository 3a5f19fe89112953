package study_test

import (
	"bytes"
	"fmt"
	"image"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func TestViewWords(t *testing.T) {
	for i, word := range []string{"whole", "photo", "squint", "values", "plan", "notan", "outline", "steps"} {
		v, err := study.ParseView(word)
		if err != nil || v != allViews[i] || v.String() != word {
			t.Errorf("%q: view %v, %v", word, v, err)
		}
	}
	for _, word := range []string{"", "Whole", "shapes"} {
		_, err := study.ParseView(word)
		if err == nil || !strings.Contains(err.Error(), "whole, photo, squint, values, plan, notan, outline or steps") {
			t.Errorf("%q: %v", word, err)
		}
	}
	if got := study.View(9).String() + study.View(-1).String(); got != "View(9)View(-1)" {
		t.Errorf("views that there are not: %s", got)
	}
}

func TestRatio(t *testing.T) {
	size := image.Pt(200, 100)
	s := make1(t, study.NewDesk(flat(size.X, size.Y, 0.5)),
		edited(plan.Default(size), size, plan.SetCrop(plan.Crop{X: 0.1, Y: 0.2, W: 0.25, H: 0.8})))
	for _, v := range allViews {
		want := 50. / 80
		if v == study.Whole {
			want = 2
		}
		oracle.Close(t, v.String(), s.Ratio(v), want, 0)
	}
}

// At every size, from a single pixel up, the values view shows the tones and
// nothing in between, and so does the notan its two.
func TestNoSizeMixesValues(t *testing.T) {
	photo := image.Pt(300, 220)
	desk := study.NewDesk(harbour(seeded(t, 20), photo.X, photo.Y))
	for k := 2; k <= 5; k++ {
		p := edited(whole(photo), photo, plan.SetK(k))
		tonesOf := func(f study.Figures) (tones []uint8) {
			for _, l := range f.Tones {
				tones = append(tones, code(l))
			}
			return tones
		}
		ofValues := tonesOf(make1(t, desk, p, study.Values).Figures)
		s := make1(t, desk, p)
		tones := tonesOf(s.Figures)
		notan := []uint8{palette.Grey(palette.Value(1).Y()).G, palette.Grey(palette.Value(9.5).Y()).G}
		sizes := []image.Point{{X: 1, Y: 1}, {X: 400, Y: 1}, {X: 1, Y: 300}, {X: 400, Y: 300}, {X: 300, Y: 220}, {X: 301, Y: 219}}
		for x := 2; x < 400; x = x*3/2 + 1 {
			for y := 2; y < 300; y = y*2 + 1 {
				sizes = append(sizes, image.Pt(x, y))
			}
		}
		for _, size := range sizes {
			onlyGreys(t, fmt.Sprint(k, " values at ", size), raster(t, s, study.Values, size), ofValues)
			onlyGreys(t, fmt.Sprint("plan of ", k, " values at ", size), raster(t, s, study.Plan, size), tones)
			onlyGreys(t, fmt.Sprint("notan at ", size), raster(t, s, study.Notan, size), notan)
		}
		for _, long := range []int{-1, 0, 1, 2, 7, 299, 300, 301, 640, 1000} {
			pic := s.PlanPicture(long)
			want := long
			if long <= 0 {
				want = 300
			}
			if max(pic.Rect.Dx(), pic.Rect.Dy()) != want {
				t.Errorf("long side %d came as %v", long, pic.Rect)
			}
			for _, c := range pic.Pix {
				if !slices.Contains(tones, c) {
					t.Fatalf("long side %d: grey %d is none of the tones %v", long, c, tones)
				}
			}
		}
	}
}

func onlyGreys(t *testing.T, what string, r imageproc.Raster, greys []uint8) {
	t.Helper()
	for i := 0; i < len(r.Pix); i += 3 {
		if c := r.Pix[i]; c != r.Pix[i+1] || c != r.Pix[i+2] || !slices.Contains(greys, c) {
			t.Fatalf("%s: %v is none of the greys %v", what, r.Pix[i:i+3], greys)
		}
	}
}

// At working size the plan view is the plan picture, pixel by pixel.
func TestPlanViewIsThePlanPicture(t *testing.T) {
	size := image.Pt(120, 90)
	s := make1(t, study.NewDesk(harbour(seeded(t, 21), size.X, size.Y)), whole(size))
	pic, view := s.PlanPicture(0), raster(t, s, study.Plan, size)
	for i, c := range pic.Pix {
		if view.Pix[3*i] != c {
			t.Fatalf("pixel %d is %d, in the plan picture %d", i, view.Pix[3*i], c)
		}
	}
	small, half := s.PlanPicture(60), raster(t, s, study.Plan, image.Pt(60, 45))
	for i, c := range small.Pix {
		if half.Pix[3*i] != c {
			t.Fatalf("at half size pixel %d is %d, in the plan picture %d", i, half.Pix[3*i], c)
		}
	}
}

// A checker of black and white is averaged as light: half the light, not half
// the code.
func TestViewsAverageLight(t *testing.T) {
	size := image.Pt(64, 64)
	checker := painted(size.X, size.Y, func(x, y int) palette.RGB { return grey(palette.Y((x + y) % 2)) })
	s := make1(t, study.NewDesk(checker), edited(whole(size), size, plan.SetSquint(10)))
	want := palette.Grey(0.5).G
	if want != 188 { // published: IEC 61966-2-1, half the light
		t.Fatalf("half the light is code %d", want)
	}
	for _, v := range []study.View{study.Whole, study.Photo} {
		for i, c := range raster(t, s, v, image.Pt(16, 8)).Pix {
			if c != want {
				t.Fatalf("%v: byte %d is %d, want %d", v, i, c, want)
			}
		}
	}
	for _, at := range []image.Point{size, {X: 16, Y: 8}} { // squinted, and then averaged
		for i, c := range raster(t, s, study.Squint, at).Pix {
			if c < want-1 || c > want+1 {
				t.Fatalf("squint: byte %d is %d, want %d", i, c, want)
			}
		}
	}
}

// The whole view marks the crop: the photo inside, darkened outside, and a line
// between them; the smallest crop still shows.
func TestWholeMarksTheCrop(t *testing.T) {
	size := image.Pt(100, 80)
	desk := study.NewDesk(flat(size.X, size.Y, 0.5))
	s := make1(t, desk, whole(size))
	onlyGreys(t, "all of the photo", raster(t, s, study.Whole, size), []uint8{188})

	s = make1(t, desk, edited(whole(size), size, plan.SetCrop(plan.Crop{X: 0.2, Y: 0.25, W: 0.5, H: 0.5})))
	r := raster(t, s, study.Whole, size)
	inside := image.Rect(20, 20, 70, 60)
	dim := palette.Grey(0.5 * 0.35).G
	for y := range size.Y {
		for x := range size.X {
			p, c := image.Pt(x, y), r.At(x, y).G
			switch {
			case p.In(inside) && c != 188, !p.In(inside.Inset(-1)) && c != dim,
				!p.In(inside) && p.In(inside.Inset(-1)) && c != 230 && c != 20:
				t.Fatalf("pixel %v is %d", p, c)
			}
		}
	}

	// Through views of two sizes in turn, with the crop moving in between.
	for _, crop := range []plan.Crop{{X: 0.98, Y: 0.98, W: 0.01, H: 0.0125}, {W: 0.01, H: 0.0125}, {X: 0.5, Y: 0.3, W: 0.01, H: 0.0125}} {
		s = make1(t, desk, edited(whole(size), size, plan.SetCrop(crop)))
		if got := s.Figures.Crop.Size(); got != image.Pt(1, 1) {
			t.Fatalf("the smallest crop is %v", got)
		}
		for _, size := range []image.Point{{X: 10, Y: 8}, {X: 33, Y: 17}, {X: 1, Y: 1}} {
			lit := 0
			for i, c := range raster(t, s, study.Whole, size).Pix {
				if i%3 == 0 && c == 188 {
					lit++
				}
			}
			if lit != 1 {
				t.Errorf("crop %v at %v: %d pixels are lit, want 1", s.Figures.Crop, size, lit)
			}
		}
	}
}

// The notan follows the squint and the shapes wanted, and nothing else.
func TestNotan(t *testing.T) {
	size := image.Pt(120, 90)
	desk := study.NewDesk(harbour(seeded(t, 22), size.X, size.Y))
	base := whole(size)
	show := func(edits ...plan.Edit) []uint8 {
		return raster(t, make1(t, desk, edited(base, size, edits...), study.Notan), study.Notan, size).Pix
	}
	want := show()
	for name, e := range map[string]plan.Edit{
		"five values": plan.SetK(5), "tones": plan.SetToneMethod(plan.ToneFixed), "cuts": plan.SetCuts([]palette.Value{1, 2}),
	} {
		if !bytes.Equal(show(e), want) {
			t.Errorf("%s changed the notan", name)
		}
	}
	if bytes.Equal(show(plan.SetSquint(8)), want) || bytes.Equal(show(plan.SetShapes(2)), want) || bytes.Equal(show(smallestShape(5)), want) {
		t.Error("the notan does not follow squint and shapes")
	}
	// It is the plan of two values, in its own greys.
	two := raster(t, make1(t, desk, edited(base, size, plan.SetK(2), plan.SetTones([]palette.Value{1, 9.5})), study.Plan), study.Plan, size)
	if !bytes.Equal(two.Pix, want) {
		t.Error("the notan is not the plan of two values")
	}
}

func TestRasterRefuses(t *testing.T) {
	s := make1(t, study.NewDesk(flat(3, 3, 0.5)), whole(image.Pt(3, 3)))
	panics(t, "study: raster of no size", func() { s.Raster(study.Values, image.Pt(0, 5)) })
	panics(t, "study: View(9) was not made", func() { s.Raster(9, image.Pt(5, 5)) })
	panics(t, "study: View(-1) was not made", func() { s.Raster(-1, image.Pt(5, 5)) })
	// A flat photo is all light or all dark.
	for y, want := range map[palette.Y]palette.Value{0.1: 1, 0.5: 9.5} {
		s := make1(t, study.NewDesk(flat(3, 3, y)), whole(image.Pt(3, 3)), study.Notan)
		onlyGreys(t, fmt.Sprint("the notan of light ", y), raster(t, s, study.Notan, image.Pt(2, 2)), []uint8{palette.Grey(want.Y()).G})
	}
}
