package outline_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
)

// seeded returns a generator whose seed is the same in every run and is printed
// when the test fails.
func seeded(t testing.TB, seed uint64) *rand.Rand {
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("random seed %d", seed)
		}
	})
	return rand.New(rand.NewPCG(seed, 0x0471))
}

// noise returns a mask in which each pixel is marked with the chance p.
func noise(r *rand.Rand, w, h int, p float64) imageproc.Mask {
	m := imageproc.NewMask(w, h)
	for i := range m.Pix {
		m.Pix[i] = r.Float64() < p
	}
	return m
}

// blots returns a mask of round blots with round holes in them.
func blots(r *rand.Rand, w, h, n int) imageproc.Mask {
	m := imageproc.NewMask(w, h)
	for i := range n {
		cx, cy := r.Float64()*float64(w), r.Float64()*float64(h)
		rad := (0.03 + 0.25*r.Float64()) * float64(min(w, h))
		for y := range h {
			for x := range w {
				if math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy) < rad {
					m.Pix[y*w+x] = i%3 != 2
				}
			}
		}
	}
	return m
}

// randomMask returns a mask of any size and density, empty and full ones too.
func randomMask(r *rand.Rand, most int) imageproc.Mask {
	w, h := 1+r.IntN(most), 1+r.IntN(most)
	switch r.IntN(4) {
	case 0:
		return blots(r, w, h, 1+r.IntN(8))
	case 1:
		return noise(r, w, h, []float64{0, 0.02, 0.98, 1}[r.IntN(4)])
	}
	return noise(r, w, h, r.Float64())
}

// ofRows reads a mask from rows of 0 and 1 joined by '/'.
func ofRows(t testing.TB, rows string) imageproc.Mask {
	t.Helper()
	lines := strings.Split(rows, "/")
	m := imageproc.NewMask(len(lines[0]), len(lines))
	for y, line := range lines {
		if len(line) != m.W {
			t.Fatalf("row %d of %q has another length", y, rows)
		}
		for x, c := range line {
			m.Pix[y*m.W+x] = c == '1'
		}
	}
	return m
}

func drawn(m imageproc.Mask) string {
	var b strings.Builder
	for y := range m.H {
		for x := range m.W {
			b.WriteByte(".#"[btoi(m.Pix[y*m.W+x])])
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// star returns a ring of n points round (cx, cy) that does not cross itself.
func star(r *rand.Rand, cx, cy, radius float64, n int) outline.Ring {
	out := make(outline.Ring, n)
	for i := range out {
		a := 2 * math.Pi * float64(i) / float64(n)
		d := radius * (0.5 + 0.5*r.Float64())
		out[i] = outline.Point{X: cx + d*math.Cos(a), Y: cy + d*math.Sin(a)}
	}
	return out
}

func mustPanic(t *testing.T, prefix string, f func()) {
	t.Helper()
	defer func() {
		t.Helper()
		if s, _ := recover().(string); !strings.HasPrefix(s, "outline: "+prefix) {
			t.Errorf("panics with %q, want outline: %s...", s, prefix)
		}
	}()
	f()
}
