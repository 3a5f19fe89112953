package outline_test

import (
	"reflect"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/palette/oracle"
)

// Hand count on twelve small masks, cross-checked with scipy.ndimage.label 1.10.1
// and skimage.measure.euler_number 0.19.3.
func TestTracePublished(t *testing.T) {
	for _, r := range oracle.Load(t, "t07_components.csv", 12).Rows {
		name := r.Text(t, "name")
		parts, holes, length := 0, 0, 0.0
		for _, ring := range outline.Trace(ofRows(t, r.Text(t, "rows"))) {
			if outline.Area(ring) > 0 {
				parts++
			} else {
				holes++
			}
			length += outline.Length(ring)
		}
		oracle.Close(t, name+" parts", float64(parts), r.Num(t, "comp4"), 0)
		oracle.Close(t, name+" holes", float64(holes), r.Num(t, "holes_for_4conn_fg"), 0)
		oracle.Close(t, name+" Euler", float64(parts-holes), r.Num(t, "euler4"), 0)
		oracle.Close(t, name+" length", length, r.Num(t, "perimeter_edges"), 0)
	}
}

// By hand: pixels that touch at a corner are two parts, a hole is as large as
// what is unmarked there, and the order is fixed.
func TestTraceByHand(t *testing.T) {
	for _, c := range []struct {
		rows string
		want []outline.Ring
	}{
		{"000/000", nil},
		{"1", []outline.Ring{{{0, 0}, {1, 0}, {1, 1}, {0, 1}}}},
		{"10/01", []outline.Ring{{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, {{1, 1}, {2, 1}, {2, 2}, {1, 2}}}},
		{"01/10", []outline.Ring{{{1, 0}, {2, 0}, {2, 1}, {1, 1}}, {{0, 1}, {1, 1}, {1, 2}, {0, 2}}}},
		{"111/101/111", []outline.Ring{{{0, 0}, {3, 0}, {3, 3}, {0, 3}}, {{1, 1}, {1, 2}, {2, 2}, {2, 1}}}},
		{"011/110", []outline.Ring{{{1, 0}, {3, 0}, {3, 1}, {2, 1}, {2, 2}, {0, 2}, {0, 1}, {1, 1}}}},
		// Two holes that touch at a corner are one, which passes that corner twice.
		{"1111/1101/1011/1111", []outline.Ring{
			{{0, 0}, {4, 0}, {4, 4}, {0, 4}},
			{{2, 1}, {2, 2}, {1, 2}, {1, 3}, {2, 3}, {2, 2}, {3, 2}, {3, 1}},
		}},
	} {
		if got := outline.Trace(ofRows(t, c.rows)); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", c.rows, got, c.want)
		}
	}
}

func TestTraceThenFill(t *testing.T) {
	r := seeded(t, 1)
	for range 3000 {
		m := randomMask(r, 40)
		rings := outline.Trace(m)
		got := imageproc.NewMask(m.W, m.H)
		for i := range got.Pix {
			got.Pix[i] = r.IntN(2) == 0 // Fill clears first
		}
		outline.Fill(got, rings)
		if !slices.Equal(got.Pix, m.Pix) {
			t.Fatalf("traced and filled:\n%s\n%s", drawn(m), drawn(got))
		}
		checkCorners(t, m, rings)
	}
}

// checkCorners holds the rings to what Trace promises of them.
func checkCorners(t *testing.T, m imageproc.Mask, rings []outline.Ring) {
	t.Helper()
	marked, area := 0, 0.0
	for _, b := range m.Pix {
		marked += btoi(b)
	}
	var last outline.Point
	for i, ring := range rings {
		area += outline.Area(ring)
		if first := ring[0]; i > 0 && !(first.Y > last.Y || first.Y == last.Y && first.X > last.X) {
			t.Fatalf("ring %d begins at %v after %v\n%s", i, first, last, drawn(m))
		}
		last = ring[0]
		for j, p := range ring {
			q, o := ring[(j+1)%len(ring)], ring[(j+2)%len(ring)]
			if (p.X == q.X) == (p.Y == q.Y) || (p.X == q.X) == (q.X == o.X) {
				t.Fatalf("ring %d: %v, %v, %v is no corner of pixels\n%s", i, p, q, o, drawn(m))
			}
			if p.Y < ring[0].Y || p.Y == ring[0].Y && p.X < ring[0].X {
				t.Fatalf("ring %d begins at %v and passes %v\n%s", i, ring[0], p, drawn(m))
			}
		}
	}
	if area != float64(marked) {
		t.Fatalf("rings of area %v round %d pixels\n%s", area, marked, drawn(m))
	}
}

// Filled by the definition: a line to the left of each middle is followed and
// its crossings are counted.
func TestFillIsEvenOdd(t *testing.T) {
	r := seeded(t, 2)
	for range 400 {
		m := imageproc.NewMask(1+r.IntN(40), 1+r.IntN(40))
		rings := make([]outline.Ring, r.IntN(4))
		for i := range rings {
			for range r.IntN(9) {
				p := outline.Point{X: 80*r.Float64() - 20, Y: 80*r.Float64() - 20}
				if r.IntN(2) == 0 { // corners on corners and on middles of pixels
					p.X, p.Y = float64(r.IntN(80)-20)/2, float64(r.IntN(80)-20)/2
				}
				rings[i] = append(rings[i], p)
			}
		}
		outline.Fill(m, rings)
		for y := range m.H {
			for x := range m.W {
				if want := inside(rings, float64(x)+0.5, float64(y)+0.5); m.Pix[y*m.W+x] != want {
					t.Fatalf("pixel %d, %d of %v: %v", x, y, rings, !want)
				}
			}
		}
	}
}

// inside is the even-odd rule as it is commonly written, by products instead of
// quotients. Source: common practice, from memory.
func inside(rings []outline.Ring, x, y float64) bool {
	in := false
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a.Y > y) == (b.Y > y) {
				continue
			}
			if a.Y > b.Y {
				a, b = b, a
			}
			// Not right of (x, y), where the line from a to b passes its height.
			if (y-a.Y)*(b.X-a.X) <= (x-a.X)*(b.Y-a.Y) {
				in = !in
			}
		}
	}
	return in
}

// Parts side by side share no pixel and leave none out.
func TestFillOfNeighbours(t *testing.T) {
	r := seeded(t, 3)
	for range 300 {
		w, h := 1+r.IntN(50), 1+r.IntN(50)
		fan := star(r, float64(w)/2, float64(h)/2, float64(w+h), 3+r.IntN(9))
		middle := outline.Point{X: float64(w) * r.Float64(), Y: float64(h) * r.Float64()}
		times := make([]int, w*h)
		m := imageproc.NewMask(w, h)
		for i, p := range fan {
			outline.Fill(m, []outline.Ring{{middle, p, fan[(i+1)%len(fan)]}})
			for j, marked := range m.Pix {
				times[j] += btoi(marked)
			}
		}
		outline.Fill(m, []outline.Ring{fan})
		for j, marked := range m.Pix {
			if times[j]%2 != btoi(marked) {
				t.Fatalf("pixel %d lies in %d parts, in the whole: %v", j, times[j], marked)
			}
		}
	}
}
