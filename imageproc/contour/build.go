package contour

import (
	"fmt"

	"atelier/halflid/imageproc"
)

// Trace returns the outlines of labels: each border between two regions once, as
// a chain between the places where three or four meet or a border meets the
// picture's edge, or as a loop. Labels may be any numbers; they are copied. Where
// equal labels touch only at a corner they are two regions and the corner is a
// junction.
//
// What holds (all checked while tracing; what fails is drawn again closer to the
// pixels there, at last as the pixels are): no chain crosses or touches another
// or itself but where they end, no point of one is farther than the tolerance
// from the pixel sides it follows, nor these from it, no region changes its side
// of a chain, and the area of each region of more than 0.2 % of the picture is
// within 1 % of its pixels (of smaller ones within 3 %, or 1 pixel if that is
// more). Corners that a smooth line would leave the pixels by cutting stay
// corners. The same labels give the same map; mirrored labels give the mirrored
// junctions, chains and regions, the curves agreeing within the tolerance, not
// point by point, as each chain is walked one way. It panics on empty labels and
// on a tolerance below 0 or that is no number.
//
// Source: borders followed along pixel sides (Rosenfeld 1970), between places
// where they meet; polygon and corners of Selinger 2003; straight lines of
// Debled-Rennesson and Reveillès 1995; curves of Schneider 1990 whose area is the
// border's; junctions, levelling, checks and retreat ours.
func Trace(labels imageproc.Labels, opt Options) *Map {
	if labels.W < 1 || labels.H < 1 {
		panic(fmt.Sprintf("contour: labels of %d by %d", labels.W, labels.H))
	}
	tolerance := opt.tolerance(labels.W, labels.H)
	var t tracer
	var regions []Region
	t.regions, regions = regionsOf(labels)
	t.trace(t.regions)
	for _, b := range t.borders {
		b.limit = make([]float64, len(b.at))
		for i, p := range b.at {
			b.limit[i] = tolerance
			if opt.Near != nil {
				b.limit[i] = min(tolerance, max(opt.Near(p.X, p.Y), 0))
			}
			if b.edge || b.limit[i] < leastLimit {
				b.level[i] = asPixels
			}
		}
	}
	w := work{w: labels.W, h: labels.H, regions: regions, labels: t.regions, joints: t.joints, borders: t.borders}
	w.draw()
	return w.result(t.regions)
}

// work is outlines in the making.
type work struct {
	w, h    int
	regions []Region
	labels  imageproc.Labels
	joints  []joint
	borders []*border
	smooth  smoother
	grid    grid
}

// draw draws all borders, and those that fail a check again, closer to the
// pixels, until none fails. Each round brings some corner nearer, so it ends: the
// pixels themselves pass every check.
func (w *work) draw() {
	stale := make([]bool, len(w.borders))
	for i := range stale {
		stale[i] = true
	}
	for round := 0; ; round++ {
		for i, b := range w.borders {
			if stale[i] {
				b.polygon()
			}
		}
		for i, moved := range w.settle() {
			if !moved {
				continue
			}
			for _, half := range w.joints[i].halves {
				if half >= 0 {
					stale[half/2] = true
				}
			}
		}
		for i, b := range w.borders {
			if stale[i] {
				w.smooth.draw(b, w.joints)
				b.flatten()
			}
		}
		clear(stale)
		if !w.retreat(stale, round) {
			return
		}
	}
}

// settle settles the joints and tells which of them moved.
func (w *work) settle() []bool {
	before := make([]Point, len(w.joints))
	for i, j := range w.joints {
		before[i] = j.at
	}
	settle(w.joints, w.borders, w.w, w.h)
	moved := make([]bool, len(w.joints))
	for i, j := range w.joints {
		moved[i] = j.at != before[i]
	}
	return moved
}

// result returns the finished map.
func (w *work) result(regions imageproc.Labels) *Map {
	m := &Map{W: w.w, H: w.h, Regions: w.regions, labels: regions, joints: w.joints}
	m.Level.Junctions = len(w.joints)
	m.Chains = make([]Chain, len(w.borders))
	for i, b := range w.borders {
		m.Chains[i] = Chain{Left: b.left, Right: b.right, Segments: b.segments, Closed: b.closed, Edge: b.edge, Length: int(b.length() + 0.5)}
		if b.edge {
			continue
		}
		m.Level.Sides += m.Chains[i].Length
		for k := 1; k < len(b.at); k++ {
			l := int(b.along[k] - b.along[k-1] + 0.5)
			switch max(b.level[k-1], b.level[k]) {
			case 0:
			case asPixels:
				m.Level.AsPixels += l
			default:
				m.Level.Closer += l
			}
		}
	}
	m.findRings()
	return m
}
