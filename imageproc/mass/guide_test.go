package mass

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/palette/oracle"
)

// solveLine solves (1 + lambda D'WD) u = d by elimination of the full matrix.
func solveLine(d []float64, w []float32, lambda float64) []float64 {
	n := len(d)
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n+1)
		m[i][i], m[i][n] = 1, d[i]
	}
	for i := range n - 1 {
		v := lambda * float64(w[i])
		m[i][i] += v
		m[i+1][i+1] += v
		m[i][i+1] -= v
		m[i+1][i] -= v
	}
	for i := range n {
		for j := range n {
			if j == i {
				continue
			}
			f := m[j][i] / m[i][i]
			for k := i; k <= n; k++ {
				m[j][k] -= f * m[i][k]
			}
		}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = m[i][n] / m[i][i]
	}
	return out
}

func TestSweeps(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 1))
	for _, size := range [][2]int{{1, 1}, {7, 5}, {70, 9}, {9, 66}, {130, 3}} {
		w, h := size[0], size[1]
		u, a, c := make([]float64, w*h), make([]float64, w*h), make([]float64, w*h)
		wx, wy := make([]float32, w*h), make([]float32, w*h)
		for i := range u {
			u[i], a[i] = rng.Float64(), rng.Float64()
			c[i] = u[i]
			if i%w < w-1 {
				wx[i] = rng.Float32() * 5000
			}
			if i/w < h-1 {
				wy[i] = rng.Float32() * 5000
			}
		}
		gotU, gotA, gotC := append([]float64(nil), u...), append([]float64(nil), a...), append([]float64(nil), c...)
		sweepRows(gotU, gotA, wx, w, 0, h, .008, make([]float64, 6*w))
		sweepColumns(gotC, wy, w, h, 0, w, .008, make([]float64, h*stripWidth))
		for y := range h {
			for i, v := range solveLine(u[y*w:][:w], wx[y*w:], .008) {
				oracle.Close(t, "row", gotU[y*w+i], v, 1e-10)
			}
			for i, v := range solveLine(a[y*w:][:w], wx[y*w:], .008) {
				oracle.Close(t, "row, second", gotA[y*w+i], v, 1e-10)
			}
		}
		for x := range w {
			d, wt := make([]float64, h), make([]float32, h)
			for y := range h {
				d[y], wt[y] = c[y*w+x], wy[y*w+x]
			}
			for y, v := range solveLine(d, wt, .008) {
				oracle.Close(t, "column", gotC[y*w+x], v, 1e-10)
			}
		}
	}
}

func guideOf(t *testing.T, l []uint16, w, h, threads int) []uint16 {
	t.Helper()
	g := guide{w: w, h: h, threads: threads}
	out := make([]uint16, w*h)
	if err := g.run(context.Background(), out, l, float64(max(w, h))); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestGuide: texture goes, an edge stays where it is.
func TestGuide(t *testing.T) {
	const w, h = 240, 160
	rng := rand.New(rand.NewPCG(42, 1))
	l := make([]uint16, w*h)
	for i := range l {
		v := 40.0
		if i%w >= w/2 {
			v = 65
		}
		l[i] = uint16((v + 3*rng.NormFloat64()) * stepsL)
	}
	g := guideOf(t, l, w, h, 1)
	for side, want := range map[int]float64{0: 40, w / 2: 65} {
		sum, sq := 0.0, 0.0
		for y := range h {
			for x := side + 8; x < side+w/2-8; x++ {
				d := float64(g[y*w+x])/stepsL - want
				sum += d
				sq += d * d
			}
		}
		n := float64(h * (w/2 - 16))
		oracle.Close(t, "mean", sum/n, 0, .3)
		if spread := math.Sqrt(sq / n); !(spread < .6) {
			t.Errorf("texture of 3 L* left with spread %.2f", spread)
		}
	}
	for y := range h {
		best, at := 0, 0
		for x := 1; x < w; x++ {
			if d := int(g[y*w+x]) - int(g[y*w+x-1]); d > best {
				best, at = d, x
			}
		}
		if at < w/2-1 || at > w/2+1 || best < 4*stepsL {
			t.Fatalf("row %d: steepest at %d by %.1f L*", y, at, float64(best)/stepsL)
		}
	}
}

func TestGuideTurned(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 1))
	const w, h = 37, 22
	l := noiseSteps(rng, w*h)
	m, tr := make([]uint16, w*h), make([]uint16, w*h)
	for i, v := range l {
		m[i/w*w+w-1-i%w], tr[i%w*h+i/w] = v, v
	}
	a, two := guideOf(t, l, w, h, 1), guideOf(t, l, w, h, 3)
	gm, gt := guideOf(t, m, w, h, 1), guideOf(t, tr, h, w, 1)
	for i, v := range a {
		if v != two[i] || v != gm[i/w*w+w-1-i%w] || v != gt[i%w*h+i/w] {
			t.Fatalf("pixel %d: %d, three threads %d, mirrored %d, transposed %d", i, v, two[i], gm[i/w*w+w-1-i%w], gt[i%w*h+i/w])
		}
	}
}

func TestGradients(t *testing.T) {
	const w, h = 40, 30
	guide, a, b := make([]uint16, w*h), make([]int16, w*h), make([]int16, w*h)
	for i := range guide {
		x, y := float64(i%w), float64(i/w)
		guide[i] = uint16((30+.3*x+.4*y)*stepsL + .5) // slope .5
		a[i] = int16(.1 * x * stepsAB)
		b[i] = int16(-.2 * y * stepsAB)
	}
	rise, edge := make([]uint16, w*h), make([]uint16, w*h)
	gradients(rise, edge, guide, a, b, w, h, 2)
	for y := 6; y < h-6; y++ {
		for x := 6; x < w-6; x++ {
			oracle.Close(t, "gradient of a plane", float64(rise[y*w+x])/stepsL, .5, .003)
			oracle.Close(t, "with colour", float64(edge[y*w+x])/stepsL, math.Sqrt(.25+4*(.01+.04)), .01)
		}
	}
}
