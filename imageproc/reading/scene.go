package reading

import (
	"math"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// scene is a design made ready to be measured; places and lengths in pixels.
type scene struct {
	d Design
	frame
	long, pixels float64

	share  []float64       // of the picture, by shape
	tone   []palette.Value // by shape
	inside []spot          // a place well inside each shape
	shares []float64       // share of each value

	hasFocal   bool
	fx, fy, fr float64

	tracer
	pairs     []pair  // shapes that touch, sorted
	contrasts []int64 // border length times steps of value of each crack, in parts
	all       int64   // their sum
	windows   *field  // contrast, gathered in the window
	windowPx  float64

	focalSpot Spot // the strongest window within the focal radius; without strength if there is none
	focalAt   spot
}

// spot is a place in pixels.
type spot struct{ x, y float64 }

// windowShare is the width of the round window in which contrast is gathered, as
// a share of the long side: about what is seen sharply at one glance of a panel
// at arm's length. Source: ours.
const windowShare = 0.06

func newScene(d Design) *scene {
	s := &scene{d: d, frame: frameOf(d), pixels: float64(len(d.Map.Pix)), long: float64(max(d.Map.W, d.Map.H))}
	s.windowPx = windowShare * s.long
	s.measureShapes()
	s.setFocal()
	s.trace(d.Map)
	s.straighten(s.long)
	s.pairs = s.findPairs(d.Map)
	s.gather()
	if s.hasFocal {
		s.focalSpot, s.focalAt, _ = s.spot(s.windows, s.atFocal)
	}
	return s
}

// measureShapes finds shares, tones and inside places. The inside place is the
// middle of the shape's longest stretch in a row, of equals of the middle one.
func (s *scene) measureShapes() {
	n := len(s.d.Shapes)
	area, length, ties, seen := make([]int, n), make([]int, n), make([]int, n), make([]int, n)
	s.inside = make([]spot, n)
	m := s.d.Map
	for y := range m.H {
		stretches(m.Row(y), func(x0, x1 int, id int32) {
			area[id] += x1 - x0
			if x1-x0 > length[id] {
				length[id], ties[id] = x1-x0, 0
			}
			if x1-x0 == length[id] {
				ties[id]++
			}
		})
	}
	for y := range m.H {
		stretches(m.Row(y), func(x0, x1 int, id int32) {
			if x1-x0 != length[id] {
				return
			}
			if seen[id]++; seen[id] == (ties[id]+1)/2 {
				s.inside[id] = spot{float64(x0+x1) / 2, float64(y) + 0.5}
			}
		})
	}
	s.share, s.tone, s.shares = make([]float64, n), make([]palette.Value, n), make([]float64, len(s.d.Tones))
	tones := make([]palette.Value, len(s.d.Tones))
	for i, t := range s.d.Tones {
		tones[i] = t.Value()
	}
	counts := make([]int, len(s.d.Tones))
	for i, shape := range s.d.Shapes {
		s.share[i], s.tone[i] = float64(area[i])/s.pixels, tones[shape.Value]
		counts[shape.Value] += area[i]
	}
	for v, c := range counts {
		s.shares[v] = float64(c) / s.pixels
	}
}

// setFocal finds the focal point in the working picture.
func (s *scene) setFocal() {
	f, c := s.d.Focus, s.d.Crop
	if f.None() {
		return
	}
	perX, perY := float64(s.w)/float64(c.Dx()), float64(s.h)/float64(c.Dy())
	s.fx = (float64(f.X*float64(s.d.Photo.X)) - float64(c.Min.X)) * perX
	s.fy = (float64(f.Y*float64(s.d.Photo.Y)) - float64(c.Min.Y)) * perY
	s.fr = FocalRadius(f, s.d.Photo, float64(c.Dx()), float64(c.Dy())) * max(perX, perY)
	s.hasFocal = s.fx >= 0 && s.fy >= 0 && s.fx <= float64(s.w) && s.fy <= float64(s.h)
}

// fromFocal returns how far a place lies from the focal point, pixels.
func (s *scene) fromFocal(x, y float64) float64 { return math.Hypot(x-s.fx, y-s.fy) }

// atFocal reports whether a place counts as the focal point's.
func (s *scene) atFocal(x, y float64) bool { return s.fromFocal(x, y) <= s.fr }

// elsewhere reports whether a place is another than the focal point: outside its
// radius, and not so near to its strongest place that a window shows the same
// borders. Without a focal point in the crop every place is.
func (s *scene) elsewhere(x, y float64) bool {
	if !s.hasFocal {
		return true
	}
	same := s.focalSpot.Strength > 0 && math.Hypot(x-s.focalAt.x, y-s.focalAt.y) < s.windowPx
	return !same && !s.atFocal(x, y)
}

// on returns the inside place of a shape on the photo.
func (s *scene) on(shape int) plan.Point { return s.at(s.inside[shape].x, s.inside[shape].y) }

// stretches visits the stretches of one label in a row, from left to right.
func stretches(row []int32, visit func(x0, x1 int, id int32)) {
	for x := 0; x < len(row); {
		x0, id := x, row[x]
		for x < len(row) && row[x] == id {
			x++
		}
		visit(x0, x, id)
	}
}

// shapeAt returns the shape at a place in pixels; the right and the lower edge
// belong to the last pixels.
func (s *scene) shapeAt(x, y float64) int {
	px := min(max(int(x), 0), s.w-1)
	py := min(max(int(y), 0), s.h-1)
	return int(s.d.Map.At(px, py))
}
