package outline

import (
	"fmt"
	"math"
)

// Simplify returns the rings with fewer points, all of them points of the ring
// they come from, in its order: no place on a new ring lies farther than
// tolerance (pixels, 0 or more) from the old one, and no place on the old one
// farther than that from the new (TestSimplifyStaysWithin). With tolerance 0
// only points in the middle of a straight side go. A ring that is nowhere wider
// than about the tolerance shrinks to fewer than three points and is dropped.
// New rings may touch or cross themselves or each other. The result shares no
// memory with rings. It panics on a tolerance below 0 or that is no number.
// Source: Douglas and Peucker 1973, with distances to the side and not to the
// line through it; begun at the point farthest from the middle of the ring's
// bounds and the one farthest from that, both of which stay.
func Simplify(rings []Ring, tolerance float64) []Ring {
	if !(tolerance >= 0) {
		panic(fmt.Sprintf("outline: tolerance %v", tolerance))
	}
	var out []Ring
	for _, r := range rings {
		r.check()
		if s := simplified(r, tolerance); len(s) > 0 {
			out = append(out, s)
		}
	}
	return out
}

func simplified(r Ring, tolerance float64) Ring {
	n := len(r)
	if n < 3 {
		return nil
	}
	a := r.farthest(r.middle())
	b := r.farthest(r[a])
	if r[a] == r[b] {
		return nil
	}
	d := divider{ring: r, keep: make([]bool, n), limit: tolerance * tolerance}
	d.keep[a], d.keep[b] = true, true
	lo, hi := min(a, b), max(a, b)
	d.divide(lo, hi)
	d.divide(hi, lo+n)
	kept := 0
	for _, k := range d.keep {
		if k {
			kept++
		}
	}
	if kept < 3 {
		return nil
	}
	out := make(Ring, 0, kept)
	for i, k := range d.keep {
		if k {
			out = append(out, r[i])
		}
	}
	return out
}

// middle returns the middle of the ring's bounds.
func (r Ring) middle() Point {
	x0, y0, x1, y1 := r[0].X, r[0].Y, r[0].X, r[0].Y
	for _, p := range r {
		x0, x1 = min(x0, p.X), max(x1, p.X)
		y0, y1 = min(y0, p.Y), max(y1, p.Y)
	}
	return Point{(x0 + x1) / 2, (y0 + y1) / 2}
}

// farthest returns the first of the points farthest from p.
func (r Ring) farthest(p Point) int {
	at, most := 0, -1.0
	for i, q := range r {
		if d := squared(p, q); d > most {
			at, most = i, d
		}
	}
	return at
}

func squared(p, q Point) float64 {
	dx, dy := q.X-p.X, q.Y-p.Y
	return float64(dx*dx) + float64(dy*dy)
}

type divider struct {
	ring  Ring
	keep  []bool
	limit float64 // squared tolerance
}

// divide keeps what is needed between points i and j, 0 <= i < j, counted round
// the ring. It halves its way with a loop on the longer side, so that no ring
// makes it call itself deeply.
func (d *divider) divide(i, j int) {
	for j-i > 1 {
		k, off := d.worst(i, j)
		if off <= d.limit {
			return
		}
		d.keep[k%len(d.ring)] = true
		if k-i < j-k {
			d.divide(i, k)
			i = k
		} else {
			d.divide(k, j)
			j = k
		}
	}
}

// worst returns the first point between i and j that lies farthest from the side
// that would join them, and its squared distance.
func (d *divider) worst(i, j int) (at int, most float64) {
	n := len(d.ring)
	a, b := d.ring[i%n], d.ring[j%n]
	dx, dy := b.X-a.X, b.Y-a.Y
	long := float64(dx*dx) + float64(dy*dy)
	at, most = i+1, math.Inf(-1)
	for k := i + 1; k < j; k++ {
		m := k
		if m >= n {
			m -= n
		}
		p := d.ring[m]
		px, py := p.X-a.X, p.Y-a.Y
		off := 0.0
		switch along := float64(px*dx) + float64(py*dy); {
		case along <= 0:
			off = squared(a, p)
		case along >= long:
			off = squared(b, p)
		default:
			across := float64(px*dy) - float64(py*dx)
			off = float64(across*across) / long
		}
		if off > most {
			at, most = k, off
		}
	}
	return at, most
}
