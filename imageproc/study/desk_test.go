package study_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"sync"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// randomEdit returns a decision of any kind.
func randomEdit(r *rand.Rand) plan.Edit {
	hand := func(n int) []palette.Value {
		out := make([]palette.Value, n)
		for i := range out {
			out[i] = palette.Value(10 * r.Float64())
		}
		return out
	}
	switch r.IntN(18) {
	case 0:
		return plan.MoveCrop(r.Float64()-0.5, r.Float64()-0.5)
	case 1:
		return plan.ResizeCrop(0.5 + r.Float64())
	case 2:
		return plan.NextPanel
	case 3:
		return plan.Turn
	case 4:
		return plan.SetFree(0.3 + 3*r.Float64())
	case 5:
		return plan.SetCrop(plan.Crop{X: r.Float64(), Y: r.Float64(), W: r.Float64(), H: r.Float64()})
	case 6:
		return plan.SquintMore
	case 7:
		return plan.SquintLess
	case 8:
		return plan.SetSquint([]float64{0, 0.5, 3, 25}[r.IntN(4)])
	case 9, 10:
		return plan.SetK(2 + r.IntN(4))
	case 11:
		return plan.SetCutMethod(plan.CutMethods()[r.IntN(len(plan.CutMethods()))])
	case 12:
		return plan.SetToneMethod(plan.ToneMethods()[r.IntN(len(plan.ToneMethods()))])
	case 13:
		return plan.SetCuts(hand(1 + r.IntN(4)))
	case 14:
		return plan.SetTones(hand(2 + r.IntN(4)))
	case 16:
		fall := plan.Falls()[r.IntN(3)]
		return plan.SetFocus(plan.Focus{X: r.Float64(), Y: r.Float64(), Radius: max(0, r.Float64()-0.4), Fall: fall})
	case 15:
		return plan.SetShapes([]int{0, 0, 1, 2, 7, 30}[r.IntN(6)])
	default:
		return smallestShape([]float64{0, 0.03, 0.5, 5}[r.IntN(4)])
	}
}

// randomChoosing returns an edit of the choices: one more, one less, one switched
// off or on. Retouches change the photo itself, below every other stage.
func randomChoosing(r *rand.Rand, p plan.Plan) plan.Edit {
	n := p.Choices.Len()
	if n > 0 {
		switch r.IntN(4) {
		case 0:
			return plan.DropChoice(r.IntN(n))
		case 1:
			return plan.SwitchChoice(r.IntN(n))
		}
	}
	return plan.Choose(aChoice(r, 0, 0, 1, 1))
}

// seen is all that a study shows of a plan.
type seen struct {
	figures study.Figures
	picture *image.Gray
	file    []byte
	views   []imageproc.Raster
}

var seenSizes = []image.Point{{X: 1, Y: 1}, {X: 40, Y: 31}, {X: 40, Y: 20}, {X: 150, Y: 20}}

func look(t *testing.T, s *study.Study) seen { return lookInOrder(t, s, false) }

// lookInOrder looks at all there is, in one order or the other: what is seen
// must not depend on what was looked at before.
func lookInOrder(t *testing.T, s *study.Study, backwards bool) seen {
	t.Helper()
	out := seen{figures: s.Figures, views: make([]imageproc.Raster, len(allViews)*len(seenSizes))}
	for i := range out.views {
		if backwards {
			i = len(out.views) - 1 - i
		}
		out.views[i] = raster(t, s, allViews[i/len(seenSizes)], seenSizes[i%len(seenSizes)])
	}
	out.picture = s.PlanPicture(0)
	var file bytes.Buffer
	if err := s.WritePlan(&file, 50); err != nil {
		t.Fatal(err)
	}
	out.file = file.Bytes()
	return out
}

func (a seen) compare(t *testing.T, b seen) {
	t.Helper()
	if !reflect.DeepEqual(a.figures, b.figures) {
		t.Fatalf("figures %+v,\nfrom a fresh desk %+v", a.figures, b.figures)
	}
	if a.picture.Rect != b.picture.Rect || !bytes.Equal(a.picture.Pix, b.picture.Pix) {
		t.Fatal("the plan picture is not that of a fresh desk")
	}
	if !bytes.Equal(a.file, b.file) {
		t.Fatal("the saved picture is not that of a fresh desk")
	}
	for i := range a.views {
		if !bytes.Equal(a.views[i].Pix, b.views[i].Pix) {
			t.Fatalf("view %v at %v is not that of a fresh desk", allViews[i/len(seenSizes)], seenSizes[i%len(seenSizes)])
		}
	}
}

// badPlan has cuts or tones that no edit makes: the study refuses it half way.
func badPlan(p plan.Plan, r *rand.Rand) plan.Plan {
	if r.IntN(2) == 0 {
		p.Values = plan.Values{K: 3, CutMethod: plan.CutByHand, ToneMethod: plan.ToneMean}
		p.Values.Cuts = [plan.MaxK - 1]palette.Value{7, 3}
		return p
	}
	p.Values = plan.Values{K: 2, CutMethod: plan.CutLeastError, ToneMethod: plan.ToneByHand}
	p.Values.Tones = [plan.MaxK]palette.Value{6, 5}
	return p
}

// One desk wanders through random plans; between any two it may show views at
// odd sizes, be interrupted, or be given a plan that it refuses. Whatever it did
// before, each plan must look exactly as on a desk that has done nothing else.
func TestDeskForgetsNothingAndMixesNothing(t *testing.T) {
	for i, c := range []struct {
		size  image.Point
		steps int
	}{
		{image.Pt(120, 90), 50},
		{image.Pt(61, 97), 50},
		{image.Pt(7, 5), 40},
		{image.Pt(1, 40), 30},
		{image.Pt(900, 500), 4}, // larger than the working size
	} {
		if os.Getenv("HALFLID_HEAVY") == "1" {
			c.steps *= 20
		}
		t.Run(fmt.Sprint(c.size), func(t *testing.T) {
			r := seeded(t, uint64(100+i))
			master := harbour(r, c.size.X, c.size.Y)
			desk := study.NewDesk(master)
			p := plan.Default(c.size)
			past := []plan.Plan{p}
			for range c.steps {
				switch r.IntN(8) {
				case 0: // an older plan
					p = past[r.IntN(len(past))]
				case 1, 2:
					p = edited(p, c.size, randomChoosing(r, p))
				default:
					p = edited(p, c.size, randomEdit(r))
				}
				past = append(past, p)
				disturb(t, desk, p, r)
				if r.IntN(2) == 0 { // as the studio does: one or two views at a time
					views := someViews(r)
					s := make1(t, desk, p, views...)
					for _, v := range views {
						raster(t, s, v, image.Pt(1+r.IntN(200), 1+r.IntN(120)))
					}
				}
				s := make1(t, desk, p)
				if s.Plan() != p {
					t.Fatalf("the study is of plan %+v, not %+v", s.Plan(), p)
				}
				for range r.IntN(3) {
					raster(t, s, allViews[r.IntN(len(allViews))], image.Pt(1+r.IntN(200), 1+r.IntN(120)))
				}
				got := look(t, s)
				got.compare(t, lookInOrder(t, make1(t, study.NewDesk(master), p), true))
			}
		})
	}
}

// someViews returns one to three views, in any order, one of them perhaps twice.
func someViews(r *rand.Rand) []study.View {
	out := make([]study.View, 1+r.IntN(3))
	for i := range out {
		out[i] = allViews[r.IntN(len(allViews))]
	}
	return out
}

// disturb uses the desk for something else first, or not.
func disturb(t *testing.T, desk *study.Desk, p plan.Plan, r *rand.Rand) {
	t.Helper()
	switch r.IntN(6) {
	case 0:
		ctx := &dying{Context: context.Background(), left: r.IntN(20)}
		if s, err := desk.Make(ctx, p, someViews(r)...); err != nil && (!errors.Is(err, context.Canceled) || s != nil) {
			t.Fatalf("interrupted: %v, %v", s, err)
		}
	case 1:
		s, err := desk.Make(context.Background(), badPlan(p, r), []study.View{study.Values, study.Plan}[r.IntN(2)])
		if s != nil || !errors.Is(err, tone.ErrCuts) && !errors.Is(err, tone.ErrTones) {
			t.Fatalf("a plan out of order: %v, %v", s, err)
		}
	}
}

// dying is a context that ends after it was asked left times.
type dying struct {
	context.Context
	left int
}

func (d *dying) Err() error {
	d.left--
	if d.left < 0 {
		return context.Canceled
	}
	return nil
}

func TestCancelledAtEveryStage(t *testing.T) {
	size := image.Pt(60, 40)
	master := harbour(seeded(t, 7), size.X, size.Y)
	p := whole(size)
	want := look(t, make1(t, study.NewDesk(master), p))
	for _, c := range []struct {
		views []study.View
		least int // questions
	}{
		{nil, 1},
		{[]study.View{study.Whole}, 2},
		{[]study.View{study.Photo}, 2},
		{[]study.View{study.Squint}, 3},
		{[]study.View{study.Values}, 4},
		{[]study.View{study.Plan}, 8},
		{[]study.View{study.Notan}, 8},
		{allViews, 15},
	} {
		for left := 0; ; left++ {
			desk := study.NewDesk(master)
			s, err := desk.Make(&dying{Context: context.Background(), left: left}, p, c.views...)
			if err == nil {
				if left < c.least {
					t.Errorf("%v: the context was asked %d times only", c.views, left)
				}
				break
			}
			if err != context.Canceled || s != nil {
				t.Fatalf("%v interrupted at question %d: %v, %v", c.views, left, s, err)
			}
			look(t, make1(t, desk, p)).compare(t, want)
		}
	}
}

// Each view alone is what it is among all; figures are those of the plan before
// those of the values; what was not named is refused.
func TestMakeOnlyWhatIsNamed(t *testing.T) {
	size := image.Pt(120, 90)
	master := harbour(seeded(t, 41), size.X, size.Y)
	p := edited(plan.Default(size), size, plan.ResizeCrop(0.7), plan.SetK(4), plan.SetShapes(9))
	all := make1(t, study.NewDesk(master), p)
	for _, v := range allViews {
		s := make1(t, study.NewDesk(master), p, v)
		for _, at := range seenSizes {
			if !bytes.Equal(raster(t, s, v, at).Pix, raster(t, all, v, at).Pix) {
				t.Errorf("%v at %v alone is not what it is among all", v, at)
			}
		}
		for _, other := range allViews {
			if other != v && (other != study.Plan || v < study.Outline) { // a plan is made for its outline and its steps
				panics(t, fmt.Sprintf("study: %v was not made", other), func() { s.Raster(other, size) })
			}
		}
		if v != study.Plan && v < study.Outline {
			panics(t, "study: plan was not made", func() { s.PlanPicture(0) })
			panics(t, "study: plan was not made", func() { _ = s.WritePlan(io.Discard, 0) })
			panics(t, "study: plan was not made", func() { s.MarkGoing(imageproc.NewRaster(5, 5), 1) })
		}
		switch v {
		case study.Plan, study.Outline, study.Steps:
			if !reflect.DeepEqual(s.Figures, all.Figures) || len(s.Figures.List) != s.Figures.Shapes || s.Figures.Most == 0 {
				t.Errorf("the plan's figures are %+v", s.Figures)
			}
			both := make1(t, study.NewDesk(master), p, study.Plan, study.Values)
			if !reflect.DeepEqual(both.Figures, s.Figures) {
				t.Error("named before the values, the plan's figures are not given")
			}
		case study.Values:
			if f := s.Figures; f.Shapes == 0 || len(f.Tones) != 4 || f.Most != 0 || f.List != nil {
				t.Errorf("the values' figures are %+v", f)
			}
		default:
			if want := (study.Figures{Crop: all.Figures.Crop}); !reflect.DeepEqual(s.Figures, want) {
				t.Errorf("%v: figures %+v", v, s.Figures)
			}
		}
	}
	for _, v := range []study.View{-1, 8} {
		panics(t, fmt.Sprintf("study: %v was not made", v), func() {
			_, _ = study.NewDesk(master).Make(context.Background(), p, v)
		})
	}
}

// panics runs f, which must panic with exactly want.
func panics(t *testing.T, want string, f func()) {
	t.Helper()
	defer func() {
		t.Helper()
		if r := recover(); r != want {
			t.Errorf("panic %v, want %s", r, want)
		}
	}()
	f()
}

// The memory of a study is the desk's, but figures and rasters are the caller's.
func TestWhatIsTheCallersStays(t *testing.T) {
	size := image.Pt(120, 90)
	desk := study.NewDesk(harbour(seeded(t, 8), size.X, size.Y))
	p := whole(size)
	first := make1(t, desk, p)
	kept := look(t, first)
	figures := cloned(first.Figures)
	views := make([]imageproc.Raster, len(kept.views))
	for i, v := range kept.views {
		views[i] = imageproc.Raster{W: v.W, H: v.H, Pix: slices.Clone(v.Pix)}
	}
	picture := slices.Clone(kept.picture.Pix)

	second := look(t, make1(t, desk, edited(p, size, plan.SetSquint(8), plan.SetK(5), smallestShape(0))))
	if reflect.DeepEqual(second.figures, kept.figures) {
		t.Fatal("another plan has the same figures: this shows nothing")
	}
	if !reflect.DeepEqual(figures, first.Figures) {
		t.Error("figures changed with the next plan")
	}
	if !bytes.Equal(picture, kept.picture.Pix) {
		t.Error("the plan picture changed with the next plan")
	}
	for i, v := range views {
		if !bytes.Equal(v.Pix, kept.views[i].Pix) {
			t.Errorf("raster %d changed with the next plan", i)
		}
	}
	// And what the caller does to them does not come back.
	third := make1(t, desk, p)
	third.Figures.Tones[0], third.Figures.Cuts[0], third.Figures.Shares[0] = 50, 50, 50
	third.Figures.List[0] = study.Shape{}
	third.PlanPicture(0).Pix[0] ^= 255
	third.MarkGoing(raster(t, third, study.Plan, image.Pt(40, 31)), 1)
	for _, v := range allViews {
		r := raster(t, third, v, image.Pt(40, 31))
		r.Fill(palette.SRGB{R: 255})
	}
	look(t, make1(t, desk, p)).compare(t, kept)
}

// cloned returns figures that share nothing with f.
func cloned(f study.Figures) study.Figures {
	f.Cuts, f.Tones, f.Shares, f.List = slices.Clone(f.Cuts), slices.Clone(f.Tones), slices.Clone(f.Shares), slices.Clone(f.List)
	f.Map.Pix, f.Choices = slices.Clone(f.Map.Pix), slices.Clone(f.Choices)
	for i := range f.List {
		f.List[i].Neighbours = slices.Clone(f.List[i].Neighbours)
	}
	return f
}

func TestNewDeskRefusesAnEmptyPhoto(t *testing.T) {
	panics(t, "study: empty photo", func() { study.NewDesk(imageproc.NewPicture(0, 5)) })
}

// Desks on one photo do not disturb each other: nothing writes to the master.
func TestDesksShareAPhoto(t *testing.T) {
	size := image.Pt(160, 120)
	master := harbour(seeded(t, 9), size.X, size.Y)
	p := whole(size)
	want := make1(t, study.NewDesk(master), p, study.Plan).PlanPicture(0)
	var group sync.WaitGroup
	for i := range 4 {
		group.Go(func() {
			desk, r := study.NewDesk(master), rand.New(rand.NewPCG(uint64(i), 1))
			for range 6 {
				s, err := desk.Make(context.Background(), edited(p, size, randomEdit(r), plan.SetToneMethod(plan.ToneMean)), allViews...)
				if err != nil {
					t.Error(err)
					return
				}
				for _, v := range allViews {
					s.Raster(v, image.Pt(50, 30))
				}
			}
			s, err := desk.Make(context.Background(), p, study.Plan)
			if err != nil || !bytes.Equal(s.PlanPicture(0).Pix, want.Pix) {
				t.Errorf("the plan picture differs beside other desks (%v)", err)
			}
		})
	}
	group.Wait()
}
