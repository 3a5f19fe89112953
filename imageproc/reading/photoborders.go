package reading

import (
	"cmp"
	"math"
	"slices"

	"atelier/halflid/palette"
)

// Borders is how hard the photo's own edge is along the borders of the masses.
// Every 1.5 % of the long side the photo's L* is taken straight across the border,
// 1.5 % to both sides, the mean of three lines side by side. From the steepest
// place within 0.75 % the light is followed both ways while it goes on rising or
// falling at a tenth of that steepness: over this rise of less than 5 L* the
// border is lost; otherwise the edge's width is the rise over the steepness (2.5
// standard deviations for a blurred step), hard up to 0.45 % of the long side, else
// soft. Source: the width of an equivalent ramp is usual; the limits are ours.
type Borders struct {
	// Known is whether the photo is large enough to tell hard from soft: a working
	// picture of 300 pixels or more, and any border at all. Otherwise all is 0.
	Known            bool
	Hard, Soft, Lost float64 // shares of all borders' length, summing to 1
	// Hardest is where most hard edge lies: its length times the rise in tens of
	// L*, gathered and divided like contrast. Distance from the focal point, share
	// of the long side; -1 without one or without hard edges.
	Hardest  Spot
	Distance float64
	// Focal is the hardest within the focal radius; without a place if there is
	// none or no focal point in the crop.
	Focal Spot
	// FocalHard is the hard share of the borders within the focal radius; -1 if
	// there are none or there is no focal point in the crop.
	FocalHard float64
	// List holds the borders between two shapes that are 2 % of the long side or
	// longer, by A and then B.
	List []Border
}

// Border is the photo's edge along all that two shapes share.
type Border struct {
	A, B             int     // A < B
	Length           float64 // share of the long side
	Hard, Soft, Lost float64 // shares of it, summing to 1
}

const (
	leastPhoto   = 300   // pixels of the long side
	sampleEvery  = 0.015 // share of the long side
	sampleReach  = 0.015
	lostRise     = 5.0    // L*: half a step of value
	hardWidth    = 0.0045 // share of the long side
	leastBorder  = 0.02
	perSide      = 12 // samples to either side of the border
	profileCount = 2*perSide + 1
)

func (s *scene) photoBorders() Borders {
	out := Borders{Distance: -1, FocalHard: -1}
	if len(s.d.Light.Pix) == 0 || s.long < leastPhoto || len(s.fine) == 0 {
		return out
	}
	out.Known = true
	var found []Border // lengths in place of shares
	hard := newField(s.w, s.h)
	focal, focalHard := 0.0, 0.0
	for _, p := range s.fine {
		l := s.lines[p.line]
		one := Border{A: int(min(l.a, l.b)), B: int(max(l.a, l.b)), Length: p.length}
		a, b := s.corners[p.from], s.corners[p.to]
		n := max(1, int(math.Round(p.length/(sampleEvery*s.long))))
		each := p.length / float64(n)
		for i := range n {
			t := (float64(i) + 0.5) / float64(n)
			x, y := float64(a.x)+t*float64(b.x-a.x), float64(a.y)+t*float64(b.y-a.y)
			rise, width := s.edgeAt(x, y, float64(b.x-a.x)/p.length, float64(b.y-a.y)/p.length, each)
			near := s.hasFocal && s.atFocal(x, y)
			if near {
				focal += each
			}
			switch {
			case rise < lostRise:
				one.Lost += each
			case width > hardWidth*s.long:
				one.Soft += each
			default:
				one.Hard += each
				hard.add(x, y, parts(each*rise/10))
				if near {
					focalHard += each
				}
			}
		}
		found = append(found, one)
	}
	s.sumBorders(&out, found)
	var at spot
	var ok bool
	windows := hard.gathered(s.windowPx / 2)
	if out.Hardest, at, ok = s.spot(windows, nil); ok && s.hasFocal {
		out.Distance = s.fromFocal(at.x, at.y) / s.long
		out.Focal, _, _ = s.spot(windows, s.atFocal)
	}
	if focal > 0 {
		out.FocalHard = focalHard / focal
	}
	return out
}

// sumBorders sums pieces by pair of shapes and over all, and makes shares.
func (s *scene) sumBorders(out *Borders, found []Border) {
	slices.SortStableFunc(found, func(p, q Border) int { return cmp.Or(cmp.Compare(p.A, q.A), cmp.Compare(p.B, q.B)) })
	total := 0.0
	for i := 0; i < len(found); {
		sum := Border{A: found[i].A, B: found[i].B}
		for ; i < len(found) && found[i].A == sum.A && found[i].B == sum.B; i++ {
			f := found[i]
			sum.Length, sum.Hard, sum.Soft, sum.Lost = sum.Length+f.Length, sum.Hard+f.Hard, sum.Soft+f.Soft, sum.Lost+f.Lost
		}
		total += sum.Length
		out.Hard, out.Soft, out.Lost = out.Hard+sum.Hard, out.Soft+sum.Soft, out.Lost+sum.Lost
		if n := sum.Length; n >= leastBorder*s.long {
			out.List = append(out.List, Border{sum.A, sum.B, n / s.long, sum.Hard / n, sum.Soft / n, sum.Lost / n})
		}
	}
	out.Hard, out.Soft, out.Lost = out.Hard/total, out.Soft/total, out.Lost/total
}

// edgeAt measures the photo's edge across a border that runs along (tx, ty) at a
// place: how far L* rises over it and how wide it is in pixels.
func (s *scene) edgeAt(x, y, tx, ty, along float64) (rise, width float64) {
	pitch := sampleReach * s.long / perSide
	var l [profileCount]float64
	for i := range l {
		t := float64(i-perSide) * pitch
		light := 0.0
		for _, off := range [3]float64{-along / 3, 0, along / 3} {
			light += s.lightAt(x-float64(t*ty)+float64(off*tx), y+float64(t*tx)+float64(off*ty))
		}
		l[i] = float64(palette.Y(light / 3).L())
	}
	steepest, at := 0.0, perSide
	for i := perSide / 2; i <= profileCount-1-perSide/2; i++ {
		if d := math.Abs(l[i+1]-l[i-1]) / 2; d > steepest {
			steepest, at = d, i
		}
	}
	if steepest == 0 {
		return 0, 0
	}
	up := l[at+1] > l[at-1]
	goes := func(a, b float64) bool { return (b > a) == up && math.Abs(b-a) >= steepest/10 }
	lo, hi := at, at
	for lo > 0 && goes(l[lo-1], l[lo]) {
		lo--
	}
	for hi < profileCount-1 && goes(l[hi], l[hi+1]) {
		hi++
	}
	rise = math.Abs(l[hi] - l[lo])
	return rise, rise / steepest * pitch
}

// lightAt returns the photo's light at a place, between the middles of the four
// nearest pixels; beyond the picture's edge that of the edge.
func (s *scene) lightAt(x, y float64) float64 {
	x, y = min(max(x-0.5, 0), float64(s.w-1)), min(max(y-0.5, 0), float64(s.h-1))
	x0, y0 := int(x), int(y)
	x1, y1 := min(x0+1, s.w-1), min(y0+1, s.h-1)
	fx, fy := x-float64(x0), y-float64(y0)
	p := s.d.Light.Pix
	a, b := float64(p[y0*s.w+x0]), float64(p[y0*s.w+x1])
	c, d := float64(p[y1*s.w+x0]), float64(p[y1*s.w+x1])
	top, bottom := a+float64(fx*(b-a)), c+float64(fx*(d-c))
	return top + float64(fy*(bottom-top))
}
