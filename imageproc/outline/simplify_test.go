package outline_test

import (
	"math"
	"reflect"
	"testing"

	"atelier/halflid/imageproc/outline"
)

// offSide is the distance of p from the side a-b.
func offSide(p, a, b outline.Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(max(((p.X-a.X)*dx+(p.Y-a.Y)*dy)/l, 0), 1)
	}
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

func off(p outline.Point, r outline.Ring) float64 {
	least := math.Inf(1)
	for i, a := range r {
		least = min(least, offSide(p, a, r[(i+1)%len(r)]))
	}
	return least
}

// strays returns the farthest that a place on a, sampled, lies from b.
func strays(a, b outline.Ring) float64 {
	most := 0.0
	for i, p := range a {
		q := a[(i+1)%len(a)]
		n := 1 + int(4*math.Hypot(q.X-p.X, q.Y-p.Y))
		for j := range n {
			f := float64(j) / float64(n)
			most = max(most, off(outline.Point{X: p.X + f*(q.X-p.X), Y: p.Y + f*(q.Y-p.Y)}, b))
		}
	}
	return most
}

func TestSimplifyStaysWithin(t *testing.T) {
	r := seeded(t, 4)
	dropped, kept := 0, 0
	for i := range 250 {
		rings := outline.Trace(blots(r, 20+r.IntN(40), 20+r.IntN(40), 1+r.IntN(5)))
		if i%3 == 0 {
			rings = append(rings, star(r, 30, 30, 25, 3+r.IntN(60)))
		}
		if i%3 == 1 { // thin and winding, so that a ring turns back behind its corners
			rings = append(rings, outline.Trace(noise(r, 4+r.IntN(16), 4+r.IntN(16), 0.62))...)
		}
		for range 4 { // any points at all, so that a ring turns back behind its corners
			var wild outline.Ring
			for range 3 + r.IntN(12) {
				wild = append(wild, outline.Point{X: 30 * r.Float64(), Y: 12 * r.Float64()})
			}
			rings = append(rings, wild)
		}
		tolerance := []float64{0.3, 0.71, 1.5, 4, 12}[r.IntN(5)]
		for _, old := range rings {
			got := outline.Simplify([]outline.Ring{old}, tolerance)
			if len(got) == 0 {
				dropped++
				checkThin(t, old, tolerance)
				continue
			}
			kept++
			next := got[0]
			if len(next) < 3 || len(next) > len(old) || next[0] == next[len(next)-1] {
				t.Fatalf("%d points became %v", len(old), next)
			}
			at := 0
			for _, p := range old {
				if at < len(next) && next[at] == p {
					at++
				}
			}
			if at != len(next) {
				t.Fatalf("%v is not made of points of %v in their order", next, old)
			}
			if d := strays(next, old); d > tolerance+1e-9 {
				t.Fatalf("tolerance %v: the new ring strays %v", tolerance, d)
			}
			if d := strays(old, next); d > tolerance+1e-9 {
				t.Fatalf("tolerance %v: the old ring strays %v", tolerance, d)
			}
		}
	}
	if dropped < 20 || kept < 200 {
		t.Errorf("%d rings were dropped, %d kept: too few to say anything", dropped, kept)
	}
}

// checkThin fails unless some side holds the whole ring within the tolerance.
func checkThin(t *testing.T, r outline.Ring, tolerance float64) {
	t.Helper()
	for _, a := range r {
		for _, b := range r {
			if strays(r, outline.Ring{a, b}) <= tolerance+1e-9 {
				return
			}
		}
	}
	t.Fatalf("tolerance %v: dropped %v", tolerance, r)
}

// What is traced has corners only, so nothing may go at 0.
func TestSimplifyByNothing(t *testing.T) {
	r := seeded(t, 5)
	for range 500 {
		m := randomMask(r, 30)
		rings := outline.Trace(m)
		got := outline.Simplify(rings, 0)
		if len(rings) != len(got) || len(rings) > 0 && !reflect.DeepEqual(rings, got) {
			t.Fatalf("%v became %v\n%s", rings, got, drawn(m))
		}
		if len(got) > 0 {
			got[0][0].X = -1
			if rings[0][0].X == -1 {
				t.Fatal("the result shares memory with what came in")
			}
		}
	}
	square := outline.Ring{{0, 0}, {2, 0}, {4, 0}, {4, 4}, {4, 6}, {4, 8}, {0, 8}, {0, 1}}
	want := []outline.Ring{{{0, 0}, {4, 0}, {4, 8}, {0, 8}}}
	if got := outline.Simplify([]outline.Ring{square}, 0); !reflect.DeepEqual(got, want) {
		t.Errorf("points on straight sides: %v", got)
	}
	for _, flat := range []outline.Ring{nil, {{1, 1}}, {{1, 1}, {2, 2}}, {{1, 1}, {1, 1}, {1, 1}}, {{0, 0}, {2, 2}, {1, 1}, {3, 3}}} {
		if got := outline.Simplify([]outline.Ring{flat}, 0); got != nil {
			t.Errorf("%v became %v", flat, got)
		}
	}
}

// A staircase becomes its slope, a circle a polygon of few sides.
func TestSimplifyTakesStairsAway(t *testing.T) {
	var stairs outline.Ring
	for i := range 50 {
		stairs = append(stairs, outline.Point{X: float64(i), Y: float64(i)}, outline.Point{X: float64(i + 1), Y: float64(i)})
	}
	stairs = append(stairs, outline.Point{X: 50, Y: 50}, outline.Point{X: 0, Y: 50})
	got := outline.Simplify([]outline.Ring{stairs}, 0.75)
	if want := []outline.Ring{{{0, 0}, {50, 50}, {0, 50}}}; !reflect.DeepEqual(got, want) {
		t.Errorf("stairs: %v", got)
	}
	// A chord of a circle of radius r that is d off its arc spans 2 acos(1-d/r).
	m := blots(seeded(t, 6), 1, 1, 0)
	m.W, m.H, m.Pix = 300, 300, make([]bool, 90000)
	for i := range m.Pix {
		m.Pix[i] = math.Hypot(float64(i%300)-149.5, float64(i/300)-149.5) < 120
	}
	n := len(outline.Simplify(outline.Trace(m), 2)[0])
	if least := int(math.Pi / math.Acos(1-4.0/122)); n < least || n > 3*least {
		t.Errorf("a circle has %d points, at least %d are needed", n, least)
	}
}
