package main

// shed is one building of the yard: its front faces the viewer.
type shed struct {
	x0, x1, z0, z1 float64
	eaves, rise    float64
	side           bool // ridge along x; otherwise the gable faces the viewer
	wall, roof     material
	trim           vec
}

func (s shed) draw(p pen) {
	wall, roof := p.with(s.wall), p.with(s.roof)
	trim := p.with(timber(s.trim))
	wall.box(s.x0, -0.5, s.z0, s.x1, s.eaves, s.z1)
	const over, thick = 0.35, 0.10
	w, d := s.x1-s.x0, s.z1-s.z0
	mid := p.move((s.x0+s.x1)/2, s.eaves, (s.z0+s.z1)/2)
	if !s.side {
		mid = mid.turn(1.5707963267948966)
		w, d = d, w
	}
	inner := wall
	inner.f = mid.f
	gable(inner, w, d, s.rise)
	slope := func(sign float64) { // a roof with thickness and overhang
		q := roof
		q.f = mid.f
		e := over / (d / 2) * s.rise
		a, b := vec{-w/2 - over, -e, sign * (d/2 + over)}, vec{-w/2 - over, s.rise, 0}
		c, g := vec{w/2 + over, s.rise, 0}, vec{w/2 + over, -e, sign * (d/2 + over)}
		up := vec{0, thick, 0}
		q.flat(a.add(up), b.add(up), c.add(up), g.add(up))
		t := trim
		t.f = mid.f
		t.flat(a, b, c, g)
		t.flat(a, g, g.add(up), a.add(up))
		t.beam(a, b.add(vec{0, 0.05, 0}), 0.05, 0.20)
		t.beam(g, c.add(vec{0, 0.05, 0}), 0.05, 0.20)
		gut := p.with(rusty(vec{0.10, 0.11, 0.11}, 0.5))
		gut.f = mid.f
		gut.rod(a.add(vec{0, 0, sign * 0.06}), g.add(vec{0, 0, sign * 0.06}), 0.065, 8)
		for _, x := range []float64{-w/2 + 0.15, w/2 - 0.15} {
			gut.rod(vec{x, -e, sign * (d/2 + over)}, vec{x, -e - 0.35, sign * (d/2 + 0.08)}, 0.045, 6)
			gut.rod(vec{x, -e - 0.35, sign * (d/2 + 0.08)}, vec{x, -s.eaves, sign * (d/2 + 0.08)}, 0.045, 6)
		}
	}
	slope(-1)
	slope(1)
	ridge := p.with(plain(vec{0.10, 0.09, 0.085}, 0.1))
	ridge.f = mid.f
	ridge.rod(vec{-w/2 - over, s.rise + thick, 0}, vec{w/2 + over, s.rise + thick, 0}, 0.12, 8)
}

// doorway is a big sliding door, half open on a black inside.
func doorway(p pen, x, z, w, h float64, leaf vec, open float64) {
	hole := p.with(even(vec{0.006, 0.006, 0.007}))
	hole.box(x, -0.3, z-0.02, x+w, h, z+0.05)
	b := p.with(boards(leaf, 0.17, 0.8))
	b.box(x+w*open, 0, z-0.14, x+w*open+w, h, z-0.07)
	t := p.with(timber(leaf.mul(0.7)))
	for _, y := range []float64{0.25, h * 0.5, h - 0.3} {
		t.box(x+w*open, y, z-0.18, x+w*open+w, y+0.16, z-0.14)
	}
	rail := p.with(rusty(vec{0.09, 0.09, 0.09}, 0.7))
	rail.box(x-0.3, h+0.02, z-0.2, x+w*(1+open)+0.2, h+0.12, z-0.05)
	fr := p.with(timber(vec{0.30, 0.27, 0.22}))
	fr.box(x-0.14, 0, z-0.08, x, h, z)
}

// window is a sash with bars, a sill and panes.
func window(p pen, x, y, z, w, h float64, frame vec) {
	p.with(glass()).box(x, y, z-0.03, x+w, y+h, z+0.02)
	t := p.with(timber(frame))
	t.box(x-0.09, y-0.10, z-0.12, x+w+0.09, y, z)
	t.box(x-0.09, y+h, z-0.07, x+w+0.09, y+h+0.09, z)
	t.box(x-0.09, y, z-0.07, x, y+h, z)
	t.box(x+w, y, z-0.07, x+w+0.09, y+h, z)
	t.box(x+w/2-0.025, y, z-0.05, x+w/2+0.025, y+h, z)
	t.box(x, y+h/2-0.025, z-0.05, x+w, y+h/2+0.025, z)
}

func laySheds(p pen) {
	tar, slate := vec{0.030, 0.027, 0.026}, vec{0.060, 0.060, 0.068}
	shed{-16.5, -8.9, 24.5, 36, 4.9, 4.0, false, boards(tar, 0.20, 0.25), slates(slate), vec{0.10, 0.09, 0.08}}.draw(p)
	shed{-8.1, -1.4, 25.5, 34, 3.9, 2.7, true, boards(vec{0.060, 0.048, 0.038}, 0.18, 0.4), corrugated(vec{0.085, 0.088, 0.092}, 0.45), vec{0.16, 0.15, 0.13}}.draw(p)
	shed{-1.4, 4.9, 31, 41, 4.3, 3.2, false, corrugated(vec{0.075, 0.078, 0.080}, 0.62), corrugated(vec{0.08, 0.075, 0.07}, 0.5), vec{0.13, 0.12, 0.11}}.draw(p)
	shed{4.2, 7.0, 42, 47, 2.8, 1.8, true, masonry(vec{0.24, 0.22, 0.19}, 0.3, -1), slates(slate), vec{0.3, 0.28, 0.25}}.draw(p)
	// a shed out of the picture; its shadow lies over the near left corner
	shed{-26, -15, 5, 12.2, 5.2, 0.6, true, boards(tar, 0.20, 0.25), slates(slate), tar}.draw(p)
	doorway(p, -15.2, 24.5, 2.9, 3.5, vec{0.045, 0.07, 0.065}, 0.55)
	doorway(p, -6.6, 25.5, 2.4, 2.9, vec{0.07, 0.045, 0.035}, 0.9)
	doorway(p, 0.2, 31, 3.2, 3.6, vec{0.06, 0.07, 0.08}, -0.45)
	pale := vec{0.36, 0.35, 0.32}
	window(p, -13.3, 5.6, 24.5, 1.1, 1.2, pale)
	window(p, -10.7, 1.4, 24.5, 1.0, 1.1, pale)
	window(p, -7.75, 1.5, 25.5, 0.8, 0.9, pale)
	window(p, -2.9, 1.5, 25.5, 1.0, 1.0, pale)
	window(p, 3.6, 1.5, 31, 0.9, 1.1, pale)
	window(p, 4.9, 1.2, 42, 0.7, 0.9, pale)
	window(p, 6.0, 1.2, 42, 0.7, 0.9, pale)
	// a hoist beam with its block, signs without words, a flue, a lean-to
	wood := p.with(timber(vec{0.14, 0.11, 0.08}))
	wood.beam(vec{-12.7, 8.0, 24.6}, vec{-12.7, 8.0, 23.0}, 0.2, 0.25)
	line(p.with(even(ropeTan)), vec{-12.7, 7.9, 23.2}, vec{-12.7, 4.9, 23.2}, 0.025, 0)
	p.with(rusty(vec{0.1, 0.1, 0.1}, 0.6)).box(-12.8, 4.6, 23.1, -12.6, 4.95, 23.3)
	sign(p.move(-10.3, 3.4, 24.45), 1.9, 0.6, vec{0.17, 0.06, 0.04}, vec{0.35, 0.31, 0.24})
	sign(p.move(-4.3, 3.05, 25.45), 2.3, 0.5, vec{0.08, 0.14, 0.20}, vec{0.5, 0.48, 0.42})
	sign(p.move(1.9, 4.6, 30.95), 1.6, 0.7, vec{0.45, 0.42, 0.34}, vec{0.12, 0.10, 0.08})
	flue := p.with(rusty(vec{0.09, 0.09, 0.09}, 0.7))
	flue.move(-3.2, 5.0, 28.2).lathe(12, [2]float64{0.14, 0}, [2]float64{0.14, 2.2}, [2]float64{0.24, 2.2}, [2]float64{0.02, 2.5})
	p.with(masonry(vec{0.26, 0.20, 0.16}, 0.12, -9)).box(-14.6, 6.6, 30, -13.7, 10.2, 30.9)
	lean := p.with(corrugated(vec{0.10, 0.10, 0.10}, 0.6))
	lean.flat(vec{-9.3, 2.5, 23.4}, vec{-9.3, 3.1, 25.6}, vec{-7.3, 3.1, 25.6}, vec{-7.3, 2.5, 23.4})
	for _, x := range []float64{-9.2, -7.4} {
		wood.rod(vec{x, 0, 23.5}, vec{x, 2.5, 23.5}, 0.07, 7)
	}
}

// sign is a board with a border and smudges where letters have gone.
func sign(p pen, w, h float64, ground, mark vec) {
	p.with(timber(mark)).box(-w/2-0.06, -h/2-0.06, -0.05, w/2+0.06, h/2+0.06, 0)
	p.with(func(q *hit, s *surface) {
		k := ramp(0.52, 0.6, fbm(q.t.x*4, q.t.y*2.2, 3, 221)) * ramp(h*0.42, h*0.2, abs(q.t.z))
		s.c = ground.mix(mark, 0.55*k).mul(0.6 + 0.8*fbm(q.t.x*3, q.t.y*3, 4, 223))
	}).box(-w/2, -h/2, -0.07, w/2, h/2, -0.01)
}
