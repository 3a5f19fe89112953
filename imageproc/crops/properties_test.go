package crops

import (
	"context"
	"errors"
	"image"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
)

func propose(t testing.TB, pic imageproc.Picture, full image.Point, o Options) []Proposal {
	t.Helper()
	out, err := Propose(context.Background(), pic, full, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// sound fails on proposals that leave the photo, have other proportions than their
// panel, overlap, lose the focal point, or have words that no line holds.
func sound(t *testing.T, ps []Proposal, full image.Point, o Options) {
	t.Helper()
	if len(ps) == 0 || len(ps) > o.N {
		t.Fatalf("%d proposals of %d", len(ps), o.N)
	}
	var boxes []box
	for i, p := range ps {
		c := p.Crop
		x0, y0, x1, y1 := plan.Plan{Panel: p.Panel, Crop: c}.Rect(full)
		if c.X < 0 || c.Y < 0 || c.X+c.W > 1 || c.H != 0 || y0 < 0 || y1 > 1 || c.W <= 0 {
			t.Errorf("proposal %d leaves the photo: %+v", i, c)
		}
		if p.Panel.Way == plan.Unsaid {
			t.Errorf("proposal %d does not say how its panel is turned", i)
		}
		w, h := (x1-x0)*float64(full.X), (y1-y0)*float64(full.Y)
		// H follows from W, but a height that does not fit the photo is cut.
		if a := p.Panel.Aspect(); math.Abs(w/h/a-1) > 1e-9 && y1 < 1 {
			t.Errorf("proposal %d: %v for a panel of %v", i, w/h, a)
		}
		if f := p.Focus; f.X < x0 || f.X > x1 || f.Y < y0 || f.Y > y1 {
			t.Errorf("proposal %d is not about its focal point %v", i, f)
		}
		b := box{x0, y0, x1 - x0, y1 - y0}
		for j, o := range boxes {
			if s := b.overlap(o); s >= mostShared+1e-5 {
				t.Errorf("proposals %d and %d share %.3f", j, i, s)
			}
		}
		boxes = append(boxes, b)
		if p.Score < 0 || p.Score > 1 || p.PixelsPerInch <= 0 || len(p.Reasons) != len(questions) {
			t.Errorf("proposal %d: %+v", i, p)
		}
		weighed, all := 0.0, 0.0
		for _, r := range p.Reasons {
			weighed, all = weighed+r.Met*r.Weight, all+r.Weight
			if n := len([]rune(r.Words)); n == 0 || n > 66 {
				t.Errorf("%d characters: %s", n, r.Words)
			}
		}
		if math.Abs(weighed/all-p.Score) > 1e-9 {
			t.Errorf("the answers make %v, not %v", weighed/all, p.Score)
		}
		// The edit gives the plan exactly that crop.
		start := plan.Default(full)
		got := p.Edit()(start, plan.Frame{Photo: full})
		if got.Crop != c || got.Panel != p.Panel || got.Focus.None() || got.Values != start.Values {
			t.Errorf("taken: %+v", got)
		}
	}
}

func TestProposalsAreSound(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	all := plan.Panels()
	for i := range 12 {
		size := image.Pt(40+r.IntN(200), 40+r.IntN(200))
		switch i {
		case 0:
			size = image.Pt(1, 1)
		case 1:
			size = image.Pt(400, 20)
		case 2:
			size = image.Pt(9, 200)
		}
		full := image.Pt(size.X*(1+r.IntN(8)), size.Y*(1+r.IntN(8)))
		pic := quay(r, size.X, size.Y)
		if i == 3 {
			pic = imageproc.NewPicture(size.X, size.Y) // all black
		}
		o := Options{N: 1 + r.IntN(7), Squint: 3 * r.Float64(), Values: 2 + r.IntN(4), Brush: 6 * r.Float64()}
		for range 1 + r.IntN(4) {
			p := all[r.IntN(len(all)-1)] // the last is free
			p.Way = []plan.Way{plan.Unsaid, plan.Upright, plan.Across}[r.IntN(3)]
			o.Panels = append(o.Panels, p)
		}
		if i%3 != 0 {
			o.Focus = plan.Focus{X: r.Float64(), Y: r.Float64(), Radius: 0.05 + 0.4*r.Float64()}
		}
		if i == 4 {
			o.Focus = plan.Focus{X: 1, Y: 0, Radius: 0.2}
		}
		sound(t, propose(t, pic, full, o), full, o)
	}
}

// The same whatever the number of processors, and whatever was proposed before.
func TestDeterministic(t *testing.T) {
	pic := quay(rand.New(rand.NewPCG(3, 1)), 180, 120)
	o := usual(panels(t, "6x8", "square"))
	first := propose(t, pic, image.Pt(3600, 2400), o)
	was := runtime.GOMAXPROCS(1)
	second := propose(t, pic, image.Pt(3600, 2400), o)
	runtime.GOMAXPROCS(4)
	third := propose(t, pic, image.Pt(3600, 2400), o)
	runtime.GOMAXPROCS(was)
	if !reflect.DeepEqual(first, second) || !reflect.DeepEqual(first, third) {
		t.Errorf("not the same:\n%+v\n%+v\n%+v", first[0], second[0], third[0])
	}
}

// Of the mirrored photo the mirrored crops are looked at and come out best, with
// the same scores but for what sums in another order do.
func TestMirrored(t *testing.T) {
	best := func(pic imageproc.Picture, full image.Point, o Options) []candidate {
		s := &search{ctx: context.Background(), o: o, photo: pic, full: full, progress: func(float64) {}}
		err := s.begin(newGround(pic, full), formsOf(o.Panels))
		if err != nil {
			t.Fatal(err)
		}
		out, err := s.best(nil)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	for seed := range uint64(4) {
		pic := quay(rand.New(rand.NewPCG(5, seed)), 200+int(seed), 150)
		full := image.Pt(2000, 1500)
		o := usual(panels(t, "6x8", "5x7 across"))
		if seed%2 == 1 {
			o.Focus = plan.Focus{}
		}
		straight := best(pic, full, o)
		if !o.Focus.None() {
			o.Focus.X = 1 - o.Focus.X
		}
		turned := best(imageproc.Picture{R: pic.R.Mirror(), G: pic.G.Mirror(), B: pic.B.Mirror()}, full, o)
		if len(straight) != len(turned) {
			t.Fatalf("%d and %d crops", len(straight), len(turned))
		}
		for i, p := range straight {
			b, q := p.box, turned[i].box
			if b.x+b.w+q.x != 1 || b.y != q.y || b.w != q.w || math.Abs(p.score-turned[i].score) > 1e-4 {
				t.Errorf("photo %d, crop %d: %v %v, mirrored %v %v", seed, i, b, p.score, q, turned[i].score)
			}
		}
	}
}

func TestProgressAndCancel(t *testing.T) {
	pic := quay(rand.New(rand.NewPCG(3, 2)), 90, 60)
	o := usual(panels(t, "6x8"))
	last, calls := -1.0, 0
	_, err := Propose(context.Background(), pic, image.Pt(900, 600), o, func(v float64) {
		if v < last || v > 1 {
			t.Errorf("progress %v after %v", v, last)
		}
		last, calls = v, calls+1
	})
	if err != nil || last != 1 || calls < 4 {
		t.Errorf("%v: progress ended at %v after %d calls", err, last, calls)
	}
	for stop := 0; stop < calls; stop++ {
		ctx, cancel := context.WithCancel(context.Background())
		n := 0
		got, err := Propose(ctx, pic, image.Pt(900, 600), o, func(float64) {
			if n == stop {
				cancel()
			}
			n++
		})
		if stop < calls-1 && (!errors.Is(err, context.Canceled) || got != nil) {
			t.Errorf("cancelled at call %d: %v, %v", stop, len(got), err)
		}
		cancel()
	}
}

func TestRefusals(t *testing.T) {
	pic := painted(60, 40, func(x, _ float64) float64 { return x })
	o := usual(panels(t, "6x8"))
	fails := func(want error, change func(o *Options)) {
		t.Helper()
		q := o
		change(&q)
		if ps, err := Propose(context.Background(), pic, image.Pt(60, 40), q, nil); !errors.Is(err, want) || ps != nil {
			t.Errorf("%v, not %v", err, want)
		}
	}
	fails(ErrPanels, func(o *Options) { o.Panels = nil })
	fails(ErrPanels, func(o *Options) { o.Panels = []plan.Panel{{}} })
	for _, x := range []float64{-0.1, 1.1, math.NaN(), math.Inf(1)} {
		fails(ErrFocus, func(o *Options) { o.Focus.X = x })
		fails(ErrFocus, func(o *Options) { o.Focus.Y = x })
	}
	fails(ErrFocus, func(o *Options) { o.Focus.Radius = -1 })
	fails(ErrFocus, func(o *Options) { o.Focus.Radius = math.NaN() })
	panics := func(what string, f func()) {
		t.Helper()
		defer func() {
			if recover() == nil {
				t.Errorf("%s did not panic", what)
			}
		}()
		f()
	}
	for what, change := range map[string]func(o *Options){
		"no proposals": func(o *Options) { o.N = 0 }, "a squint of NaN": func(o *Options) { o.Squint = math.NaN() },
		"six values": func(o *Options) { o.Values = 6 }, "a brush below nothing": func(o *Options) { o.Brush = -1 },
	} {
		panics(what, func() {
			q := o
			change(&q)
			_, _ = Propose(context.Background(), pic, image.Pt(60, 40), q, nil)
		})
	}
	panics("an empty photo", func() { NewScorer(imageproc.Picture{}, image.Pt(1, 1), o) })
	panics("a crop outside the photo", func() {
		_, _, _ = NewScorer(pic, image.Pt(60, 40), o).Score(context.Background(), first(t), plan.Crop{X: 0.8, W: 0.9}, o.Focus)
	})
}

func first(t *testing.T) plan.Panel { return panels(t, "6x8 across")[0] }
