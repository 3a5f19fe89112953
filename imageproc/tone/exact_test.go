package tone

import (
	"fmt"
	"math"
	"math/rand"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// exactBlur is the Gaussian of y in double precision, sampled out to 10 sigma
// and folded at half-sample mirrored edges, without any short cut.
func exactBlur(y imageproc.Plane[palette.Y], sigma float64) []float64 {
	mx, my := foldedKernel(y.W, sigma), foldedKernel(y.H, sigma)
	tmp := make([]float64, y.W*y.H)
	for r := range y.H {
		row := y.Row(r)
		for x := range y.W {
			s := 0.0
			for i, w := range mx[x].w {
				s += w * float64(row[mx[x].from+i])
			}
			tmp[r*y.W+x] = s
		}
	}
	out := make([]float64, y.W*y.H)
	for r := range y.H {
		line := out[r*y.W : (r+1)*y.W]
		for i, w := range my[r].w {
			i += my[r].from
			for x, v := range tmp[i*y.W : (i+1)*y.W] {
				line[x] += w * v
			}
		}
	}
	return out
}

// taps are the weights of samples from, from+1, ... in one result.
type taps struct {
	from int
	w    []float64
}

func foldedKernel(n int, sigma float64) []taps {
	r := int(math.Ceil(10*sigma)) + 1
	w := make([]float64, 2*r+1)
	sum := 0.0
	for i := range w {
		t := float64(i-r) / sigma
		w[i] = math.Exp(-t * t / 2)
		sum += w[i]
	}
	m := make([]taps, n)
	for x := range m {
		row := make([]float64, n)
		for i, v := range w {
			k := x + i - r
			for k < 0 || k >= n {
				if k < 0 {
					k = -1 - k
				} else {
					k = 2*n - 1 - k
				}
			}
			row[k] += v / sum
		}
		from, to := 0, n
		for row[from] == 0 {
			from++
		}
		for row[to-1] == 0 {
			to--
		}
		m[x] = taps{from, row[from:to]}
	}
	return m
}

// cieL is CIE L* of Y 0..1 by the formula, for the errors.
func cieL(y float64) float64 {
	if y > 216.0/24389 {
		return 116*math.Cbrt(y) - 16
	}
	return 24389.0 / 27 * y
}

// errorL returns the largest and the rms difference in L*.
func errorL(got []float32, want []float64) (worst, rms float64) {
	for i, v := range got {
		d := math.Abs(cieL(float64(v)) - cieL(want[i]))
		if !(d <= worst) {
			worst = d
		}
		rms += d * d
	}
	return worst, math.Sqrt(rms / float64(len(got)))
}

// scene makes an adversarial picture of black and white (or the levels named).
type scene struct {
	name string
	at   func(x, y int, r *rand.Rand) float64
}

func bit(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func scenes() []scene {
	out := []scene{
		{"checker", func(x, y int, _ *rand.Rand) float64 { return bit((x+y)&1 == 0) }},
		{"checker4", func(x, y int, _ *rand.Rand) float64 { return bit((x/4+y/4)&1 == 0) }},
		{"step", func(x, y int, _ *rand.Rand) float64 { return bit(x > 61) }},
		{"corner", func(x, y int, _ *rand.Rand) float64 { return bit(x > 61 && y > 40) }},
		{"dark corner", func(x, y int, _ *rand.Rand) float64 { return bit(x > 61 || y > 40) }},
		{"points", func(x, y int, _ *rand.Rand) float64 { return bit(x%37 == 5 && y%31 == 3) }},
		{"holes", func(x, y int, _ *rand.Rand) float64 { return bit(!(x%37 == 5 && y%31 == 3)) }},
		{"line", func(x, y int, _ *rand.Rand) float64 { return bit(x == 70) }},
		{"diagonal", func(x, y int, _ *rand.Rand) float64 { return bit(x > y+20) }},
		{"noise", func(_, _ int, r *rand.Rand) float64 { return r.Float64() }},
		{"salt", func(_, _ int, r *rand.Rand) float64 { return bit(r.Float64() < 0.5) }},
		{"sparse", func(_, _ int, r *rand.Rand) float64 { return bit(r.Float64() < 0.002) }},
		{"chirp", func(x, _ int, _ *rand.Rand) float64 { return bit(math.Sin(float64(x*x)/40) > 0) }},
	}
	for _, p := range []int{2, 3, 4, 5, 6, 7, 8, 10, 12, 16, 24} {
		out = append(out, scene{fmt.Sprintf("stripes%d", p), func(x, _ int, _ *rand.Rand) float64 { return bit(2*(x%p) < p) }})
	}
	return out
}

func (s scene) plane(w, h int) imageproc.Plane[palette.Y] {
	r := rand.New(rand.NewSource(7))
	p := imageproc.NewPlane[palette.Y](w, h)
	for y := range h {
		for x := range w {
			p.Set(x, y, float32(s.at(x, y, r)))
		}
	}
	return p
}
