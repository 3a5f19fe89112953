package contour_test

import (
	"fmt"
	"image"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
)

// measured is how well a map keeps to its labels.
type measured struct {
	differ          float64 // share of pixels of another label when filled again
	area, smallArea float64 // worst error of a region's area: part, of large ones; pixels, of small ones
	far             float64 // largest distance of a curve from the border, pixels
	points          int     // ends of segments that are not along the picture's edge
}

func measure(l imageproc.Labels, m *contour.Map) measured {
	var out measured
	again := m.Fill(l.W, l.H)
	for i, v := range l.Pix {
		if again.Pix[i] != v {
			out.differ += 1 / float64(len(l.Pix))
		}
	}
	for _, r := range m.Regions {
		off := math.Abs(r.Area - float64(r.Pixels))
		if float64(r.Pixels) > 0.002*float64(len(l.Pix)) {
			out.area = max(out.area, off/float64(r.Pixels))
		} else {
			out.smallArea = max(out.smallArea, off)
		}
	}
	for i, line := range m.Flatten(0.02) {
		c := m.Chains[i]
		if c.Edge {
			continue
		}
		out.points += len(c.Segments)
		for k := 1; k < len(line); k++ {
			a, b := line[k-1], line[k]
			n := int(math.Hypot(b.X-a.X, b.Y-a.Y)*2) + 1
			for j := range n {
				f := float64(j) / float64(n)
				out.far = max(out.far, fromBorder(m, c, contour.Point{X: a.X + f*(b.X-a.X), Y: a.Y + f*(b.Y-a.Y)}))
			}
		}
	}
	return out
}

// fromBorder returns how far a place is from the nearest pixel side between the
// regions of a chain, as far as 5 pixels.
func fromBorder(m *contour.Map, c contour.Chain, p contour.Point) float64 {
	at := func(i, j int) int {
		if i < 0 || j < 0 || i >= m.W || j >= m.H {
			return contour.Outside
		}
		return m.RegionAt(image.Pt(i, j))
	}
	parts := func(a, b int) bool { return a == c.Left && b == c.Right || a == c.Right && b == c.Left }
	best := math.Inf(1)
	x0, y0 := int(p.X), int(p.Y)
	for j := y0 - 5; j <= y0+5; j++ {
		for i := x0 - 5; i <= x0+5; i++ {
			if parts(at(i, j), at(i-1, j)) {
				best = min(best, math.Hypot(float64(i)-p.X, max(float64(j)-p.Y, p.Y-float64(j+1), 0)))
			}
			if parts(at(i, j), at(i, j-1)) {
				best = min(best, math.Hypot(float64(j)-p.Y, max(float64(i)-p.X, p.X-float64(i+1), 0)))
			}
		}
	}
	return best
}

func (d measured) String() string {
	return fmt.Sprintf("differ %.3f %%, area %.2f %% / %.1f px, far %.2f px, %d points", 100*d.differ, 100*d.area, d.smallArea, d.far, d.points)
}

// crossings returns how many pairs of lines of the chains' polylines cross or
// touch but for those that follow each other or meet at a junction: every pair is
// looked at.
func crossings(m *contour.Map) int {
	type piece struct{ a, b contour.Point }
	var all []piece
	for _, line := range m.Flatten(0.02) {
		for k := 1; k < len(line); k++ {
			all = append(all, piece{line[k-1], line[k]})
		}
	}
	side := func(p, q, r contour.Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	n := 0
	for i, p := range all {
		for _, q := range all[:i] {
			if max(p.a.X, p.b.X) < min(q.a.X, q.b.X) || max(q.a.X, q.b.X) < min(p.a.X, p.b.X) ||
				max(p.a.Y, p.b.Y) < min(q.a.Y, q.b.Y) || max(q.a.Y, q.b.Y) < min(p.a.Y, p.b.Y) {
				continue
			}
			if o, u, v, ok := common(p.a, p.b, q.a, q.b); ok {
				// They may only leave the place they share in different directions.
				if side(o, u, v) == 0 && (u.X-o.X)*(v.X-o.X)+(u.Y-o.Y)*(v.Y-o.Y) > 0 {
					n++
				}
				continue
			}
			if side(p.a, p.b, q.a)*side(p.a, p.b, q.b) <= 0 && side(q.a, q.b, p.a)*side(q.a, q.b, p.b) <= 0 {
				n++
			}
		}
	}
	return n
}

// common returns the end that two lines share and their other ends.
func common(a, b, c, d contour.Point) (o, u, v contour.Point, ok bool) {
	switch {
	case a == c:
		return a, b, d, true
	case a == d:
		return a, b, c, true
	case b == c:
		return b, a, d, true
	case b == d:
		return b, a, c, true
	}
	return o, u, v, false
}
