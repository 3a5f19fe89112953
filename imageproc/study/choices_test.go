package study_test

import (
	"context"
	"image"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// cases returns how many random plans a property is tried on. The heavy number is
// what the rules of choices.go were shown with: more than ten thousand in all.
func cases(quick, heavy int) int {
	if os.Getenv("HALFLID_HEAVY") != "" {
		return heavy
	}
	return quick
}

// patchwork is a small photo of a few flat things on a ground that falls off.
func patchwork(r *rand.Rand) imageproc.Picture {
	w, h := 72+r.IntN(40), 60+r.IntN(30)
	pic := imageproc.NewPicture(w, h)
	fill := func(at image.Rectangle, v float64) {
		for y := at.Min.Y; y < at.Max.Y; y++ {
			for x := at.Min.X; x < at.Max.X; x++ {
				for _, p := range pic.Planes() {
					p.Set(x, y, float32(v*(0.9+0.2*float64(y)/float64(h))))
				}
			}
		}
	}
	fill(image.Rect(0, 0, w, h), 0.15+0.5*r.Float64())
	for range 4 + r.IntN(8) {
		at := image.Pt(r.IntN(w), r.IntN(h))
		fill(image.Rectangle{Min: at, Max: at.Add(image.Pt(6+r.IntN(40), 6+r.IntN(30)))}.Intersect(image.Rect(0, 0, w, h)), r.Float64())
	}
	return pic
}

// anArea is a random area inside a part of the photo.
func anArea(r *rand.Rand, x0, y0, x1, y1 float64) plan.Area {
	at := func() (float64, float64) {
		a, b := r.Float64(), r.Float64()
		if a > b {
			a, b = b, a
		}
		return a, max(b, min(1, a+0.3))
	}
	ax, bx := at()
	ay, by := at()
	w, h := x1-x0, y1-y0
	box := func(f func(a, b, c, d float64) plan.Area) plan.Area {
		return f(x0+ax*w, y0+ay*h, x0+bx*w, y0+by*h)
	}
	switch r.IntN(3) {
	case 0:
		return box(plan.EllipseArea)
	case 1:
		return plan.AreaOf([][]plan.Point{{{X: x0 + ax*w, Y: y0 + ay*h}, {X: x0 + bx*w, Y: y0 + ay*h}, {X: x0 + bx*w, Y: y0 + by*h}}})
	}
	return box(plan.BoxArea)
}

// aChoice is a random choice about something inside a part of the photo.
func aChoice(r *rand.Rand, x0, y0, x1, y1 float64) plan.Choice {
	list := plan.Whats()
	c := plan.Choice{What: list[r.IntN(len(list))], Area: anArea(r, x0, y0, x1, y1), Off: r.IntN(12) == 0}
	c.Of = 2 + r.IntN(4)
	c.Value = r.IntN(c.Of)
	switch c.What {
	case plan.Add:
		c.Tone = []palette.Value{0, 2.5, 5, 9}[r.IntN(4)]
	case plan.Move, plan.Copy:
		// Within the part, so that places that are apart stay apart.
		c.DX, c.DY = (x1-x0)*(r.Float64()-0.5)/4, (y1-y0)*(r.Float64()-0.5)/4
		c.Scale, c.Mirror = 0.8+0.3*r.Float64(), r.IntN(2) == 0
	case plan.Apart:
		c.Other = anArea(r, x0, y0, x1, y1)
	case plan.Detail:
		c.Shapes = 1 + r.IntN(6)
	case plan.Outline:
		c.Smooth = []float64{0, 1, 3}[r.IntN(3)]
	case plan.PlaneIs:
		c.Plane = plan.Planes()[r.IntN(4)]
	case plan.DepthIs:
		c.Depth = plan.Depths()[r.IntN(3)]
	}
	return c
}

// aPlan is a random plan without choices.
func aPlan(r *rand.Rand, photo image.Point) plan.Plan {
	f := plan.Frame{Photo: photo}
	p := plan.Default(photo)
	for range r.IntN(6) {
		p = randomEdit(r)(p, f)
	}
	if r.IntN(2) == 0 {
		p = plan.SetShapes(1+r.IntN(20))(p, f)
	}
	if p.Crop.W < 0.3 {
		p = plan.ResizeCrop(3)(p, f)
	}
	return p
}

func with(p plan.Plan, cs ...plan.Choice) plan.Plan {
	p.Choices = plan.ListOf(cs...)
	return p
}

// planned makes a plan on a fresh desk.
func planned(t *testing.T, pic imageproc.Picture, p plan.Plan) (*study.Study, *image.Gray) {
	t.Helper()
	s, err := study.NewDesk(pic).Make(context.Background(), p, study.Plan)
	if err != nil {
		t.Fatal(err)
	}
	return s, s.PlanPicture(0)
}

func same(a, b *image.Gray) bool { return a.Rect == b.Rect && slices.Equal(a.Pix, b.Pix) }

// A list applied twice is the list: of equal choices the last counts.
func TestChoicesTwiceAreOnce(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	for i := range cases(120, 3000) {
		pic := patchwork(r)
		p := aPlan(r, pic.Size())
		var list []plan.Choice
		for range 1 + r.IntN(5) {
			list = append(list, aChoice(r, 0, 0, 1, 1))
		}
		_, once := planned(t, pic, with(p, list...))
		_, twice := planned(t, pic, with(p, slices.Concat(list, list)...))
		if !same(once, twice) {
			t.Fatalf("case %d: twice is not once: %+v", i, list)
		}
	}
}

// The order of choices about places that lie apart does not matter.
func TestOrderOfIndependentChoices(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 5))
	for i := range cases(120, 3000) {
		pic := patchwork(r)
		p := aPlan(r, pic.Size())
		var list []plan.Choice
		for _, cell := range r.Perm(4)[:2+r.IntN(3)] {
			x, y := float64(cell%2)/2, float64(cell/2)/2
			list = append(list, aChoice(r, x+0.1, y+0.1, x+0.4, y+0.4))
		}
		_, one := planned(t, pic, with(p, list...))
		r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		_, other := planned(t, pic, with(p, list...))
		if !same(one, other) {
			t.Fatalf("case %d: the order matters: %+v", i, list)
		}
	}
}

// inArea returns the marked pixels of the working picture.
func inArea(s *study.Study, a plan.Area, photo image.Point) imageproc.Mask {
	f := s.Figures
	m := imageproc.NewMask(f.Size.X, f.Size.Y)
	var rings []outline.Ring
	for _, ring := range a.Rings() {
		var out outline.Ring
		for _, p := range ring {
			out = append(out, outline.Point{
				X: (p.X*float64(photo.X) - float64(f.Crop.Min.X)) * float64(f.Size.X) / float64(f.Crop.Dx()),
				Y: (p.Y*float64(photo.Y) - float64(f.Crop.Min.Y)) * float64(f.Size.Y) / float64(f.Crop.Dy()),
			})
		}
		rings = append(rings, out)
	}
	outline.Fill(m, rings)
	return m
}

// Every choice that can hold, holds: the last of a list has its way in every
// plan, whatever the squint, the crop, the values and the number of shapes.
func TestChoicesHold(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	held := map[plan.What]int{}
	for i := range cases(300, 5000) {
		pic := patchwork(r)
		p := aPlan(r, pic.Size())
		var list []plan.Choice
		for range r.IntN(3) {
			list = append(list, aChoice(r, 0, 0, 1, 1))
		}
		last := aChoice(r, 0, 0, 1, 1)
		last.Off = false
		p = with(p, append(list, last)...)
		s, _ := planned(t, pic, p)
		f := s.Figures
		n := p.Choices.Len()
		if len(f.Choices) != n {
			t.Fatalf("case %d: %d standings of %d choices", i, len(f.Choices), n)
		}
		if f.Choices[n-1] != study.Holds || len(f.Tones) < plan.MinK {
			continue
		}
		in := inArea(s, last.Area, pic.Size())
		area := 0
		by := make([]int, len(f.List)) // pixels of each shape inside
		for at, on := range in.Pix {
			if on {
				area++
				by[f.Map.Pix[at]]++
			}
		}
		if area < 30 {
			continue // a few pixels stand for nothing
		}
		held[last.What]++
		switch last.What {
		case plan.GiveValue, plan.Add:
			right := 0
			for shape, n := range by {
				if f.List[shape].Value == last.ValueIn(len(f.Tones)) {
					right += n
				}
			}
			if right < area*65/100 {
				t.Errorf("case %d: %d of %d pixels have the value that was given: %+v", i, right, area, list)
			}
		case plan.Together:
			if most := slices.Max(by); most < area*65/100 {
				t.Errorf("case %d: the largest shape has %d of %d pixels that were pulled together", i, most, area)
			}
		case plan.Apart:
			if f.Choices[n-1] == study.Holds {
				apart(t, i, s, by, last, pic.Size())
			}
		case plan.Detail:
			inside := 0
			for shape, n := range by {
				if share := float64(n) / (f.List[shape].Share * float64(len(in.Pix))); share > 0.95 {
					inside++
				}
			}
			if inside > last.Shapes {
				t.Errorf("case %d: %d shapes where at most %d were wanted", i, inside, last.Shapes)
			}
		}
	}
	for _, w := range []plan.What{plan.GiveValue, plan.Add, plan.Together, plan.Apart, plan.Detail} {
		if held[w] < 5 {
			t.Errorf("only %d plans with %q were tried", held[w], w)
		}
	}
}

// apart checks that no shape has most of both areas.
func apart(t *testing.T, i int, s *study.Study, by []int, c plan.Choice, photo image.Point) {
	t.Helper()
	other := make([]int, len(by))
	one, two := 0, 0
	for at, on := range inArea(s, c.Other, photo).Pix {
		if on {
			other[s.Figures.Map.Pix[at]]++
			two++
		}
	}
	for _, n := range by {
		one += n
	}
	overlap := 0
	a, b := inArea(s, c.Area, photo), inArea(s, c.Other, photo)
	for at := range a.Pix {
		if a.Pix[at] && b.Pix[at] {
			overlap++
		}
	}
	if two < 30 || overlap > 0 {
		return
	}
	for shape := range by {
		if by[shape] > one*65/100 && other[shape] > two*65/100 {
			t.Errorf("case %d: shape %d has both of what was to be kept apart", i, shape)
		}
	}
}

// A desk that has made other plans before makes the same plan as a fresh one.
func TestChoicesDoNotDependOnWhatWasMadeBefore(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	for i := range cases(25, 300) {
		pic := patchwork(r)
		desk := study.NewDesk(pic)
		p := aPlan(r, pic.Size())
		for range 6 {
			f := plan.Frame{Photo: pic.Size()}
			if r.IntN(5) == 0 {
				p = randomEdit(r)(p, f)
			} else {
				p = randomChoosing(r, p)(p, f)
			}
			s, err := desk.Make(context.Background(), p, study.Plan)
			if err != nil {
				t.Fatal(err)
			}
			_, fresh := planned(t, pic, p)
			if !same(s.PlanPicture(0), fresh) {
				t.Fatalf("case %d: a used desk makes another plan: %+v", i, p.Choices.List())
			}
		}
	}
}

// Retouches show in the photo, and taking them back gives the photo back, to the
// last bit.
func TestRetouchesAreTakenBack(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	pic := patchwork(r)
	p := plan.Default(pic.Size())
	desk := study.NewDesk(pic)
	look := func(p plan.Plan) []uint8 {
		s, err := desk.Make(context.Background(), p, study.Whole)
		if err != nil {
			t.Fatal(err)
		}
		return s.Raster(study.Whole, pic.Size()).Pix
	}
	before := look(p)
	var list []plan.Choice
	for range 8 {
		c := aChoice(r, 0, 0, 1, 1)
		c.What, c.Off = []plan.What{plan.LeaveOut, plan.Move, plan.Copy, plan.Add}[r.IntN(4)], false
		c.DX, c.DY, c.Scale = 0.2*r.Float64(), -0.1, 1.2
		list = append(list, c)
	}
	if slices.Equal(before, look(with(p, list...))) {
		t.Error("eight retouches changed nothing")
	}
	_ = look(with(p, list[:3]...))
	_ = look(with(p, list[4:]...))
	if !slices.Equal(before, look(p)) {
		t.Error("the photo did not come back")
	}
}

// A plan with two hundred choices goes through its file and gives the same
// picture, byte for byte.
func TestTwoHundredChoicesReplay(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 5))
	pic := patchwork(r)
	p := plan.Default(pic.Size())
	for p.Choices.Len() < 200 {
		x, y := 0.9*r.Float64(), 0.9*r.Float64()
		p = plan.Choose(aChoice(r, x, y, x+0.1, y+0.1))(p, plan.Frame{Photo: pic.Size()})
	}
	file := plan.File{Photo: plan.Photo{Name: "quay.jpg", SHA256: strings.Repeat("0", 64), Width: pic.R.W, Height: pic.R.H}, Plan: p}
	again, err := plan.Read(file.Text())
	if err != nil {
		t.Fatal(err)
	}
	if again.Plan != p {
		t.Fatal("the plan is another after reading it")
	}
	s, one := planned(t, pic, p)
	_, other := planned(t, pic, again.Plan)
	if !same(one, other) {
		t.Error("the picture is another")
	}
	holds := 0
	for _, st := range s.Figures.Choices {
		if st == study.Holds {
			holds++
		}
	}
	if holds < 40 {
		t.Errorf("only %d of 200 choices hold", holds)
	}
}
