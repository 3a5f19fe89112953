package study_test

import (
	"image"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// What these scenes should be read as is common practice, no source.

// A scene is a label map of 80 by 60 on which shapes are laid over each other.
type scene struct {
	l     imageproc.Labels
	tones []palette.L
}

func newScene(ground palette.L) *scene {
	return &scene{imageproc.NewLabels(80, 60), []palette.L{ground}}
}

// lay lays the pixels for which in holds over what is there, as a shape.
func (s *scene) lay(tone palette.L, in func(x, y int) bool) (shape int) {
	shape = len(s.tones)
	s.tones = append(s.tones, tone)
	for i := range s.l.Pix {
		if in(i%s.l.W, i/s.l.W) {
			s.l.Pix[i] = int32(shape)
		}
	}
	return shape
}

func (s *scene) box(tone palette.L, x0, y0, x1, y1 int) (shape int) {
	return s.lay(tone, func(x, y int) bool { return image.Pt(x, y).In(image.Rect(x0, y0, x1, y1)) })
}

// both returns the figures of the scene and of the mirrored one.
func (s *scene) both() []study.Figures {
	m := mirroredMap(s.l)
	return []study.Figures{mapped(mirroredMap(m), s.tones), mapped(m, s.tones)} // of copies
}

func mirroredMap(l imageproc.Labels) imageproc.Labels {
	out := imageproc.NewLabels(l.W, l.H)
	for y := range l.H {
		for x, v := range l.Row(y) {
			out.Pix[y*l.W+l.W-1-x] = v
		}
	}
	return out
}

func wantPlane(t *testing.T, what string, got study.Spaced, want plan.Plane, least float64) {
	t.Helper()
	if got.Plane != want || got.PlaneSure < least {
		t.Errorf("%s: %s, sure to %v, want %s to %v", what, got.Plane, got.PlaneSure, want, least)
	}
}

func wantDepth(t *testing.T, what string, got study.Spaced, want plan.Depth, least float64) {
	t.Helper()
	if got.Depth != want || got.DepthSure < least {
		t.Errorf("%s: %s, sure to %v, want %s to %v", what, got.Depth, got.DepthSure, want, least)
	}
}

// A harbour: sky, hills, water, mud, a shed with a roof, a mast, a post, a cloud
// and a bird.
func TestSpaceOfAView(t *testing.T) {
	s := newScene(90)
	hills := s.box(60, 0, 22, 80, 27)
	water := s.box(75, 0, 27, 80, 38)
	mud := s.box(45, 0, 38, 80, 60)
	mast := s.box(15, 30, 6, 32, 42)
	shed := s.box(25, 60, 18, 68, 40)
	post := s.box(10, 8, 40, 11, 58)
	bank := s.lay(30, func(x, y int) bool { return x > 38 && x < 58 && y > 75-x && y < 80-x })
	cloud := s.box(85, 40, 5, 55, 10)
	bird := s.box(20, 20, 5, 23, 7)
	for _, f := range s.both() {
		got := f.Space()
		wantPlane(t, "sky", got[0], plan.Sky, 0.5)
		wantPlane(t, "cloud", got[cloud], plan.Sky, 0.2)
		wantPlane(t, "water", got[water], plan.Ground, 0.1)
		wantPlane(t, "mud", got[mud], plan.Ground, 0.4)
		wantPlane(t, "mast", got[mast], plan.Standing, 0.4)
		wantPlane(t, "shed", got[shed], plan.Standing, 0.2)
		wantPlane(t, "post", got[post], plan.Standing, 0.4)
		wantPlane(t, "bank", got[bank], plan.Slant, 0.3)
		if got[bird].Plane == plan.Sky {
			t.Error("a dark bird is sky")
		}
		wantDepth(t, "sky", got[0], plan.Far, 0.5)
		wantDepth(t, "cloud", got[cloud], plan.Far, 0.2)
		wantDepth(t, "hills", got[hills], plan.Far, 0.2)
		wantDepth(t, "water", got[water], plan.Middle, 0.1)
		wantDepth(t, "shed", got[shed], plan.Middle, 0.1)
		wantDepth(t, "mud", got[mud], plan.Near, 0.6)
		wantDepth(t, "post", got[post], plan.Near, 0.4)
	}
}

// Each rule holds the other way round too: what lacks the sign lacks the answer.
func TestSpaceGoesBothWays(t *testing.T) {
	sky := func(f study.Figures, i int) float64 {
		if s := f.Space()[i]; s.Plane == plan.Sky {
			return s.PlaneSure
		}
		return -1
	}
	// The lighter the upper shape, the surer a sky; the narrower, the less.
	last, first := -1.0, -2.0
	for _, tone := range []palette.L{10, 30, 50, 70, 90} {
		s := newScene(50)
		top := s.box(tone, 0, 0, 80, 25)
		s.box(0, 0, 40, 40, 60)
		s.box(100, 40, 40, 80, 60)
		for _, f := range s.both() {
			v := sky(f, top)
			if v < last {
				t.Errorf("a sky of tone %v is sure to %v, a darker one to %v", tone, v, last)
			}
			last = v
			if first < -1 {
				first = v
			}
		}
	}
	if first > 0.2 || last < 0.5 {
		t.Errorf("a dark upper half is sky to %v, a light one only to %v", first, last)
	}
	wide, narrow := newScene(40), newScene(40)
	a, b := wide.box(90, 0, 0, 80, 20), narrow.box(90, 0, 0, 80, 20)
	narrow.box(20, 30, 0, 80, 2)
	for i := range 2 {
		if x, y := sky(wide.both()[i], a), sky(narrow.both()[i], b); y > 0.75*x {
			t.Errorf("along the whole upper edge sky to %v, along less than half to %v", x, y)
		}
	}
	// What the lower edge cuts widely is more surely near.
	wide, narrow = newScene(90), newScene(90)
	wide.box(30, 0, 20, 80, 60)
	narrow.box(30, 0, 20, 80, 60)
	a, b = wide.box(60, 0, 45, 80, 60), narrow.box(60, 35, 45, 45, 60)
	for i := range 2 {
		x, y := wide.both()[i].Space()[a], narrow.both()[i].Space()[b]
		wantDepth(t, "wide", x, plan.Near, 0.5)
		wantDepth(t, "narrow", y, plan.Near, 0.2)
		if x.DepthSure <= y.DepthSure {
			t.Errorf("cut widely by the lower edge near to %v, narrowly to %v", x.DepthSure, y.DepthSure)
		}
	}
	// Upside down the light shape is ground: what lies below is no sky.
	down := newScene(40)
	low := down.box(90, 0, 40, 80, 60)
	for _, f := range down.both() {
		wantPlane(t, "a light lower edge", f.Space()[low], plan.Ground, 0.4)
		wantDepth(t, "a light lower edge", f.Space()[low], plan.Near, 0.4)
	}
	// A cloud must be light, lie, and lie in the sky alone.
	for _, c := range []struct {
		what string
		lay  func(s *scene) int
		in   bool
	}{
		{"cloud", func(s *scene) int { return s.box(80, 30, 10, 50, 16) }, true},
		{"cloud at the side", func(s *scene) int { return s.box(80, 0, 10, 20, 16) }, true},
		{"dark", func(s *scene) int { return s.box(20, 30, 10, 50, 16) }, false},
		{"tall", func(s *scene) int { return s.box(80, 30, 4, 34, 24) }, false},
		{"on the hills", func(s *scene) int { return s.box(80, 30, 24, 50, 30) }, false},
	} {
		s := newScene(90)
		s.box(30, 0, 30, 80, 60)
		i := c.lay(s)
		for _, f := range s.both() {
			if got := f.Space()[i]; (got.Plane == plan.Sky) != c.in {
				t.Errorf("%s: %s", c.what, got.Plane)
			}
		}
	}
	// Wide and flat is ground, the same on end is upright; slanting either way.
	s := newScene(50)
	flat, tall := s.box(45, 4, 48, 70, 52), s.box(45, 72, 4, 76, 44)
	up := s.lay(45, func(x, y int) bool { return x > 5 && x < 35 && x-y > -8 && x-y < -3 })
	for _, f := range s.both() {
		got := f.Space()
		wantPlane(t, "flat", got[flat], plan.Ground, 0.3)
		wantPlane(t, "tall", got[tall], plan.Standing, 0.3)
		wantPlane(t, "slanting", got[up], plan.Slant, 0.3)
	}
}

// The lower a thing stands, the nearer it is; a thread that hangs from it is no
// foot.
func TestSpaceByTheFoot(t *testing.T) {
	rank := map[plan.Depth]int{plan.Far: 0, plan.Middle: 1, plan.Near: 2}
	for _, horizon := range []int{0, 20} {
		last, seen := 0, []plan.Depth{}
		for foot := max(14, horizon+4); foot <= 60; foot++ {
			s := newScene(50)
			if horizon > 0 {
				s.box(90, 0, 0, 80, horizon)
			}
			thing := s.box(20, 30, foot-14, 42, foot)
			plain := s.both()
			for y := foot; y < min(foot+3, 60); y++ {
				s.l.Pix[y*s.l.W+36] = int32(thing) // three pixels of 171
			}
			for i, f := range s.both() {
				d := f.Space()[thing].Depth
				if was := plain[i].Space()[thing].Depth; was != d {
					t.Fatalf("horizon %d, foot %d: %s, with a thread %s", horizon, foot, was, d)
				}
				if rank[d] < last {
					t.Fatalf("horizon %d, foot %d: %s, before it was nearer", horizon, foot, d)
				}
				last = rank[d]
				if !slices.Contains(seen, d) {
					seen = append(seen, d)
				}
			}
		}
		if !slices.Equal(seen, plan.Depths()) {
			t.Errorf("horizon %d: %v", horizon, seen)
		}
	}
}

// What ends above the horizon stands on something else, so how far away it is can
// only be guessed.
func TestSpaceAboveTheHorizon(t *testing.T) {
	s := newScene(90)
	s.box(45, 0, 28, 80, 60)
	tower := s.box(30, 30, 10, 38, 50)
	lantern := s.box(10, 31, 4, 37, 10)
	hill := s.box(30, 50, 24, 80, 29)
	for _, f := range s.both() {
		got := f.Space()
		if got[lantern].DepthSure > 0.2 || got[lantern].DepthSure >= got[hill].DepthSure {
			t.Errorf("a lantern is %+v, a hill %+v", got[lantern], got[hill])
		}
		wantDepth(t, "hill", got[hill], plan.Far, 0.15)
		wantDepth(t, "tower", got[tower], plan.Near, 0.05)
	}
}

func TestSpaceIsModestAndMirrors(t *testing.T) {
	r := seeded(t, 130)
	planes, depths := map[plan.Plane]int{}, map[plan.Depth]int{}
	guesses := 0
	for range 300 {
		f := cells(r, 6+r.IntN(40), 6+r.IntN(30), 1+r.IntN(14))
		tones := make([]palette.L, len(f.List))
		for i, s := range f.List {
			tones[i] = s.Tone
		}
		got, back := f.Space(), mapped(mirroredMap(f.Map), tones).Space()
		for i, s := range got {
			if s != back[i] {
				t.Fatalf("shape %d is %+v, mirrored %+v", i, s, back[i])
			}
			if !slices.Contains(plan.Planes(), s.Plane) || !slices.Contains(plan.Depths(), s.Depth) {
				t.Fatalf("shape %d is %+v", i, s)
			}
			if !(s.PlaneSure >= 0 && s.PlaneSure <= 0.8 && s.DepthSure >= 0 && s.DepthSure <= 0.8) {
				t.Fatalf("shape %d is %+v", i, s)
			}
			planes[s.Plane]++
			depths[s.Depth]++
			guesses += btoi(s.PlaneSure < 0.1)
		}
	}
	if len(planes) != 4 || len(depths) != 3 || guesses < 50 {
		t.Errorf("%v, %v, %d guesses: too few to say anything", planes, depths, guesses)
	}
	if s := (study.Figures{}).Space(); s != nil {
		t.Errorf("nothing is proposed as %v", s)
	}
	// One shape that is everything is hardly anything.
	if s := lettered("aaaa/aaaa/aaaa").Space()[0]; s.PlaneSure > 0.2 {
		t.Errorf("a picture of one shape is %+v", s)
	}
}
