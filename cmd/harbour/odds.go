package main

import "math"

// odds are the small things that gather in a yard: floats, fish boxes, tyres,
// oilskins on pegs, an oar across the boat.
func odds(p pen) {
	on := func(x, z, turn float64) pen { return p.move(x, groundY(x, z)-0.02, z).turn(turn) }
	d := dice{s: 4242}
	for i := range 9 { // floats
		x, z := -7.6+d.between(0, 1.5), 14.4+d.between(0, 1.0)
		r := d.between(0.13, 0.24)
		c := []vec{{0.50, 0.17, 0.06}, {0.45, 0.40, 0.30}, {0.40, 0.07, 0.06}}[i%3]
		q := on(x, z, d.between(0, 3)).with(plain(c, 0.25))
		q.ball(vec{0, r, 0}, vec{r, r, r}, 12)
		ring(q.with(plain(c.mul(0.5), 0)), vec{0, 2 * r, 0}, vec{1, 0, 0}, 0.05, 0.02)
	}
	for i, e := range [][3]float64{{2.3, 13.2, 0.4}, {2.35, 13.25, 0.55}, {2.9, 12.9, -0.3}, {7.9, 13.4, 0.8}, {-9.6, 19.0, 0.2}, {-9.6, 19.02, 0.1}} {
		y := 0.0
		if i == 1 || i == 5 {
			y = 0.26
		}
		fishBox(on(e[0], e[1], e[2]).move(0, y, 0), []vec{{0.12, 0.24, 0.34}, {0.40, 0.38, 0.33}, {0.30, 0.12, 0.06}}[i%3])
	}
	tyre := p.with(plain(vec{0.03, 0.029, 0.028}, 0.1))
	for i, y := range []float64{0.1, 0.3, 0.5} {
		ring(tyre, vec{-10.9 + 0.06*float64(i), y, 20.2}, vec{0.03, 1, 0.05}, 0.30, 0.11)
	}
	pegs(p)
	oar := p.with(timber(vec{0.46, 0.36, 0.23}))
	oar.rod(vec{4.1, 0.62, 11.2}, vec{6.3, 0.80, 12.4}, 0.03, 7)
	oar.rod(vec{3.9, 0.66, 11.5}, vec{6.1, 0.78, 12.8}, 0.03, 7)
	// a bundle of old posts and a spare rudder against the first shed
	for i := range 6 {
		x := -9.6 - 0.22*float64(i)
		p.with(timber(vec{0.2, 0.16, 0.12})).rod(vec{x, 0, 23.6 - 0.1*float64(i&1)}, vec{x + 0.3*spot(i, 1, 9), 2.2 + spot(i, 2, 9), 24.4}, 0.06, 7)
	}
}

func fishBox(p pen, c vec) {
	t := p.with(plain(c, 0.15))
	t.box(-0.40, 0, -0.24, 0.40, 0.03, 0.24)
	t.box(-0.40, 0, -0.24, 0.40, 0.24, -0.21)
	t.box(-0.40, 0, 0.21, 0.40, 0.24, 0.24)
	t.box(-0.40, 0, -0.24, -0.37, 0.24, 0.24)
	t.box(0.37, 0, -0.24, 0.40, 0.24, 0.24)
}

// pegs hang gear on the front of the second shed.
func pegs(p pen) {
	ring(p.with(plain(vec{0.42, 0.16, 0.07}, 0.1)), vec{-3.45, 2.15, 25.35}, vec{0, 0, 1}, 0.30, 0.07)
	for i, x := range []float64{-8.0, -7.85, -3.2} {
		q := p.with(plain(ropeTan, 0))
		for k := range 3 {
			ring(q, vec{x + 0.04*float64(k), 2.2 - 0.03*float64(k+i), 25.36 - 0.05*float64(k)}, vec{0.1 * float64(k-1), 0, 1}, 0.24, 0.025)
		}
	}
	for i, x := range []float64{-1.85, -1.6} { // oilskins
		c := []vec{{0.30, 0.20, 0.05}, {0.06, 0.08, 0.10}}[i]
		q := p.with(cloth(c))
		q.tube([]vec{{x, 2.3, 25.3}, {x, 2.1, 25.28}, {x + 0.02, 1.7, 25.3}, {x, 1.2, 25.3}}, 9, func(t float64) float64 {
			return 0.05 + 0.13*math.Sqrt(t)
		})
	}
}
