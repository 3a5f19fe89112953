package study_test

import (
	"fmt"
	"image"
	"math"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// Bars of 2, 3 and 5 tenths of the picture, sharp: all is known by counting.
func TestValuesByCounting(t *testing.T) {
	ys := []palette.Y{0.05, 0.05, 0.3, 0.3, 0.3, 0.8, 0.8, 0.8, 0.8, 0.8}
	size := image.Pt(200, 100)
	p := edited(whole(size), size, plan.SetSquint(0), plan.SetK(3))
	for _, v := range []study.View{study.Values, study.Plan} {
		f := make1(t, study.NewDesk(bars(size.X, size.Y, ys...)), p, v).Figures
		if f.Size != size || f.Crop != image.Rect(0, 0, 200, 100) || f.Shapes != 3 {
			t.Errorf("%v: size %v, crop %v, %d shapes", v, f.Size, f.Crop, f.Shapes)
		}
		for i, want := range []float64{0.2, 0.3, 0.5} {
			oracle.Close(t, fmt.Sprint(v, ": share ", i), f.Shares[i], want, 1e-12)
		}
		for i, y := range []palette.Y{0.05, 0.3, 0.8} {
			oracle.Close(t, fmt.Sprint(v, ": tone ", i), float64(f.Tones[i]), float64(y.L()), 1e-4)
		}
		oracle.Close(t, v.String()+": kept", f.Kept, 1, 1e-6) // three values are all there is
	}

	// Two values: the best cut is above the middle bar or below it, whichever
	// leaves less error, with L* 26.7, 61.7, 91.7 weighted 2, 3 and 5. By hand:
	// below, the means are 26.7 and 80.4, the mean error squared 169.1; above, 47.7
	// and 91.7, and 146.3.
	f := make1(t, study.NewDesk(bars(size.X, size.Y, ys...)), edited(p, size, plan.SetK(2)), study.Values).Figures
	oracle.Close(t, "share of the dark of two", f.Shares[0], 0.5, 1e-12)
	l := [3]float64{float64(palette.Y(0.05).L()), float64(palette.Y(0.3).L()), float64(palette.Y(0.8).L())}
	mean := 0.2*l[0] + 0.3*l[1] + 0.5*l[2]
	total := 0.2*(l[0]-mean)*(l[0]-mean) + 0.3*(l[1]-mean)*(l[1]-mean) + 0.5*(l[2]-mean)*(l[2]-mean)
	dark := 0.4*l[0] + 0.6*l[1]
	lost := 0.2*(l[0]-dark)*(l[0]-dark) + 0.3*(l[1]-dark)*(l[1]-dark)
	oracle.Close(t, "kept by two", f.Kept, 1-lost/total, 1e-5)
}

func TestTonesByHandAreExact(t *testing.T) {
	size := image.Pt(80, 60)
	desk := study.NewDesk(bars(size.X, size.Y, 0.02, 0.2, 0.5, 0.9))
	hand := []palette.Value{1.5, 4.25, 6, 9.5}
	p := edited(whole(size), size, plan.SetSquint(0), plan.SetK(4), plan.SetTones(hand))
	s := make1(t, desk, p)
	pic := s.PlanPicture(0)
	for i, v := range hand {
		oracle.Close(t, fmt.Sprint("tone ", i), float64(s.Figures.Tones[i]), float64(v.L()), 0)
		if got, want := pic.GrayAt(10+20*i, 30).Y, palette.Grey(v.Y()).G; got != want {
			t.Errorf("tone %v is painted %d, want %d", v, got, want)
		}
	}
	// Cuts by hand part exactly where they say: here below the third bar.
	cut := palette.Y(0.3).Value()
	s = make1(t, desk, edited(p, size, plan.SetCuts([]palette.Value{cut})))
	oracle.Close(t, "share below the cut", s.Figures.Shares[0], 0.5, 1e-12)
	oracle.Close(t, "the cut, as its plan says", float64(s.Figures.Cuts[0].Value()), float64(cut), 0.00501)
}

// check holds for every plan of every photo, in both views that have figures.
func check(t *testing.T, desk *study.Desk, p plan.Plan) (values, shapes *study.Study) {
	t.Helper()
	values = make1(t, desk, p, study.Values)
	if f := values.Figures; len(f.Tones) != p.Values.K {
		t.Fatalf("%d values: %d tones", p.Values.K, len(f.Tones))
	}
	checkView(t, values, study.Values)
	shapes = make1(t, desk, p, study.Plan)
	checkView(t, shapes, study.Plan)
	f := shapes.Figures
	if k := len(f.Tones); k < 1 || k > p.Values.K {
		t.Fatalf("a plan of %d values has %d tones", p.Values.K, k)
	}
	if w := p.Shapes.Wanted; f.Shapes < 1 || w > 0 && f.Shapes > w || f.Shapes > f.Most {
		t.Fatalf("%d shapes of at most %d, %d were wanted", f.Shapes, f.Most, w)
	}
	checkList(t, shapes)
	return values, shapes
}

// checkView holds for the figures of a view that was made, and its pixels.
func checkView(t *testing.T, s *study.Study, v study.View) {
	t.Helper()
	f, p := s.Figures, s.Plan()
	k := len(f.Tones)
	if len(f.Cuts) != k-1 || len(f.Shares) != k {
		t.Fatalf("%v: %d values: %d cuts, %d tones, %d shares", v, p.Values.K, len(f.Cuts), k, len(f.Shares))
	}
	for i := range k {
		if !finite(float64(f.Tones[i]), f.Shares[i]) || f.Tones[i] < 0 || f.Tones[i] > 100 {
			t.Fatalf("%v: tone %v, share %v", v, f.Tones[i], f.Shares[i])
		}
		if i > 0 && (f.Tones[i] < f.Tones[i-1] || f.Tones[i] == f.Tones[i-1] && f.Shares[i]*f.Shares[i-1] > 0) {
			t.Fatalf("%v: tones do not rise: %v", v, f.Tones)
		}
		if i > 1 && !(f.Cuts[i-1] > f.Cuts[i-2]) {
			t.Fatalf("%v: cuts do not rise: %v", v, f.Cuts)
		}
	}
	if !finite(f.Kept) || f.Kept < 0 || f.Kept > 1 {
		t.Fatalf("%v: kept %v", v, f.Kept)
	}
	pic := codes(t, s, v)
	checkShares(t, f, pic)
	labels := labelled(pic, f.Size)
	shapes := imageproc.NewLabels(labels.W, labels.H)
	n := mass.Components(shapes, labels)
	if distinct(f.Tones) && n != f.Shapes {
		t.Fatalf("%v: %d shapes, %d to be seen", v, f.Shapes, n)
	}
	if n > 1 {
		least := p.BrushShare() * float64(len(pic))
		if a := slices.Min(mass.Areas(nil, shapes, n)); float64(a) < least-0.5 {
			t.Fatalf("%v: a shape of %d pixels, the smallest is to be %v", v, a, least)
		}
	}
}

// checkShares counts the pixels of each grey.
func checkShares(t *testing.T, f study.Figures, pic []uint8) {
	t.Helper()
	var count [256]int
	for _, c := range pic {
		count[c]++
	}
	sum := 0.0
	share := map[uint8]float64{}
	for i, tone := range f.Tones {
		sum += f.Shares[i]
		share[code(tone)] += f.Shares[i]
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Fatalf("shares %v sum to %v", f.Shares, sum)
	}
	for c, n := range count {
		if got := float64(n) / float64(len(pic)); math.Abs(got-share[uint8(c)]) > 1e-12 {
			t.Fatalf("grey %d covers %v, the shares say %v", c, got, share[uint8(c)])
		}
	}
}

// distinct reports whether all tones have codes of their own.
func distinct(tones []palette.L) bool {
	for i := 1; i < len(tones); i++ {
		if code(tones[i]) == code(tones[i-1]) {
			return false
		}
	}
	return true
}

// allValues returns p with every way to choose 2 to 5 values.
func allValues(p plan.Plan, size image.Point) (out []plan.Plan) {
	for k := plan.MinK; k <= plan.MaxK; k++ {
		for _, c := range plan.CutMethods() {
			for _, m := range plan.ToneMethods() {
				out = append(out, edited(p, size, plan.SetK(k), plan.SetCutMethod(c), plan.SetToneMethod(m)))
			}
		}
	}
	return out
}

func TestOddPhotos(t *testing.T) {
	r := seeded(t, 10)
	line := func(w, h int) imageproc.Picture {
		return painted(w, h, func(x, y int) palette.RGB { return grey(palette.Y(x+y) / palette.Y(w+h)) })
	}
	for name, master := range map[string]imageproc.Picture{
		"one black pixel":  flat(1, 1, 0),
		"one white pixel":  flat(1, 1, 1),
		"one grey pixel":   flat(1, 1, 0.3),
		"black":            flat(30, 20, 0),
		"white":            flat(30, 20, 1),
		"grey":             flat(31, 21, 0.18),
		"nearly black":     painted(30, 20, func(x, y int) palette.RGB { return grey(palette.Y((x+y)%2) * 1e-5) }),
		"nearly white":     painted(30, 20, func(x, y int) palette.RGB { return grey(1 - palette.Y((x+y)%2)*1e-6) }),
		"black and white":  bars(30, 20, 0, 1),
		"three greys":      bars(30, 20, 0, 0.2, 0.7),
		"a row":            line(90, 1),
		"a column":         line(1, 90),
		"a row past size":  line(1500, 1),
		"a column past it": line(1, 1500),
		"two pixels":       bars(2, 1, 0.1, 0.9),
		"grain":            harbour(r, 25, 33),
	} {
		t.Run(name, func(t *testing.T) {
			size := master.Size()
			desk := study.NewDesk(master)
			for _, squint := range []float64{0, 1, 25} {
				for i, p := range allValues(edited(whole(size), size, plan.SetSquint(squint)), size) {
					p = edited(p, size, plan.SetShapes(i%4))
					values, _ := check(t, desk, p)
					if squint == 0 && size.X*size.Y <= 1000 && p.Shapes.Wanted == 0 {
						checkEmpty(t, values.Figures, master)
					}
					s := make1(t, desk, p)
					for _, v := range allViews {
						raster(t, s, v, image.Pt(1+i, 1+i/3))
					}
				}
			}
		})
	}
}

// checkEmpty compares the values that no pixel carries with the photo's pixels,
// taken one by one: those values have share 0.
func checkEmpty(t *testing.T, f study.Figures, master imageproc.Picture) {
	t.Helper()
	l := imageproc.Lightness(imageproc.Plane[palette.L]{}, master.Luminance(imageproc.Plane[palette.Y]{}))
	met := make([]bool, len(f.Tones))
	for _, v := range l.Pix {
		k := 0
		for _, c := range f.Cuts {
			if palette.L(v) >= c {
				k++
			}
		}
		met[k] = true
	}
	for k, share := range f.Shares {
		if !met[k] && share != 0 {
			t.Fatalf("no pixel is of value %d, its share is %v", k, share)
		}
	}
}

func TestRandomPlansKeepTheirWord(t *testing.T) {
	r := seeded(t, 11)
	for _, size := range []image.Point{{X: 90, Y: 70}, {X: 200, Y: 31}, {X: 820, Y: 90}} {
		desk := study.NewDesk(harbour(r, size.X, size.Y))
		p := plan.Default(size)
		for range 80 {
			p = edited(p, size, randomEdit(r))
			_, s := check(t, desk, p)
			want := min(max(s.Figures.Crop.Dx(), s.Figures.Crop.Dy()), study.WorkingSide)
			if got := max(s.Figures.Size.X, s.Figures.Size.Y); got != want {
				t.Fatalf("a crop of %v is worked on at %v", s.Figures.Crop, s.Figures.Size)
			}
		}
	}
}

// A tone by mean lies between its cuts, crumbs and wishes or not.
func TestMeanTonesLieBetweenTheirCuts(t *testing.T) {
	r := seeded(t, 12)
	size := image.Pt(90, 70)
	desk := study.NewDesk(harbour(r, size.X, size.Y))
	p := plan.Default(size)
	for range 300 {
		p = edited(p, size, randomEdit(r), plan.SetToneMethod(plan.ToneMean))
		f := make1(t, desk, p, study.Values).Figures
		for i, tone := range f.Tones {
			lo, hi := palette.L(0), palette.L(100)
			if i > 0 {
				lo = f.Cuts[i-1]
			}
			if i < len(f.Cuts) {
				hi = f.Cuts[i]
			}
			if tone < lo-1e-3 || tone > hi+1e-3 { // planes hold float32
				t.Fatalf("tone %d, %v, lies outside %v to %v", i, tone, lo, hi)
			}
		}
	}
}

// The working size is the crop's own up to 768 on the long side, and then 768
// with the proportions kept.
func TestWorkingSize(t *testing.T) {
	for _, c := range []struct{ photo, want image.Point }{
		{image.Pt(1, 1), image.Pt(1, 1)},
		{image.Pt(767, 500), image.Pt(767, 500)},
		{image.Pt(768, 768), image.Pt(768, 768)},
		{image.Pt(769, 2), image.Pt(768, 2)},
		{image.Pt(2048, 1365), image.Pt(768, 512)},
		{image.Pt(1365, 2048), image.Pt(512, 768)},
		{image.Pt(1536, 3), image.Pt(768, 2)}, // 1.5, and below 2.498
		{image.Pt(1537, 5), image.Pt(768, 2)},
		{image.Pt(2000, 1), image.Pt(768, 1)},
		{image.Pt(1, 2000), image.Pt(1, 768)},
	} {
		f := make1(t, study.NewDesk(flat(c.photo.X, c.photo.Y, 0.2)), whole(c.photo), study.Values).Figures
		if f.Size != c.want || f.Crop != (image.Rectangle{Max: c.photo}) {
			t.Errorf("photo %v: worked on at %v, want %v", c.photo, f.Size, c.want)
		}
	}
}

// A squint of 0 leaves the photo as it is.
func TestSquintOfNothing(t *testing.T) {
	size := image.Pt(50, 40)
	s := make1(t, study.NewDesk(harbour(seeded(t, 14), size.X, size.Y)), edited(whole(size), size, plan.SetSquint(0)))
	if a, b := raster(t, s, study.Photo, size), raster(t, s, study.Squint, size); !slices.Equal(a.Pix, b.Pix) {
		t.Error("squinting by nothing changed the photo")
	}
}
