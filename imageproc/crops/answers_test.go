package crops

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// met are figures of a design that answers everything with yes.
func met() figures {
	f := figures{k: 3, step: 3, main: 4, linked: 1, masses: 1, focal: 2, stands: 4, x: 0.35, y: 0.6, radius: 0.15, left: 0.5, edge: 0.2, straights: 4, points: 0.5, mean: 0.3}
	f.setShares([]float64{0.15, 0.6, 0.25})
	f.apart = 0.2
	return f
}

// Each question is answered with no by its own figure, and then costs its weight.
func TestEachQuestionBothWays(t *testing.T) {
	all := 0.0
	for _, q := range questions {
		all += q.weight
	}
	f := met()
	if s := f.score(); math.Abs(s-1) > 1e-12 {
		t.Fatalf("all met scores %v", s)
	}
	for _, c := range []struct {
		says   string
		weight float64
		change func(f *figures)
	}{
		{"contrast lies elsewhere", 1.5, func(f *figures) { f.focal = 0.4 }},
		{"no contrast at the focal point", 1.5, func(f *figures) { f.focal = 0 }},
		{"no value rules", 0.6, func(f *figures) { f.ahead = 0 }},
		{"two values are nearly equal", 0.4, func(f *figures) { f.apart = 0 }},
		{"an edge pulls", 1, func(f *figures) { f.edge = 1.2 }},
		{"an edge outdoes all", 1, func(f *figures) { f.edge = mostRatio }},
		{"the darks are scattered", 1, func(f *figures) { f.linked, f.masses = 0.3, 9 }},
		{"in the middle", 1, func(f *figures) { f.x, f.y = 0.51, 0.49 }},
		{"cramped", 0.8, func(f *figures) { f.x = 0.09 }},
		{"busy", 0.8, func(f *figures) { f.main = 21 }},
		{"tips over", 0.8, func(f *figures) { f.left = 0.05 }},
		{"nothing stands out", 0.7, func(f *figures) { f.stands = 0 }},
		{"the darks stop short", 0.6, func(f *figures) { f.reach = 0.3 }},
		{"no dark leads there", 0.6, func(f *figures) { f.reach = 1 }},
		{"two tones are one", 0.5, func(f *figures) { f.step = 0 }},
		{"a corner leads out", 0.3, func(f *figures) { f.corner = 0.05 }},
		{"borders lead past", 0.3, func(f *figures) { f.points = 0.1 }},
	} {
		f := met()
		c.change(&f)
		if s := f.score(); math.Abs(s-(1-c.weight/all)) > 1e-9 {
			t.Errorf("%s: score %v, not %v", c.says, s, 1-c.weight/all)
		}
	}
	f = met()
	f.tangents = 1
	if s := f.score(); s > 1-0.25/all {
		t.Errorf("a shape that touches an edge costs nothing: %v", s)
	}
}

// anyScene is a random design of boxes, in two to four values, with a focal point.
func anyScene(r *rand.Rand) reading.Design {
	w, h, k := 60+r.IntN(80), 60+r.IntN(80), 2+r.IntN(3)
	values := imageproc.NewLabels(w, h)
	ground := int32(r.IntN(k))
	for i := range values.Pix {
		values.Pix[i] = ground
	}
	n, side := 3+r.IntN(12), 2
	if r.IntN(3) == 0 {
		n, side = 60+r.IntN(60), 4+r.IntN(4)
	}
	for range n {
		v, x0, y0 := int32(r.IntN(k)), r.IntN(w), r.IntN(h)
		x1, y1 := min(w, x0+3+r.IntN(w/side)), min(h, y0+3+r.IntN(h/side))
		for y := y0; y < y1; y++ {
			for x := x0; x < x1; x++ {
				values.Row(y)[x] = v
			}
		}
	}
	var s shaper
	labels, of := s.shapes(values, k)
	d := reading.Design{
		Map: labels, Photo: image.Pt(3*w, 3*h), Crop: image.Rect(w, h, 2*w, 2*h), Panel: plan.Panel{Short: 6, Long: 8, Unit: plan.Inch, Way: plan.Across},
		Focus: plan.Focus{X: (1 + r.Float64()) / 3, Y: (1 + r.Float64()) / 3, Radius: 0.02 + 0.3*r.Float64()},
	}
	for i := range k {
		d.Tones = append(d.Tones, palette.Value(0.5+float64(i)*(0.6+1.5*r.Float64())).L())
		if i > 0 {
			d.Tones[i] = max(d.Tones[i], d.Tones[i-1]+1)
		}
	}
	for _, v := range of {
		d.Shapes = append(d.Shapes, study.Shape{Value: int(v), Tone: d.Tones[v]})
	}
	return d
}

// What practice would ask in a reading is never answered with yes, what it says is
// never answered with no, each in the words of the reading; and the figures alone
// come to the same but for the last bit. Every question that a reading knows is met
// both ways.
func TestAnswersAreTheReadings(t *testing.T) {
	both := map[string][2]int{}
	r := rand.New(rand.NewPCG(51, 2))
	for range 400 {
		d := anyScene(r)
		got := d.Read()
		lines, f := got.Lines(plan.Inch), figuresOf(got)
		_, reasons := Answers(d)
		for _, q := range questions {
			line, told := q.line(lines)
			if alone := q.met(&f); told && math.Abs(alone-0.5) > 0.05 && line.Asks == (alone >= 0.5) {
				t.Errorf("%s: the figures alone come to %.3f", line.Words, alone)
			}
			if !told {
				continue
			}
			count := both[line.Kind]
			if line.Asks {
				count[0]++
			} else {
				count[1]++
			}
			both[line.Kind] = count
			i := slices.IndexFunc(reasons, func(r Reason) bool { return r.Words == line.Words })
			if i < 0 && (line.Asks || !q.own) {
				t.Errorf("%q is not among %+v", line.Words, reasons)
			} else if i >= 0 && reasons[i].Yes() == line.Asks {
				t.Errorf("%+v, but the reading asks: %v", reasons[i], line.Asks)
			}
		}
		for _, one := range reasons {
			if n := len([]rune(one.Words)); n == 0 || n > 66 {
				t.Errorf("%d characters: %s", n, one.Words)
			}
			var points, chance float64
			if n, _ := fmt.Sscanf(one.Words, "Straight borders to the focal point: %f %%, by chance %f %%", &points, &chance); n == 2 && one.Yes() != (points > chance) {
				t.Errorf("%v: %s", one.Yes(), one.Words)
			}
		}
	}
	for _, q := range questions {
		for _, kind := range q.told {
			if n := both[kind]; n[0] == 0 || n[1] == 0 {
				t.Errorf("%s: asked %d times, said %d times", kind, n[0], n[1])
			}
		}
		if q.asked != "" && both[q.asked][0] == 0 {
			t.Errorf("%s was never asked", q.asked)
		}
	}
}
