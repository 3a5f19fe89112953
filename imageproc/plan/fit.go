package plan

import (
	"math"
	"slices"

	"atelier/halflid/palette"
)

// The decimals of the plan file. A photo of 20 000 pixels is cropped to a
// fiftieth of a pixel.
const (
	cropUnits   = 1e6 // crop: six decimals
	squintUnits = 1e2 // squint: two
	valueUnits  = 1e2 // cuts and tones: two
	brushUnits  = 1e1 // brush: one
	focusUnits  = 1e4 // focal point: four
	sideUnits   = 1e2 // panel sides: two
)

// round returns v to the nearest 1/units; never -0. NaN stays NaN.
func round(v, units float64) float64 { return math.Round(v*units)/units + 0 }

// roundDown is round towards 0, forgiving what a division has lost.
func roundDown(v, units float64) float64 { return math.Floor(float64(v*units)+1e-6) / units }

// clamp returns v within lo..hi; lo for NaN.
func clamp(v, lo, hi float64) float64 {
	if !(v >= lo) {
		return lo
	}
	return min(v, hi)
}

// Fit returns p made sound for the photo: rounded to the plan file's decimals,
// every decision within its range, the crop inside the photo with the panel's
// proportions, cuts and tones in order. It changes as little as that needs, and
// Fit of a fitted plan is that plan. Numbers that are NaN go to the bottom of
// their range; an unknown method or panel becomes the default one; a free crop
// without a height becomes as high as it is wide. Choices are
// sound from the start (see ListOf) and stay as they are. It is what carries a
// plan over to a photo of another size. It panics if the frame's photo has no
// pixels.
func Fit(p Plan, f Frame) Plan {
	f.check()
	p.Panel = p.Panel.fit()
	p.Crop = fitCrop(p.Crop, p.Panel, f)
	p.Squint = clamp(round(p.Squint, squintUnits), 0, MaxSquint)
	p.Values = fitValues(p.Values)
	p.Shapes.Wanted = min(max(p.Shapes.Wanted, 0), MaxWanted)
	p.Shapes.Brush = clamp(round(p.Shapes.Brush, brushUnits), 0, MaxBrush)
	p.Focus = fitFocus(p.Focus)
	return p
}

func fitCrop(c Crop, panel Panel, f Frame) Crop {
	const least = 1 / cropUnits
	w, h := f.size()
	c.W = clamp(round(c.W, cropUnits), least, max(least, maxWidth(panel, f)))
	var tall float64
	if panel.Free() {
		if !(c.H > 0) {
			c.H = c.W * w / h
		}
		c.H = clamp(round(c.H, cropUnits), least, 1)
		tall = c.H
	} else {
		c.H = 0
		tall = min(1, c.W*w/h/panel.Aspect())
	}
	c.X = clamp(round(c.X, cropUnits), 0, roundDown(1-c.W, cropUnits))
	c.Y = clamp(round(c.Y, cropUnits), 0, roundDown(1-tall, cropUnits))
	return c
}

// maxWidth returns the widest crop for the panel, on the file's decimals.
func maxWidth(panel Panel, f Frame) float64 {
	if panel.Free() {
		return 1
	}
	w, h := f.size()
	return roundDown(min(1, panel.Aspect()*h/w), cropUnits)
}

// fitFocus keeps the focal point on the photo; without a radius there is none.
func fitFocus(f Focus) Focus {
	if !(f.Radius > 0) {
		return Focus{}
	}
	if !slices.Contains(Falls(), f.Fall) {
		f.Fall = FallUsual
	}
	return Focus{
		Fall: f.Fall,
		X:    clamp(round(f.X, focusUnits), 0, 1), Y: clamp(round(f.Y, focusUnits), 0, 1),
		Radius: clamp(round(f.Radius, focusUnits), minRadius, MaxRadius),
	}
}

func fitValues(v Values) Values {
	v.K = min(max(v.K, MinK), MaxK)
	if !slices.Contains(CutMethods(), v.CutMethod) {
		v.CutMethod = CutNested
	}
	if !slices.Contains(ToneMethods(), v.ToneMethod) {
		v.ToneMethod = ToneMean
	}
	cuts, tones := v.Cuts, v.Tones
	v.Cuts, v.Tones = [MaxK - 1]palette.Value{}, [MaxK]palette.Value{}
	if v.CutMethod == CutByHand {
		copy(v.Cuts[:], spread(cuts[:v.K-1], MinGap, 10-MinGap))
	}
	if v.ToneMethod == ToneByHand {
		copy(v.Tones[:], spread(tones[:v.K], 0, 10))
	}
	return v
}

// hundredths returns v in the plan file's steps of a Munsell value.
func hundredths(v palette.Value) int { return int(math.Round(float64(v) * valueUnits)) }

func ofHundredths(n int) palette.Value { return palette.Value(float64(n) / valueUnits) }

// spread returns a sorted copy of vs within lo..hi, neighbours at least MinGap
// apart, each moved no further than that needs from the dark side. NaN counts
// as lo. It counts in whole hundredths so that gaps come out exact.
func spread(vs []palette.Value, lo, hi palette.Value) []palette.Value {
	gap, bottom, top := hundredths(MinGap), hundredths(lo), hundredths(hi)
	n := make([]int, len(vs))
	for i, v := range vs {
		n[i] = hundredths(palette.Value(clamp(float64(v), float64(lo), float64(hi))))
	}
	slices.Sort(n)
	for i := range n {
		n[i] = max(n[i], bottom+i*gap)
		if i > 0 {
			n[i] = max(n[i], n[i-1]+gap)
		}
	}
	for i := len(n) - 1; i >= 0; i-- {
		n[i] = min(n[i], top-(len(n)-1-i)*gap)
	}
	out := make([]palette.Value, len(n))
	for i, h := range n {
		out[i] = ofHundredths(h)
	}
	return out
}
