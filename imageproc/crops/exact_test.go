package crops

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/tone"
)

// The ground is the exact mean by area: the project's own averaging gives the same
// to its rounding.
func TestGroundIsTheMeanByArea(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 8))
	for range 12 {
		pic := imageproc.NewPicture(1+r.IntN(900), 1+r.IntN(900))
		for _, plane := range pic.Planes() {
			for i := range plane.Pix {
				plane.Pix[i] = r.Float32()
			}
		}
		g := newGround(pic, pic.Size())
		if g.w > groundSide || g.h > groundSide {
			t.Fatalf("ground of %d by %d", g.w, g.h)
		}
		want := imageproc.NewPicture(g.w, g.h)
		imageproc.Average(want, pic, imageproc.WholeBox(pic.R.W, pic.R.H))
		for i, p := range g.picture.Planes() {
			for j, v := range p.Pix {
				if d := math.Abs(float64(v - want.Planes()[i].Pix[j])); d > 1e-5 {
					t.Fatalf("%v: pixel %d is %v, not %v", pic.Size(), j, v, want.Planes()[i].Pix[j])
				}
			}
		}
	}
}

// Runs of counted bins have the least squared error that exact k-means finds.
func TestBinsArePartedBest(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	for range 500 {
		var h [bins]int32
		var values, weights []float64
		for b := range h {
			if h[b] = int32(max(0, r.IntN(40)-15)); h[b] > 0 {
				values, weights = append(values, float64(b)), append(weights, float64(h[b]))
			}
		}
		if len(values) == 0 {
			continue
		}
		k := 2 + r.IntN(4)
		of, runs := partBins(&h, k)
		if runs != min(k, len(values)) {
			t.Fatalf("%d runs of %d bins for %d", runs, len(values), k)
		}
		_, want := tone.KMeans(values, weights, k)
		var n, sum, square [5]float64
		for b, c := range h {
			v, w := of[b], float64(c)
			n[v], sum[v], square[v] = n[v]+w, sum[v]+w*float64(b), square[v]+w*float64(b*b)
		}
		got := 0.0
		for v := range runs {
			got += square[v] - sum[v]*sum[v]/n[v]
		}
		if math.Abs(got-want) > 1e-6*(1+want) {
			t.Fatalf("%v into %d: error %v, not %v", h, k, got, want)
		}
	}
}

// Sums over the survey are what counting gives.
func TestSurveyCounts(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 10))
	pic := quay(r, 200, 150)
	s := newSurvey(newGround(pic, image.Pt(200, 150)), 1)
	for range 100 {
		x, y := r.IntN(s.w-1), r.IntN(s.h-1)
		q := rect{x, y, x + 1 + r.IntN(s.w-x), y + 1 + r.IntN(s.h-y)}
		h, n := s.histogram(q), int32(0)
		for _, c := range h {
			n += c
		}
		if want := int32((q.x1 - q.x0) * (q.y1 - q.y0)); n != want {
			t.Fatalf("%v has %d pixels, not %d", q, n, want)
		}
		parts := s.contrast(rect{q.x0, q.y0, q.x0 + 1, q.y1})
		if q.x1 > q.x0+1 {
			parts += s.contrast(rect{q.x0 + 1, q.y0, q.x1, q.y1})
		}
		if whole := s.contrast(q); whole != parts || whole < 0 {
			t.Fatalf("contrast %d, of its parts %d", whole, parts)
		}
	}
}

// Shapes are the parts that touch along a side, as a flood fill finds them, and no
// crumb is left where there is something larger beside it.
func TestShapes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 11))
	for range 40 {
		w, h, k := 30+r.IntN(80), 30+r.IntN(80), 2+r.IntN(3)
		values := imageproc.NewLabels(w, h)
		for range 40 {
			v, cx, cy, rx, ry := int32(r.IntN(k)), r.IntN(w), r.IntN(h), 1+r.IntN(15), 1+r.IntN(15)
			for y := max(0, cy-ry); y < min(h, cy+ry); y++ {
				for x := max(0, cx-rx); x < min(w, cx+rx); x++ {
					values.Row(y)[x] = v
				}
			}
		}
		var s shaper
		labels, value := s.shapes(values, k)
		seen := make([]bool, w*h)
		parts := 0
		for i := range seen {
			if seen[i] {
				continue
			}
			id, n, stack := labels.Pix[i], 0, []int{i}
			if int(id) != parts || value[id] != values.Pix[i] {
				t.Fatalf("part %d is numbered %d, of value %d", parts, id, value[id])
			}
			parts++
			for seen[i] = true; len(stack) > 0; n++ {
				j := stack[len(stack)-1]
				stack = stack[:len(stack)-1]
				if labels.Pix[j] != id {
					t.Fatal("a part with two numbers")
				}
				x, y := j%w, j/w
				for _, p := range [][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
					if p[0] >= 0 && p[1] >= 0 && p[0] < w && p[1] < h {
						if q := p[1]*w + p[0]; !seen[q] && values.Pix[q] == values.Pix[i] {
							seen[q] = true
							stack = append(stack, q)
						}
					}
				}
			}
			if int32(n) != s.area[id] {
				t.Fatalf("part %d has %d pixels, not %d", id, s.area[id], n)
			}
		}
		if parts != len(value) {
			t.Fatalf("%d shapes, %d parts", len(value), parts)
		}
	}
}
