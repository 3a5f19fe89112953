package mass

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// mirrorPic and turnPic return a picture mirrored, and turned by a quarter.
func mirrorPic(p imageproc.Picture) imageproc.Picture {
	return imageproc.Picture{R: p.R.Mirror(), G: p.G.Mirror(), B: p.B.Mirror()}
}

func turnPic(p imageproc.Picture) imageproc.Picture {
	return imageproc.Picture{R: p.R.Transpose().Mirror(), G: p.G.Transpose().Mirror(), B: p.B.Transpose().Mirror()}
}

func mirrorLabels(l imageproc.Labels) imageproc.Labels {
	out := imageproc.NewLabels(l.W, l.H)
	for y := range l.H {
		for x, v := range l.Row(y) {
			out.Pix[y*l.W+l.W-1-x] = v
		}
	}
	return out
}

func turnLabels(l imageproc.Labels) imageproc.Labels {
	out := imageproc.NewLabels(l.H, l.W)
	for y := range l.H {
		for x, v := range l.Row(y) {
			out.Pix[x*l.H+y] = v
		}
	}
	return mirrorLabels(out)
}

func planAt(b *Base, k, s int) Plan {
	return b.Values(Cutting{Values: k}).Shapes(imageproc.Labels{}, s)
}

// coverBoth is the covering of one plan by another, the mean of both ways.
func coverBoth(a, b imageproc.Labels) float64 {
	return (NewOverlap(a, b).Covering() + NewOverlap(b, a).Covering()) / 2
}

func lighten(p imageproc.Picture, by float32) imageproc.Picture {
	out := imageproc.NewPicture(p.R.W, p.R.H)
	for c, plane := range p.Planes() {
		for i, v := range plane.Pix {
			out.Planes()[c].Pix[i] = min(1, v*by)
		}
	}
	return out
}

// noisy changes every code value by -1, 0 or 1.
func noisy(p imageproc.Picture, seed uint64) imageproc.Picture {
	rng := rand.New(rand.NewPCG(seed, 1))
	out := imageproc.NewPicture(p.R.W, p.R.H)
	for c, plane := range p.Planes() {
		for i, v := range plane.Pix {
			code := int(palette.Encode8(palette.Light(v))) + rng.IntN(3) - 1
			out.Planes()[c].Pix[i] = float32(palette.Decode8(uint8(min(255, max(0, code)))))
		}
	}
	return out
}

// stability is one line of the table: covering of the plan K 4, S 24 by the
// plan after a small change.
type stability struct {
	name string
	bar  float64 // least mean
	of   func(t testing.TB, pic imageproc.Picture, base *Base, plan Plan) float64
}

var stabilities = []stability{
	{"S 24 -> 20", .95, func(t testing.TB, _ imageproc.Picture, b *Base, p Plan) float64 {
		return coverBoth(p.Labels, planAt(b, 4, 20).Labels)
	}},
	{"K 4 -> 3", .74, func(t testing.TB, _ imageproc.Picture, b *Base, p Plan) float64 {
		return coverBoth(p.Labels, planAt(b, 3, 24).Labels)
	}},
	{"K 4 -> 5", .77, func(t testing.TB, _ imageproc.Picture, b *Base, p Plan) float64 {
		return coverBoth(p.Labels, planAt(b, 5, 24).Labels)
	}},
	{"mirrored", .99, func(t testing.TB, pic imageproc.Picture, _ *Base, p Plan) float64 {
		return coverBoth(mirrorLabels(p.Labels), planAt(build(t, mirrorPic(pic), Options{}), 4, 24).Labels)
	}},
	{"turned", .99, func(t testing.TB, pic imageproc.Picture, _ *Base, p Plan) float64 {
		return coverBoth(turnLabels(p.Labels), planAt(build(t, turnPic(pic), Options{}), 4, 24).Labels)
	}},
	{"squint x1.1", .80, func(t testing.TB, pic imageproc.Picture, _ *Base, p Plan) float64 {
		return coverBoth(p.Labels, planAt(build(t, pic, Options{Squint: 1.1}), 4, 24).Labels)
	}},
	{"noise of one code", .75, func(t testing.TB, pic imageproc.Picture, _ *Base, p Plan) float64 {
		return coverBoth(p.Labels, planAt(build(t, noisy(pic, 5), Options{}), 4, 24).Labels)
	}},
	{"exposure +5 %", .75, func(t testing.TB, pic imageproc.Picture, _ *Base, p Plan) float64 {
		return coverBoth(p.Labels, planAt(build(t, lighten(pic, 1.05), Options{}), 4, 24).Labels)
	}},
	{"crop moved 4 px", .92, func(t testing.TB, pic imageproc.Picture, _ *Base, _ Plan) float64 {
		a, b := movedCrops(pic.R.W, pic.R.H, 4)
		return coverMoved(planAt(build(t, pic.Crop(a), Options{}), 4, 24), planAt(build(t, pic.Crop(b), Options{}), 4, 24), 4)
	}},
	{"crop moved 4 px in a fixed region", .90, func(t testing.TB, pic imageproc.Picture, base *Base, _ Plan) float64 {
		a, b := movedCrops(pic.R.W, pic.R.H, 4)
		return coverMoved(planAt(base.Clip(a), 4, 24), planAt(base.Clip(b), 4, 24), 4)
	}},
}

// movedCrops returns a crop of 70 % and the same moved right by d pixels.
func movedCrops(w, h, d int) (a, b image.Rectangle) {
	a = image.Rect(w/10, h/10, w/10+w*7/10, h/10+h*7/10)
	return a, a.Add(image.Pt(d, 0))
}

// coverMoved compares two plans, the second of a crop d pixels further right,
// where both have pixels.
func coverMoved(p, q Plan, d int) float64 {
	w, h := p.Labels.W-d, p.Labels.H
	a, b := imageproc.NewLabels(w, h), imageproc.NewLabels(w, h)
	for y := range h {
		copy(a.Row(y), p.Labels.Row(y)[d:])
		copy(b.Row(y), q.Labels.Row(y))
	}
	return coverBoth(a, b)
}

// TestStability measures how much a small change of the settings or of the
// picture changes the plan, on the harbour and, with HALFLID_PHOTOS, on
// photographs, where the means have bars.
func TestStability(t *testing.T) {
	t.Run("harbour", func(t *testing.T) {
		pic := harbour(300, 200, 3)
		b := build(t, pic, Options{})
		p := planAt(b, 4, 24)
		for _, s := range stabilities {
			v := s.of(t, pic, b, p)
			t.Logf("%-34s %.3f", s.name, v)
			if !(v > .7) {
				t.Errorf("%s: covering %.3f", s.name, v)
			}
		}
	})
	t.Run("photographs", func(t *testing.T) {
		photos := photographs(t, 768)
		sum, least := make([]float64, len(stabilities)), make([]float64, len(stabilities))
		worst := make([]string, len(stabilities))
		for i := range least {
			least[i] = math.Inf(1)
		}
		for _, ph := range photos {
			b := build(t, ph.pic, Options{})
			p := planAt(b, 4, 24)
			for i, s := range stabilities {
				v := s.of(t, ph.pic, b, p)
				sum[i] += v
				if v < least[i] {
					least[i], worst[i] = v, ph.name
				}
			}
		}
		for i, s := range stabilities {
			mean := sum[i] / float64(len(photos))
			t.Logf("%-34s mean %.3f, least %.3f (%s)", s.name, mean, least[i], worst[i])
			if !(mean >= s.bar) {
				t.Errorf("%s: mean covering %.3f, want %.3f", s.name, mean, s.bar)
			}
		}
	})
}
