package main

import "math"

// layBirds draws gulls on the wing and on the mud, and a dog.
func layBirds(p pen) {
	white := p.with(plain(vec{0.80, 0.79, 0.76}, 0))
	grey := p.with(plain(vec{0.34, 0.36, 0.38}, 0))
	d := dice{s: 5}
	for _, e := range [][3]float64{{2.2, 6.6, 19}, {6.2, 8.0, 26}, {7.6, 7.4, 27}, {9.5, 9.6, 34}, {13, 8.4, 40}, {4.3, 10.8, 30}, {16, 12, 52}, {11, 5.6, 30}, {-3, 13.6, 44}} {
		bank, lift := d.between(-0.5, 0.5), d.between(0.1, 0.5)
		turn := d.between(-1.2, 1.2)
		b, w := white.move(e[0], e[1], e[2]).turn(turn).roll(bank), grey.move(e[0], e[1], e[2]).turn(turn).roll(bank)
		b.ball(vec{}, vec{0.075, 0.07, 0.24}, 10)
		b.flat(vec{-0.05, 0, -0.2}, vec{0.05, 0, -0.2}, vec{0.09, 0, -0.38}, vec{-0.09, 0, -0.38})
		for _, s := range []float64{1, -1} {
			w.flat(vec{0, 0.02, 0.1}, vec{s * 0.34, lift * 0.5, 0.14}, vec{s * 0.30, lift * 0.5, -0.04}, vec{0, 0.02, -0.1})
			w.flat(vec{s * 0.34, lift * 0.5, 0.14}, vec{s * 0.72, lift * 0.36, -0.06}, vec{s * 0.30, lift * 0.5, -0.04})
		}
	}
	for range 12 {
		z := d.between(13, 34)
		x := d.between(0.24, 0.46) * z
		standGull(white.move(x, math.Max(groundY(x, z), waterLevel), z).turn(d.between(0, 6)), grey)
	}
	dog(p.move(5.6, groundY(5.6, 16.6), 16.6).turn(2.4))
}

func standGull(p, wing pen) {
	p.ball(vec{0, 0.19, 0}, vec{0.075, 0.075, 0.17}, 10)
	p.ball(vec{0, 0.29, 0.13}, vec{0.045, 0.05, 0.055}, 8)
	wing.f = p.f
	wing.ball(vec{0, 0.215, -0.05}, vec{0.08, 0.06, 0.17}, 9)
	leg := p.with(even(vec{0.4, 0.25, 0.1}))
	leg.rod(vec{0.03, 0, 0}, vec{0.03, 0.14, 0}, 0.01, 5)
	leg.rod(vec{-0.03, 0, 0}, vec{-0.03, 0.14, 0}, 0.01, 5)
}

func dog(p pen) {
	q := p.with(cloth(vec{0.07, 0.05, 0.035}))
	b := blob{soft: 0.06}
	put := func(a, c vec, ra, rb float64) { b.limbs = append(b.limbs, limb{a, c, ra, rb, q.mat, false}) }
	put(vec{0, 0.42, -0.26}, vec{0, 0.45, 0.22}, 0.11, 0.12)
	put(vec{0, 0.5, 0.26}, vec{0, 0.64, 0.36}, 0.08, 0.08)
	put(vec{0, 0.64, 0.38}, vec{0, 0.60, 0.52}, 0.075, 0.04)
	put(vec{0, 0.45, -0.32}, vec{0, 0.58, -0.56}, 0.035, 0.02)
	for _, x := range []float64{-0.07, 0.07} {
		put(vec{x, 0.38, 0.2}, vec{x, 0.03, 0.24 + x}, 0.05, 0.03)
		put(vec{x, 0.38, -0.24}, vec{x, 0.03, -0.28 - x}, 0.06, 0.03)
		put(vec{x, 0.70, 0.36}, vec{x * 1.3, 0.62, 0.33}, 0.03, 0.02)
	}
	q.blob(b, 0.025)
}
