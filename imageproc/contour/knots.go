package contour

import "math"

// turn returns how far the border turns from knot k to the next, in radians.
func (d *smoother) turn(k int) float64 {
	a, b := d.knots[k].way, d.knots[k+1].way
	return math.Abs(math.Atan2(cross(a, b), dot(a, b)))
}

// tie sets the knots of a run: its ends, the middles of the sides between, or, on
// a side much longer than its neighbours, the two places where it stops being
// straight.
func (d *smoother) tie(i, j int) {
	d.knots = d.knots[:0]
	poly, sample := 0.0, 0
	for k := range d.samples { // the samples of this run begin where it begins
		if d.samples[k].way >= d.polyAt(i) {
			sample = k
			break
		}
	}
	poly = d.polyAt(i)
	add := func(k int, f float64, plain bool, next int) {
		a, c := &d.v[k], &d.v[k+1]
		l := distance(a.at, c.at)
		way := poly + f*l
		for sample < len(d.samples) && d.samples[sample].way < way {
			sample++
		}
		d.knots = append(d.knots, knot{between(a.at, c.at, f), unit(minus(c.at, a.at)), a.along + f*(c.along-a.along), way, next, plain, sample})
	}
	for k := i; k < j; k++ {
		l := distance(d.v[k].at, d.v[k+1].at)
		before, after := l, l
		if k > i {
			before = distance(d.v[k-1].at, d.v[k].at)
		}
		if k+1 < j {
			after = distance(d.v[k+1].at, d.v[k+2].at)
		}
		lo, hi := min(l/2, before), max(l/2, l-after)
		if k == i {
			lo = 0
		}
		if k+1 == j {
			hi = l
		}
		plain := hi-lo >= max(leastPlain, plainPart*l)
		switch {
		case k == i && plain:
			add(k, 0, true, k+1)
			add(k, hi/l, false, k+1)
		case k == i:
			add(k, 0, false, k+1)
		case plain:
			add(k, lo/l, true, k+1)
			if k+1 < j {
				add(k, hi/l, false, k+1)
			}
		case k+1 < j:
			add(k, 0.5, false, k+1)
		}
		if k+1 == j {
			add(k, 1, false, k)
		}
		poly += l
	}
}

// loosen moves each knot between curves to where one curve over it and both its
// neighbours passes, and turns it as that: a side of the polygon lies a little
// inside its curve, as a chord does, and a short one is only roughly its tangent.
func (d *smoother) loosen() {
	d.loose = append(d.loose[:0], d.knots...)
	last := len(d.knots) - 1
	for k := 1; k < last; k++ {
		if d.knots[k].plain || d.knots[k-1].plain || d.turn(k-1)+d.turn(k) > mostTurn {
			continue
		}
		s := d.span(k-1, k+1)
		d.moveTo(&d.loose[k], &s)
	}
	if d.seam && last > 2 && !d.knots[0].plain && !d.knots[last-1].plain && d.turn(0)+d.turn(last-1) <= mostTurn {
		s := d.overSeam()
		d.moveTo(&d.loose[last], &s)
		d.loose[0].at, d.loose[0].way = d.loose[last].at, d.loose[last].way
	}
	d.knots, d.loose = d.loose, d.knots
}

func (d *smoother) moveTo(k *knot, s *span) {
	c, ok := s.fit()
	if !ok {
		return
	}
	t := (k.poly - s.start) / (s.end - s.start)
	for range 2 {
		t = nearer(&c, k.at, t)
	}
	if p := c.At(t); distance(p, k.at) < s.aim {
		k.at, k.way = p, unit(c.slope(t))
	}
}

// overSeam returns the stretch from the last knot but one over the end of a loop
// to the knot after its beginning.
func (d *smoother) overSeam() span {
	last := len(d.knots) - 1
	before, after := d.span(last-1, last), d.span(0, 1)
	shift := before.end - after.start
	d.joined = append(d.joined[:0], before.samples...)
	for _, s := range after.samples {
		d.joined = append(d.joined, sample{s.at, s.way + shift})
	}
	total := d.b.length()
	along := d.knots[1].along + total
	return span{
		from: before.from, to: after.to, leaving: before.leaving, coming: after.coming,
		area:    d.b.swept(d.knots[last-1].along, along, before.from, after.to),
		samples: d.joined, start: before.start, end: after.end + shift, aim: min(before.aim, after.aim),
	}
}

// polyAt returns how far along the polygon corner i lies.
func (d *smoother) polyAt(i int) float64 {
	way := 0.0
	for k := range i {
		way += distance(d.v[k].at, d.v[k+1].at)
	}
	return way
}

// span returns the stretch from knot k to knot e.
func (d *smoother) span(k, e int) span {
	a, b := &d.knots[k], &d.knots[e]
	aim := math.Inf(1)
	for i := a.next; i <= d.knots[e-1].next; i++ {
		aim = min(aim, d.v[i].aim)
	}
	return span{
		from: a.at, to: b.at, leaving: a.way, coming: b.way,
		area:    d.b.swept(a.along, b.along, a.at, b.at),
		samples: d.samples[a.sample:b.sample],
		start:   a.poly, end: b.poly, aim: aim,
	}
}
