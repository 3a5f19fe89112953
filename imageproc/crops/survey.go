package crops

import (
	"cmp"
	"image"
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// A survey tells much of what a crop would be like from sums over the whole photo,
// in about a thousandth of the time that a reading takes: it looks at every crop
// of the grid, and only the best of them are read.

const (
	bins      = 16  // of lightness
	usualCrop = 0.6 // long side of a usual crop, of the photo's: what the survey is squinted for
	leastStep = 2   // L* between neighbouring pixels below which there is no border
)

// survey holds the sums.
type survey struct {
	full  image.Point
	w, h  int
	count []int32 // by bin, over all pixels above and to the left: (w+1) by (h+1) by bins
	steps []int64 // contrast of the pixel's sides, summed the same way
}

func newSurvey(g *ground, squint float64) *survey {
	s := &survey{full: g.full, w: g.w, h: g.h}
	light := g.picture.Luminance(imageproc.Plane[palette.Y]{})
	soft := imageproc.NewPlane[palette.Y](s.w, s.h)
	tone.BlurPlane(new(tone.Blurrer), soft, light, tone.SigmaPixels(squint*usualCrop, max(s.w, s.h)))
	l := imageproc.Lightness(imageproc.Plane[palette.L]{}, soft)
	s.countBins(l)
	s.countSteps(l)
	return s
}

func (s *survey) countBins(l imageproc.Plane[palette.L]) {
	w1 := s.w + 1
	s.count = make([]int32, w1*(s.h+1)*bins)
	for y := range s.h {
		var row [bins]int32
		for x, v := range l.Row(y) {
			row[min(max(int(v*bins/100), 0), bins-1)]++
			at := ((y+1)*w1 + x + 1) * bins
			above := s.count[at-w1*bins:][:bins]
			for b := range row {
				s.count[at+b] = above[b] + row[b]
			}
		}
	}
}

// countSteps sums differences of lightness between neighbours, in hundredths of
// L*; half of each belongs to either pixel.
func (s *survey) countSteps(l imageproc.Plane[palette.L]) {
	w1 := s.w + 1
	own := make([]int64, s.w*s.h)
	meet := func(i, j int) {
		if d := math.Abs(float64(l.Pix[i] - l.Pix[j])); d >= leastStep {
			v := int64(math.Round(d * 100))
			own[i] += v
			own[j] += v
		}
	}
	for y := range s.h {
		for x := range s.w {
			i := y*s.w + x
			if x > 0 {
				meet(i-1, i)
			}
			if y > 0 {
				meet(i-s.w, i)
			}
		}
	}
	s.steps = make([]int64, w1*(s.h+1))
	for y := range s.h {
		row := int64(0)
		for x := range s.w {
			row += own[y*s.w+x]
			at := (y+1)*w1 + x + 1
			s.steps[at] = s.steps[at-w1] + row
		}
	}
}

// rect is a part of the survey in pixels, the far edges not included.
type rect struct{ x0, y0, x1, y1 int }

// rect returns a crop on the survey.
func (s *survey) rect(b box) rect {
	r := b.pixels(image.Pt(s.w, s.h))
	return rect{r.Min.X, r.Min.Y, r.Max.X, r.Max.Y}
}

// histogram counts the pixels of a part by bin.
func (s *survey) histogram(r rect) (out [bins]int32) {
	w1 := s.w + 1
	a := s.count[(r.y0*w1+r.x0)*bins:][:bins]
	b := s.count[(r.y0*w1+r.x1)*bins:][:bins]
	c := s.count[(r.y1*w1+r.x0)*bins:][:bins]
	d := s.count[(r.y1*w1+r.x1)*bins:][:bins]
	for i := range out {
		out[i] = d[i] - b[i] - c[i] + a[i]
	}
	return out
}

// contrast sums the contrast of a part.
func (s *survey) contrast(r rect) int64 {
	w1 := s.w + 1
	return s.steps[r.y1*w1+r.x1] - s.steps[r.y0*w1+r.x1] - s.steps[r.y1*w1+r.x0] + s.steps[r.y0*w1+r.x0]
}

// gathered is the contrast of the survey gathered in a window, for crops of one
// size.
type gathered struct {
	w, h   int
	reach  int // pixels from the window's middle to its side
	sums   []int64
	peaks  []peak // strongest first
	crop   float64
	survey *survey
}

// peak is a place where more contrast is gathered than around it.
type peak struct {
	x, y int
	v    int64
}

// windowShare is the width of the window over the crop's long side, as in package
// reading; mostPeaks bounds how many places are remembered.
const (
	windowShare = 0.06
	mostPeaks   = 80
)

// gather gathers contrast for crops whose long side is crop, of the photo's.
func (s *survey) gather(crop float64) *gathered {
	long := float64(max(s.w, s.h)) * crop
	g := &gathered{w: s.w, h: s.h, reach: max(1, int(math.Round(windowShare*long/2-0.5))), crop: crop, survey: s}
	g.sums = make([]int64, s.w*s.h)
	for y := range s.h {
		for x := range s.w {
			g.sums[y*s.w+x] = s.contrast(rect{max(0, x-g.reach), max(0, y-g.reach), min(s.w, x+g.reach+1), min(s.h, y+g.reach+1)})
		}
	}
	for y := range s.h {
		for x := range s.w {
			if v := g.sums[y*s.w+x]; v > 0 && g.isPeak(x, y, v) {
				g.peaks = append(g.peaks, peak{x, y, v})
			}
		}
	}
	slices.SortFunc(g.peaks, func(a, b peak) int {
		off := func(p peak) int { return max(2*p.x+1-s.w, s.w-2*p.x-1) }
		return cmp.Or(cmp.Compare(b.v, a.v), cmp.Compare(off(a), off(b)), cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x))
	})
	g.peaks = g.peaks[:min(mostPeaks, len(g.peaks))]
	return g
}

// isPeak reports whether no window that overlaps much is stronger.
func (g *gathered) isPeak(x, y int, v int64) bool {
	for j := max(0, y-g.reach); j <= min(g.h-1, y+g.reach); j++ {
		for i := max(0, x-g.reach); i <= min(g.w-1, x+g.reach); i++ {
			if g.sums[j*g.w+i] > v {
				return false
			}
		}
	}
	return true
}

// most bounds the places that are tried where the painter names none.
const mostPlaces = 3

// places returns the strongest places of the squinted photo as focal points, the
// strongest first: at least a fifth of the long side apart, at least half as
// strong as the first, none within a fifteenth of a side if there are others.
func (s *survey) places() []plan.Focus {
	g := s.gather(1)
	long := float64(max(s.w, s.h))
	var out []plan.Focus
	for _, least := range []float64{1.0 / 15, 0} {
		first := int64(0)
		for _, p := range g.peaks {
			x, y := float64(p.x)+0.5, float64(p.y)+0.5
			if min(x, float64(s.w)-x, y, float64(s.h)-y) < least*long || 2*p.v < first {
				continue
			}
			near := slices.ContainsFunc(out, func(f plan.Focus) bool {
				return math.Hypot(f.X*float64(s.w)-x, f.Y*float64(s.h)-y) < 0.2*long
			})
			if near {
				continue
			}
			first = max(first, p.v)
			out = append(out, plan.Focus{X: x / float64(s.w), Y: y / float64(s.h), Radius: plan.UsualRadius})
			if len(out) == mostPlaces {
				return out
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return []plan.Focus{{X: 0.5, Y: 0.5, Radius: plan.UsualRadius}} // a photo without contrast
}
