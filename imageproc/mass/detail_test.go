package mass

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
)

// TestDetailLeavesTheRest: outside the sets every base shape has the value that
// it has without them, whatever else was chosen.
func TestDetailLeavesTheRest(t *testing.T) {
	rng := rand.New(rand.NewPCG(95, 1))
	changed, plans := 0, 0
	for i, b := range smallBases(t, 80, 95) {
		for range 8 {
			c := randomCutting(rng, b, 4+rng.IntN(14))
			without := c
			without.Detail = nil
			for _, s := range []int{1, 3, 8} {
				p, q := b.Values(c).Shapes(imageproc.Labels{}, s), b.Values(without).Shapes(imageproc.Labels{}, s)
				in := make([]bool, len(b.shapes))
				for _, d := range c.Detail {
					for _, n := range d.Shapes {
						in[n] = true
					}
				}
				got, want := valuesIn(b, p), valuesIn(b, q)
				for n := range got {
					if !in[n] && got[n] != want[n] {
						t.Fatalf("base %d, %+v, %d shapes: base shape %d outside has value %d, without details %d", i, c, s, n, got[n], want[n])
					}
				}
				if plans++; !slices.Equal(got, want) {
					changed++
				}
			}
		}
	}
	t.Logf("%d of %d plans have other details", changed, plans)
	if changed < plans/5 {
		t.Error("details hardly change anything: little is tested")
	}
}

// TestDetailOfAll: a detail of the whole picture is the plan of that many shapes.
func TestDetailOfAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(96, 1))
	for i, b := range smallBases(t, 60, 96) {
		for range 6 {
			c := randomCutting(rng, b, 8)
			c.Apart, c.Detail = nil, nil
			want := b.Values(c)
			most := 1 + rng.IntN(12)
			c.Detail = []Detail{{Most: most}}
			for s := range b.shapes {
				c.Detail[0].Shapes = append(c.Detail[0].Shapes, s)
			}
			p := b.Values(c).Shapes(imageproc.Labels{}, 1+rng.IntN(9))
			q := want.Shapes(imageproc.Labels{}, most)
			if !slices.Equal(valuesIn(b, p), valuesIn(b, q)) {
				t.Fatalf("base %d, %+v: not the plan of %d shapes", i, c, most)
			}
			if p.Next != -1 {
				t.Errorf("base %d: %d goes next although the whole picture is a detail", i, p.Next)
			}
		}
	}
}

// TestDetailIsNested: fewer shapes inside only join, and never beyond as many as
// the finest shapes offer; the finest have no brush mark that could go.
func TestDetailIsNested(t *testing.T) {
	rng := rand.New(rand.NewPCG(97, 1))
	for i, b := range smallBases(t, 60, 97) {
		sets := randomSets(rng, b, 2)
		if len(sets) < 2 {
			continue
		}
		c := Cutting{Values: 2 + rng.IntN(4), Weld: sets[1:]}
		s := 1 + rng.IntN(8)
		var finer Plan
		for most := 9; most >= 1; most-- {
			c.Detail = []Detail{{sets[0], most}}
			p := b.Values(c).Shapes(imageproc.Labels{}, s)
			if most < 9 && !coarser(p.Labels.Pix, finer.Labels.Pix) {
				t.Fatalf("base %d, %+v: at most %d are not joined from more", i, c, most)
			}
			finer = p
		}
	}
}

// detailScene is the harbour and, as a set, the base shapes of its dark hull and
// what is around it.
func detailScene(t testing.TB) (*Base, []int) {
	b := build(t, harbour(240, 160, 1), Options{})
	m := boxMask(240, 160, 20, 20, 150, 140)
	var set []int
	for s, n := range inside(b, m) {
		if 2*float64(n) > b.shapes[s].area {
			set = append(set, s)
		}
	}
	return b, set
}

// TestDetailFinerAndCoarser: a large number has as many shapes as the finest plan
// has there, a small one fewer than the plan.
func TestDetailFinerAndCoarser(t *testing.T) {
	b, set := detailScene(t)
	c := Cutting{Values: 4}
	plain := b.Values(c)
	finest, five := plain.Shapes(imageproc.Labels{}, math.MaxInt), plain.Shapes(imageproc.Labels{}, 8)
	most, there := wholeIn(b, finest, set), wholeIn(b, five, set)
	if most < 4 || there >= most || there < 2 {
		t.Fatalf("%d shapes inside, %d in the finest plan: the scene does not fit the test", there, most)
	}
	for _, want := range []int{1, there - 1, there, there + 1, most, 1000} {
		c.Detail = []Detail{{set, want}}
		if got := wholeIn(b, b.Values(c).Shapes(imageproc.Labels{}, 8), set); got > want || want > most && got != most {
			t.Errorf("%d shapes inside, asked for %d; the finest plan has %d", got, want, most)
		}
	}
}

// TestDetailBrushMarks: no brush mark is left inside.
func TestDetailBrushMarks(t *testing.T) {
	rng := rand.New(rand.NewPCG(98, 1))
	for i, b := range smallBases(t, 80, 98) {
		sets := randomSets(rng, b, 1)
		if len(sets) == 0 {
			continue
		}
		c := Cutting{Values: 4, BrushMark: .02, Detail: []Detail{{sets[0], 50}}}
		p := b.Values(c).Shapes(imageproc.Labels{}, 1+rng.IntN(9))
		focus, whole := make([]float64, len(p.Shapes)), make([]bool, len(p.Shapes))
		for n := range whole {
			whole[n] = true
		}
		for n, s := range shapesIn(b, p) {
			focus[s] += b.shapes[n].focus
			whole[s] = whole[s] && slices.Contains(sets[0], n)
		}
		for n, f := range focus {
			if whole[n] && len(p.Shapes) > 1 && f < .02*float64(b.w*b.h) {
				t.Errorf("base %d: a brush mark of weighed area %v is left inside", i, f)
			}
		}
	}
}

// TestNextBesideDetails: with details, what is said to go next is what changes
// outside them when fewer shapes are asked for, and there is none only if nothing
// does.
func TestNextBesideDetails(t *testing.T) {
	rng := rand.New(rand.NewPCG(99, 1))
	said := 0
	for i, b := range smallBases(t, 60, 99) {
		c := randomCutting(rng, b, 12)
		c.Apart = nil
		l := b.Values(c)
		if l.details == nil {
			continue
		}
		for s := 1; s <= l.Most(); s++ {
			p := l.Shapes(imageproc.Labels{}, s)
			was := valuesIn(b, p)
			want := false
			for fewer := s - 1; fewer >= 1 && !want; fewer-- {
				now := valuesIn(b, l.Shapes(imageproc.Labels{}, fewer))
				for n, k := range now {
					if k != was[n] && !l.details.in[n] {
						want = true
						if p.Next < 0 {
							t.Fatalf("base %d, %d shapes: nothing is said to go, %d does", i, s, n)
						}
					}
				}
			}
			if want {
				said++
			}
			if p.Next >= len(p.Shapes) || p.Next < -1 || slices.Contains(p.Into, p.Next) {
				t.Fatalf("base %d, %d shapes: %d goes next, into %v", i, s, p.Next, p.Into)
			}
		}
	}
	if said < 50 {
		t.Errorf("only %d plans had something that goes next", said)
	}
}

// TestChoicesMirrored: a mirrored picture with the same choices gives the
// mirrored plan.
func TestChoicesMirrored(t *testing.T) {
	pic := harbour(180, 120, 7)
	b, m := build(t, pic, Options{}), build(t, mirrorPic(pic), Options{})
	box := func(r image.Rectangle) imageproc.Mask { return boxMask(180, 120, r.Min.X, r.Min.Y, r.Max.X, r.Max.Y) }
	across := func(r image.Rectangle) image.Rectangle { return image.Rect(180-r.Max.X, r.Min.Y, 180-r.Min.X, r.Max.Y) }
	rng := rand.New(rand.NewPCG(100, 1))
	for range 60 {
		knife := image.Rect(rng.IntN(90), rng.IntN(60), 90+rng.IntN(90), 60+rng.IntN(60))
		cb, cm := b.Carve(knives(box(knife))), m.Carve(knives(box(across(knife))))
		number := make([]int, cb.Shapes())
		for y := range 120 {
			for x := range 180 {
				number[cb.At(x, y)] = cm.At(179-x, y)
			}
		}
		c := randomCutting(rng, cb, 12)
		other := c
		other.Fixed, other.Weld, other.Apart, other.Detail = nil, nil, nil, nil
		over := func(set []int) []int {
			var out []int
			for _, s := range set {
				out = append(out, number[s])
			}
			slices.Sort(out)
			return out
		}
		for _, f := range c.Fixed {
			other.Fixed = append(other.Fixed, Fixed{number[f.Shape], f.Value})
		}
		for _, set := range c.Weld {
			other.Weld = append(other.Weld, over(set))
		}
		for _, p := range c.Apart {
			other.Apart = append(other.Apart, Pair{over(p.A), over(p.B)})
		}
		for _, d := range c.Detail {
			other.Detail = append(other.Detail, Detail{over(d.Shapes), d.Most})
		}
		s := 1 + rng.IntN(15)
		lb, lm := cb.Values(c), cm.Values(other)
		p, q := lb.Shapes(imageproc.Labels{}, s), lm.Shapes(imageproc.Labels{}, s)
		outline := image.Rect(20, 20, 120, 100)
		for range 2 {
			for y := range 120 {
				for x := range 180 {
					if v, o := p.Shapes[p.Labels.At(x, y)].Value, q.Shapes[q.Labels.At(179-x, y)].Value; v != o {
						t.Fatalf("%+v, %d shapes: value %d at %d,%d, mirrored %d", c, s, v, x, y, o)
					}
				}
			}
			p = lb.Smooth(p, []Outline{{box(outline), 4}}, 30)
			q = lm.Smooth(q, []Outline{{box(across(outline)), 4}}, 30)
		}
	}
}

func TestMisuseOfChoices(t *testing.T) {
	b := build(t, harbour(60, 40, 1), Options{})
	l := b.Values(Cutting{Values: 3})
	n := b.Shapes()
	for name, f := range map[string]func(){
		"weld nowhere":     func() { b.Values(Cutting{Values: 3, Weld: [][]int{{0, n}}}) },
		"apart nowhere":    func() { b.Values(Cutting{Values: 3, Apart: []Pair{{[]int{0}, []int{-1}}}}) },
		"detail nowhere":   func() { b.Values(Cutting{Values: 3, Detail: []Detail{{[]int{n}, 3}}}) },
		"detail of none":   func() { b.Values(Cutting{Values: 3, Detail: []Detail{{[]int{0}, 0}}}) },
		"carve elsewhere":  func() { b.Carve(knives(imageproc.NewMask(60, 41))) },
		"smooth elsewhere": func() { l.Smooth(l.Shapes(imageproc.Labels{}, 5), []Outline{{imageproc.NewMask(1, 1), 2}}, 0) },
		"smooth another":   func() { l.Smooth(Plan{}, nil, 0) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s was accepted", fmt.Sprint(name))
				}
			}()
			f()
		}()
	}
}
