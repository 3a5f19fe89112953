package contour

import "math"

// corner is one of the polygon, moved to where its sides meet.
type corner struct {
	at    Point
	along float64 // of the pixel border
	sharp bool    // stays a corner
	aim   float64 // how near the curve about it must come
}

// quadric is the sum of squared distances from straight lines.
type quadric struct{ xx, xy, yy, x, y float64 }

func (q *quadric) add(l line, weight float64, about Point) {
	n := Point{-l.way.Y, l.way.X}
	c := dot(n, minus(l.mean, about))
	q.xx += weight * float64(n.X*n.X)
	q.xy += weight * float64(n.X*n.Y)
	q.yy += weight * float64(n.Y*n.Y)
	q.x += weight * float64(n.X*c)
	q.y += weight * float64(n.Y*c)
}

// hold keeps the least near the middle where lines hardly differ in direction.
const hold = 1e-3

// least returns where the sum is smallest within box across and tall up and down
// of the middle.
func (q quadric) least(box, tall float64) Point {
	weight := q.xx + q.yy
	if weight == 0 {
		return Point{}
	}
	q.xx += hold * weight
	q.yy += hold * weight
	det := float64(q.xx*q.yy) - float64(q.xy*q.xy)
	at := Point{(float64(q.yy*q.x) - float64(q.xy*q.y)) / det, (float64(q.xx*q.y) - float64(q.xy*q.x)) / det}
	if math.Abs(at.X) <= box && math.Abs(at.Y) <= tall {
		return at
	}
	best, worth := Point{}, math.Inf(1)
	try := func(p Point) {
		v := float64(q.xx*p.X*p.X) + 2*float64(q.xy*p.X*p.Y) + float64(q.yy*p.Y*p.Y) - 2*float64(q.x*p.X) - 2*float64(q.y*p.Y)
		if v < worth {
			best, worth = p, v
		}
	}
	for _, s := range [2]float64{-1, 1} {
		x, y := s*box, s*tall
		try(Point{x, min(max((q.y-q.xy*x)/q.yy, -tall), tall)})
		try(Point{min(max((q.x-q.xy*y)/q.xx, -box), box), y})
	}
	return best
}

// cornerRatio is how far a corner must stand out over the line between its
// neighbours, in half pixels, to stay one: a curve there would leave the pixels.
// Source: Selinger 2003, section 2.3.3, alpha max of 1.
const cornerRatio = 4

// cornersAt moves the polygon's corners to where its sides meet, and tells which stay
// corners. Source: Selinger 2003, sections 2.3.1 and 2.3.3. Sides that all but
// continue each other count as one in that test.
func (b *border) cornersAt(joints []joint) []corner {
	m := len(b.corners)
	out := make([]corner, m)
	for i, c := range b.corners {
		near := b.closeAt(c)
		v := corner{at: b.at[c], along: b.along[c], aim: near.aim}
		switch {
		case b.closed && (i == 0 || i == m-1):
			b.move(&v, b.lines[m-2], b.lines[0], min(near.box, b.closeAt(0).box))
		case i == 0:
			v.at, v.sharp = joints[b.from].at, true
		case i == m-1:
			v.at, v.sharp = joints[b.to].at, true
		default:
			b.move(&v, b.lines[i-1], b.lines[i], near.box)
		}
		out[i] = v
	}
	for i := range out {
		// All that its sides pass has a say in how closely it is followed.
		lo, hi := b.corners[max(0, i-1)], b.corners[min(m-1, i+1)]
		for j := lo + 1; j < hi; j++ {
			out[i].aim = min(out[i].aim, b.closeAt(j).aim)
		}
		prev, next := i-1, i+1
		if b.closed && (i == 0 || i == m-1) {
			prev, next = m-2, 1
		}
		if !out[i].sharp {
			out[i].sharp = b.level[b.corners[i]] == asPixels || b.limit[b.corners[i]] < leastLimit ||
				standsOut(out[prev].at, out[i].at, out[next].at)
		}
	}
	return out
}

func (b *border) move(v *corner, in, out line, box float64) {
	var q quadric
	q.add(in, 1, v.at)
	q.add(out, 1, v.at)
	v.at = plus(v.at, 1, q.least(box, box))
}

func standsOut(a, v, c Point) bool {
	d := minus(c, a)
	norm := math.Abs(d.X) + math.Abs(d.Y)
	height := math.Abs(cross(minus(v, a), d))
	if dot(minus(v, a), minus(c, v)) < 0 {
		return height > 0.5*cornerRatio*norm || norm == 0
	}
	return height >= cornerRatio*norm
}

// settle moves each joint to where the sides that meet there agree best, within
// half a pixel and along the picture's edge; one from which a border leaves as
// the pixels have it stays on the pixels. Source: as for the polygon's corners,
// over three or four sides.
func settle(joints []joint, borders []*border, w, h int) {
	const long = 12 // pixels from which a side has its whole say
	for i := range joints {
		j := &joints[i]
		var q quadric
		box, edge := steady[0].box, false
		for _, half := range j.halves {
			if half < 0 {
				continue
			}
			b := borders[half/2]
			k, end, side := 0, 0, 0
			if half&1 == 1 {
				k, end, side = len(b.corners)-2, len(b.at)-1, len(b.corners)-2
			}
			if b.edge {
				edge = true // straight wherever it ends
				continue
			}
			box = min(box, b.closeAt(end).box)
			length := b.along[b.corners[k+1]] - b.along[b.corners[k]]
			q.add(b.lines[side], min(length/long, 1), j.pixel)
		}
		across, down := 0.9*box, 0.9*box // so that neighbours never meet
		if edge {
			if j.pixel.X == 0 || j.pixel.X == float64(w) {
				across = 0
			}
			if j.pixel.Y == 0 || j.pixel.Y == float64(h) {
				down = 0
			}
		}
		j.at = plus(j.pixel, 1, q.least(across, down))
	}
}
