package plan

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"atelier/halflid/palette/oracle"
)

// Every coordinate is written as the shortest decimal text, and read back.
func TestAreaText(t *testing.T) {
	for n := range int(areaUnits) + 1 {
		v := float64(n) / areaUnits
		got := string(appendSteps(nil, n))
		if want := strconv.FormatFloat(v, 'f', -1, 64); got != want {
			t.Fatalf("%d steps: %q, want %q", n, got, want)
		}
		if back, rest := cutSteps(got + ",0"); back != n || rest != "0" {
			t.Fatalf("%q read as %d, then %q", got, back, rest)
		}
		if s := spotOf(Point{v, v}); s != (spot{n, n}) || s.point() != (Point{v, v}) {
			t.Fatalf("%v became %v", v, s)
		}
	}
}

func TestAreaOf(t *testing.T) {
	box := []Point{{0.1, 0.2}, {0.3, 0.2}, {0.3, 0.4}, {0.1, 0.4}}
	nan := math.NaN()
	for name, c := range map[string]struct {
		rings [][]Point
		want  string
	}{
		"a box":            {[][]Point{box}, "0.1,0.2 0.3,0.2 0.3,0.4 0.1,0.4"},
		"closed":           {[][]Point{append(slices.Clone(box), box[0])}, "0.1,0.2 0.3,0.2 0.3,0.4 0.1,0.4"},
		"repeats":          {[][]Point{{box[0], box[0], box[1], {0.30001, 0.2}, box[2], box[3], box[3]}}, "0.1,0.2 0.3,0.2 0.3,0.4 0.1,0.4"},
		"outside":          {[][]Point{{{-3, math.Copysign(0, -1)}, {7, 0}, {1, nan}, {1, math.Inf(1)}, {-1e-9, 2}}}, "0,0 1,0 1,1 0,1"},
		"nothing":          {nil, ""},
		"two points":       {[][]Point{{{0, 0}, {1, 1}}}, ""},
		"on a line":        {[][]Point{{{0, 0}, {0.5, 0.5}, {1, 1}}}, ""},
		"there and back":   {[][]Point{{{0, 0}, {0.5, 0.1}, {1, 1}, {0.5, 0.1}}}, ""},
		"twice round":      {[][]Point{append(slices.Clone(box), box...)}, ""},
		"one ring is none": {[][]Point{{{0, 0}, {1, 1}}, box}, "0.1,0.2 0.3,0.2 0.3,0.4 0.1,0.4"},
		"the same twice":   {[][]Point{box, box}, ""},
		"an eight":         {[][]Point{{{0, 0}, {0.5, 0.5}, {0.5, 0}, {0, 0.5}}}, "0,0 0.5,0.5 0.5,0 0,0.5"},
		"a hole":           {[][]Point{{{0, 0}, {1, 0}, {1, 1}}, {{0.5, 0.1}, {0.9, 0.1}, {0.9, 0.5}}}, "0,0 1,0 1,1;0.5,0.1 0.9,0.1 0.9,0.5"},
	} {
		a := AreaOf(c.rings)
		if a.text != c.want || a.Empty() != (c.want == "") {
			t.Errorf("%s: %q, want %q", name, a.text, c.want)
		}
		if again := AreaOf(a.Rings()); again != a {
			t.Errorf("%s: its rings make %q", name, again.text)
		}
	}
}

// insideLength returns how long a level line runs inside the rings by the
// even-odd rule, at its longest: the scan-line way of the textbooks.
func insideLength(grids [][]spot) float64 {
	var levels []float64
	each := func(visit func(a, b spot)) {
		for _, g := range grids {
			for i := range g {
				visit(g[i], g[(i+1)%len(g)])
			}
		}
	}
	each(func(a, b spot) {
		levels = append(levels, float64(a.y))
		each(func(c, d spot) { // where two sides cross
			det := (b.x-a.x)*(d.y-c.y) - (b.y-a.y)*(d.x-c.x)
			if det != 0 {
				s := float64((c.x-a.x)*(d.y-c.y)-(c.y-a.y)*(d.x-c.x)) / float64(det)
				levels = append(levels, float64(a.y)+s*float64(b.y-a.y))
			}
		})
	})
	slices.Sort(levels)
	longest := 0.0
	for i := 1; i < len(levels); i++ {
		y := (levels[i-1] + levels[i]) / 2
		if levels[i]-levels[i-1] < 1e-9 {
			continue
		}
		var xs []float64
		each(func(a, b spot) {
			if lo, hi := float64(min(a.y, b.y)), float64(max(a.y, b.y)); lo < y && y < hi {
				xs = append(xs, float64(a.x)+(y-float64(a.y))/float64(b.y-a.y)*float64(b.x-a.x))
			}
		})
		slices.Sort(xs)
		sum := 0.0
		for j := 0; j+1 < len(xs); j += 2 {
			sum += xs[j+1] - xs[j]
		}
		longest = max(longest, sum)
	}
	return longest
}

// Rings on a grid of a few steps cross, touch and cancel in every way.
func TestEnclosesAsScanLinesSay(t *testing.T) {
	r := seeded(t, 21)
	empty := 0
	for range 6000 {
		grids := make([][]spot, 1+r.IntN(2))
		side := 2 + r.IntN(3)
		for i := range grids {
			grids[i] = make([]spot, 3+r.IntN(5))
			for j := range grids[i] {
				grids[i][j] = spot{r.IntN(side), r.IntN(side)}
			}
		}
		want := insideLength(grids) > 1e-6
		if got := encloses(grids...); got != want {
			t.Fatalf("%v: encloses %v, scan lines %v", grids, got, want)
		}
		if !want {
			empty++
		}
	}
	if empty < 100 {
		t.Errorf("only %d of the cases enclose nothing", empty)
	}
}

func TestAreaProperties(t *testing.T) {
	r := seeded(t, 22)
	for range 3000 {
		a, b := randomArea(r), randomArea(r)
		if again := AreaOf(a.Rings()); again != a {
			t.Fatalf("%q made again: %q", a.text, again.text)
		}
		if strings.Contains(a.text, "-") || strings.Contains(a.text, "e") {
			t.Fatalf("not plain decimals: %q", a.text)
		}
		x0, y0, x1, y1 := a.Bounds()
		var xs, ys []float64
		for _, ring := range a.Rings() {
			for _, p := range ring {
				xs, ys = append(xs, p.X), append(ys, p.Y)
			}
		}
		if a.Empty() != (len(xs) == 0) {
			t.Fatalf("%q: empty %v", a.text, a.Empty())
		}
		if !a.Empty() && [4]float64{x0, y0, x1, y1} != [4]float64{slices.Min(xs), slices.Min(ys), slices.Max(xs), slices.Max(ys)} {
			t.Fatalf("%q: bounds %v %v %v %v", a.text, x0, y0, x1, y1)
		}
		if u := a.Union(b); len(u.Rings()) != len(a.Rings())+len(b.Rings()) && a != b && !a.Empty() && !b.Empty() {
			t.Fatalf("%q and %q make %q", a.text, b.text, u.text)
		}
		if a.Union(a) != a || a.Union(Area{}) != a || (Area{}).Union(a) != a {
			t.Fatalf("%q joined with itself or nothing", a.text)
		}
	}
	if x0, y0, x1, y1 := (Area{}).Bounds(); x0 != 0 || y0 != 0 || x1 != 0 || y1 != 0 {
		t.Error("nothing has bounds")
	}
}

func TestBoxAndEllipse(t *testing.T) {
	box := BoxArea(0.3, 0.5, 0.1, 0.2)
	if x0, y0, x1, y1 := box.Bounds(); x0 != 0.1 || y0 != 0.2 || x1 != 0.3 || y1 != 0.5 || len(box.Rings()[0]) != 4 {
		t.Errorf("box %q", box.text)
	}
	if !BoxArea(0.1, 0.2, 0.1, 0.5).Empty() || !EllipseArea(0.1, 0.2, 0.5, 0.2).Empty() {
		t.Error("a line encloses something")
	}
	e := EllipseArea(0.2, 0.1, 0.8, 0.5)
	ring := e.Rings()[0]
	if len(e.Rings()) != 1 || len(ring) != 40 {
		t.Fatalf("%q", e.text)
	}
	x0, y0, x1, y1 := e.Bounds()
	for i, got := range []float64{x0, y0, x1, y1} {
		oracle.Close(t, "edge", got, []float64{0.2, 0.1, 0.8, 0.5}[i], 0)
	}
	for _, p := range ring { // x^2/a^2 + y^2/b^2 = 1
		dx, dy := (p.X-0.5)/0.3, (p.Y-0.3)/0.2
		oracle.Close(t, "on the ellipse", dx*dx+dy*dy, 1, 1e-3)
	}
}

// A large area is thinned and stays where it is; rings that thinning leaves
// nothing of go.
func TestLargeAreasAreThinned(t *testing.T) {
	r := seeded(t, 23)
	circle := func(n int, radius float64) []Point {
		ring := make([]Point, n)
		for i := range ring {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring[i] = Point{0.5 + radius*c, 0.5 + radius*s}
		}
		return ring
	}
	rings := [][]Point{circle(9000, 0.45), circle(3, 0.1)}
	for range 200 {
		rings = append(rings, randomRing(r, 4))
	}
	a := AreaOf(rings)
	n := 0
	for _, ring := range a.Rings() {
		n += len(ring)
	}
	x0, y0, x1, y1 := AreaOf(rings[:2]).Bounds()
	for i, got := range []float64{x0, y0, x1, y1} {
		oracle.Close(t, "edge", got, []float64{0.05, 0.05, 0.95, 0.95}[i], 0.001)
	}
	if n > MaxPoints || n < MaxPoints/3 {
		t.Errorf("%d points", n)
	}
	if AreaOf(a.Rings()) != a {
		t.Error("thinned again")
	}
}

func BenchmarkRings200(b *testing.B) {
	l := ListOf(manyChoices(rand.New(rand.NewPCG(1, 1)), 200)...)
	for b.Loop() {
		for _, c := range l.List() {
			_ = c.Area.Rings()
		}
	}
}

func BenchmarkList200(b *testing.B) {
	l := ListOf(manyChoices(rand.New(rand.NewPCG(1, 1)), 200)...)
	for b.Loop() {
		_ = l.List()
	}
}

func BenchmarkChoose200(b *testing.B) {
	cs := manyChoices(rand.New(rand.NewPCG(1, 1)), 200)
	p := Default(harbour.Photo)
	p.Choices = ListOf(cs[:199]...)
	for b.Loop() {
		Choose(cs[199])(p, harbour)
	}
}
