package mass

import (
	"context"
	"math"
)

// guide takes texture out of lightness and keeps edges. It holds 24 bytes a
// pixel of scratch.
type guide struct {
	w, h    int
	threads int
	u, a    []float64
	wx, wy  []float32
	scratch [][]float64 // one a band
}

// run writes the guide of l into dst, both in steps of L*; long is the longer
// side in pixels. Each round weighs what it smooths less where a blur of the
// round before still shows a difference; rows and columns are swept in both
// orders and averaged, so that a turned picture gives the turned guide.
//
// Source: relative total variation, Xu, Yan, Xia, Jia 2012, ACM TOG 31, eq. 4-9;
// separable sweeps, Min et al. 2014, IEEE TIP 23. Symmetric weights, both orders
// and the constants: ours.
func (g *guide) run(ctx context.Context, dst, l []uint16, long float64) error {
	n := g.w * g.h
	g.u, g.a = resize(g.u, n), resize(g.a, n)
	g.wx, g.wy = resize(g.wx, n), resize(g.wy, n)
	g.load(l)
	for round := range 2 {
		g.blur(max(.004*long/float64(int(1)<<round), .5))
		g.weigh()
		g.load(l)
		for _, lambda := range [2]float64{.008, .002} {
			if err := ctx.Err(); err != nil {
				return err
			}
			g.solve(lambda)
		}
	}
	bands(g.threads, n, func(_, lo, hi int) {
		u, d := g.u[lo:hi], dst[lo:hi]
		for i, v := range u {
			d[i] = uint16(float64(math.Max(0, v)*(100*stepsL)) + .5)
		}
	})
	return nil
}

// load sets u to l as 0..1.
func (g *guide) load(l []uint16) {
	u := g.u[:len(l)]
	for i, v := range l {
		u[i] = float64(v) * (1. / (100 * stepsL))
	}
}

// blur sets a to a Gaussian of u.
func (g *guide) blur(sigma float64) {
	k := gaussKernel[float64](sigma)
	bands(g.threads, g.h, func(_, lo, hi int) {
		buf := make([]float64, g.w+2*len(k))
		for y := lo; y < hi; y++ {
			filterRow(g.a[y*g.w:][:g.w], g.u, g.w, g.h, y, k, buf)
		}
	})
}

// weigh sets wx and wy from u and its blur a. wx at x couples x with x + 1, wy
// at y couples y with y + 1; a pair beyond the picture has weight zero.
func (g *guide) weigh() {
	bands(g.threads, g.h, func(_, lo, hi int) {
		w := g.w
		down := make([]float64, w)   // squared differences to the row below
		up := make([]float64, w)     // and to the row above
		here := make([]float64, w+1) // squared differences along the row, one in front
		next := make([]float64, w+1) // along the row below
		g.downSquares(up, lo-1)
		g.alongSquares(next, lo)
		for y := lo; y < hi; y++ {
			here, next = next, here
			g.downSquares(down, y)
			g.alongSquares(next, y+1)
			g.weighRow(y, here, next, up, down)
			up, down = down, up
		}
	})
}

// downSquares sets d to the squared differences between rows y and y + 1 of u.
func (g *guide) downSquares(d []float64, y int) {
	if y < 0 || y >= g.h-1 {
		clear(d)
		return
	}
	p, q := g.u[y*g.w:][:len(d)], g.u[(y+1)*g.w:][:len(d)]
	for x := range d {
		v := q[x] - p[x]
		d[x] = v * v
	}
}

// alongSquares sets d[x+1] to the squared difference of x and x + 1 in row y of u.
func (g *guide) alongSquares(d []float64, y int) {
	if y >= g.h {
		clear(d)
		return
	}
	p := g.u[y*g.w:][:g.w]
	d[0], d[g.w] = 0, 0
	for x := 1; x < len(p); x++ {
		v := p[x] - p[x-1]
		d[x] = v * v
	}
}

func (g *guide) weighRow(y int, here, next, up, down []float64) {
	w := g.w
	wx, wy, blur := g.wx[y*w:][:w], g.wy[y*w:][:w], g.a[y*w:][:w]
	for x := range w - 1 {
		q := (up[x] + down[x]) + (up[x+1] + down[x+1])
		wx[x] = coupling(here[x+1]+q/4, blur[x+1]-blur[x])
	}
	wx[w-1] = 0
	if y == g.h-1 {
		clear(wy)
		return
	}
	below := g.a[(y+1)*w:][:w]
	for x := range w {
		q := (here[x] + here[x+1]) + (next[x] + next[x+1])
		wy[x] = coupling(down[x]+q/4, below[x]-blur[x])
	}
}

// coupling is weak across what is steep both in the picture (squared slope
// square) and in its blur (difference d).
func coupling(square, d float64) float32 {
	slope := .02
	if square > .02*.02 {
		slope = math.Sqrt(square)
	}
	return float32(1 / (slope * max(math.Abs(d), .001)))
}

// solve replaces u by the mean of both orders of sweeps.
func (g *guide) solve(lambda float64) {
	w, h := g.w, g.h
	if len(g.scratch) < g.threads {
		g.scratch = make([][]float64, g.threads)
	}
	bands(g.threads, w, func(band, lo, hi int) {
		for y := range h {
			copy(g.a[y*w+lo:y*w+hi], g.u[y*w+lo:y*w+hi])
		}
		g.scratch[band] = resize(g.scratch[band], max(h*stripWidth, 6*w))
		sweepColumns(g.a, g.wy, w, h, lo, hi, lambda, g.scratch[band])
	})
	bands(g.threads, h, func(band, lo, hi int) {
		g.scratch[band] = resize(g.scratch[band], max(h*stripWidth, 6*w))
		sweepRows(g.u, g.a, g.wx, w, lo, hi, lambda, g.scratch[band])
	})
	bands(g.threads, w, func(band, lo, hi int) {
		sweepColumns(g.u, g.wy, w, h, lo, hi, lambda, g.scratch[band])
		for y := range h {
			u, a := g.u[y*w+lo:y*w+hi], g.a[y*w+lo:y*w+hi]
			for i := range u {
				u[i] = (u[i] + a[i]) / 2
			}
		}
	})
}
