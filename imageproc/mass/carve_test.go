package mass

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette/oracle"
)

// knives numbers masks from 1, the later over the earlier.
func knives(masks ...imageproc.Mask) imageproc.Labels {
	out := imageproc.NewLabels(masks[0].W, masks[0].H)
	for k, m := range masks {
		for p, in := range m.Pix {
			if in {
				out.Pix[p] = int32(k + 1)
			}
		}
	}
	return out
}

// inside counts the marked pixels of each base shape.
func inside(b *Base, m imageproc.Mask) []int32 {
	out := make([]int32, b.Shapes())
	for p, in := range m.Pix {
		if in {
			out[b.labels.Pix[p]]++
		}
	}
	return out
}

// TestCarve measures carved shapes from scratch: they are the connected pixels of
// one base shape and one last mask, with the base value they had.
func TestCarve(t *testing.T) {
	rng := rand.New(rand.NewPCG(102, 1))
	for i, b := range smallBases(t, 150, 102) {
		masks := make([]imageproc.Mask, 1+rng.IntN(3))
		for k := range masks {
			masks[k] = randomMask(rng, b.w, b.h)
		}
		was := slices.Clone(b.labels.Pix)
		c := b.Carve(knives(masks...))
		if !slices.Equal(was, b.labels.Pix) {
			t.Fatal("carving changed what it was given")
		}
		key := imageproc.NewLabels(b.w, b.h)
		for p, s := range b.labels.Pix {
			key.Pix[p] = s
			for k, m := range masks {
				if m.Pix[p] {
					key.Pix[p] = s + int32((k+1)*1000)
				}
			}
		}
		want, got := imageproc.NewLabels(b.w, b.h), imageproc.NewLabels(b.w, b.h)
		n := Components(want, key)
		if Components(got, c.labels) != c.Shapes() || c.Shapes() != n || !slices.Equal(got.Pix, want.Pix) {
			t.Fatalf("base %d: %d shapes, want %d, or others", i, c.Shapes(), n)
		}
		checkMeasures(t, fmt.Sprintf("base %d", i), c)
		for p := range b.labels.Pix {
			if c.shapes[c.labels.Pix[p]].class != b.shapes[b.labels.Pix[p]].class {
				t.Fatalf("base %d: another base value at %d", i, p)
			}
		}
		for k := 1; k <= 6; k++ {
			cut := Cutting{Values: k, BrushMark: -1}
			p, q := b.Values(cut), c.Values(cut)
			if !slices.Equal(p.group, q.group) || !slices.Equal(p.cuts, q.cuts) {
				t.Fatalf("base %d: %d values are grouped otherwise", i, k)
			}
			// What nobody chose to part grows together again.
			fine, again := p.Shapes(imageproc.Labels{}, math.MaxInt), q.Shapes(imageproc.Labels{}, math.MaxInt)
			if !slices.Equal(fine.Labels.Pix, again.Labels.Pix) {
				t.Fatalf("base %d, %d values: a cut shows that nobody uses", i, k)
			}
		}
	}
}

// checkMeasures recounts what is known of each base shape and border.
func checkMeasures(t *testing.T, what string, b *Base) {
	t.Helper()
	want := make([]baseShape, len(b.shapes))
	for p, s := range b.labels.Pix {
		x, y := p%b.w, p/b.w
		w := &want[s]
		if w.area == 0 {
			w.first = int32(p)
		}
		w.area++
		w.value += float64(b.value[p])
		w.light += float64(b.light[p])
		w.x, w.y = w.x+float64(x)+.5, w.y+float64(y)+.5
		w.bounds = w.bounds.Union(image.Rect(x, y, x+1, y+1))
		w.focus++
		if b.focus != nil {
			w.focus += float64(b.focus.at(x+b.at.X, y+b.at.Y))/focusSteps - 1
		}
	}
	for s, w := range want {
		got := b.shapes[s]
		if got.area != w.area || got.value != w.value || got.first != w.first || got.bounds != w.bounds || got.x != w.x || got.y != w.y {
			t.Fatalf("%s: base shape %d is %+v, counted %+v", what, s, got, w)
		}
		oracle.Close(t, what+": light", got.light, w.light, 1e-9*w.light)
		oracle.Close(t, what+": focus", got.focus, w.focus, 1e-9*w.focus)
	}
	borders := Adjacency(b.labels, len(b.shapes))
	if len(borders) != len(b.border.a) {
		t.Fatalf("%s: %d borders, counted %d", what, len(b.border.a), len(borders))
	}
	for e, w := range borders {
		if b.border.a[e] != w.A || b.border.b[e] != w.B || b.border.len[e] != float64(w.Len) {
			t.Fatalf("%s: border %d %d of %v, counted %v", what, b.border.a[e], b.border.b[e], b.border.len[e], w)
		}
	}
}

// TestCarveAlongOutlines: masks along outlines that are there, whole base shapes,
// change nothing; a cut and no cut leave other base shapes' measures alone.
func TestCarveAlongOutlines(t *testing.T) {
	rng := rand.New(rand.NewPCG(103, 1))
	for i, b := range smallBases(t, 60, 103) {
		m := imageproc.NewMask(b.w, b.h)
		for s := range b.shapes {
			if rng.IntN(2) == 0 {
				for p, l := range b.labels.Pix {
					m.Pix[p] = m.Pix[p] || int(l) == s
				}
			}
		}
		c := b.Carve(knives(m))
		if !slices.Equal(c.labels.Pix, b.labels.Pix) || !slices.Equal(c.shapes, b.shapes) || !slices.Equal(c.border.len, b.border.len) || !slices.Equal(c.border.rise, b.border.rise) {
			t.Errorf("base %d: carving along outlines changes something", i)
		}
	}
}

// TestClipOfCarved: scissors keep what the knife parted.
func TestClipOfCarved(t *testing.T) {
	b := build(t, harbour(120, 80, 2), Options{}).Carve(knives(boxMask(120, 80, 30, 5, 60, 20)))
	c := b.Clip(image.Rect(10, 0, 110, 60))
	if c.At(15, 10) == c.At(25, 10) {
		t.Error("the cut is gone")
	}
	checkMeasures(t, "clip", c)
}

// TestCutsLoseNoContrast: a cut through one base value is no edge, so that what
// values cost stays.
func TestCutsLoseNoContrast(t *testing.T) {
	b := build(t, harbour(120, 80, 2), Options{})
	c := b.Carve(knives(boxMask(120, 80, 30, 5, 90, 60)))
	for k := 1; k <= 5; k++ {
		e1, c1 := b.Values(Cutting{Values: k}).Cost()
		e2, c2 := c.Values(Cutting{Values: k}).Cost()
		oracle.Close(t, "error", e2, e1, 1e-9)
		// Only the means along a border are those of parts of shapes now.
		oracle.Close(t, "contrast", c2, c1, .02*c1+.05)
	}
}
