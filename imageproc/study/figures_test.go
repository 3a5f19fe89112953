package study_test

import (
	"fmt"
	"image"
	"math"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// checkList counts everything that a plan's list of shapes says on the plan
// picture.
func checkList(t *testing.T, s *study.Study) {
	t.Helper()
	f := s.Figures
	if len(f.List) != f.Shapes {
		t.Fatalf("%d shapes, %d in the list", f.Shapes, len(f.List))
	}
	pic := s.PlanPicture(0)
	if pic.Rect != (image.Rectangle{Max: f.Size}) {
		t.Fatalf("the plan picture is %v, the size %v", pic.Rect, f.Size)
	}
	if !distinct(f.Tones) {
		return
	}
	shapes := imageproc.NewLabels(f.Size.X, f.Size.Y)
	n := mass.Components(shapes, labelled(pic.Pix, f.Size)) // in raster order
	type counted struct{ area, x, y, value float64 }
	count, bounds := make([]counted, n), make([]image.Rectangle, n)
	for y := range f.Size.Y {
		for x := range f.Size.X {
			i := shapes.At(x, y)
			c := &count[i]
			c.area++
			c.x += float64(x) + 0.5
			c.y += float64(y) + 0.5
			c.value = float64(pic.GrayAt(x, y).Y)
			bounds[i] = bounds[i].Union(image.Rect(x, y, x+1, y+1))
		}
	}
	for i, l := range f.List {
		c := count[i]
		if l.Tone != f.Tones[l.Value] || float64(code(l.Tone)) != c.value {
			t.Fatalf("shape %d is of value %d and tone %v, it is painted %v", i, l.Value, l.Tone, c.value)
		}
		if l.Bounds != bounds[i] {
			t.Fatalf("shape %d lies in %v, counted %v", i, l.Bounds, bounds[i])
		}
		oracle.Close(t, "share", l.Share, c.area/float64(len(pic.Pix)), 1e-12)
		oracle.Close(t, "centre x", l.X, c.x/c.area, 1e-7)
		oracle.Close(t, "centre y", l.Y, c.y/c.area, 1e-7)
	}
	checkNeighbours(t, f, mass.Adjacency(shapes, n))
}

// checkNeighbours compares the neighbours of each shape, both ways, with the
// borders that were counted.
func checkNeighbours(t *testing.T, f study.Figures, borders []mass.Border) {
	t.Helper()
	met := 0
	for i, l := range f.List {
		for j, n := range l.Neighbours {
			met++
			if j > 0 && n.Shape <= l.Neighbours[j-1].Shape {
				t.Fatalf("the neighbours of shape %d are not in order: %v", i, l.Neighbours)
			}
			step := math.Abs(float64(l.Tone.Value() - f.List[n.Shape].Tone.Value()))
			oracle.Close(t, "step of value", float64(n.Step), step, 1e-12)
			if n.Shape == i || f.List[n.Shape].Value == l.Value {
				t.Fatalf("shape %d of value %d touches shape %d of value %d", i, l.Value, n.Shape, f.List[n.Shape].Value)
			}
		}
	}
	if met != 2*len(borders) {
		t.Fatalf("%d neighbours, %d borders", met, len(borders))
	}
	length := func(of, with int32) int {
		for _, n := range f.List[of].Neighbours {
			if n.Shape == int(with) {
				return n.Length
			}
		}
		return 0
	}
	for _, b := range borders {
		if l, back := length(b.A, b.B), length(b.B, b.A); l != int(b.Len) || back != l {
			t.Fatalf("shapes %d and %d share %d and %d, counted %d", b.A, b.B, l, back, b.Len)
		}
	}
}

// kept by its definition, on the squinted crop and what is painted: one less the
// share of the variance that is lost when each pixel takes its value's mean.
func keptOf(labels []uint8, l imageproc.Plane[palette.L]) float64 {
	sum, n := map[uint8]float64{}, map[uint8]float64{}
	mean := 0.0
	for i, c := range labels {
		sum[c] += float64(l.Pix[i])
		n[c]++
		mean += float64(l.Pix[i]) / float64(len(labels))
	}
	lost, all := 0.0, 0.0
	for i, c := range labels {
		x := float64(l.Pix[i])
		lost += (x - sum[c]/n[c]) * (x - sum[c]/n[c])
		all += (x - mean) * (x - mean)
	}
	return 1 - lost/all
}

func TestKept(t *testing.T) {
	size := image.Pt(120, 90)
	master := harbour(seeded(t, 50), size.X, size.Y)
	desk := study.NewDesk(master)
	light := master.Luminance(imageproc.Plane[palette.Y]{})
	for _, squint := range []float64{0, 1, 6} {
		soft := imageproc.NewPlane[palette.Y](size.X, size.Y)
		tone.BlurPlane(new(tone.Blurrer), soft, light, tone.SigmaPixels(squint, size.X))
		l := imageproc.Lightness(imageproc.Plane[palette.L]{}, soft)
		for k := 2; k <= 5; k++ {
			for _, wanted := range []int{0, 4} {
				p := edited(whole(size), size, plan.SetSquint(squint), plan.SetK(k), plan.SetShapes(wanted),
					smallestShape(0), plan.SetToneMethod(plan.ToneFixed))
				for _, v := range []study.View{study.Values, study.Plan} {
					s := make1(t, desk, p, v)
					what := fmt.Sprintf("%v, squint %v, %d values, %d shapes: kept", v, squint, k, wanted)
					oracle.Close(t, what, s.Figures.Kept, keptOf(codes(t, s, v), l), 1e-6)
				}
			}
		}
	}
	// One shape keeps nothing of a photo that is not flat.
	f := make1(t, desk, edited(whole(size), size, plan.SetShapes(1)), study.Plan).Figures
	oracle.Close(t, "kept by one shape", f.Kept, 0, 1e-9)
	f = make1(t, study.NewDesk(flat(9, 9, 0.4)), whole(image.Pt(9, 9)), study.Plan).Figures
	oracle.Close(t, "kept of a flat photo", f.Kept, 1, 0)
}

// With nested cuts one more value only divides what is there, in both views.
func TestNestedCuts(t *testing.T) {
	size := image.Pt(160, 120)
	for seed := range uint64(4) {
		desk := study.NewDesk(harbour(seeded(t, 60+seed), size.X, size.Y))
		for _, v := range []study.View{study.Values, study.Plan} {
			var last []palette.L
			for k := 2; k <= 5; k++ {
				cuts := make1(t, desk, edited(whole(size), size, plan.SetK(k)), v).Figures.Cuts
				if len(cuts) != k-1 {
					t.Fatalf("%v: %d values have cuts %v", v, k, cuts)
				}
				at := 0
				for _, c := range cuts {
					if at < len(last) && last[at] == c {
						at++
					}
				}
				if at != len(last) {
					t.Errorf("%v: the cuts %v of %d values are not among %v", v, last, k-1, cuts)
				}
				last = cuts
			}
		}
	}
}

// Tones by hand and fixed tones are painted exactly, whatever is wanted.
func TestTonesArePaintedExactly(t *testing.T) {
	size := image.Pt(120, 90)
	desk := study.NewDesk(harbour(seeded(t, 51), size.X, size.Y))
	hand := []palette.Value{0, 2.75, 4, 7.3, 10}
	for _, v := range []study.View{study.Values, study.Plan} {
		for k := 2; k <= 5; k++ {
			for _, wanted := range []int{0, 12, 3, 1} {
				p := edited(whole(size), size, plan.SetK(k), plan.SetShapes(wanted))
				fixed := make1(t, desk, edited(p, size, plan.SetToneMethod(plan.ToneFixed)), v)
				onlyTones(t, fixed, v, tone.FixedTones(k))
				var want []palette.L
				for _, h := range hand[:k] {
					want = append(want, h.L())
				}
				onlyTones(t, make1(t, desk, edited(p, size, plan.SetTones(hand[:k])), v), v, want)
			}
		}
	}
}

func onlyTones(t *testing.T, s *study.Study, v study.View, want []palette.L) {
	t.Helper()
	if len(s.Figures.Tones) != len(want) {
		t.Fatalf("%v: tones %v, want %v", v, s.Figures.Tones, want)
	}
	var greys []uint8
	for i, l := range want {
		oracle.Close(t, "tone", float64(s.Figures.Tones[i]), float64(l), 0)
		greys = append(greys, code(l))
	}
	for _, size := range []image.Point{s.Figures.Size, {X: 31, Y: 22}} {
		onlyGreys(t, fmt.Sprint(v, " at ", size), raster(t, s, v, size), greys)
	}
}

// A photo with fewer values than tones were chosen for takes those that lie
// nearest to what is there, in their order.
func TestFewerValuesThanTones(t *testing.T) {
	size := image.Pt(60, 40)
	for _, c := range []struct {
		light []palette.Y
		tones []palette.Value
		want  []palette.Value
	}{
		{[]palette.Y{0, 1}, []palette.Value{1, 5, 9}, []palette.Value{1, 9}},
		{[]palette.Y{0.2, 1}, []palette.Value{1, 5, 9}, []palette.Value{5, 9}},
		{[]palette.Y{0.02, 0.2}, []palette.Value{1, 5, 9}, []palette.Value{1, 5}},
		{[]palette.Y{1}, []palette.Value{1, 5, 9}, []palette.Value{9}},
		{[]palette.Y{0.2}, []palette.Value{1, 3, 5, 7, 9}, []palette.Value{5}},
		{[]palette.Y{0}, []palette.Value{1, 9}, []palette.Value{1}},
		{[]palette.Y{0.001, 0.05, 0.9}, []palette.Value{4, 5, 6, 7}, []palette.Value{4, 5, 7}},
	} {
		p := edited(whole(size), size, plan.SetK(len(c.tones)), plan.SetTones(c.tones), plan.SetSquint(0))
		s := make1(t, study.NewDesk(bars(size.X, size.Y, c.light...)), p, study.Plan)
		var want []palette.L
		for _, v := range c.want {
			want = append(want, v.L())
		}
		onlyTones(t, s, study.Plan, want)
		for i, v := range c.want {
			x := (2*i + 1) * size.X / (2 * len(c.want))
			if got, grey := s.PlanPicture(0).GrayAt(x, 20).Y, palette.Grey(v.Y()).G; got != grey {
				t.Errorf("light %v in tones %v: bar %d is painted %d, want %d", c.light, c.tones, i, got, grey)
			}
		}
	}
}
