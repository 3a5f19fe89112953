package imageproc_test

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
)

// seeded returns a generator whose seed is the same in every run and is printed
// when the test fails.
func seeded(t testing.TB, seed uint64) *rand.Rand {
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("random seed %d", seed)
		}
	})
	return rand.New(rand.NewPCG(seed, 0x5eed))
}

// panics returns what f panics with, or nothing.
func panics(f func()) (what string) {
	defer func() {
		if r := recover(); r != nil {
			what = fmt.Sprint(r)
		}
	}()
	f()
	return ""
}

func wantPanic(t *testing.T, name, want string, f func()) {
	t.Helper()
	if got := panics(f); len(got) < len(want) || got[:len(want)] != want {
		t.Errorf("%s: panic %q, want one that begins with %q", name, got, want)
	}
}

func TestFitByHand(t *testing.T) {
	for _, c := range []struct {
		ratio, aspect float64
		room, want    image.Point
	}{
		{1, 1, image.Pt(100, 60), image.Pt(60, 60)},
		{1, 1, image.Pt(60, 100), image.Pt(60, 60)},
		{0.75, 1, image.Pt(300, 200), image.Pt(150, 200)},
		{4. / 3, 1, image.Pt(200, 200), image.Pt(200, 150)},
		{1, 0.5, image.Pt(100, 100), image.Pt(100, 50)}, // pixels half as wide as high
		{1, 2, image.Pt(100, 100), image.Pt(50, 100)},
		{1.5, 1, image.Pt(3, 2), image.Pt(3, 2)},
		{100 / 60.4, 1, image.Pt(100, 60), image.Pt(100, 60)}, // 60.4 high is nearest to 60, which fits
		{100 / 60.6, 1, image.Pt(100, 60), image.Pt(99, 60)},
		{1000, 1, image.Pt(50, 50), image.Pt(50, 1)},
		{0.001, 1, image.Pt(50, 50), image.Pt(1, 50)},
		{1e300, 1, image.Pt(50, 40), image.Pt(50, 1)},
		{1e-300, 1, image.Pt(50, 40), image.Pt(1, 40)},
		{1e-300, 1e300, image.Pt(50, 40), image.Pt(1, 40)},
		{math.Inf(1), 1, image.Pt(50, 40), image.Pt(50, 1)},
		{1, 1, image.Pt(1, 1), image.Pt(1, 1)},
	} {
		if got := imageproc.Fit(c.ratio, c.aspect, c.room); got != c.want {
			t.Errorf("ratio %g, aspect %g in %v: %v, want %v", c.ratio, c.aspect, c.room, got, c.want)
		}
	}
}

// One side fills the room, the other is within half a pixel of the ratio.
func TestFitKeepsTheRatio(t *testing.T) {
	r := seeded(t, 1)
	for range 20000 {
		ratio, aspect := math.Exp(4*r.Float64()-2), math.Exp(2*r.Float64()-1)
		room := image.Pt(1+r.IntN(500), 1+r.IntN(300))
		got := imageproc.Fit(ratio, aspect, room)
		if got.X < 1 || got.Y < 1 || got.X > room.X || got.Y > room.Y {
			t.Fatalf("ratio %g, aspect %g in %v: %v lies outside", ratio, aspect, room, got)
		}
		if got.X != room.X && got.Y != room.Y {
			t.Fatalf("ratio %g, aspect %g in %v: %v could be larger", ratio, aspect, room, got)
		}
		tall := float64(got.X) * aspect / ratio
		wide := float64(got.Y) * ratio / aspect
		near := got.X == room.X && math.Abs(max(1, tall)-float64(got.Y)) <= 0.5+1e-9 ||
			got.Y == room.Y && math.Abs(max(1, wide)-float64(got.X)) <= 0.5+1e-9
		if !near {
			t.Fatalf("ratio %g, aspect %g in %v: %v is off the ratio", ratio, aspect, room, got)
		}
	}
}

func TestFitRefuses(t *testing.T) {
	room := image.Pt(10, 10)
	for name, f := range map[string]func(){
		"ratio 0":       func() { imageproc.Fit(0, 1, room) },
		"ratio NaN":     func() { imageproc.Fit(math.NaN(), 1, room) },
		"aspect below":  func() { imageproc.Fit(1, -1, room) },
		"both infinite": func() { imageproc.Fit(math.Inf(1), math.Inf(1), room) },
		"no room":       func() { imageproc.Fit(1, 1, image.Pt(10, 0)) },
	} {
		wantPanic(t, name, "imageproc: Fit", f)
	}
}

// patches returns labels 0..n-1 in random rectangles.
func patches(r *rand.Rand, w, h, n int) imageproc.Labels {
	l := imageproc.NewLabels(w, h)
	for range 12 {
		x0, y0, k := r.IntN(w), r.IntN(h), int32(r.IntN(n))
		for y := y0; y < min(h, y0+1+r.IntN(h)); y++ {
			for x := x0; x < min(w, x0+1+r.IntN(w)); x++ {
				l.Pix[y*w+x] = k
			}
		}
	}
	return l
}

func mirrored(l imageproc.Labels) imageproc.Labels {
	out := imageproc.NewLabels(l.W, l.H)
	for y := range l.H {
		for x, k := range l.Row(y) {
			out.Pix[y*l.W+l.W-1-x] = k
		}
	}
	return out
}

func transposed(l imageproc.Labels) imageproc.Labels {
	out := imageproc.NewLabels(l.H, l.W)
	for y := range l.H {
		for x, k := range l.Row(y) {
			out.Pix[x*l.H+y] = k
		}
	}
	return out
}

func sameLabels(t *testing.T, what string, got, want imageproc.Labels) {
	t.Helper()
	if got.Size() != want.Size() || len(got.Pix) != len(want.Pix) {
		t.Fatalf("%s: labels of %v, want %v", what, got.Size(), want.Size())
	}
	for i, k := range want.Pix {
		if got.Pix[i] != k {
			t.Fatalf("%s: of %v, pixel %d, %d is %d, want %d", what, want.Size(), i%want.W, i/want.W, got.Pix[i], k)
		}
	}
}

// Counted by hand: the covered parts of each pixel, where sizes do not divide.
func TestMajorityByHand(t *testing.T) {
	row := func(pix ...int32) imageproc.Labels { return imageproc.Labels{W: len(pix), H: 1, Pix: pix} }
	for _, c := range []struct {
		src  imageproc.Labels
		want []int32
	}{
		{row(0, 1, 1, 0, 2, 2, 2, 0, 0), []int32{1, 2, 0}},
		{row(0, 1), []int32{0}},             // half and half: the smaller
		{row(1, 0), []int32{0}},             // from either side
		{row(2, 1, 1, 2, 0), []int32{1, 0}}, // 2 1 1/2: one 2, one and a half 1; half a 1, one 2, one 0: tie of 2 and 0
		{row(1, 0, 1), []int32{1, 1}},       // one and a half pixels: 1 covers 1, 0 covers 1/2
		{row(0, 1), []int32{0, 0, 1}},       // enlarged: the middle is half and half
		{row(0, 1), []int32{0, 0, 1, 1}},
	} {
		got := c.src.Majority(imageproc.Labels{}, len(c.want), 1, 3)
		sameLabels(t, fmt.Sprint(c.src.Pix), got, row(c.want...))
		sameLabels(t, fmt.Sprint(c.src.Pix, " as a column"),
			transposed(c.src).Majority(imageproc.Labels{}, 1, len(c.want), 3), transposed(row(c.want...)))
	}
}

// The reference counts on the common multiple of both grids.
func TestMajorityCovers(t *testing.T) {
	r := seeded(t, 2)
	for range 200 {
		n := 2 + r.IntN(4)
		src := patches(r, 1+r.IntN(14), 1+r.IntN(14), n)
		w, h := 1+r.IntN(14), 1+r.IntN(14)
		got := src.Majority(imageproc.Labels{}, w, h, n)
		want := imageproc.NewLabels(w, h)
		for y := range h {
			for x := range w {
				count := make([]int, n)
				for j := y * src.H; j < (y+1)*src.H; j++ {
					for i := x * src.W; i < (x+1)*src.W; i++ {
						count[src.At(i/w, j/h)]++
					}
				}
				want.Pix[y*w+x] = int32(slices.Index(count, slices.Max(count)))
			}
		}
		sameLabels(t, fmt.Sprint(src.Size(), " to ", w, " by ", h), got, want)
	}
}

func TestMajorityAndEnlargeProperties(t *testing.T) {
	r := seeded(t, 3)
	var scratch imageproc.Labels
	for range 150 {
		n := 2 + r.IntN(4)
		src := patches(r, 1+r.IntN(30), 1+r.IntN(30), n)
		w, h := 1+r.IntN(60), 1+r.IntN(60)
		for name, f := range map[string]func(imageproc.Labels, int, int) imageproc.Labels{
			"majority": func(l imageproc.Labels, w, h int) imageproc.Labels {
				return l.Majority(imageproc.Labels{}, w, h, n)
			},
			"enlarge": func(l imageproc.Labels, w, h int) imageproc.Labels { return l.Enlarge(w, h, n) },
		} {
			got := f(src, w, h)
			if got.Size() != image.Pt(w, h) {
				t.Fatalf("%s to %d by %d gave %v", name, w, h, got.Size())
			}
			for _, k := range got.Pix {
				if !slices.Contains(src.Pix, k) {
					t.Fatalf("%s: new label %d", name, k)
				}
			}
			sameLabels(t, name+" at the same size", f(src, src.W, src.H), src)
			sameLabels(t, name+" mirrored", f(mirrored(src), w, h), mirrored(got))
			sameLabels(t, name+" transposed", f(transposed(src), h, w), transposed(got))
		}
		scratch = src.Majority(scratch, w, h, n) // in used memory
		sameLabels(t, "majority in used memory", scratch, src.Majority(imageproc.Labels{}, w, h, n))
	}
}

// A straight border stays straight, in the place that the scale gives it.
func TestEnlargeKeepsEdgesStraight(t *testing.T) {
	for edge := 1; edge < 8; edge++ {
		for scale := 1; scale <= 5; scale++ {
			src := imageproc.NewLabels(8, 5)
			for i := range src.Pix {
				if i%8 >= edge {
					src.Pix[i] = 1
				}
			}
			want := imageproc.NewLabels(8*scale, 5*scale)
			for i := range want.Pix {
				if i%want.W >= edge*scale {
					want.Pix[i] = 1
				}
			}
			got := src.Enlarge(want.W, want.H, 2)
			sameLabels(t, fmt.Sprint("edge ", edge, " enlarged ", scale), got, want)
			sameLabels(t, "lying", transposed(src).Enlarge(want.H, want.W, 2), transposed(want))
		}
	}
}

// A slant of one step a pixel comes out smoother than its squares: it keeps to
// the line midway between the last centres of the one side and the first of the
// other with a tenth of the pixels astray.
func TestEnlargeSmoothsSlants(t *testing.T) {
	const side, scale = 16, 6
	src := imageproc.NewLabels(side, side)
	for i := range src.Pix {
		if i%side >= i/side {
			src.Pix[i] = 1
		}
	}
	astray := func(l imageproc.Labels) (n int) {
		for i, k := range l.Pix {
			off := i%l.W - i/l.W + scale/2 // from the line, to the right
			if off > 0 && k == 0 || off < 0 && k == 1 {
				n++
			}
		}
		return n
	}
	smooth := astray(src.Enlarge(side*scale, side*scale, 2))
	squares := astray(src.Majority(imageproc.Labels{}, side*scale, side*scale, 2))
	t.Logf("astray: %d pixels, with squares %d", smooth, squares)
	if 10*smooth > squares {
		t.Errorf("enlarged smoothly, %d pixels are astray; with squares %d", smooth, squares)
	}
}

func TestResizingLabelsRefuses(t *testing.T) {
	l := imageproc.NewLabels(2, 2)
	wantPanic(t, "majority to nothing", "imageproc: Majority", func() { l.Majority(imageproc.Labels{}, 0, 1, 1) })
	wantPanic(t, "majority of nothing", "imageproc: Majority", func() { imageproc.Labels{}.Majority(l, 1, 1, 1) })
	wantPanic(t, "enlarge to nothing", "imageproc: Enlarge", func() { l.Enlarge(1, 0, 1) })
	wantPanic(t, "no labels", "imageproc: Enlarge", func() { l.Enlarge(4, 4, 0) })
}
