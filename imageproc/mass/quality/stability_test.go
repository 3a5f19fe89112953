package quality

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/palette"
)

// mapPicture returns pic with every plane put through f.
func mapPicture(pic imageproc.Picture, f func(imageproc.Plane[palette.Light]) imageproc.Plane[palette.Light]) imageproc.Picture {
	return imageproc.Picture{R: f(pic.R), G: f(pic.G), B: f(pic.B)}
}

func mirrored(p imageproc.Plane[palette.Light]) imageproc.Plane[palette.Light] { return p.Mirror() }

func turned(p imageproc.Plane[palette.Light]) imageproc.Plane[palette.Light] {
	return p.Transpose().Mirror()
}

// noisy changes every code value by -1, 0 or 1.
func noisy(pic imageproc.Picture) imageproc.Picture {
	rng := rand.New(rand.NewPCG(5, 1))
	return mapPicture(pic, func(p imageproc.Plane[palette.Light]) imageproc.Plane[palette.Light] {
		out := imageproc.NewPlane[palette.Light](p.W, p.H)
		for i, v := range p.Pix {
			code := int(palette.Encode8(palette.Light(v))) + rng.IntN(3) - 1
			out.Pix[i] = float32(palette.Decode8(uint8(min(255, max(0, code)))))
		}
		return out
	})
}

func lighter(pic imageproc.Picture) imageproc.Picture {
	return mapPicture(pic, func(p imageproc.Plane[palette.Light]) imageproc.Plane[palette.Light] {
		out := imageproc.NewPlane[palette.Light](p.W, p.H)
		for i, v := range p.Pix {
			out.Pix[i] = min(1, v*1.05)
		}
		return out
	})
}

// back moves labels to where they lie in the other picture.
func back(l imageproc.Labels, w, h int, from func(x, y int) (int, int)) imageproc.Labels {
	out := imageproc.NewLabels(w, h)
	for i := range out.Pix {
		x, y := from(i%w, i/w)
		out.Pix[i] = l.At(x, y)
	}
	return out
}

// step is a small change of a setting or of the picture: what the values of
// each pixel are before and after it.
type step struct {
	name string
	// covering is the least mean over the carried pictures; photos the least
	// over photographs, which are less sure of their values.
	covering, photos float64
	values           func(t testing.TB, pic imageproc.Picture, base *mass.Base) (before, after imageproc.Labels)
}

func values(b *mass.Base, k, s int) imageproc.Labels { return flatOf(b, mass.Nested, k, s).Values }

// rebuilt makes new base shapes of a changed picture or setting.
func rebuilt(change func(imageproc.Picture) imageproc.Picture, opt mass.Options) func(testing.TB, imageproc.Picture, *mass.Base) (_, _ imageproc.Labels) {
	return func(t testing.TB, pic imageproc.Picture, base *mass.Base) (_, _ imageproc.Labels) {
		return values(base, 4, 24), values(baseOf(t, change(pic), opt), 4, 24)
	}
}

// recut cuts the same base shapes with other numbers of values and shapes.
func recut(k, s, k2, s2 int) func(testing.TB, imageproc.Picture, *mass.Base) (_, _ imageproc.Labels) {
	return func(_ testing.TB, _ imageproc.Picture, base *mass.Base) (_, _ imageproc.Labels) {
		return values(base, k, s), values(base, k2, s2)
	}
}

func same(pic imageproc.Picture) imageproc.Picture { return pic }

// cropShift is by how many pixels the crop moves: 5 on a picture of 768.
func cropShift(w, h int) int { return (max(w, h) + 76) / 153 }

// crops returns a crop of 70 % and the same moved to the right.
func crops(w, h int) (a, b image.Rectangle) {
	a = image.Rect(w/10, h/10, w/10+w*7/10, h/10+h*7/10)
	return a, a.Add(image.Pt(cropShift(w, h), 0))
}

// overlapping returns the part of two crops' values that both have.
func overlapping(a, b imageproc.Labels, shift int) (_, _ imageproc.Labels) {
	w, h := a.W-shift, a.H
	return back(a, w, h, func(x, y int) (int, int) { return x + shift, y }), back(b, w, h, func(x, y int) (int, int) { return x, y })
}

var steps = []step{
	{"24 -> 20 shapes", .95, .95, recut(4, 24, 4, 20)},
	{"2 -> 3 values", .60, .60, recut(2, 24, 3, 24)},
	{"3 -> 4 values", .70, .70, recut(3, 24, 4, 24)},
	{"4 -> 5 values", .70, .70, recut(4, 24, 5, 24)},
	{"squint x1.1", .80, .75, rebuilt(same, mass.Options{Squint: 1.1})},
	{"noise of one code", .80, .75, rebuilt(noisy, mass.Options{})},
	{"exposure +5 %", .80, .75, rebuilt(lighter, mass.Options{})},
	{"mirrored", .99, .99, func(t testing.TB, pic imageproc.Picture, base *mass.Base) (_, _ imageproc.Labels) {
		w, h := pic.R.W, pic.R.H
		after := values(baseOf(t, mapPicture(pic, mirrored), mass.Options{}), 4, 24)
		return values(base, 4, 24), back(after, w, h, func(x, y int) (int, int) { return w - 1 - x, y })
	}},
	{"turned", .99, .99, func(t testing.TB, pic imageproc.Picture, base *mass.Base) (_, _ imageproc.Labels) {
		w, h := pic.R.W, pic.R.H
		after := values(baseOf(t, mapPicture(pic, turned), mass.Options{}), 4, 24)
		return values(base, 4, 24), back(after, w, h, func(x, y int) (int, int) { return h - 1 - y, x })
	}},
	{"crop moved .65 %", .85, .85, func(t testing.TB, pic imageproc.Picture, _ *mass.Base) (_, _ imageproc.Labels) {
		a, b := crops(pic.R.W, pic.R.H)
		return overlapping(values(baseOf(t, pic.Crop(a), mass.Options{}), 4, 24), values(baseOf(t, pic.Crop(b), mass.Options{}), 4, 24), b.Min.X-a.Min.X)
	}},
	{"crop moved .65 %, fixed region", .98, .97, func(_ testing.TB, pic imageproc.Picture, base *mass.Base) (_, _ imageproc.Labels) {
		a, b := crops(pic.R.W, pic.R.H)
		return overlapping(values(base.Clip(a), 4, 24), values(base.Clip(b), 4, 24), b.Min.X-a.Min.X)
	}},
}

// changed returns the share of pixels whose value changes. A value of after
// counts as the value of before that it shares most pixels with, so that values
// which split are not changes by themselves.
func changed(before, after imageproc.Labels) float64 {
	const most = 8
	var shared [most][most]int
	for i, a := range after.Pix {
		shared[a][before.Pix[i]]++
	}
	kept := 0
	for _, row := range shared {
		best := 0
		for _, n := range row {
			best = max(best, n)
		}
		kept += best
	}
	return 1 - float64(kept)/float64(len(before.Pix))
}

// coverBoth is the covering of the shapes of one plan by those of the other, the
// mean of both ways.
func coverBoth(a, b imageproc.Labels) float64 {
	p, q := shapesOf(Flat{Values: a}), shapesOf(Flat{Values: b})
	return (mass.NewOverlap(p, q).Covering() + mass.NewOverlap(q, p).Covering()) / 2
}

// TestStability: a small change of a setting or of the picture changes little.
func TestStability(t *testing.T) {
	hold := func(t *testing.T, title string, samples []sample, bar func(step) float64) {
		cover, change, least := make([]float64, len(steps)), make([]float64, len(steps)), make([]float64, len(steps))
		worst := make([]string, len(steps))
		for n, s := range samples {
			base := baseOf(t, s.pic, mass.Options{})
			for i, st := range steps {
				before, after := st.values(t, s.pic, base)
				c := coverBoth(before, after)
				cover[i] += c / float64(len(samples))
				change[i] += changed(before, after) / float64(len(samples))
				if n == 0 || c < least[i] {
					least[i], worst[i] = c, s.name
				}
			}
		}
		say(t, "\nwhat a small change does, 4 values, 24 shapes: %s\n%-30s %8s %8s %8s", title, "", "covering", "changed", "least")
		for i, st := range steps {
			say(t, "%-30s %8.3f %7.1f%% %8.3f  %s", st.name, cover[i], 100*change[i], least[i], worst[i])
			if !(cover[i] >= bar(st)) || math.IsNaN(change[i]) {
				t.Errorf("%s: mean covering %.3f, want %.3f", st.name, cover[i], bar(st))
			}
		}
	}
	hold(t, "pictures the project carries", carried(t), func(s step) float64 { return s.covering })
	if photos := photographs(t, 768); heavy() && len(photos) > 0 {
		hold(t, "photographs in HALFLID_PHOTOS", photos, func(s step) float64 { return s.photos })
	}
}

func TestChanged(t *testing.T) {
	a := numbered(4, 2, func(x, _ int) int32 { return int32(x / 2) })
	split := numbered(4, 2, func(x, _ int) int32 { return int32(x) })
	moved := numbered(4, 2, func(x, _ int) int32 { return min(1, int32(x)) })
	if v := changed(a, a); v != 0 {
		t.Errorf("the same: %v", v)
	}
	if v := changed(a, split); v != 0 {
		t.Errorf("values split: %v", v)
	}
	if v := changed(a, moved); v != .25 {
		t.Errorf("a column of four moved: %v", v)
	}
	if v := coverBoth(a, moved); math.Abs(v-(.5*.5+.5*2/3+.25*.5+.75*2/3)/2) > 1e-12 {
		t.Errorf("covering %v", v)
	}
}
