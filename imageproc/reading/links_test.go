package reading

import (
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// Two dark squares of 40 in 400 by 200, so many pixels apart along x and y.
func twoDarks(dx, dy int) Design {
	return drawn(400, 200, 3, func(x, y int) int {
		if in(x, y, 100, 60, 140, 100) || in(x, y, 140+dx, 60+dy, 180+dx, 100+dy) {
			return 0
		}
		return 2
	})
}

// Gaps by counting: 3 pixels of 400 side by side, and across a corner 2 and 2:
// the distance of the corners is 2.83. 8 pixels are 2 % and no gap.
func TestGaps(t *testing.T) {
	for _, c := range []struct {
		dx, dy int
		want   float64 // pixels; -1 none
		x, y   float64
	}{
		{3, 0, 3, 141.5, 80},
		{4, 0, 4, 142, 80},
		{8, 0, -1, 0, 0},
		{5, 0, -1, 0, 0},
		{0, 40, 0, 140, 100},
		{2, 41, math.Sqrt(5), 141, 100.5},
	} {
		f := twoDarks(c.dx, c.dy).Read().Darks.Darkest
		if f.Masses != 2 || f.Values != 1 {
			t.Errorf("%+v: %d masses", c, f.Masses)
		}
		near(t, "largest", f.Largest, 0.5, 1e-12)
		if c.want < 0 {
			if len(f.Gaps) != 0 {
				t.Errorf("%+v: gaps %+v", c, f.Gaps)
			}
			continue
		}
		if len(f.Gaps) != 1 {
			t.Errorf("%+v: %d gaps", c, len(f.Gaps))
			continue
		}
		near(t, "gap", f.Gaps[0].Width, c.want/400, 1e-9)
		nearPoint(t, "gap", f.Gaps[0].At, c.x/400, c.y/200, 0.01)
	}
	if !asks(twoDarks(3, 0).Read(), OnDarks) {
		t.Error("a gap of 0.75 % is not asked about")
	}
	linked := twoDarks(0, 0).Read()
	if f := linked.Darks.Darkest; f.Masses != 1 || f.Largest != 1 || asks(linked, OnDarks) {
		t.Errorf("linked darks: %+v", f)
	}
}

// Three darks in a row, 3 pixels apart, 100 wide: two gaps, and each is asked about
// once, both in one line as the words are the same.
func TestEachGapOnce(t *testing.T) {
	r := drawn(400, 200, 2, func(x, y int) int {
		if in(x, y, 20, 60, 326, 100) && (x-20)%103 < 100 {
			return 0
		}
		return 1
	}).Read()
	n := 0
	for _, l := range r.Lines(plan.Inch) {
		if l.Kind == "darks.gap" {
			n += len(l.At) / 2
			if l.Words != "2 pairs of darks lie 0.8 % apart: link?" {
				t.Error(l.Words)
			}
		}
	}
	if n != 2 {
		t.Errorf("asked about %d gaps of two", n)
	}
}

// Against brute force: of any two dark discs the gap is found and is never
// smaller than the nearest of all pixels.
func TestGapsAgainstAllPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	const w, h = 300, 200
	found := 0
	for range 40 {
		ax, ay, ar := 40+r.Float64()*60, 60+r.Float64()*80, 15+r.Float64()*20
		angle, gap := r.Float64()*6.3, r.Float64()*4
		br := 15 + r.Float64()*15
		bx, by := ax+(ar+br+gap)*math.Cos(angle), ay+(ar+br+gap)*math.Sin(angle)
		disc := func(x, y int, cx, cy, rad float64) bool {
			return math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy) < rad
		}
		d := drawn(w, h, 2, func(x, y int) int {
			if disc(x, y, ax, ay, ar) || disc(x, y, bx, by, br) {
				return 0
			}
			return 1
		})
		least := math.Inf(1)
		var as, bs [][2]int
		for y := range h {
			for x := range w {
				if disc(x, y, ax, ay, ar) {
					as = append(as, [2]int{x, y})
				} else if disc(x, y, bx, by, br) {
					bs = append(bs, [2]int{x, y})
				}
			}
		}
		for _, p := range as {
			for _, q := range bs {
				least = min(least, math.Hypot(max(math.Abs(float64(p[0]-q[0]))-1, 0), max(math.Abs(float64(p[1]-q[1]))-1, 0)))
			}
		}
		f := d.Read().Darks.Darkest
		if f.Masses != 2 || len(f.Gaps) == 0 {
			if f.Masses == 2 && least <= almost*w {
				t.Errorf("a gap of %v pixels is not seen", least)
			}
			continue
		}
		found++
		near(t, "gap in pixels", f.Gaps[0].Width*w, least, 1e-9)
	}
	if found < 10 {
		t.Errorf("only %d gaps to compare", found)
	}
}

// The shadow family is what lies on the dark side of the best parting: of N1, N2
// and N9 the first two, of N1, N8 and N9 the first.
func TestShadowFamily(t *testing.T) {
	bars := func(middle palette.Value) Reading {
		d := drawn(90, 60, 3, func(x, _ int) int { return x / 30 })
		d.Tones[1] = middle.L()
		return d.Read()
	}
	r := bars(2)
	if r.Darks.Shadow.Values != 2 || r.Lights.Light.Values != 1 {
		t.Errorf("shadow %d, light %d", r.Darks.Shadow.Values, r.Lights.Light.Values)
	}
	near(t, "shadow", r.Darks.Shadow.Share, 2.0/3, 1e-12)
	r = bars(8)
	if r.Darks.Shadow.Values != 1 || r.Lights.Light.Values != 2 {
		t.Errorf("shadow %d, light %d", r.Darks.Shadow.Values, r.Lights.Light.Values)
	}
}

// The dark reaches the focal point if that lies in it, over a gap that almost
// links too; 60 pixels of 400 short of it otherwise.
func TestDarkReachesTheFocalPoint(t *testing.T) {
	r := twoDarks(3, 0).focused(163.0/400, 80.0/200, 0.1).Read()
	if f := r.Darks.Darkest; !f.Reaches || f.Reach != 0 {
		t.Errorf("over the gap: %+v", f)
	}
	r = twoDarks(3, 0).focused(40.0/400, 80.0/200, 0.1).Read()
	if f := r.Darks.Darkest; f.Reaches || !asks(r, OnDarks) {
		t.Errorf("from outside: %+v", f)
	}
	near(t, "reach", r.Darks.Darkest.Reach, 60.0/400, 0.5/400)
	if f := twoDarks(3, 0).Read().Darks.Darkest; f.Reach != -1 || f.Reaches {
		t.Errorf("without a focal point: %+v", f)
	}
}
