package mass

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
)

func TestFlatIsOneShape(t *testing.T) {
	for _, l := range []float64{0, 37, 100} {
		b := build(t, grey(60, 40, func(_, _ int) float64 { return l }), Options{})
		for k := 1; k <= 5; k++ {
			p := planAt(b, k, 12)
			if len(p.Shapes) != 1 || p.Next != -1 || len(p.Borders) != 0 {
				t.Errorf("flat %v, %d values: %d shapes, next %d", l, k, len(p.Shapes), p.Next)
			}
			if got := float64(p.Shapes[0].Mean); !(math.Abs(got-l) < .01) {
				t.Errorf("flat %v: tone %v", l, got)
			}
		}
	}
}

// TestStepIsTwoShapes: two flat halves, border exactly on the step.
func TestStepIsTwoShapes(t *testing.T) {
	// At 768 the guide's window is wider: a step of 7 is softer than an edge there.
	for _, c := range []struct {
		step float64
		w    int
	}{{7.2, 480}, {10, 480}, {20, 480}, {10, 768}, {48, 300}} {
		step, w := c.step, c.w
		b := build(t, grey(w, w/4, func(x, _ int) float64 {
			if x < w/2 {
				return 30
			}
			return 30 + step
		}), Options{})
		p := planAt(b, 2, 12)
		if len(p.Shapes) != 2 {
			t.Errorf("step %v at %d: %d shapes", step, w, len(p.Shapes))
			continue
		}
		for y := range p.Labels.H {
			for x, l := range p.Labels.Row(y) {
				if want := int32(x / (w / 2)); l != want {
					t.Fatalf("step %v at %d: pixel %d,%d in shape %d", step, w, x, y, l)
				}
			}
		}
		if b := p.Borders; len(b) != 1 || b[0].Len != p.Labels.H || !(math.Abs(float64(b[0].Gap)-step) < .01) {
			t.Errorf("step %v: borders %v", step, b)
		}
	}
}

// TestSmallStepIsOneShape: what is too soft to be an edge does not part a sky.
func TestSmallStepIsOneShape(t *testing.T) {
	for _, step := range []float64{3.1, 5.1} {
		b := build(t, grey(480, 160, func(x, _ int) float64 { return 50 + step*float64(x/240) }), Options{})
		if p := planAt(b, 2, 12); len(p.Shapes) != 1 {
			t.Errorf("step %v: %d shapes", step, len(p.Shapes))
		}
	}
}

// TestRampIsOneShape: a sky that grows lighter without an edge is one shape.
func TestRampIsOneShape(t *testing.T) {
	for _, w := range []int{300, 480, 768} {
		b := build(t, grey(w, w/4, func(x, _ int) float64 { return 20 + 60*float64(x)/float64(w) }), Options{})
		for k := 2; k <= 4; k++ {
			if p := planAt(b, k, 12); len(p.Shapes) != 1 {
				t.Errorf("ramp of %d, %d values: %d shapes", w, k, len(p.Shapes))
			}
		}
	}
}

// TestDegenerate: no picture is too small, and nothing turns to NaN.
func TestDegenerate(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {1, 40}, {40, 1}, {2, 2}, {3, 1}, {5, 4}} {
		for name, l := range map[string]func(x, y int) float64{
			"black": func(_, _ int) float64 { return 0 },
			"white": func(_, _ int) float64 { return 100 },
			"mixed": func(x, y int) float64 { return float64((x*37 + y*53) % 101) },
			"NaN":   func(x, _ int) float64 { return []float64{50, math.NaN(), math.Inf(1)}[x%3] },
		} {
			b := build(t, grey(size[0], size[1], l), Options{Focus: &Focus{X: .5, Y: .5}})
			for k := 1; k <= 5; k++ {
				for _, how := range []Method{Nested, LeastError, EqualSteps} {
					lay := b.Values(Cutting{Values: k, Method: how})
					p := lay.Shapes(imageproc.Labels{}, 3)
					checkPlan(t, fmt.Sprintf("%s %v K %d", name, size, k), b, p, 3)
				}
			}
		}
	}
}

// checkPlan holds what is true of every plan.
func checkPlan(t testing.TB, what string, b *Base, p Plan, s int) {
	t.Helper()
	values := imageproc.NewLabels(p.Labels.W, p.Labels.H)
	area := make([]int, len(p.Shapes))
	for i, l := range p.Labels.Pix {
		if l < 0 || int(l) >= len(p.Shapes) {
			t.Fatalf("%s: label %d of %d shapes", what, l, len(p.Shapes))
		}
		values.Pix[i] = int32(p.Shapes[l].Value)
		area[l]++
	}
	comp := imageproc.NewLabels(values.W, values.H)
	if n := Components(comp, values); n != len(p.Shapes) || !slices.Equal(comp.Pix, p.Labels.Pix) {
		t.Fatalf("%s: shapes are not the connected parts of equal value, in raster order: %d, %d", what, n, len(p.Shapes))
	}
	if len(p.Shapes) > s {
		t.Errorf("%s: %d shapes, asked for %d", what, len(p.Shapes), s)
	}
	for i, sh := range p.Shapes {
		if sh.Area != area[i] || math.IsNaN(float64(sh.Mean)) {
			t.Errorf("%s: shape %d has area %d, counted %d, mean %v", what, i, sh.Area, area[i], sh.Mean)
		}
	}
	for k, tone := range p.Tones {
		if !(tone >= 0 && tone <= 100) || k > 0 && p.Shares[k] > 0 && p.Shares[k-1] > 0 && !(tone > p.Tones[k-1]) {
			t.Errorf("%s: tones %v do not rise", what, p.Tones)
		}
	}
	for _, e := range p.Borders {
		if p.Shapes[e.A].Value == p.Shapes[e.B].Value {
			t.Errorf("%s: neighbours %d and %d of one value", what, e.A, e.B)
		}
	}
	// Every shape is a union of base shapes.
	of := make([]int32, len(b.shapes))
	for i := range of {
		of[i] = -1
	}
	for i, l := range b.labels.Pix {
		if of[l] >= 0 && of[l] != p.Labels.Pix[i] {
			t.Fatalf("%s: base shape %d is cut", what, l)
		}
		of[l] = p.Labels.Pix[i]
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Build(ctx, harbour(90, 60, 1), Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}
