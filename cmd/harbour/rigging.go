package main

import "math"

var ropeTan = vec{0.16, 0.13, 0.09}

// line is a rope or wire from a to b that sags in its middle.
func line(p pen, a, b vec, r, sag float64) {
	path := make([]vec, 13)
	for i := range path {
		t := float64(i) / 12
		path[i] = a.mix(b, t).sub(vec{0, sag * 4 * t * (1 - t), 0})
	}
	p.tube(path, 4, func(float64) float64 { return r })
}

// stick is a tapering spar.
func stick(p pen, a, b vec, r0, r1 float64) {
	p.tube([]vec{a, a.mix(b, 0.3), a.mix(b, 0.6), b}, 9, func(t float64) float64 { return lerp(r0, r1, t) })
}

// trawlerGear fits out the big hull: wheelhouse, masts, stays, winch, gallows.
func trawlerGear(p pen) {
	h := trawler
	deck := h.depth - h.deck
	house(p.move(0, deck+0.05, -3.9))
	spar := p.with(timber(vec{0.22, 0.15, 0.085}))
	wire := p.with(even(vec{0.05, 0.05, 0.05}))
	rope := p.with(even(ropeTan))
	foot, head := vec{0, deck, 2.6}, vec{0, deck + 6.3, 2.3}
	stick(spar, foot, head, 0.15, 0.08)
	bow := h.at(0.985, 1).add(vec{0, 0.1, 0})
	line(wire, head, bow, 0.016, 0.1)
	line(wire, head, vec{0, deck + 4.6, -4.4}, 0.014, 0.3)
	for _, s := range []float64{1, -1} {
		for i, at := range []float64{0.60, 0.65, 0.70} {
			q := h.at(at, 1)
			line(wire, vec{0, head.y - 0.5 - 0.9*float64(i), head.z}, vec{s * q.x, q.y, q.z}, 0.015, 0.02)
		}
	}
	boom := vec{0.5, deck + 3.9, -2.2}
	stick(spar, vec{0, deck + 1.4, 2.45}, boom, 0.09, 0.06)
	line(rope, head.sub(vec{0, 0.5, 0}), boom, 0.018, 0.1)
	line(rope, boom, boom.add(vec{0.2, -1.9, 0.1}), 0.02, 0)
	mizzen := vec{0, deck + 6.0, -6.1}
	stick(spar, vec{0, deck, -6.0}, mizzen, 0.10, 0.05)
	line(wire, mizzen, head, 0.012, 0.35)
	line(wire, mizzen, h.at(0.02, 1), 0.014, 0.05)
	iron := p.with(rusty(vec{0.12, 0.14, 0.13}, 0.7))
	for _, s := range []float64{1, -1} { // gallows
		q := h.at(0.30, 1)
		iron.rod(vec{s * (q.x - 0.15), q.y - 0.6, q.z}, vec{s * (q.x - 0.15), q.y + 1.3, q.z + 0.15}, 0.06, 8)
		iron.rod(vec{s * (q.x - 0.15), q.y - 0.6, q.z + 1.0}, vec{s * (q.x - 0.15), q.y + 1.3, q.z + 0.75}, 0.06, 8)
		iron.rod(vec{s * (q.x - 0.15), q.y + 1.3, q.z + 0.1}, vec{s * (q.x - 0.15), q.y + 1.3, q.z + 0.8}, 0.06, 8)
	}
	iron.move(0, deck+0.5, 0.8).roll(math.Pi/2).lathe(14, [2]float64{0.35, -0.9}, [2]float64{0.35, -0.8}, [2]float64{0.18, -0.8}, [2]float64{0.18, 0.8}, [2]float64{0.35, 0.8}, [2]float64{0.35, 0.9})
	iron.box(-1.1, deck, 0.6, -0.95, deck+0.9, 1.0)
	iron.box(0.95, deck, 0.6, 1.1, deck+0.9, 1.0)
	anchor(p, h)
	// tyres along the dark side, and the screw and rudder
	tyre := p.with(plain(vec{0.022, 0.021, 0.02}, 0.1))
	for i, s := range []float64{0.34, 0.52, 0.70} {
		for _, side := range []float64{1, -1} {
			q := h.at(s, 0.80)
			ring(tyre, vec{side * (q.x + 0.13), q.y - 0.1*float64(i&1), q.z}, vec{1, 0, 0}, 0.26, 0.10)
			line(rope, vec{side * (q.x + 0.12), q.y + 0.2, q.z}, vec{side * h.at(s, 1).x, h.at(s, 1).y, q.z}, 0.014, 0)
		}
	}
	iron.box(-0.05, 0.15, -7.35, 0.05, 1.9, -6.75)
}

// ring is a torus about axis.
func ring(p pen, c, axis vec, r, thick float64) {
	a, b := axis.basis()
	path := make([]vec, 21)
	for i := range path {
		s, k := math.Sincos(float64(i) / 20 * 2 * math.Pi)
		path[i] = c.add(a.mul(r * k)).add(b.mul(r * s))
	}
	p.tube(path, 8, func(float64) float64 { return thick })
}

func anchor(p pen, h hull) {
	iron := p.with(rusty(vec{0.06, 0.06, 0.06}, 0.8))
	q := h.at(0.93, 0.82)
	x := -(q.x + 0.07)
	iron.rod(vec{x, q.y + 0.35, q.z}, vec{x + 0.05, q.y - 0.5, q.z + 0.05}, 0.045, 7)
	iron.rod(vec{x + 0.05, q.y - 0.5, q.z + 0.05}, vec{x - 0.05, q.y - 0.3, q.z + 0.25}, 0.05, 7)
	iron.rod(vec{x + 0.05, q.y - 0.5, q.z + 0.05}, vec{x - 0.05, q.y - 0.3, q.z - 0.2}, 0.05, 7)
}

// house is a wheelhouse with its windows, roof, funnel and lamp.
func house(p pen) {
	wall := p.with(strakes(vec{0.56, 0.50, 0.38}, 0.14, 0.5))
	wall.box(-1.15, 0, -1.5, 1.15, 2.15, 1.3)
	dark := p.with(timber(vec{0.20, 0.12, 0.06}))
	dark.box(-1.3, 2.15, -1.65, 1.3, 2.25, 1.5)
	dark.box(-1.19, 1.02, -1.54, 1.19, 1.10, 1.34)
	pane := p.with(glass())
	for i := range 3 {
		x := -1.0 + 0.7*float64(i)
		pane.box(x, 1.22, 1.29, x+0.58, 1.88, 1.315)
	}
	for i := range 3 {
		z := -1.3 + 0.85*float64(i)
		pane.box(-1.165, 1.22, z, -1.14, 1.88, z+0.62)
		pane.box(1.14, 1.22, z, 1.165, 1.88, z+0.62)
	}
	iron := p.with(rusty(vec{0.30, 0.07, 0.04}, 0.4))
	iron.move(0.4, 2.2, -1.1).lathe(14, [2]float64{0.24, 0}, [2]float64{0.24, 1.1}, [2]float64{0.18, 1.1})
	p.with(plain(vec{0.7, 0.66, 0.6}, 0.2)).box(-0.9, 2.25, -0.6, -0.3, 2.5, 0.4)
	ring(p.with(plain(vec{0.62, 0.18, 0.05}, 0.2)), vec{1.2, 0.62, 0.6}, vec{1, 0, 0}, 0.27, 0.065)
	ring(p.with(plain(vec{0.62, 0.18, 0.05}, 0.2)), vec{-1.2, 0.62, 0.6}, vec{1, 0, 0}, 0.27, 0.065)
}

// smackGear gives a smaller boat a mast, a boom with a furled sail, stays and a cuddy.
func smackGear(p pen, h hull, mast float64) {
	spar := p.with(timber(vec{0.36, 0.25, 0.14}))
	wire := p.with(even(vec{0.06, 0.055, 0.05}))
	deck := h.depth - h.deck
	z := h.length * 0.13
	head := vec{0, deck + mast, z - 0.1}
	stick(spar, vec{0, deck, z}, head, 0.09, 0.05)
	line(wire, head, h.at(0.99, 1), 0.016, 0.05)
	line(wire, head, h.at(0.02, 1).times(vec{0, 1, 1}), 0.016, 0.1)
	for _, s := range []float64{1, -1} {
		q := h.at(0.58, 1)
		line(wire, head.sub(vec{0, 0.4, 0}), vec{s * q.x, q.y, q.z}, 0.016, 0)
	}
	end := vec{0.1, deck + 1.9, -h.length * 0.36}
	stick(spar, vec{0, deck + 1.2, z}, end, 0.06, 0.045)
	sail := p.with(cloth(vec{0.26, 0.10, 0.055}))
	sail.tube([]vec{{0, deck + 1.34, z - 0.2}, {0.02, deck + 1.48, z * 0.3}, {0.03, deck + 1.62, -h.length * 0.1}, {0.06, deck + 1.8, -h.length * 0.24}, end}, 9, func(t float64) float64 {
		return 0.03 + 0.15*math.Sin(math.Pi*clamp(t, 0.04, 0.96))
	})
	if h.length > 8 {
		wall := p.with(strakes(vec{0.50, 0.47, 0.40}, 0.12, 0.5))
		wall.box(-0.7, deck, -h.length*0.30, 0.7, deck+1.5, -h.length*0.12)
		p.with(timber(vec{0.16, 0.11, 0.07})).box(-0.8, deck+1.5, -h.length*0.31, 0.8, deck+1.58, -h.length*0.11)
		pane := p.with(glass())
		pane.box(-0.72, deck+0.85, -h.length*0.27, 0.72, deck+1.28, -h.length*0.16)
		pane.box(-0.5, deck+0.85, -h.length*0.121, 0.5, deck+1.28, -h.length*0.119)
	}
}
