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

// block is a dark box on a light ground, and its plan of two values.
func block(t testing.TB, w, h int, box image.Rectangle) (*Layout, Plan) {
	t.Helper()
	b := build(t, grey(w, h, func(x, y int) float64 {
		if image.Pt(x, y).In(box) {
			return 20
		}
		return 80
	}), Options{})
	// The outlines of base shapes have round corners of their own.
	b = b.Carve(knives(boxMask(w, h, box.Min.X, box.Min.Y, box.Max.X, box.Max.Y)))
	c := Cutting{Values: 2, BrushMark: -1}
	for s, n := range inside(b, boxMask(w, h, box.Min.X, box.Min.Y, box.Max.X, box.Max.Y)) {
		v := 1
		if n > 0 {
			v = 0
		}
		c.Fixed = append(c.Fixed, Fixed{s, v})
	}
	l := b.Values(c)
	p := l.Shapes(imageproc.Labels{}, 9)
	for i, s := range p.Labels.Pix {
		if (p.Shapes[s].Value == 0) != image.Pt(i%w, i/w).In(box) {
			t.Fatal("the plan is not the box")
		}
	}
	return l, p
}

// TestSmoothCorner: under a Gaussian the outline leaves the corner of a square
// where the square of the normal distribution is a half: .545 sigma along each
// side, that is .771 sigma along the diagonal (tables of the normal distribution:
// Phi(.545) = .7071). The window's two running means come within a twentieth.
func TestSmoothCorner(t *testing.T) {
	box := image.Rect(50, 50, 150, 150)
	l, p := block(t, 200, 200, box)
	for _, sigma := range []float64{3, 6, 12, 20} {
		q := l.Smooth(p, []Outline{{boxMask(200, 200, 0, 0, 200, 200), sigma}}, 20)
		value := func(x, y int) int { return q.Shapes[q.Labels.At(x, y)].Value }
		for _, c := range [4]struct{ x, y, dx, dy int }{{50, 50, 1, 1}, {149, 50, -1, 1}, {50, 149, 1, -1}, {149, 149, -1, -1}} {
			n := 0
			for value(c.x+n*c.dx, c.y+n*c.dy) != 0 {
				n++
			}
			oracle.Close(t, fmt.Sprintf("corner under sigma %v", sigma), float64(n), .545*sigma, .05*sigma+.6)
		}
		// The middle of each side stays where it was.
		for _, c := range [4]struct{ x, y, dx, dy int }{{50, 100, -1, 0}, {149, 100, 1, 0}, {100, 50, 0, -1}, {100, 149, 0, 1}} {
			if value(c.x, c.y) != 0 || value(c.x+c.dx, c.y+c.dy) != 1 {
				t.Errorf("sigma %v: the side at %d,%d moved", sigma, c.x, c.y)
			}
		}
	}
}

// TestSmoothStraight: an edge from side to side stays, also where it meets the
// picture's own edge; what is narrower than the smoothing goes.
func TestSmoothStraight(t *testing.T) {
	l, p := block(t, 120, 80, image.Rect(60, 0, 120, 80))
	q := l.Smooth(p, []Outline{{boxMask(120, 80, 0, 0, 120, 80), 7}}, 20)
	if !slices.Equal(p.Labels.Pix, q.Labels.Pix) {
		t.Error("a straight edge moved")
	}
	l, p = block(t, 120, 80, image.Rect(60, 10, 63, 70))
	if q = l.Smooth(p, []Outline{{boxMask(120, 80, 50, 0, 80, 40), 6}}, 5); q.Labels.At(61, 30) != q.Labels.At(40, 30) || q.Labels.At(61, 60) == q.Labels.At(40, 60) {
		t.Error("the mast is there inside or gone outside")
	}
}

// TestSmooth holds what is true of every smoothed plan.
func TestSmooth(t *testing.T) {
	rng := rand.New(rand.NewPCG(104, 1))
	changed := 0
	for i, b := range smallBases(t, 200, 104) {
		for range 5 {
			c := randomCutting(rng, b, 8)
			l := b.Values(c)
			p := l.Shapes(imageproc.Labels{}, 1+rng.IntN(12))
			was := slices.Clone(p.Labels.Pix)
			least := rng.IntN(12)
			outlines := []Outline{
				{randomMask(rng, b.w, b.h), 4 * rng.Float64()},
				{randomMask(rng, b.w, b.h), 4 * rng.Float64()},
				{randomMask(rng, b.w, b.h), 0},
			}[:1+rng.IntN(3)]
			q := l.Smooth(p, outlines, least)
			if !slices.Equal(was, p.Labels.Pix) {
				t.Fatal("smoothing changed what it was given")
			}
			inside := make([]bool, len(was))
			for n := range inside {
				for _, o := range outlines {
					if o.Mask.Pix[n] {
						inside[n] = o.Sigma > 0
					}
				}
			}
			what := fmt.Sprintf("base %d, least %d", i, least)
			checkSmoothed(t, what, b, p, q, inside, least)
			if !slices.Equal(was, q.Labels.Pix) {
				changed++
			}
			if t.Failed() {
				t.FailNow()
			}
		}
	}
	if changed < 300 {
		t.Errorf("%d of 1000 plans changed: little is tested", changed)
	}
}

func checkSmoothed(t *testing.T, what string, b *Base, p, q Plan, inside []bool, least int) {
	t.Helper()
	values, comp := imageproc.NewLabels(b.w, b.h), imageproc.NewLabels(b.w, b.h)
	had, has := make([]int, len(p.Tones)), make([]int, len(p.Tones))
	area, outside := make([]int, len(q.Shapes)), make([]bool, len(q.Shapes))
	light, sum := make([]float64, len(p.Tones)), make([]float64, len(p.Tones))
	sx := make([]float64, len(q.Shapes))
	bounds := make([]image.Rectangle, len(q.Shapes))
	for i, s := range q.Labels.Pix {
		v, old := q.Shapes[s].Value, p.Shapes[p.Labels.Pix[i]].Value
		values.Pix[i] = int32(v)
		had[old]++
		has[v]++
		area[s]++
		light[v] += float64(b.light[i])
		sum[v]++
		x, y := i%b.w, i/b.w
		sx[s] += float64(x) + .5
		bounds[s] = bounds[s].Union(image.Rect(x, y, x+1, y+1))
		if !inside[i] {
			outside[s] = true
			if v != old {
				t.Fatalf("%s: pixel %d outside has value %d, had %d", what, i, v, old)
			}
		}
	}
	if n := Components(comp, values); n != len(q.Shapes) || !slices.Equal(comp.Pix, q.Labels.Pix) {
		t.Fatalf("%s: shapes are not the connected parts of equal value, in raster order", what)
	}
	for v := range had {
		if had[v] > 0 != (has[v] > 0) {
			t.Errorf("%s: value %d had %d pixels, has %d", what, v, had[v], has[v])
		}
		oracle.Close(t, "share", q.Shares[v], float64(has[v])/float64(len(inside)), 1e-12)
		if v > 0 && !(q.Tones[v] > q.Tones[v-1]) {
			t.Errorf("%s: tones %v do not rise", what, q.Tones)
		}
	}
	for s, sh := range q.Shapes {
		if sh.Area != area[s] || sh.Bounds != bounds[s] || math.Abs(sh.X-sx[s]/float64(sh.Area)) > 1e-9 {
			t.Errorf("%s: shape %d is %+v", what, s, sh)
		}
		if !outside[s] && sh.Area < least && has[sh.Value] > sh.Area {
			t.Errorf("%s: a crumb of %d pixels is left inside", what, sh.Area)
		}
		if outside[s] && sh.Area < least {
			checkOldCrumb(t, what, p, q, int32(s), inside, least)
		}
	}
	checkBorders(t, what, b, q)
	if q.Next != -1 && !slices.Equal(p.Labels.Pix, q.Labels.Pix) {
		t.Errorf("%s: shape %d goes next", what, q.Next)
	}
}

// checkOldCrumb: what is small and reaches outside was as small before.
func checkOldCrumb(t *testing.T, what string, p, q Plan, s int32, inside []bool, least int) {
	t.Helper()
	for i, l := range q.Labels.Pix {
		if l == s && !inside[i] && p.Shapes[p.Labels.Pix[i]].Area >= least {
			t.Errorf("%s: a crumb of %d pixels is left outside", what, q.Shapes[s].Area)
			return
		}
	}
}

func checkBorders(t *testing.T, what string, b *Base, q Plan) {
	t.Helper()
	var g borderGraph
	g.build(q.Labels, len(q.Shapes), b.rise, nil)
	if len(g.a) != len(q.Borders) {
		t.Fatalf("%s: %d borders, counted %d", what, len(q.Borders), len(g.a))
	}
	for e, got := range q.Borders {
		gap := math.Abs(float64(q.Tones[q.Shapes[got.A].Value] - q.Tones[q.Shapes[got.B].Value]))
		want := ShapeBorder{int(g.a[e]), int(g.b[e]), int(g.len[e]), g.step(e), palette.L(gap)}
		if got != want {
			t.Fatalf("%s: border %+v, counted %+v", what, got, want)
		}
	}
}

// TestSmoothNothing: without an outline that smooths, the plan is the same, and
// says what goes next.
func TestSmoothNothing(t *testing.T) {
	b := build(t, harbour(120, 80, 2), Options{})
	l := b.Values(Cutting{Values: 4})
	p := l.Shapes(imageproc.Labels{}, 8)
	q := l.Smooth(p, []Outline{{boxMask(120, 80, 0, 0, 120, 80), 3}, {boxMask(120, 80, 0, 0, 120, 80), 0}}, 9)
	if !slices.Equal(p.Labels.Pix, q.Labels.Pix) || q.Next != p.Next || q.Next < 0 {
		t.Error("a later outline of 0 does not keep the picture's own")
	}
}

// TestSmoothTies: of values equally frequent a pixel keeps its own if it is one
// of them, else it takes the darkest.
func TestSmoothTies(t *testing.T) {
	r := &redraw{
		l: &Layout{base: &Base{w: 3, h: 1}}, which: []uint16{1, 1, 1},
		old: imageproc.Labels{W: 3, H: 1, Pix: []int32{2, 0, 1}}, out: imageproc.NewLabels(3, 1),
	}
	copy(r.out.Pix, r.old.Pix)
	// Counts of the values 0 and 1, then of 2: 4 4 4, 1 4 4, 3 3 3.
	r.decide(1, image.Point{}, []uint64{4 | 4<<32, 1 | 4<<32, 3 | 3<<32, 4, 4, 3}, []int32{0, 1, 2}, 3)
	if want := []int32{2, 1, 1}; !slices.Equal(r.out.Pix, want) {
		t.Errorf("values %v, want %v", r.out.Pix, want)
	}
}
