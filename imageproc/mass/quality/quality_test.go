package quality

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// grey fills a picture with greys of lightness l(x, y), 0..100.
func grey(w, h int, l func(x, y int) float64) imageproc.Picture {
	p := imageproc.NewPicture(w, h)
	for y := range h {
		for x := range w {
			v := float32(palette.L(l(x, y)).Y())
			p.R.Set(x, y, v)
			p.G.Set(x, y, v)
			p.B.Set(x, y, v)
		}
	}
	return p
}

// halves is a picture dark left of the column at, and its labels.
func halves(w, h, at int) (imageproc.Picture, imageproc.Labels) {
	l := imageproc.NewLabels(w, h)
	for i := range l.Pix {
		if i%w >= at {
			l.Pix[i] = 1
		}
	}
	return grey(w, h, func(x, y int) float64 { return 30 + 40*float64(l.At(x, y)) }), l
}

func TestPerfectPlan(t *testing.T) {
	pic, l := halves(200, 120, 90)
	m := New(pic).Measure(l, 2, []palette.L{30, 70})
	oracle.Close(t, "error 1", m.Error1, 0, .01)
	oracle.Close(t, "error 2", m.Error2, 0, .01)
	oracle.Close(t, "outline", m.Outline, 120./(2*320), 1e-12)
	oracle.Close(t, "thin", m.Thin, 0, 0)
	oracle.Close(t, "precision", m.Precision, 1, 0)
	oracle.Close(t, "recall", m.Recall, 1, 0)
	oracle.Close(t, "F", m.F, 1, 0)
	oracle.Close(t, "invented", m.Invented, 0, 0)
	if m.Values != 2 || m.Shapes != 2 {
		t.Errorf("%d values, %d shapes", m.Values, m.Shapes)
	}
}

func TestWrongPlan(t *testing.T) {
	pic, _ := halves(200, 120, 90)
	_, off := halves(200, 120, 110) // a tenth of the width off
	m := New(pic).Measure(off, 2, []palette.L{30, 70})
	oracle.Close(t, "precision", m.Precision, 0, 0)
	oracle.Close(t, "recall", m.Recall, 0, 0)
	oracle.Close(t, "F", m.F, 0, 0)
	oracle.Close(t, "invented", m.Invented, 120./320, 1e-12)
	// A tenth of the picture is 40 L* off; the blur takes little of that.
	if want := 40 * math.Sqrt(.1); !(m.Error1 > .8*want && m.Error1 < 1.05*want) {
		t.Errorf("error %v, about %v expected", m.Error1, want)
	}
	flat := New(pic).Measure(imageproc.NewLabels(200, 120), 1, []palette.L{50})
	if flat.Precision != 1 || flat.Recall != 0 || flat.Outline != 0 {
		t.Errorf("a plan of one shape: %+v", flat)
	}
}

// TestThin: a stripe half as wide as the disc is lost whole, a block keeps all
// but its corners.
func TestThin(t *testing.T) {
	l := imageproc.NewLabels(100, 80)
	for i := range l.Pix {
		if x, y := i%100, i/100; y >= 10 && y < 13 || x > 40 && x < 61 && y > 30 && y < 51 {
			l.Pix[i] = 1
		}
	}
	got := thin(l, 2, 4)
	stripe, corners := 3*100., 0.
	// What a disc of radius 4 cannot reach of a square's corner.
	for y := range 5 {
		for x := range 5 {
			if dx, dy := 4-x, 4-y; dx*dx+dy*dy > 16 {
				corners += 4
			}
		}
	}
	oracle.Close(t, "thin", got, (stripe+corners)/8000, 1e-12)
	oracle.Close(t, "nothing thin", thin(imageproc.NewLabels(30, 20), 1, 4), 0, 0)
}

func TestDistances(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 60 {
		w, h := 1+rng.IntN(16), 1+rng.IntN(16)
		mark := make([]bool, w*h)
		for i := range mark {
			mark[i] = rng.IntN(12) == 0
		}
		for i, d := range distances(mark, w, h) {
			want := math.Inf(1)
			for j, m := range mark {
				if dx, dy := float64(i%w-j%w), float64(i/w-j/w); m {
					want = min(want, dx*dx+dy*dy)
				}
			}
			if d != want {
				t.Fatalf("distance %v, want %v", d, want)
			}
		}
	}
}

// TestEdgeHeight: a step blurred by any sigma has its own height, on its line,
// level, upright and slanting.
func TestEdgeHeight(t *testing.T) {
	p := New(grey(20, 20, func(_, _ int) float64 { return 50 }))
	p.w, p.h, p.long = 120, 120, 120
	for _, side := range []func(x, y int) bool{
		func(x, _ int) bool { return x >= 60 },
		func(_, y int) bool { return y >= 60 },
		func(x, y int) bool { return x+y >= 120 },
	} {
		l := imageproc.NewPlane[palette.L](120, 120)
		for i := range l.Pix {
			l.Pix[i] = 40
			if side(i%120, i/120) {
				l.Pix[i] = 60
			}
		}
		for _, sigma := range []float64{1.5, 3} {
			e := p.edges(l, sigma/120)
			best := 0.0
			for y := 40; y < 80; y++ {
				for x := 40; x < 80; x++ {
					best = max(best, e[y*120+x])
				}
			}
			oracle.Close(t, "height of a step of 20", best, 20, 1.5)
			if e[20*120+20] != 0 {
				t.Errorf("an edge of %v in a flat part", e[20*120+20])
			}
		}
	}
}

func TestHysteresis(t *testing.T) {
	h := []float64{
		0, 7, 0, 0, 7,
		0, 0, 13, 0, 0,
		5, 0, 0, 0, 7,
	}
	hysteresis(h, 5, 3, 6, 12)
	if want := []float64{0, 7, 0, 0, 0, 0, 0, 13, 0, 0, 0, 0, 0, 0, 0}; !slices.Equal(h, want) {
		t.Errorf("%v, want %v", h, want)
	}
}

func TestKeepStrongest(t *testing.T) {
	h := []float64{5, 9, 7, 8, 6, 0}
	keepStrongest(h, 3, 6)
	if want := []float64{0, 9, 7, 8, 0, 0}; !slices.Equal(h, want) {
		t.Errorf("%v, want %v", h, want)
	}
	h = []float64{5, 9, 7}
	keepStrongest(h, 9, 6)
	if want := []float64{0, 9, 7}; !slices.Equal(h, want) {
		t.Errorf("%v, want %v", h, want)
	}
}

// Optimal cuts of the grey histograms of public test photographs: Otsu 1979 for
// two classes, Liao, Chen, Chung 2001 for more; recomputed exactly and with
// scikit-image 0.19.3.
func TestLeastErrorPublished(t *testing.T) {
	hist := map[string]*[levels]float64{}
	for _, r := range oracle.Load(t, "t06_histograms.csv", 12).Rows {
		var c [levels]float64
		for i, f := range r.Field[1:] {
			n, err := strconv.Atoi(f)
			if err != nil {
				t.Fatal(err)
			}
			c[i] = float64(n)
		}
		hist[r.Text(t, "image")] = &c
	}
	for _, r := range oracle.Load(t, "t06_otsu.csv", 48).Rows {
		k := int(r.Num(t, "k"))
		c := hist[r.Text(t, "image")]
		starts := leastError(c, k)
		sse := 0.0
		for i, lo := range starts {
			hi := 256
			if i+1 < len(starts) {
				hi = starts[i+1]
			}
			n, x := 0.0, 0.0
			for v := lo; v < hi; v++ {
				n, x = n+c[v], x+c[v]*float64(v)
			}
			for v := lo; v < hi; v++ {
				d := float64(v) - x/n
				sse += c[v] * d * d
			}
		}
		want := r.Num(t, "sse")
		oracle.Close(t, r.Text(t, "image")+" "+r.Text(t, "k"), sse, want, 1e-6*want+.01)
		if got := joinInts(starts[1:]); got != r.Text(t, "cuts") {
			t.Logf("%s, %d values: cuts %s, published %s (equal error)", r.Text(t, "image"), k, got, r.Text(t, "cuts"))
		}
	}
}

func joinInts(v []int) string {
	s := make([]string, len(v))
	for i, n := range v {
		s[i] = strconv.Itoa(n)
	}
	return strings.Join(s, " ")
}

// TestBlurred: the generic way keeps to the number of shapes asked for.
func TestBlurred(t *testing.T) {
	pic := scene(160, 110, 3)
	for _, ks := range settings {
		f := Blurred(pic, .01, ks[0], ks[1], false)
		comp := imageproc.NewLabels(160, 110)
		if n := mass.Components(comp, f.Values); n != f.Shapes || n > ks[1] {
			t.Errorf("%v: %d shapes, says %d", ks, n, f.Shapes)
		}
	}
	equal := Blurred(pic, 0, 2, 1<<30, true)
	l := imageproc.Lightness(imageproc.Plane[palette.L]{}, pic.Luminance(imageproc.Plane[palette.Y]{}))
	for i, v := range equal.Values.Pix {
		if want := int32(0); math.Abs(float64(l.Pix[i])-50) > .3 {
			if l.Pix[i] > 50 {
				want = 1
			}
			if v != want {
				t.Fatalf("L* %v has value %d of two equal steps", l.Pix[i], v)
			}
		}
	}
}

func TestMeanAndCost(t *testing.T) {
	a := Measures{Values: 2, Shapes: 4, Error1: 6, Outline: 4, F: .8}
	b := Measures{Values: 4, Shapes: 8, Error1: 8, Outline: 2, F: .6}
	m := Mean([]Measures{a, b})
	if m.Values != 3 || m.Shapes != 6 || m.Error1 != 7 || m.Outline != 3 {
		t.Errorf("mean %+v", m)
	}
	oracle.Close(t, "F", m.F, .7, 1e-12)
	oracle.Close(t, "cost of the reference", Cost(a, a), 1, 1e-12)
	oracle.Close(t, "cost", Cost(b, a), 8./6*math.Sqrt(.5)*math.Sqrt(2), 1e-12)
}

func TestMisuse(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a plan of another size was accepted")
		}
	}()
	New(grey(20, 20, func(_, _ int) float64 { return 50 })).Measure(imageproc.NewLabels(20, 10), 1, []palette.L{50})
}

// scene draws a harbour of few large shapes with grain, soft shading and small
// clutter over them.
func scene(w, h int, seed uint64) imageproc.Picture {
	rng := rand.New(rand.NewPCG(seed, 9))
	type blob struct{ x, y, r, l float64 }
	var clutter []blob
	for range 60 {
		clutter = append(clutter, blob{rng.Float64(), .5 + .5*rng.Float64(), .004 + .008*rng.Float64(), 20 + 60*rng.Float64()})
	}
	hullX, shedX := .15+.3*rng.Float64(), .6+.2*rng.Float64()
	wave := 20 + 20*rng.Float64()
	return grey(w, h, func(px, py int) float64 {
		x, y := float64(px)/float64(w), float64(py)/float64(h)
		l := 88 - 14*y
		if y > .45+.01*math.Sin(wave*x) {
			l = 44 + 10*(y-.45) + 2.5*math.Sin(wave*4*x)*math.Sin(wave*5*y)
		}
		if math.Abs(x-shedX) < .13 && y > .22 && y < .5 {
			if l = 70; y < .3 {
				l = 26
			}
		}
		if u := math.Abs(x - hullX); y > .5 && y < .66 && u < .2-.5*(y-.5) {
			l = 18
		}
		for _, c := range clutter {
			if math.Hypot(x-c.x, (y-c.y)*float64(h)/float64(w)) < c.r {
				l = c.l
			}
		}
		return min(100, max(0, l+6*rng.NormFloat64()))
	})
}
