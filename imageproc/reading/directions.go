package reading

import (
	"cmp"
	"math"
	"slices"

	"atelier/halflid/imageproc/plan"
)

// Directions are the long straight parts of borders: at least 8 % of the long
// side, within 0.5 % of it of straight, also where other shapes meet them on the
// way. Source: ours.
type Directions struct {
	Count  int
	Length float64 // of all of them, share of the long side
	// Pointing is the share of that length whose straight line, drawn on both
	// ways, passes through the focal radius; Anywhere the mean of the same over a
	// grid of 24 by 24 places. 0..1, both 0 without straight parts or without a
	// focal point in the crop.
	Pointing, Anywhere float64
	// Longest are up to eight of them, longest first.
	Longest []Straight
}

// Straight is a straight part of a border.
type Straight struct {
	From, To plan.Point
	Length   float64 // share of the long side
	Points   bool    // its line passes through the focal radius
}

const (
	leastStraight = 0.08
	places        = 24
	bendLimit     = 10 * math.Pi / 180 // where pieces that meet count as going on
)

func (s *scene) directions() Directions {
	var out Directions
	var lines []segment
	total := 0.0
	for _, l := range s.straights() {
		if l.length() < leastStraight*s.long {
			continue
		}
		lines = append(lines, l)
		total += l.length()
		one := Straight{s.at(l.ax, l.ay), s.at(l.bx, l.by), l.length() / s.long, s.hasFocal && l.passes(s.fx, s.fy, s.fr)}
		out.Longest = insert(out.Longest, one, func(a, b Straight) bool { return a.Length > b.Length })
	}
	out.Count, out.Length = len(lines), total/s.long
	out.Longest = out.Longest[:min(8, len(out.Longest))]
	if !s.hasFocal || total == 0 {
		return out
	}
	pointing := func(x, y float64) float64 {
		sum := 0.0
		for _, l := range lines {
			if l.passes(x, y, s.fr) {
				sum += l.length()
			}
		}
		return sum / total
	}
	out.Pointing = pointing(s.fx, s.fy)
	for j := range places {
		for i := range places {
			out.Anywhere += pointing((float64(i)+0.5)*float64(s.w)/places, (float64(j)+0.5)*float64(s.h)/places)
		}
	}
	out.Anywhere /= places * places
	return out
}

// segment is a straight line between two places.
type segment struct{ ax, ay, bx, by float64 }

func (l segment) length() float64 { return math.Hypot(l.bx-l.ax, l.by-l.ay) }

// passes reports whether the line, drawn on both ways, comes within r of a place.
func (l segment) passes(x, y, r float64) bool {
	dx, dy := l.bx-l.ax, l.by-l.ay
	return math.Abs(float64(dx*(y-l.ay))-float64(dy*(x-l.ax))) <= r*l.length()
}

// end is one end of a coarse piece: where it is and whether it goes on.
type end struct {
	at    int32 // lattice place
	piece int
	last  bool // the end of the piece, not its beginning
	next  int  // the end that it goes on with, -1 if none
}

// straights joins the coarse pieces that go on straight over a joint, and draws
// the joined ones straight anew.
func (s *scene) straights() []segment {
	ends := make([]end, 2*len(s.coarse)) // beginning and end of each piece
	order := make([]int, len(ends))
	w1 := int32(s.w + 1)
	for i, p := range s.coarse {
		a, b := s.corners[p.from], s.corners[p.to]
		ends[2*i] = end{a.y*w1 + a.x, i, false, -1}
		ends[2*i+1] = end{b.y*w1 + b.x, i, true, -1}
		order[2*i], order[2*i+1] = 2*i, 2*i+1
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ends[a].at, ends[b].at) })
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && ends[order[j]].at == ends[order[i]].at {
			j++
		}
		s.joinEnds(ends, order[i:j])
		i = j
	}
	return s.runs(ends)
}

// joinEnds lets the ends that meet at a joint go on with each other: two that are
// each other's straightest.
func (s *scene) joinEnds(ends []end, here []int) {
	best := make([]int, len(here))
	for i, a := range here {
		best[i] = -1
		least, tied := bendLimit, false
		for j, b := range here {
			if i == j || ends[a].piece == ends[b].piece {
				continue
			}
			switch t := s.bend(ends[a], ends[b]); {
			case t < least:
				best[i], least, tied = j, t, false
			case t == least:
				tied = true
			}
		}
		if tied {
			best[i] = -1
		}
	}
	for i, j := range best {
		if j >= 0 && best[j] == i {
			ends[here[i]].next = here[j]
		}
	}
}

// bend returns the angle by which the way from one piece into another turns.
func (s *scene) bend(a, b end) float64 {
	ax, ay := s.away(a)
	bx, by := s.away(b)
	cross, dot := ax*by-ay*bx, -(ax*bx + ay*by)
	return math.Atan2(float64(max(cross, -cross)), float64(dot))
}

// away returns the way a piece leads off from one of its ends.
func (s *scene) away(e end) (x, y int64) {
	p := s.coarse[e.piece]
	a, b := s.corners[p.from], s.corners[p.to]
	x, y = int64(b.x-a.x), int64(b.y-a.y)
	if e.last {
		x, y = -x, -y
	}
	return x, y
}

// runs follows joined pieces and straightens each run anew.
func (s *scene) runs(ends []end) []segment {
	used := make([]bool, len(s.coarse))
	var t tracer
	walk := func(e int) { // e: the end that the run begins at
		from := len(t.corners)
		place := func(e end) {
			p := s.coarse[e.piece]
			c := s.corners[p.from]
			if e.last {
				c = s.corners[p.to]
			}
			t.corners = append(t.corners, corner{c.x, c.y, 0})
		}
		place(ends[e])
		for !used[ends[e].piece] {
			used[ends[e].piece] = true
			e ^= 1 // the piece's other end
			place(ends[e])
			if ends[e].next < 0 {
				break
			}
			e = ends[e].next
		}
		t.lines = append(t.lines, line{from: from, to: len(t.corners)})
	}
	for e := range ends {
		if ends[e].next < 0 && !used[ends[e].piece] {
			walk(e)
		}
	}
	for e := range ends { // runs that go round
		if !used[ends[e].piece] {
			walk(e)
		}
	}
	keep := make([]bool, len(t.corners))
	var out []segment
	for _, p := range t.pieces(nil, keep, max(coarsePixels, coarseShare*s.long)) {
		a, b := t.corners[p.from], t.corners[p.to]
		out = append(out, segment{float64(a.x), float64(a.y), float64(b.x), float64(b.y)})
	}
	return out
}
