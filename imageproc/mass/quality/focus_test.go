package quality

import (
	"math"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// focusRadius is the radius of the focus in fractions of the longer side.
const focusRadius = .20

// focusShapes is how many shapes plans with and without a focus have at most.
const focusShapes = 16

// focused says what a plan has inside the radius around (fx, fy): how many
// shapes whose middle lies there, and outside, and the squint error in both.
type focused struct{ near, far, errorNear, errorFar float64 }

func lookAt(pic imageproc.Picture, f Flat, fx, fy float64) focused {
	w, h := pic.R.W, pic.R.H
	long := float64(max(w, h))
	within := func(x, y float64) bool {
		return math.Hypot(x-fx*float64(w), y-fy*float64(h)) < focusRadius*long
	}
	var out focused
	shapes := shapesOf(f)
	n, xs, ys := make([]float64, f.Shapes), make([]float64, f.Shapes), make([]float64, f.Shapes)
	for i, s := range shapes.Pix {
		n[s]++
		xs[s] += float64(i%w) + .5
		ys[s] += float64(i/w) + .5
	}
	for s := range n {
		if within(xs[s]/n[s], ys[s]/n[s]) {
			out.near++
		} else {
			out.far++
		}
	}
	y := pic.Luminance(imageproc.Plane[palette.Y]{})
	flat := imageproc.NewPlane[palette.Y](w, h)
	for i, v := range f.Values.Pix {
		flat.Pix[i] = float32(f.Tones[v].Y())
	}
	var b tone.Blurrer
	blur := func(p imageproc.Plane[palette.Y]) imageproc.Plane[palette.Y] {
		out := imageproc.NewPlane[palette.Y](w, h)
		tone.BlurPlane(&b, out, p, .01*long)
		return out
	}
	y, flat = blur(y), blur(flat)
	inside, outside := 0., 0.
	for i, v := range y.Pix {
		d := float64(palette.Y(v).L() - palette.Y(flat.Pix[i]).L())
		if within(float64(i%w)+.5, float64(i/w)+.5) {
			inside++
			out.errorNear += d * d
		} else {
			outside++
			out.errorFar += d * d
		}
	}
	out.errorNear, out.errorFar = math.Sqrt(out.errorNear/inside), math.Sqrt(out.errorFar/outside)
	return out
}

// equalShapes returns plans of two bases with equally many shapes, as many as
// both can have.
func equalShapes(a, b *mass.Base) (p, q Flat) {
	s := focusShapes
	for {
		p, q = flatOf(a, mass.Nested, 4, s), flatOf(b, mass.Nested, 4, s)
		if p.Shapes == q.Shapes {
			return p, q
		}
		s = min(p.Shapes, q.Shapes, s-1)
	}
}

// TestFocus: with a focus the same number of shapes gathers inside its radius,
// where the plan comes nearer to the picture; outside there are fewer. Five
// places on each picture are looked at.
func TestFocus(t *testing.T) {
	pictures := carried(t)
	if heavy() {
		pictures = append(pictures, photographs(t, 768)...)
	}
	var without, with focused
	add := func(to *focused, f focused) {
		to.near += f.near
		to.far += f.far
		to.errorNear += f.errorNear
		to.errorFar += f.errorFar
	}
	n := 0.
	for _, s := range pictures {
		base := baseOf(t, s.pic, mass.Options{})
		for _, at := range [][2]float64{{.3, .4}, {.7, .4}, {.5, .5}, {.3, .65}, {.7, .65}} {
			looked := baseOf(t, s.pic, mass.Options{Focus: &mass.Focus{X: at[0], Y: at[1], Radius: focusRadius}})
			plain, f := equalShapes(base, looked)
			add(&without, lookAt(s.pic, plain, at[0], at[1]))
			add(&with, lookAt(s.pic, f, at[0], at[1]))
			n++
		}
	}
	say(t, "\nfocus, 4 values, 16 shapes at most shapes inside, outside   squint error inside, outside")
	say(t, "without                          %6.1f %9.1f %18.2f %8.2f", without.near/n, without.far/n, without.errorNear/n, without.errorFar/n)
	say(t, "with                             %6.1f %9.1f %18.2f %8.2f", with.near/n, with.far/n, with.errorNear/n, with.errorFar/n)
	if !(with.near > 1.02*without.near) {
		t.Errorf("%.1f shapes inside the radius, %.1f without a focus", with.near/n, without.near/n)
	}
	if !(with.far < without.far) {
		t.Errorf("%.1f shapes outside the radius, %.1f without a focus", with.far/n, without.far/n)
	}
	if !(with.errorNear < .97*without.errorNear) {
		t.Errorf("squint error %.2f inside the radius, %.2f without a focus", with.errorNear/n, without.errorNear/n)
	}
}

// stands returns the share of a pole's height that is another value than what
// lies on both sides of it.
func stands(f Flat, p pole) float64 {
	w, h := f.Values.W, f.Values.H
	off := int(math.Ceil(2*p.half*float64(w))) + 3
	x, y0, y1 := int(p.x*float64(w)), int(p.top*float64(h))+2, int(p.bottom*float64(h))-2
	n := 0
	for y := y0; y < y1; y++ {
		at := func(x int) int32 { return f.Values.At(min(w-1, max(0, x)), y) }
		// A pole lies on its column or one beside it.
		for dx := -1; dx <= 1; dx++ {
			if v := at(x + dx); v != at(x-off) && v != at(x+off) {
				n++
				break
			}
		}
	}
	return float64(n) / float64(y1-y0)
}

// TestPoles: masts and posts stay where the painter looks, as well as without
// a focus; far from it they may go. They are looked at on larger pictures, where
// a pole is some pixels wide.
func TestPoles(t *testing.T) {
	var pictures []drawn
	if heavy() {
		pictures = allDrawn()
	} else {
		for _, m := range []int{0, 1, 3} {
			pictures = append(pictures, drawMotif(m, 480, 320, 1))
		}
	}
	n, without, near, far := 0., 0., 0., 0.
	for _, d := range pictures {
		at := func(focus *mass.Focus) Flat {
			return flatOf(baseOf(t, d.pic, mass.Options{Focus: focus}), mass.Nested, 4, 12)
		}
		plain := at(nil)
		for _, p := range d.poles {
			n++
			without += stands(plain, p)
			near += stands(at(&mass.Focus{X: p.x, Y: (p.top + p.bottom) / 2}), p)
			far += stands(at(&mass.Focus{X: math.Round(1 - p.x), Y: .95}), p)
		}
	}
	without, near, far = without/n, near/n, far/n
	say(t, "\npoles, 4 values, 12 shapes: %.2f of their height stands without a focus, %.2f in it, %.2f far from it", without, near, far)
	if !(near > .7) || !(near > without-.02) || !(near > far+.1) {
		t.Errorf("poles stand to %.2f in the focus, %.2f without, %.2f far from it", near, without, far)
	}
}

// TestStands: a pole that is there from top to bottom stands whole, one that
// has its ground's value not at all.
func TestStands(t *testing.T) {
	p := pole{.5, .02, .2, .8}
	whole := numbered(100, 60, func(x, y int) int32 {
		if x >= 48 && x < 52 && y >= 12 && y < 48 {
			return 1
		}
		return 0
	})
	half := numbered(100, 60, func(x, y int) int32 { return whole.At(x, y) * int32(1-y/30) })
	for name, c := range map[string]struct {
		l    imageproc.Labels
		want float64
	}{"whole": {whole, 1}, "gone": {imageproc.NewLabels(100, 60), 0}, "upper half": {half, .5}} {
		if got := stands(Flat{Values: c.l}, p); got != c.want {
			t.Errorf("%s: %v stands, want %v", name, got, c.want)
		}
	}
}
