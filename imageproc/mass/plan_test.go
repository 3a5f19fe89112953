package mass

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// scenes are pictures with shapes to find, small enough for every test.
func scenes() map[string]imageproc.Picture {
	rng := rand.New(rand.NewPCG(81, 1))
	return map[string]imageproc.Picture{
		"harbour": harbour(240, 160, 1),
		"upright": harbour(120, 200, 2),
		"noise":   randomPicture(rng, 70, 50),
		"checker": grey(96, 64, func(x, y int) float64 { return 30 + 40*float64((x/8+y/8)%2) }),
	}
}

// TestPlans holds for every number of values and shapes, by every method: the
// shapes are connected, neighbours differ, none is cut out of a base shape, fewer
// shapes only join, no brush mark is left.
func TestPlans(t *testing.T) {
	for name, pic := range scenes() {
		for _, focus := range []*Focus{nil, {X: .3, Y: .6}} {
			b := build(t, pic, Options{Focus: focus})
			for _, how := range []Method{Nested, LeastError, EqualSteps} {
				for _, k := range []int{1, 2, 3, 5, 6} {
					l := b.Values(Cutting{Values: k, Method: how})
					what := fmt.Sprintf("%s, focus %v, method %d, %d values", name, focus != nil, how, k)
					checkLayout(t, what, b, l)
				}
			}
		}
	}
}

func checkLayout(t *testing.T, what string, b *Base, l *Layout) {
	t.Helper()
	var finer Plan
	brush := DefaultBrushMark * float64(b.w*b.h)
	for s := min(l.Most()+1, 12); s >= 1; s-- {
		p := l.Shapes(imageproc.Labels{}, s)
		checkPlan(t, fmt.Sprintf("%s, %d shapes", what, s), b, p, s)
		if finer.Labels.Pix != nil && !coarser(p.Labels.Pix, finer.Labels.Pix) {
			t.Fatalf("%s: %d shapes are not joined from more", what, s)
		}
		if finer.Labels.Pix != nil && len(p.Shapes) < len(finer.Shapes) {
			checkNext(t, what, finer, p)
		}
		if len(p.Shapes) > 1 && b.focus == nil {
			for _, sh := range p.Shapes {
				if float64(sh.Area) < brush {
					t.Errorf("%s: a brush mark of %d pixels is left", what, sh.Area)
				}
			}
		}
		if s == 1 && len(p.Shapes) != 1 {
			t.Errorf("%s: %d shapes at the end", what, len(p.Shapes))
		}
		finer = p
	}
	if finer.Next != -1 {
		t.Errorf("%s: one shape has a next one %d", what, finer.Next)
	}
}

// checkNext holds that the shape said to go next went into the shapes said.
func checkNext(t *testing.T, what string, fine, coarse Plan) {
	t.Helper()
	if fine.Next < 0 || len(fine.Into) == 0 {
		t.Errorf("%s: no next shape of %d", what, len(fine.Shapes))
		return
	}
	in := make([]int32, len(fine.Shapes))
	for i, f := range fine.Labels.Pix {
		in[f] = coarse.Labels.Pix[i]
	}
	for _, o := range fine.Into {
		if in[o] != in[fine.Next] {
			t.Errorf("%s: shape %d did not join %d", what, fine.Next, o)
		}
	}
	// What else joined at this step would be said.
	joined := 0
	for i := range in {
		if in[i] == in[fine.Next] {
			joined++
		}
	}
	if joined < 1+len(fine.Into) {
		t.Errorf("%s: %d joined, said %d", what, joined, 1+len(fine.Into))
	}
}

// TestGroupsAreContiguous: a lighter base value never has a darker value.
func TestGroupsAreContiguous(t *testing.T) {
	b := build(t, harbour(240, 160, 1), Options{})
	for _, c := range []Cutting{
		{Values: 4},
		{Values: 3, Method: LeastError},
		{Values: 5, Method: EqualSteps},
		{Values: 3, Method: ByHand, Hand: []palette.L{40, 70}},
	} {
		l := b.Values(c)
		if !slices.IsSorted(l.group) || len(l.cuts) != l.K()-1 {
			t.Errorf("%+v: groups %v, cuts %v", c, l.group, l.cuts)
		}
		mean := groupMeans(b, 1<<(len(b.class)-1)-1)
		for i, k := range l.group {
			for j, cut := range l.cuts {
				if above := mean[i] >= float64(cut); above != (int(k) > j) {
					t.Errorf("%+v: base value %v beside cut %v has value %d", c, mean[i], cut, k)
				}
			}
		}
	}
}

// TestNestedValues: the finest plan of K is joined from that of K + 1 when no
// brush marks are taken away.
func TestNestedValues(t *testing.T) {
	for name, pic := range scenes() {
		b := build(t, pic, Options{})
		var coarse Plan
		for k := 2; k <= mostValues; k++ {
			fine := b.Values(Cutting{Values: k, BrushMark: -1}).Shapes(imageproc.Labels{}, math.MaxInt32)
			if k > 2 && !coarser(coarse.Labels.Pix, fine.Labels.Pix) {
				t.Errorf("%s: %d values are not joined from %d", name, k-1, k)
			}
			coarse = fine
		}
	}
}

// TestReplay: asking for S at once is the same as coming down to it.
func TestReplay(t *testing.T) {
	b := build(t, harbour(240, 160, 1), Options{})
	l := b.Values(Cutting{Values: 4})
	var reused imageproc.Labels
	for s := 20; s >= 1; s-- {
		p := l.Shapes(reused, s)
		reused = p.Labels
		q := b.Values(Cutting{Values: 4}).Shapes(imageproc.Labels{}, s)
		if !slices.Equal(p.Labels.Pix, q.Labels.Pix) || !slices.Equal(p.Shapes, q.Shapes) {
			t.Fatalf("%d shapes differ", s)
		}
	}
}

// TestPlanMeasures recounts what a plan says about itself.
func TestPlanMeasures(t *testing.T) {
	pic := harbour(240, 160, 1)
	p := planAt(build(t, pic, Options{}), 4, 14)
	light, area := make([]float64, len(p.Tones)), make([]float64, len(p.Tones))
	bounds := make([]image.Rectangle, len(p.Shapes))
	sx := make([]float64, len(p.Shapes))
	for i, l := range p.Labels.Pix {
		v := p.Shapes[l].Value
		light[v] += float64(pic.R.Pix[i])
		area[v]++
		x, y := i%240, i/240
		bounds[l] = bounds[l].Union(image.Rect(x, y, x+1, y+1))
		sx[l] += float64(x) + .5
	}
	share := 0.0
	for v := range p.Tones {
		share += p.Shares[v]
		oracle.Close(t, "share", p.Shares[v], area[v]/(240*160), 1e-12)
		if area[v] > 0 {
			oracle.Close(t, "tone", float64(p.Tones[v]), float64(palette.Y(light[v]/area[v]).L()), 1e-3)
		}
	}
	oracle.Close(t, "shares", share, 1, 1e-12)
	for i, s := range p.Shapes {
		if s.Bounds != bounds[i] {
			t.Errorf("shape %d: bounds %v, want %v", i, s.Bounds, bounds[i])
		}
		oracle.Close(t, "centre", s.X, sx[i]/float64(s.Area), 1e-9)
	}
	want := Adjacency(p.Labels, len(p.Shapes))
	if len(want) != len(p.Borders) {
		t.Fatalf("%d borders, want %d", len(p.Borders), len(want))
	}
	for i, e := range p.Borders {
		if e.A != int(want[i].A) || e.B != int(want[i].B) || e.Len != int(want[i].Len) {
			t.Errorf("border %v, want %v", e, want[i])
		}
	}
}

// TestFixed: a shape that the painter gave a value keeps it to the end.
func TestFixed(t *testing.T) {
	b := build(t, harbour(240, 160, 1), Options{})
	hull, sky := b.At(72, 96), b.At(120, 10)
	l := b.Values(Cutting{Values: 3, Fixed: []Fixed{{hull, 2}, {sky, 0}}})
	for _, s := range []int{20, 8, 3, 1} {
		p := l.Shapes(imageproc.Labels{}, s)
		if v := p.Shapes[p.Labels.At(72, 96)].Value; v != 2 {
			t.Errorf("%d shapes: the hull has value %d", s, v)
		}
		if v := p.Shapes[p.Labels.At(120, 10)].Value; v != 0 {
			t.Errorf("%d shapes: the sky has value %d", s, v)
		}
	}
	if l.Least() != 2 {
		t.Errorf("%d shapes at the end, want the two that are fixed", l.Least())
	}
	if p := l.Shapes(imageproc.Labels{}, 1); p.Next != -1 {
		t.Errorf("a fixed shape would go next: %d", p.Next)
	}
}

// TestFixedToEmptyValue: a value that only the painter uses is kept.
func TestFixedToEmptyValue(t *testing.T) {
	b := build(t, grey(120, 80, func(x, _ int) float64 { return 20 + 40*float64(x/60) }), Options{})
	l := b.Values(Cutting{Values: 5, Method: EqualSteps, Fixed: []Fixed{{b.At(10, 10), 4}}})
	p := l.Shapes(imageproc.Labels{}, 6)
	if v := p.Shapes[p.Labels.At(10, 10)].Value; v != 4 || len(p.Tones) != 5 {
		t.Errorf("value %d, tones %v", v, p.Tones)
	}
}

func TestTonesRise(t *testing.T) {
	for _, c := range []struct {
		tones []palette.L
		area  []float64
		want  []palette.L
	}{
		{[]palette.L{10, 50, 90}, []float64{1, 1, 1}, []palette.L{10, 50, 90}},
		{[]palette.L{10, 60, 50, 90}, []float64{1, 1, 3, 1}, []palette.L{10, 52.25, 52.75, 90}},
		{[]palette.L{0, 0}, []float64{1, 1}, []palette.L{0, .5}},
		{[]palette.L{100, 7, 100}, []float64{1, 0, 1}, []palette.L{99.5, 7, 100}},
		{[]palette.L{30, 40, 20}, []float64{1, 1, 1}, []palette.L{29.5, 30, 30.5}},
	} {
		got := slices.Clone(c.tones)
		riseTones(got, c.area)
		for i := range got {
			oracle.Close(t, fmt.Sprint(c.tones), float64(got[i]), float64(c.want[i]), 1e-9)
		}
	}
}

func TestEmptyValuesHaveTones(t *testing.T) {
	nan := palette.L(math.NaN())
	for _, c := range [][2][]palette.L{
		{{nan, 40, nan, nan, 70}, {20, 40, 50, 60, 70}},
		{{nan}, {50}},
		{{30, nan}, {30, 65}},
	} {
		got := slices.Clone(c[0])
		fillTones(got)
		for i := range got {
			oracle.Close(t, "tone", float64(got[i]), float64(c[1][i]), 1e-9)
		}
	}
}

// TestFocus: at an equal number of shapes more of them lie near the focal point
// than without.
func TestFocus(t *testing.T) {
	pic := harbour(360, 240, 4)
	near := func(f *Focus) int {
		p := planAt(build(t, pic, Options{Focus: f}), 4, 12)
		n := 0
		for _, s := range p.Shapes {
			if math.Hypot(s.X-.3*360, s.Y-.55*240) < .2*360 {
				n++
			}
		}
		return n
	}
	without, with := near(nil), near(&Focus{X: .3, Y: .55})
	if with < without {
		t.Errorf("%d shapes near the focal point, %d without one", with, without)
	}
}

// TestThreads: the number of goroutines changes nothing.
func TestThreads(t *testing.T) {
	pic := harbour(240, 160, 1)
	one := build(t, pic, Options{Threads: 1})
	for _, n := range []int{2, 3, 7} {
		b := build(t, pic, Options{Threads: n})
		if !slices.Equal(one.labels.Pix, b.labels.Pix) || !slices.Equal(one.value, b.value) || !slices.Equal(one.shapes, b.shapes) {
			t.Fatalf("%d threads make other shapes", n)
		}
	}
}

// TestMakerAgain: memory of an earlier, larger picture leaves no trace.
func TestMakerAgain(t *testing.T) {
	var m Maker
	for _, size := range [][2]int{{240, 160}, {90, 60}, {60, 90}, {240, 160}} {
		pic := harbour(size[0], size[1], 5)
		got, err := m.Build(t.Context(), pic, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if want := build(t, pic, Options{}); !slices.Equal(got.labels.Pix, want.labels.Pix) || !slices.Equal(got.shapes, want.shapes) {
			t.Errorf("%v: other shapes with used memory", size)
		}
	}
}

// TestFocusAlone: a survey kept while the focal point moves gives what a fresh
// one gives.
func TestFocusAlone(t *testing.T) {
	var m Maker
	pic := harbour(240, 160, 1)
	s, err := m.Survey(t.Context(), pic, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range []*Focus{nil, {X: .2, Y: .5}, {X: .8, Y: .3, Radius: .15, Far: .05}, nil} {
		got, err := m.Base(t.Context(), s, f)
		if err != nil {
			t.Fatal(err)
		}
		if want := build(t, pic, Options{Focus: f}); !slices.Equal(got.labels.Pix, want.labels.Pix) || !slices.Equal(got.shapes, want.shapes) {
			t.Errorf("focus %v: other shapes", f)
		}
	}
}

// TestClip: outlines and base values inside a clip are those of the region.
func TestClip(t *testing.T) {
	b := build(t, harbour(300, 200, 6), Options{Focus: &Focus{X: .4, Y: .5}})
	for _, r := range []image.Rectangle{image.Rect(0, 0, 300, 200), image.Rect(30, 20, 240, 160), image.Rect(7, 3, 8, 150)} {
		c := b.Clip(r)
		if c.Size() != r.Size() {
			t.Fatalf("size %v of %v", c.Size(), r)
		}
		for y := range c.h {
			for x := range c.w {
				in, out := c.shapes[c.labels.At(x, y)], b.shapes[b.labels.At(x+r.Min.X, y+r.Min.Y)]
				if x > 0 && c.labels.At(x, y) != c.labels.At(x-1, y) != (b.labels.At(x+r.Min.X, y+r.Min.Y) != b.labels.At(x+r.Min.X-1, y+r.Min.Y)) {
					t.Fatalf("%v: outline moved at %d,%d", r, x, y)
				}
				if in.class > out.class {
					t.Fatalf("%v: base value %d was %d", r, in.class, out.class)
				}
			}
		}
		for k := 2; k <= 4; k++ {
			checkPlan(t, fmt.Sprintf("clip %v", r), c, planAt(c, k, 9), 9)
		}
		again := c.Clip(image.Rect(0, 0, c.w, c.h))
		if !slices.Equal(again.labels.Pix, c.labels.Pix) || !slices.Equal(again.shapes, c.shapes) {
			t.Errorf("%v: a clip of the whole is another", r)
		}
	}
}

func TestMisuse(t *testing.T) {
	b := build(t, harbour(60, 40, 1), Options{})
	for name, f := range map[string]func(){
		"no values":      func() { b.Values(Cutting{}) },
		"cuts missing":   func() { b.Values(Cutting{Values: 3, Method: ByHand, Hand: []palette.L{40}}) },
		"cuts crossing":  func() { b.Values(Cutting{Values: 3, Method: ByHand, Hand: []palette.L{60, 40}}) },
		"unknown method": func() { b.Values(Cutting{Values: 3, Method: 9}) },
		"fixed nowhere":  func() { b.Values(Cutting{Values: 3, Fixed: []Fixed{{9999, 0}}}) },
		"no shapes":      func() { b.Values(Cutting{Values: 3}).Shapes(imageproc.Labels{}, 0) },
		"clip outside":   func() { b.Clip(image.Rect(50, 0, 70, 10)) },
		"empty picture":  func() { build(t, imageproc.Picture{}, Options{}) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s was accepted", name)
				}
			}()
			f()
		}()
	}
}

// TestCostOfMethods: least error never costs more than nested cuts, and says so.
func TestCostOfMethods(t *testing.T) {
	b := build(t, harbour(240, 160, 1), Options{})
	for k := 2; k <= 5; k++ {
		s1, c1 := b.Values(Cutting{Values: k}).Cost()
		s2, c2 := b.Values(Cutting{Values: k, Method: LeastError}).Cost()
		if s2+.5*c2 > s1+.5*c1+1e-9 {
			t.Errorf("%d values: least error costs %v, nested %v", k, s2+.5*c2, s1+.5*c1)
		}
	}
}

// TestLong: shapes of a region that only adds flat ground below are those of the
// part alone when the lengths are.
func TestLong(t *testing.T) {
	part := harbour(200, 130, 8)
	region := imageproc.NewPicture(200, 330)
	for c, plane := range region.Planes() {
		copy(plane.Pix, part.Planes()[c].Pix)
		last := part.Planes()[c].Row(129)
		for y := 130; y < 330; y++ {
			copy(plane.Row(y), last)
		}
	}
	want := build(t, part, Options{})
	got := build(t, region, Options{Long: 200}).Clip(image.Rect(0, 0, 200, 130))
	if c := coverBoth(want.labels, got.labels); !(c > .9) {
		t.Errorf("covering %.3f", c)
	}
	if c := coverBoth(want.labels, build(t, region, Options{}).Clip(image.Rect(0, 0, 200, 130)).labels); c > .999 {
		t.Error("the length does not matter: nothing is tested")
	}
}
