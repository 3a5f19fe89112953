package reading

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// withAll gives a design light with some grain, colours, planes, depths and a
// focal point.
func withAll(d Design, r *rand.Rand) Design {
	p := lit(d, r, 0.05)
	d.Light = imageproc.Plane[palette.Y]{W: p.R.W, H: p.R.H, Pix: p.R.Pix}
	for i := range d.Shapes {
		d.Colours = append(d.Colours, palette.RGB{R: palette.Light(r.Float64()), G: palette.Light(r.Float64()), B: palette.Light(r.Float64())})
		s := &d.Shapes[i]
		s.Plane, s.PlaneSure = plan.Planes()[r.IntN(4)], r.Float64()
		s.Depth, s.DepthSure = plan.Depths()[r.IntN(3)], r.Float64()
	}
	return d.focused(r.Float64(), r.Float64(), 0.05+0.3*r.Float64())
}

func mirrored(d Design) Design {
	m := d
	m.Map = imageproc.NewLabels(d.Map.W, d.Map.H)
	for y := range m.Map.H {
		copy(m.Map.Row(y), d.Map.Row(y))
		slices.Reverse(m.Map.Row(y))
	}
	m.Light = d.Light.Mirror()
	m.Focus.X = 1 - d.Focus.X
	return m
}

// figures lists every number of a reading that the mirrored picture must share,
// with places left out and left and right exchanged where mirror says so.
func figures(r Reading, mirror bool) []float64 {
	c, e, p := r.Contrast, r.Edges, r.Placement
	if mirror {
		e.Sides[Left], e.Sides[Right] = e.Sides[Right], e.Sides[Left]
		e.Corners = [4]Edge{e.Corners[1], e.Corners[0], e.Corners[3], e.Corners[2]}
		p.Left, p.Right = p.Right, p.Left
		p.LeftWeight = 1 - p.LeftWeight
	}
	s := r.Simplicity
	out := slices.Concat(r.Values.Shares, r.Values.Steps, []float64{
		float64(s.Main), s.Border, s.Smallest, s.Changed, float64(len(s.Gone)),
		c.Total, c.Focal.Strength, c.Elsewhere.Strength, p.Left, p.Right, p.Top, p.Bottom, p.LeftWeight, p.TopWeight, p.Off,
		float64(r.Directions.Count), r.Directions.Length, r.Directions.Pointing, r.Directions.Anywhere,
		r.Recession.Lighter, r.Recession.Chroma, r.Recession.Warmer,
		r.Borders.Hard, r.Borders.Soft, r.Borders.Lost, r.Borders.Hardest.Strength, r.Borders.FocalHard,
		float64(len(e.Near)), float64(len(e.Tangents)), float64(len(e.Cuts)),
	})
	for _, f := range []Linked{r.Darks.Darkest, r.Darks.Shadow, r.Lights.Lightest, r.Lights.Light} {
		out = append(out, f.Share, float64(f.Masses), float64(f.Small), f.Largest, f.Reach, float64(len(f.Gaps)))
		for _, g := range f.Gaps {
			out = append(out, g.Width)
		}
	}
	for i := range e.Sides {
		out = append(out, e.Sides[i].Share, e.Sides[i].Strongest.Strength, e.Corners[i].Share, e.Corners[i].Strongest.Strength)
	}
	for _, t := range c.Strongest[:min(1, len(c.Strongest))] {
		out = append(out, t.Strength)
	}
	for _, t := range c.Stands {
		out = append(out, math.Abs(t.Steps))
	}
	for _, b := range r.Borders.List {
		out = append(out, b.Length, b.Hard, b.Soft)
	}
	for _, t := range r.Planes.List {
		out = append(out, float64(t.Tone), t.Share)
	}
	return out
}

// A mirrored picture has the same figures to 1e-6, left and right exchanged.
func TestMirrored(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 11))
		d := withAll(scattered(r, 300+r.IntN(40), 200+r.IntN(40), 2+r.IntN(4), 12), r)
		a, b := d.Read(), mirrored(d).Read()
		sound(t, a)
		x, y := figures(a, false), figures(b, true)
		if len(x) != len(y) {
			t.Errorf("seed %d: %d and %d figures", seed, len(x), len(y))
			continue
		}
		for i := range x {
			if !(math.Abs(x[i]-y[i]) <= 1e-6) {
				t.Errorf("seed %d: figure %d is %v, mirrored %v", seed, i, x[i], y[i])
			}
		}
		near(t, "balance", a.Placement.Balance.X, 1-b.Placement.Balance.X, 1e-9)
		if s, m := a.Contrast.Strongest, b.Contrast.Strongest; len(s) > 0 {
			near(t, "strongest across", s[0].At.X, 1-m[0].At.X, 1e-9)
			near(t, "strongest down", s[0].At.Y, m[0].At.Y, 1e-9)
		}
		if again := d.Read(); !reflect.DeepEqual(a, again) {
			t.Errorf("seed %d: read twice is not the same", seed)
		}
	}
}

// A scene of ellipses drawn at 400 and at 800 pixels reads alike: areas to half a
// point, lengths of border to 3 %, strengths to 6 %, the strongest place to 2 %
// of the long side, gaps to a pixel of the coarser picture.
func TestHalfTheResolution(t *testing.T) {
	for seed := range uint64(8) {
		r := rand.New(rand.NewPCG(seed, 12))
		type ellipse struct {
			x, y, rx, ry float64
			v            int
		}
		var all []ellipse
		for range 8 {
			all = append(all, ellipse{r.Float64(), r.Float64() * 0.75, 0.05 + 0.2*r.Float64(), 0.05 + 0.15*r.Float64(), r.IntN(3)})
		}
		at := func(w int) Reading {
			d := drawn(w, w*3/4, 3, func(px, py int) int {
				x, y, v := (float64(px)+0.5)/float64(w), (float64(py)+0.5)/float64(w), 1
				for _, e := range all {
					if math.Hypot((x-e.x)/e.rx, (y-e.y)/e.ry) < 1 {
						v = e.v
					}
				}
				return v
			})
			return d.focused(0.4, 0.6, 0.15).Read()
		}
		a, b := at(400), at(800)
		for i := range a.Values.Shares {
			near(t, "share", a.Values.Shares[i], b.Values.Shares[i], 0.005)
		}
		near(t, "border", a.Simplicity.Border/b.Simplicity.Border, 1, 0.03)
		near(t, "contrast", a.Contrast.Total/b.Contrast.Total, 1, 0.03)
		near(t, "strongest", a.Contrast.Strongest[0].Strength/b.Contrast.Strongest[0].Strength, 1, 0.06)
		near(t, "left weight", a.Placement.LeftWeight, b.Placement.LeftWeight, 0.01)
		near(t, "off", a.Placement.Off, b.Placement.Off, 0.005)
		near(t, "dark", a.Darks.Darkest.Share, b.Darks.Darkest.Share, 0.005)
		near(t, "reach", a.Darks.Darkest.Reach, b.Darks.Darkest.Reach, 0.01)
		near(t, "changed", a.Simplicity.Changed, b.Simplicity.Changed, 0.01)
		if p, q := a.Contrast.Strongest[0].At, b.Contrast.Strongest[0].At; math.Hypot(p.X-q.X, (p.Y-q.Y)*0.75) > 0.02 && a.Contrast.Strongest[0].Strength < 0.97*b.Contrast.Strongest[0].Strength {
			t.Errorf("seed %d: strongest at %v and %v", seed, p, q)
		}
	}
}

// Flat, one pixel, one row, one shape, one value named twice, many shapes, a
// focal point on the very edge: sound figures and words.
func TestExtremes(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	none := func(int, int) int { return 0 }
	checks := func(x, y int) int { return (x/12 + y/10) % 2 }
	for name, d := range map[string]Design{
		"one pixel": drawn(1, 1, 1, none), "two pixels": drawn(2, 1, 2, func(x, _ int) int { return x }),
		"flat": drawn(40, 30, 1, none), "one shape of three values": drawn(40, 30, 3, none),
		"a row": drawn(300, 1, 2, func(x, _ int) int { return x / 7 % 2 }), "a column": drawn(1, 300, 2, func(_, y int) int { return y / 7 % 2 }),
		"a board": drawn(300, 200, 2, checks), "every pixel": drawn(60, 40, 2, func(x, y int) int { return (x + y) % 2 }),
		"scattered": scattered(r, 320, 240, 5, 150), "large": drawn(640, 480, 2, none),
	} {
		for _, f := range []plan.Focus{{}, {X: 0.5, Y: 0.5, Radius: 0.2}, {X: 1, Y: 1, Radius: 0.02}, {X: 0, Y: 0.3, Radius: 1}} {
			d := d
			d.Focus = f
			for _, d := range []Design{d, withAll(d, r)} {
				t.Run(name, func(t *testing.T) { sound(t, d.Read()) })
			}
		}
	}
	if n := len(drawn(300, 200, 2, checks).Shapes); n != 500 {
		t.Errorf("the board has %d shapes", n)
	}
}

// The study of an invented picture is read as it is, with its places inside the
// crop, and a design without shapes is a mistake.
func TestReadStudy(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	pic := lit(scattered(r, 500, 400, 4, 30), r, 0.1)
	size := image.Pt(500, 400)
	f := plan.Frame{Photo: size}
	p := plan.SetFocus(plan.Focus{X: 0.5, Y: 0.4, Radius: 0.2})(plan.Default(size), f)
	p = plan.SetCrop(plan.Crop{X: 0.2, Y: 0.1, W: 0.5})(p, f)
	s, err := study.NewDesk(pic).Make(context.Background(), p, study.Plan)
	if err != nil {
		t.Fatal(err)
	}
	out := Read(s)
	sound(t, out)
	if !out.Focal.Inside || !out.Borders.Known && max(s.Figures.Size.X, s.Figures.Size.Y) >= 300 || out.Values.Kept != s.Figures.Kept {
		t.Errorf("%+v %+v", out.Focal, out.Borders)
	}
	for i, shape := range s.Figures.List {
		near(t, "share of a shape", newScene(DesignOf(s)).share[i], shape.Share, 1e-12)
	}
	x0, y0, x1, y1 := p.Rect(size)
	for _, l := range out.Lines(plan.Centimetre) {
		for _, at := range l.At {
			if at.X < x0-1e-9 || at.X > x1+1e-9 || at.Y < y0-1e-9 || at.Y > y1+1e-9 {
				t.Errorf("%s: %v outside the crop", l.Words, at)
			}
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic on a design without shapes")
		}
	}()
	Design{}.Read()
}

// The inside place of every shape lies in it.
func TestInsidePlaces(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 3))
	for range 10 {
		s := newScene(scattered(r, 200, 150, 4, 30))
		for i, p := range s.inside {
			if got := s.shapeAt(p.x, p.y); got != i {
				t.Errorf("the place of shape %d lies in %d", i, got)
			}
		}
	}
}
