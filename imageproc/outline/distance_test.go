package outline_test

import (
	"math"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
)

// nearest returns the least squared distance from (x, y) to a pixel that is of
// another kind, those around the picture counting as such.
func nearest(w, h, x, y int, other func(x, y int) bool) int {
	best := 1 << 40
	for v := -1; v <= h; v++ {
		for u := -1; u <= w; u++ {
			if u < 0 || v < 0 || u == w || v == h || other(u, v) {
				best = min(best, (u-x)*(u-x)+(v-y)*(v-y))
			}
		}
	}
	return best
}

func TestDistanceIsExact(t *testing.T) {
	r := seeded(t, 7)
	for range 500 {
		m := randomMask(r, 30)
		got := make([]float32, len(m.Pix))
		for i := range got {
			got[i] = -1
		}
		outline.Distance(got, m)
		for i, d := range got {
			want := 0
			if m.Pix[i] {
				want = nearest(m.W, m.H, i%m.W, i/m.W, func(x, y int) bool { return !m.Pix[y*m.W+x] })
			}
			if d != float32(math.Sqrt(float64(want))) || int(math.Round(float64(d)*float64(d))) != want {
				t.Fatalf("pixel %d, %d: squared %v, want %d\n%s", i%m.W, i/m.W, d*d, want, drawn(m))
			}
		}
	}
}

func TestDepthIsExact(t *testing.T) {
	r := seeded(t, 8)
	for range 300 {
		w, h, kinds := 1+r.IntN(30), 1+r.IntN(30), 1+r.IntN(4)
		l := imageproc.NewLabels(w, h)
		for i := 0; i < len(l.Pix); {
			v := int32(r.IntN(kinds)) - 1
			for n := r.IntN(3 * w); n >= 0 && i < len(l.Pix); n-- {
				l.Pix[i] = v
				i++
			}
		}
		got := make([]float32, len(l.Pix))
		outline.Depth(got, l)
		for i, d := range got {
			want := nearest(w, h, i%w, i/w, func(x, y int) bool { return l.At(x, y) != l.Pix[i] })
			if d != float32(math.Sqrt(float64(want))) {
				t.Fatalf("pixel %d, %d of %v: %v, squared want %d", i%w, i/w, l, d, want)
			}
		}
	}
}

// A wide full mask is deeper than the table of roots reaches.
func TestDistanceOfDeepPixels(t *testing.T) {
	m := imageproc.NewMask(601, 603)
	for i := range m.Pix {
		m.Pix[i] = true
	}
	d := make([]float32, len(m.Pix))
	outline.Distance(d, m)
	for _, c := range [][3]int{{300, 301, 301}, {300, 10, 11}, {7, 301, 8}, {600, 602, 1}, {280, 300, 281}} {
		if got := d[c[1]*m.W+c[0]]; got != float32(c[2]) {
			t.Errorf("pixel %d, %d lies %v deep, want %d", c[0], c[1], got, c[2])
		}
	}
	if x, y, ok := outline.Inside(m); x != 300 || y != 300 || !ok {
		t.Errorf("deepest at %d, %d", x, y)
	}
}

func TestGrowIsExact(t *testing.T) {
	r := seeded(t, 9)
	for range 500 {
		m := randomMask(r, 24)
		by := []float64{0, 0.99, 1, math.Sqrt2, 2, math.Sqrt(5), 3.7, 5, 9.2, 1000}[r.IntN(10)]
		before := slices.Clone(m.Pix)
		got := outline.Grow(m, by)
		for i := range got.Pix {
			want := false
			for j, marked := range m.Pix {
				dx, dy := i%m.W-j%m.W, i/m.W-j/m.W
				want = want || marked && float64(dx*dx+dy*dy) <= by*by
			}
			if got.Pix[i] != want {
				t.Fatalf("grown by %v: pixel %d, %d is %v\n%s", by, i%m.W, i/m.W, !want, drawn(m))
			}
		}
		if !slices.Equal(before, m.Pix) {
			t.Fatal("Grow changed what it was given")
		}
	}
}

// What is not within r of the rest is deeper than r: growing and depth are two
// roads to one thing (away from the picture's edge).
func TestGrowAndDistanceAgree(t *testing.T) {
	r := seeded(t, 10)
	for range 100 {
		m := blots(r, 50, 40, 6)
		for i := range m.Pix {
			if x, y := i%50, i/50; x == 0 || y == 0 || x == 49 || y == 39 {
				m.Pix[i] = false
			}
		}
		rest := imageproc.NewMask(50, 40)
		for i, b := range m.Pix {
			rest.Pix[i] = !b
		}
		d := make([]float32, len(m.Pix))
		outline.Distance(d, m)
		for _, by := range []float64{1, 2.5, 4, 7.3} {
			for i, near := range outline.Grow(rest, by).Pix {
				if near != (float64(d[i]) <= by) {
					t.Fatalf("pixel %d lies %v deep, within %v: %v\n%s", i, d[i], by, near, drawn(m))
				}
			}
		}
	}
}

func TestInside(t *testing.T) {
	r := seeded(t, 11)
	for range 400 {
		m := randomMask(r, 30)
		d := make([]float32, len(m.Pix))
		outline.Distance(d, m)
		want := 0
		for i := range d {
			if d[i] > d[want] {
				want = i
			}
		}
		x, y, ok := outline.Inside(m)
		if ok != m.Pix[want] || ok && y*m.W+x != want {
			t.Fatalf("deepest at %d, %d, %v, want %d, %d\n%s", x, y, ok, want%m.W, want/m.W, drawn(m))
		}
	}
	if x, y, _ := outline.Inside(ofRows(t, "00000/01111/01111/00000")); x != 1 || y != 1 {
		t.Errorf("of equally deep pixels %d, %d is taken, not the first", x, y)
	}
}
