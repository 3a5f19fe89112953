package study_test

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"atelier/halflid/cmd/halflid/demo"
	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// mapped returns the figures of a label map: shape i is what carries label i.
func mapped(l imageproc.Labels, tones []palette.L) study.Figures {
	f := study.Figures{Size: l.Size(), Crop: image.Rectangle{Max: l.Size()}, Shapes: len(tones), Map: l}
	f.List = make([]study.Shape, len(tones))
	all := float64(len(l.Pix))
	for i, id := range l.Pix {
		s := &f.List[id]
		x, y := i%l.W, i/l.W
		s.Share += 1 / all
		s.X, s.Y = s.X+float64(x)+0.5, s.Y+float64(y)+0.5
		s.Bounds = s.Bounds.Union(image.Rect(x, y, x+1, y+1))
	}
	for i := range f.List {
		s := &f.List[i]
		s.Tone = tones[i]
		n := s.Share * all
		s.Share, s.X, s.Y = math.Round(n)/all, s.X/n, s.Y/n
	}
	for _, b := range mass.Adjacency(l, len(tones)) {
		one, other := &f.List[b.A], &f.List[b.B]
		one.Neighbours = append(one.Neighbours, study.Neighbour{Shape: int(b.B), Length: int(b.Len)})
		other.Neighbours = append(other.Neighbours, study.Neighbour{Shape: int(b.A), Length: int(b.Len)})
	}
	return f
}

// lettered reads a map of one letter a shape, 'a' shape 0, rows parted by '/'.
func lettered(rows string, tones ...palette.L) study.Figures {
	lines := strings.Split(rows, "/")
	l := imageproc.NewLabels(len(lines[0]), len(lines))
	most := int32(0)
	for y, line := range lines {
		for x, c := range line {
			l.Pix[y*l.W+x] = c - 'a'
			most = max(most, c-'a')
		}
	}
	for len(tones) <= int(most) {
		tones = append(tones, 50)
	}
	return mapped(l, tones)
}

// cells returns the figures of a picture parted among random middles.
func cells(r *rand.Rand, w, h, n int) study.Figures {
	at := make([]image.Point, n)
	used := imageproc.NewLabels(w, h)
	for i := range at {
		for at[i] = image.Pt(r.IntN(w), r.IntN(h)); used.At(at[i].X, at[i].Y) != 0; {
			at[i] = image.Pt(r.IntN(w), r.IntN(h))
		}
		used.Pix[at[i].Y*w+at[i].X] = 1
	}
	l := imageproc.NewLabels(w, h)
	for i := range l.Pix {
		least := math.MaxInt
		for j, p := range at {
			if d := (p.X-i%w)*(p.X-i%w) + (p.Y-i/w)*(p.Y-i/w); d < least {
				l.Pix[i], least = int32(j), d
			}
		}
	}
	tones := make([]palette.L, n)
	for i := range tones {
		tones[i] = palette.L(100 * r.Float64())
	}
	return mapped(l, tones)
}

// depthAt is the distance from a pixel to what is not its shape, by trying all.
func depthAt(f study.Figures, p image.Point) float64 {
	least := math.Inf(1)
	for y := -1; y <= f.Map.H; y++ {
		for x := -1; x <= f.Map.W; x++ {
			if !image.Pt(x, y).In(image.Rectangle{Max: f.Map.Size()}) || f.Map.At(x, y) != f.Map.At(p.X, p.Y) {
				least = min(least, math.Hypot(float64(x-p.X), float64(y-p.Y)))
			}
		}
	}
	return least
}

func pixelAt(f study.Figures, x, y float64) image.Point {
	return image.Pt(int(x*float64(f.Map.W)), int(y*float64(f.Map.H)))
}

func placeOf(f study.Figures, p image.Point) (x, y float64) {
	return (float64(p.X) + 0.5) / float64(f.Map.W), (float64(p.Y) + 0.5) / float64(f.Map.H)
}

func TestAtPlace(t *testing.T) {
	r := seeded(t, 120)
	for range 60 {
		f := cells(r, 1+r.IntN(25), 1+r.IntN(20), 1)
		if r.IntN(4) > 0 {
			f = cells(r, 5+r.IntN(20), 5+r.IntN(20), 2+r.IntN(20))
		}
		for i, s := range f.Map.Pix {
			if x, y := placeOf(f, image.Pt(i%f.Map.W, i/f.Map.W)); f.At(x, y) != int(s) {
				t.Fatalf("shape %d at %v, %v, want %d", f.At(x, y), x, y, s)
			}
		}
		for s := range f.List {
			x, y := f.Place(s)
			if f.At(x, y) != s {
				t.Fatalf("the place of shape %d lies in %d", s, f.At(x, y))
			}
			deep := depthAt(f, pixelAt(f, x, y))
			for i, id := range f.Map.Pix {
				if d := depthAt(f, image.Pt(i%f.Map.W, i/f.Map.W)); int(id) == s && d > deep {
					t.Fatalf("shape %d is %v deep at its place, %v elsewhere", s, deep, d)
				}
			}
		}
	}
	f := lettered("ab/cd")
	for _, c := range []struct {
		x, y float64
		want int
	}{
		{0, 0, 0},
		{0.49, 0.49, 0},
		{0.5, 0.49, 1},
		{1, 0, 1},
		{0, 1, 2},
		{1, 1, 3},
		{-0.01, 0, -1},
		{0, 1.01, -1},
		{math.NaN(), 0, -1},
		{0, math.Inf(1), -1},
	} {
		if got := f.At(c.x, c.y); got != c.want {
			t.Errorf("at %v, %v is shape %d, want %d", c.x, c.y, got, c.want)
		}
	}
	var none study.Figures
	if x, y := none.BySize(0.3, 0.4, 1); none.At(0.5, 0.5) != -1 || x != 0.3 || y != 0.4 {
		t.Error("figures without shapes have one")
	}
	if _, _, ok := none.Beside(0.5, 0.5, 1, 0); ok {
		t.Error("figures without shapes have a next one")
	}
}

// By hand, each in all four directions.
func TestBesideByHand(t *testing.T) {
	for _, c := range []struct {
		rows   string
		at     image.Point
		dx, dy int
		want   image.Point // -1, -1: none
	}{
		// On the line: the first met, however small.
		{"aaabccc", image.Pt(1, 0), 1, 0, image.Pt(3, 0)},
		{"aaabccc", image.Pt(5, 0), -1, 0, image.Pt(3, 0)},
		{"aaabccc", image.Pt(1, 0), -1, 0, image.Pt(-1, -1)},
		{"aaabccc", image.Pt(1, 0), 0, 1, image.Pt(-1, -1)},
		// Well inside, nearest to the line: two of three deep, on the old height.
		{"aabbbbb/aabbbbb/aabbbbb/aabbbbb/aabbbbb", image.Pt(0, 3), 1, 0, image.Pt(3, 3)},
		{"aabbbbb/aabbbbb/aabbbbb/aabbbbb/aabbbbb", image.Pt(0, 0), 1, 0, image.Pt(3, 1)},
		// Nothing on the line: the nearest that lies mostly that way, not b.
		{"aaaaaaab/aaaaaaaa/aaaaaaaa/aaaaaaaa/aaaccaaa", image.Pt(3, 1), 0, 1, image.Pt(3, 4)},
		{"aaaaaaab/aaaaaaaa/aaaaaaaa/aaaaaaaa/aaaccaaa", image.Pt(2, 1), 1, 0, image.Pt(7, 0)},
		{"aaaaaaab/aaaaaaaa/aaaaaaaa/aaaaaaaa/aaaccaaa", image.Pt(3, 1), -1, 0, image.Pt(-1, -1)},
		// Equally far: the first by its index.
		{"aaaab/aaaaa/aaaaa/aaaaa/aaaac", image.Pt(0, 2), 1, 0, image.Pt(4, 0)},
		// It bends round the old place: to rest only on the far side.
		{"bbbbbb/baaaab/baaaab/bbbbbb", image.Pt(3, 1), 1, 0, image.Pt(5, 1)},
	} {
		f := lettered(c.rows)
		for turn := range 4 {
			x, y := placeOf(f, c.at)
			nx, ny, ok := f.Beside(x, y, c.dx, c.dy)
			got := image.Pt(-1, -1)
			if ok {
				got = pixelAt(f, nx, ny)
			} else if nx != x || ny != y {
				t.Errorf("%s: no next shape, but another place", c.rows)
			}
			if got != c.want {
				t.Errorf("%s, turned %d: from %v by %d, %d to %v, want %v", c.rows, turn, c.at, c.dx, c.dy, got, c.want)
			}
			f, c.at, c.dx, c.dy, c.want = quarterTurn(f, c.at, c.dx, c.dy, c.want)
		}
	}
}

// quarterTurn turns a map and what lies on it a quarter round.
func quarterTurn(f study.Figures, at image.Point, dx, dy int, want image.Point) (study.Figures, image.Point, int, int, image.Point) {
	l := imageproc.NewLabels(f.Map.H, f.Map.W)
	turn := func(p image.Point) image.Point { return image.Pt(f.Map.H-1-p.Y, p.X) }
	for y := range f.Map.H {
		for x := range f.Map.W {
			p := turn(image.Pt(x, y))
			l.Pix[p.Y*l.W+p.X] = f.Map.At(x, y)
		}
	}
	if want.X >= 0 {
		want = turn(want)
	}
	return mapped(l, make([]palette.L, len(f.List))), turn(at), -dy, dx, want
}

var ways = []image.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}}

func TestBesideKeepsItsPromise(t *testing.T) {
	r := seeded(t, 121)
	none, far := 0, 0
	for range 80 {
		f := cells(r, 8+r.IntN(25), 8+r.IntN(20), 1+r.IntN(9))
		for range 12 {
			at := image.Pt(r.IntN(f.Map.W), r.IntN(f.Map.H))
			way := ways[r.IntN(4)]
			x, y := placeOf(f, at)
			nx, ny, ok := f.Beside(x, y, way.X, way.Y)
			want, met := nextByHand(f, at, way)
			if !ok {
				none++
				if want >= 0 {
					t.Fatalf("from %v by %v to none, want %d", at, way, want)
				}
				continue
			}
			if got := f.At(nx, ny); got != want {
				t.Fatalf("from %v by %v to shape %d, want %d", at, way, got, want)
			}
			far += btoi(!met)
			checkRest(t, f, at, way, pixelAt(f, nx, ny))
		}
	}
	if none < 20 || far < 20 {
		t.Errorf("%d times none, %d times far off the line: too few to say anything", none, far)
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// nextByHand is Beside by its words, with places instead of pixels.
func nextByHand(f study.Figures, at, way image.Point) (shape int, met bool) {
	x, y := placeOf(f, at)
	here := f.At(x, y)
	for p := at; p.In(image.Rectangle{Max: f.Map.Size()}); p = p.Add(way) {
		if s := int(f.Map.At(p.X, p.Y)); s != here {
			return s, true
		}
	}
	best, least := -1, math.Inf(1)
	for s := range f.List {
		if s == here {
			continue
		}
		px, py := f.Place(s)
		v := pixelAt(f, px, py).Sub(at)
		angle := math.Abs(math.Atan2(float64(v.Y), float64(v.X)) - math.Atan2(float64(way.Y), float64(way.X)))
		angle = min(angle, 2*math.Pi-angle)
		if d := math.Hypot(float64(v.X), float64(v.Y)); angle <= math.Pi/4+1e-9 && d < least-1e-9 {
			best, least = s, d
		}
	}
	return best, false
}

// checkRest fails unless rest lies farther that way, well inside, and no pixel
// that does too lies nearer to the line.
func checkRest(t *testing.T, f study.Figures, at, way, rest image.Point) {
	t.Helper()
	line := func(p image.Point) (along, across int) {
		v := p.Sub(at)
		along, across = v.X*way.X+v.Y*way.Y, v.X*way.Y+v.Y*way.X
		return along, max(across, -across)
	}
	deepest := 0.0
	var those []image.Point
	for i, s := range f.Map.Pix {
		p := image.Pt(i%f.Map.W, i/f.Map.W)
		if along, _ := line(p); s == f.Map.At(rest.X, rest.Y) && along > 0 {
			deepest = max(deepest, depthAt(f, p))
			those = append(those, p)
		}
	}
	along, across := line(rest)
	if deep := depthAt(f, rest); along <= 0 || deep < deepest/2-1e-9 {
		t.Fatalf("from %v by %v to %v, %v deep of %v", at, way, rest, deep, deepest)
	}
	for _, p := range those {
		if a, b := line(p); depthAt(f, p) >= deepest/2 && (b < across || b == across && a < along) {
			t.Fatalf("from %v by %v to %v, but %v is nearer", at, way, rest, p)
		}
	}
}

func TestBySize(t *testing.T) {
	r := seeded(t, 122)
	for range 60 {
		n := 1 + r.IntN(12)
		f := cells(r, 4+r.IntN(20), 4+r.IntN(20), n)
		x, y := f.BySize(-1, 0, 1) // anew: the largest
		last := math.Inf(1)
		seen := make([]bool, n)
		for i := range n {
			s := f.At(x, y)
			if seen[s] || f.List[s].Share > last {
				t.Fatalf("the %dth by size is shape %d of %v after %v", i, s, f.List[s].Share, last)
			}
			seen[s], last = true, f.List[s].Share
			nx, ny := f.BySize(x, y, 1)
			if bx, by := f.BySize(nx, ny, -1); f.At(bx, by) != s {
				t.Fatalf("there and back from shape %d is %d", s, f.At(bx, by))
			}
			if fx, fy := f.BySize(x, y, 1+3*n); fx != nx || fy != ny {
				t.Fatal("three times round leads elsewhere")
			}
			x, y = nx, ny
		}
		if fx, fy := f.BySize(-1, 0, 1); fx != x || fy != y {
			t.Fatal("after the last comes not the first")
		}
		if lx, ly := f.BySize(-1, 0, -1); f.List[f.At(lx, ly)].Share != last {
			t.Fatal("back from nowhere is not the smallest")
		}
	}
	// Ties go by the index.
	f := lettered("aabbcc/aabbcd")
	var got []int
	x, y := 0.0, 0.0
	for range 5 {
		got = append(got, f.At(x, y))
		x, y = f.BySize(x, y, 1)
	}
	if want := []int{0, 1, 2, 3, 0}; !slices.Equal(got, want) {
		t.Errorf("by size: %v, want %v", got, want)
	}
}

// demoScene returns the invented harbour in linear light.
var demoScene = sync.OnceValue(func() imageproc.Picture {
	_, data := demo.Photo()
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		panic(err)
	}
	b := img.Bounds()
	pic := imageproc.NewPicture(b.Dx(), b.Dy())
	for y := range b.Dy() {
		for x := range b.Dx() {
			r, g, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			pic.R.Set(x, y, float32(palette.Decode8(uint8(r>>8))))
			pic.G.Set(x, y, float32(palette.Decode8(uint8(g>>8))))
			pic.B.Set(x, y, float32(palette.Decode8(uint8(bl>>8))))
		}
	}
	return pic
})

// The area of shapes, drawn again on the working picture, is those shapes,
// whatever size the photo is said to have.
func TestAreaOfShapes(t *testing.T) {
	master := demoScene()
	size := master.Size()
	desk := study.NewDesk(master)
	least, points := 1.0, 0
	for _, p := range []plan.Plan{
		plan.Default(size),
		edited(whole(size), size, plan.SetK(4), plan.SetShapes(30)),
		edited(plan.Default(size), size, plan.SetCrop(plan.Crop{X: 0.3, Y: 0.35, W: 0.31}), plan.SetK(4), plan.SetShapes(24)),
	} {
		f := make1(t, desk, p, study.Plan).Figures
		r := seeded(t, 123)
		for i := range 2 * len(f.List) {
			shapes := []int{i}
			if i >= len(f.List) { // several together, the same one twice too
				shapes = []int{r.IntN(len(f.List)), r.IntN(len(f.List)), r.IntN(len(f.List))}
			}
			for _, photo := range []image.Point{size, {X: 5 * size.X / 2, Y: 5 * size.Y / 2}} {
				a := f.Area(shapes, p, photo)
				iou, share := overlap(f, shapes, a, p, photo)
				if share > 0.01 {
					least = min(least, iou)
					if iou < 0.9 {
						t.Errorf("shapes %v of %.3f of the picture: the area agrees to %.3f", shapes, share, iou)
					}
				}
				for _, ring := range a.Rings() {
					points = max(points, len(ring))
				}
			}
		}
	}
	t.Logf("worst agreement %.3f, at most %d points a ring", least, points)
}

// overlap draws an area on the working picture and returns its intersection over
// union with the shapes, and their share of the picture.
func overlap(f study.Figures, shapes []int, a plan.Area, p plan.Plan, photo image.Point) (iou, share float64) {
	x0, y0, x1, y1 := p.Rect(photo)
	var rings []outline.Ring
	for _, ring := range a.Rings() {
		var r outline.Ring
		for _, q := range ring {
			r = append(r, outline.Point{
				X: (q.X - x0) / (x1 - x0) * float64(f.Size.X), Y: (q.Y - y0) / (y1 - y0) * float64(f.Size.Y),
			})
		}
		rings = append(rings, r)
	}
	m := imageproc.NewMask(f.Size.X, f.Size.Y)
	outline.Fill(m, rings)
	both, either, own := 0, 0, 0
	for i, id := range f.Map.Pix {
		in := slices.Contains(shapes, int(id))
		own += btoi(in)
		both += btoi(in && m.Pix[i])
		either += btoi(in || m.Pix[i])
	}
	return float64(both) / float64(either), float64(own) / float64(len(m.Pix))
}

// A mast of one pixel and a rope of a few have an area although they are hardly
// wider than the tolerance, a shape with a hole keeps the hole, and no shapes have none.
func TestAreaOfThinShapes(t *testing.T) {
	l := imageproc.NewLabels(400, 300)
	for y := range 300 {
		for x := range 400 {
			switch {
			case x == 333 && y > 40 && y < 280:
				l.Pix[y*400+x] = 1
			case math.Abs(float64(y)-260-12*math.Sin(float64(x)/5)) < 3 && x < 250:
				l.Pix[y*400+x] = 3
			case math.Hypot(float64(x-120), float64(y-150)) < 60:
				l.Pix[y*400+x] = 2
			}
		}
	}
	f := mapped(l, []palette.L{80, 20, 40, 30})
	p, photo := whole(image.Pt(400, 300)), image.Pt(1600, 1200)
	for s := range f.List {
		a := f.Area([]int{s}, p, photo)
		if iou, _ := overlap(f, []int{s}, a, p, photo); iou < 0.9 {
			t.Errorf("shape %d: the area agrees to %.3f", s, iou)
		}
	}
	if n := len(f.Area([]int{0}, p, photo).Rings()); n != 3 {
		t.Errorf("the background has %d rings, want its own and two holes", n)
	}
	if all := f.Area([]int{2, 3, 1, 0}, p, photo); all != plan.BoxArea(0, 0, 1, 1) {
		t.Errorf("all shapes together are %v", all.Rings())
	}
	if !f.Area(nil, p, photo).Empty() {
		t.Error("no shapes have an area")
	}
}

func TestHandPanics(t *testing.T) {
	f := lettered("ab")
	for i, bad := range []func(){
		func() { f.Place(2) },
		func() { f.Place(-1) },
		func() { f.Area([]int{0, 2}, whole(image.Pt(2, 1)), image.Pt(2, 1)) },
		func() { f.Beside(0, 0, 1, 1) },
		func() { f.Beside(0, 0, 0, 0) },
		func() { f.Beside(0, 0, 2, 0) },
	} {
		func() {
			defer func() {
				if s := fmt.Sprint(recover()); !strings.HasPrefix(s, "study: ") {
					t.Errorf("case %d panics with %q", i, s)
				}
			}()
			bad()
		}()
	}
}

func BenchmarkBeside(b *testing.B) {
	master := demoScene()
	f := make1(b, study.NewDesk(master), plan.Default(master.Size()), study.Plan).Figures
	x, y := f.Place(0)
	for _, way := range ways {
		b.Run(fmt.Sprint(way), func(b *testing.B) {
			for b.Loop() {
				f.Beside(x, y, way.X, way.Y)
			}
		})
	}
	b.Run("area", func(b *testing.B) {
		for b.Loop() {
			f.Area([]int{0}, plan.Default(master.Size()), master.Size())
		}
	})
	b.Run("space", func(b *testing.B) {
		for b.Loop() {
			f.Space()
		}
	})
}
