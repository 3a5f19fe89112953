package contour_test

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
)

// randomLabels returns a small picture: noise, blots, bars or a little of each.
func randomLabels(r *rand.Rand) imageproc.Labels {
	w, h := 1+r.IntN(26), 1+r.IntN(22)
	l := imageproc.NewLabels(w, h)
	n := 1 + r.IntN(4)
	if r.IntN(2) == 0 {
		for range 1 + r.IntN(6) {
			v := int32(r.IntN(n+1)) - 1
			cx, cy, rad := r.Float64()*float64(w), r.Float64()*float64(h), r.Float64()*12
			slope := r.Float64()*6 - 3
			kind := r.IntN(3)
			for i := range l.Pix {
				x, y := float64(i%w)+0.5, float64(i/w)+0.5
				if kind == 0 && math.Hypot(x-cx, y-cy) < rad || kind == 1 && y-cy < slope*(x-cx) ||
					kind == 2 && math.Abs(y-cy-slope*(x-cx)) < 1 {
					l.Pix[i] = v
				}
			}
		}
	}
	some := []float64{0, 0, 0.02, 0.1, 1}[r.IntN(5)]
	for i := range l.Pix {
		if r.Float64() < some {
			l.Pix[i] = int32(r.IntN(n + 1))
		}
	}
	return l
}

func TestRandom(t *testing.T) {
	r := seeded(t, 1)
	for i := range 3000 {
		l := randomLabels(r)
		free := []float64{0, 5}[i%2]
		m := contour.Trace(l, contour.Options{Tolerance: free})
		name := fmt.Sprintf("map %d, %v", i, l.Size())
		holds(t, name, l, m, max(free, tolerance(l)))
		if n := crossings(m); n > 0 {
			t.Errorf("%s: %d crossings", name, n)
		}
		// Every region is still there, and beside those that it was beside: at eight
		// times the size each keeps the middle of its most inner pixel.
		if i%10 == 0 {
			big := m.Fill(8*l.W, 8*l.H)
			for k, p := range m.Inside() {
				at := image.Pt(int(8*p.At.X), int(8*p.At.Y))
				if p.Depth > 1 && big.At(at.X, at.Y) != m.Regions[k].Label {
					t.Errorf("%s: region %d is not where it was", name, k)
				}
			}
		}
		if t.Failed() {
			t.Fatalf("labels %+v", l)
		}
	}
}

// Every pixel of a filled map has a label at any size, and shares hardly change.
func TestFillAtAnySize(t *testing.T) {
	for _, s := range scenes() {
		m := contour.Trace(s.labels, contour.Options{})
		want := map[int32]float64{}
		for _, v := range s.labels.Pix {
			want[v] += 1 / float64(len(s.labels.Pix))
		}
		for _, size := range []image.Point{{1, 1}, {7, 90}, {3*s.labels.W + 1, 2 * s.labels.H}} {
			got := map[int32]float64{}
			big := m.Fill(size.X, size.Y)
			for _, v := range big.Pix {
				got[v] += 1 / float64(len(big.Pix))
				if _, ok := want[v]; !ok {
					t.Fatalf("%s at %v: a pixel with label %d", s.name, size, v)
				}
			}
			for v, share := range want {
				if size.X > s.labels.W && math.Abs(got[v]-share) > 0.01 {
					t.Errorf("%s at %v: label %d covers %.4f, was %.4f", s.name, size, v, got[v], share)
				}
			}
		}
	}
}

// Near a focal point the lines keep to a smaller tolerance; where it is next to
// nothing, to the pixels.
func TestNear(t *testing.T) {
	l := sceneNamed(t, "waves")
	for _, least := range []float64{0, 0.2, 0.4, 0.6} {
		m := contour.Trace(l, contour.Options{Near: func(x, _ float64) float64 {
			if x < 150 {
				return least
			}
			return 5
		}})
		holds(t, fmt.Sprint("near ", least), l, m, tolerance(l))
		for i, line := range m.Flatten(0.02) {
			for _, p := range line {
				// Between two corners of the border the larger of their tolerances holds.
				if c := m.Chains[i]; !c.Edge && p.X < 140 {
					if far := fromBorder(m, c, p); far > least+1e-9 {
						t.Fatalf("near %v: %.3f px off at %.1f, %.1f", least, far, p.X, p.Y)
					}
				}
			}
		}
	}
}

func TestSameAgain(t *testing.T) {
	l := sceneNamed(t, "rings")
	if a, b := contour.Trace(l, contour.Options{}), contour.Trace(l, contour.Options{}); !reflect.DeepEqual(a, b) {
		t.Error("two maps of the same labels differ")
	}
}

// The mirrored labels have the mirrored map: as many chains and regions, the
// junctions mirrored, and hardly a pixel other when filled.
func TestMirror(t *testing.T) {
	for _, s := range scenes() {
		if s.name == "fine checker" {
			continue
		}
		l := s.labels
		other := imageproc.NewLabels(l.W, l.H)
		for i, v := range l.Pix {
			other.Pix[i/l.W*l.W+l.W-1-i%l.W] = v
		}
		a, b := contour.Trace(l, contour.Options{}), contour.Trace(other, contour.Options{})
		if len(a.Chains) != len(b.Chains) || len(a.Regions) != len(b.Regions) || a.Level.Junctions != b.Level.Junctions {
			t.Errorf("%s: %d chains of %d regions, mirrored %d of %d", s.name, len(a.Chains), len(a.Regions), len(b.Chains), len(b.Regions))
		}
		fa, fb := a.Fill(2*l.W, 2*l.H), b.Fill(2*l.W, 2*l.H)
		n := 0
		for i, v := range fa.Pix {
			if fb.Pix[i/fa.W*fa.W+fa.W-1-i%fa.W] != v {
				n++
			}
		}
		if share := float64(n) / float64(len(fa.Pix)); share > 0.01 {
			t.Errorf("%s: %.3f %% differ from the mirrored", s.name, 100*share)
		}
	}
}

func TestInside(t *testing.T) {
	m := contour.Trace(sceneNamed(t, "circle"), contour.Options{})
	if p := m.Inside()[1]; math.Hypot(p.At.X-151.3, p.At.Y-127.8) > 1.5 || math.Abs(p.Depth-90.4) > 1.5 {
		t.Errorf("the middle of the circle at %+v", p)
	}
}

func TestMistakesPanic(t *testing.T) {
	m := contour.Trace(imageproc.NewLabels(3, 2), contour.Options{})
	for name, f := range map[string]func(){
		"empty":     func() { contour.Trace(imageproc.Labels{}, contour.Options{}) },
		"tolerance": func() { contour.Trace(imageproc.NewLabels(2, 2), contour.Options{Tolerance: math.NaN()}) },
		"no size":   func() { m.Fill(0, 4) },
		"flat":      func() { m.Flatten(0) },
		"no region": func() { m.RegionRings(9) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			f()
		}()
	}
}

func BenchmarkTrace(b *testing.B) {
	_, l := harbour(b, 5, 40)
	for b.Loop() {
		contour.Trace(l, contour.Options{})
	}
}

func BenchmarkFill(b *testing.B) {
	_, l := harbour(b, 5, 40)
	m := contour.Trace(l, contour.Options{})
	for b.Loop() {
		m.Fill(l.W, l.H)
	}
}
