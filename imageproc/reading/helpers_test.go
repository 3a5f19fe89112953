package reading

import (
	"image"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// drawn returns the design of a picture of values, drawn by f: its shapes are the
// parts of one value that touch along a side, in raster order. The photo is the
// picture; k values are N1 to N9 in equal steps.
func drawn(w, h, k int, f func(x, y int) int) Design {
	d := Design{Map: imageproc.NewLabels(w, h), Photo: image.Pt(w, h), Crop: image.Rect(0, 0, w, h), Kept: 0.9}
	for i := range k {
		d.Tones = append(d.Tones, palette.Value(1+8*float64(i)/float64(max(1, k-1))).L())
	}
	values := make([]int, w*h)
	for i := range values {
		values[i] = f(i%w, i/w)
		d.Map.Pix[i] = -1
	}
	for i := range values {
		if d.Map.Pix[i] >= 0 {
			continue
		}
		id := int32(len(d.Shapes))
		d.Shapes = append(d.Shapes, study.Shape{Value: values[i], Tone: d.Tones[values[i]]})
		stack := []int{i}
		d.Map.Pix[i] = id
		for len(stack) > 0 {
			j := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x, y := j%w, j/w
			for _, p := range [][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
				if p[0] < 0 || p[1] < 0 || p[0] >= w || p[1] >= h {
					continue
				}
				if n := p[1]*w + p[0]; d.Map.Pix[n] < 0 && values[n] == values[i] {
					d.Map.Pix[n] = id
					stack = append(stack, n)
				}
			}
		}
	}
	return d
}

// focused gives the design a focal point in fractions of the picture.
func (d Design) focused(x, y, radius float64) Design {
	d.Focus = plan.Focus{X: x, Y: y, Radius: radius}
	return d
}

// in reports whether a pixel lies in a rectangle, its far edges not included.
func in(x, y, x0, y0, x1, y1 int) bool { return x >= x0 && x < x1 && y >= y0 && y < y1 }

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %v, not %v (to %v)", what, got, want, tol)
	}
}

func nearPoint(t *testing.T, what string, got plan.Point, x, y, tol float64) {
	t.Helper()
	near(t, what+" across", got.X, x, tol)
	near(t, what+" down", got.Y, y, tol)
}

// asks reports whether a line of a topic asks.
func asks(r Reading, on Topic) bool {
	for _, l := range r.Lines(plan.Centimetre) {
		if l.Topic == on && l.Asks {
			return true
		}
	}
	return false
}

// sound fails on figures that are no numbers, on shares that do not sum to 1 and
// on lines that are too long, without words or out of order.
func sound(t *testing.T, r Reading) {
	t.Helper()
	finite(t, "Reading", reflect.ValueOf(r))
	sum := 0.0
	for _, s := range r.Values.Shares {
		sum += s
	}
	near(t, "shares", sum, 1, 1e-9)
	if b := r.Borders; b.Known {
		near(t, "hard, soft and lost", b.Hard+b.Soft+b.Lost, 1, 1e-9)
	}
	for _, share := range []float64{r.Simplicity.Changed, r.Edges.Sides[Left].Share, r.Darks.Darkest.Largest, r.Lights.Light.Largest, r.Placement.LeftWeight, r.Placement.TopWeight, r.Directions.Pointing, r.Directions.Anywhere} {
		if share < -1e-12 || share > 1+1e-9 {
			t.Errorf("share %v", share)
		}
	}
	lines := r.Lines(plan.Inch)
	if len(lines) == 0 {
		t.Error("no lines")
	}
	for i, l := range lines {
		if n := len([]rune(l.Words)); n == 0 || n > 66 {
			t.Errorf("%d characters: %s", n, l.Words)
		}
		if l.Topic == "" || l.Weight < 0 || l.Weight > 1 {
			t.Errorf("line %+v", l)
		}
		if i > 0 && (l.Asks && !lines[i-1].Asks || l.Asks == lines[i-1].Asks && l.Weight > lines[i-1].Weight) {
			t.Errorf("line %d out of order: %+v", i, l)
		}
		for _, p := range l.At {
			if p.X < -1e-9 || p.X > 1+1e-9 || p.Y < -1e-9 || p.Y > 1+1e-9 {
				if !(r.Focal.Set && p == r.Focal.At) {
					t.Errorf("%s: a place off the photo, %v", l.Words, p)
				}
			}
		}
	}
}

func finite(t *testing.T, name string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			t.Errorf("%s is %v", name, v.Float())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finite(t, name+"."+v.Type().Field(i).Name, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			finite(t, name, v.Index(i))
		}
	}
}

// scattered returns a random design of rectangles, discs and slanting strips.
func scattered(r *rand.Rand, w, h, k, n int) Design {
	values := make([]int, w*h)
	for range n {
		v, cx, cy, rx, ry := r.IntN(k), r.IntN(w), r.IntN(h), 1+r.IntN(1+w/4), 1+r.IntN(1+h/4)
		kind, slope := r.IntN(3), r.Float64()*2-1
		for y := range h {
			for x := range w {
				dx, dy := x-cx, y-cy
				hit := false
				switch kind {
				case 0:
					hit = max(dx, -dx) < rx/2 && max(dy, -dy) < ry/2
				case 1:
					hit = float64(dx*dx)/float64(rx*rx)+float64(dy*dy)/float64(ry*ry) < 0.3
				default:
					hit = math.Abs(float64(dy)-slope*float64(dx)) < float64(ry)/6
				}
				if hit {
					values[y*w+x] = v
				}
			}
		}
	}
	return drawn(w, h, k, func(x, y int) int { return values[y*w+x] })
}
