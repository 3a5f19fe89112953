package main

import "math"

// quayAt returns the frame of the quay: z runs along its face away from the
// viewer, x to the landward side, the face at x = 0 and the top at y = 0.
func quayAt(p pen) pen { return p.move(11.0, 2.15, 14).turn(0.17) }

const quayLength = 46.0

func layQuay(p pen) {
	p = quayAt(p)
	stone := p.with(masonry(vec{0.34, 0.30, 0.25}, 0.42, -0.75))
	stone.box(0, -4, -8, 14, -0.25, quayLength)
	cope := p.with(masonry(vec{0.42, 0.38, 0.31}, 0.55, -9))
	cope.box(-0.12, -0.25, -8, 1.0, 0, quayLength+0.1)
	p.with(plain(vec{0.30, 0.27, 0.23}, 0.08)).box(1.0, -0.3, -8, 14, -0.02, quayLength)
	// sea wall along the far side of the top
	stone.box(12.6, -0.3, 10, 13.6, 1.1, quayLength)
	pile := p.with(timber(vec{0.10, 0.085, 0.065}))
	for z := 3.0; z < quayLength; z += 5.2 {
		pile.rod(vec{-0.26, -3.2, z}, vec{-0.26, 0.15 + 0.2*spot(int(z), 5, 5), z}, 0.16, 9)
	}
	iron := p.with(rusty(vec{0.07, 0.07, 0.075}, 0.6))
	for z := 5.5; z < quayLength; z += 9 {
		iron.move(0.5, 0, z).lathe(14, [2]float64{0.22, 0}, [2]float64{0.15, 0.10}, [2]float64{0.14, 0.36}, [2]float64{0.25, 0.42}, [2]float64{0.22, 0.52}, [2]float64{0, 0.56})
	}
	ladder(p.with(rusty(vec{0.06, 0.06, 0.06}, 0.8)), 14.5)
	ladder(p.with(rusty(vec{0.06, 0.06, 0.06}, 0.8)), 37)
	rope := p.with(even(ropeTan))
	for i, z := range []float64{14.5, 23.5, 32.5, 41.5} {
		to := vec{-3.4 - 0.5*float64(i), -1.2, z + 2.5}
		line(rope, vec{0.5, 0.35, z}, to, 0.028, 0.7)
	}
	iron.rod(vec{0.6, 0, quayLength - 0.6}, vec{0.6, 3.4, quayLength - 0.6}, 0.07, 8)
	iron.move(0.6, 3.3, quayLength-0.6).lathe(10, [2]float64{0.2, 0}, [2]float64{0.2, 0.4}, [2]float64{0.02, 0.6})
	for i, z := range []float64{7, 8.1, 22, 33, 34, 41} { // goods left about
		b := crate(p.move(1.7+0.7*spot(i, 1, 1), 0, z).turn(float64(i)), 0.9, 0.5)
		if i&1 == 0 {
			crate(b.move(0.05, 0.5, 0).turn(0.2), 0.9, 0.5)
		}
	}
	potStack(p.move(1.9, 0, 27.5), 8)
	potStack(p.move(2.0, 0, 36.5), 10)
	for i := range 3 { // lamp posts
		z := 12 + 15*float64(i)
		iron.rod(vec{3.4, 0, z}, vec{3.4, 4.6, z}, 0.06, 8)
		iron.rod(vec{3.4, 4.6, z}, vec{2.7, 4.75, z}, 0.04, 6)
		iron.move(2.7, 4.5, z).lathe(10, [2]float64{0.2, 0}, [2]float64{0.05, 0.22})
	}
}

func ladder(p pen, z float64) {
	for _, d := range []float64{0, 0.42} {
		p.rod(vec{-0.16, -3, z + d}, vec{-0.16, 0.3, z + d}, 0.03, 6)
	}
	for y := -2.8; y < 0.1; y += 0.3 {
		p.rod(vec{-0.16, y, z}, vec{-0.16, y, z + 0.42}, 0.02, 6)
	}
}

// layVehicles puts an old van and a small jib crane at the right-hand edge.
func layVehicles(p pen) {
	q := quayAt(p)
	van(q.move(2.7, 0, 19.5).turn(math.Pi + 0.45))
	jibCrane(q.move(1.9, 0, 9.6))
}

func van(p pen) {
	body := p.with(rusty(vec{0.28, 0.34, 0.36}, 0.42))
	dark := p.with(plain(vec{0.02, 0.02, 0.02}, 0.1))
	pane := p.with(glass())
	// the side outline, from the tail round the bonnet
	side := []vec{{0, 0.42, -2.1}, {0, 1.95, -2.1}, {0, 2.08, -1.8}, {0, 2.08, 0.5}, {0, 1.98, 0.8}, {0, 1.25, 1.35}, {0, 1.12, 2.05}, {0, 0.95, 2.2}, {0, 0.42, 2.2}}
	for i := range side {
		a, b := side[i], side[(i+1)%len(side)]
		body.flat(vec{-0.9, a.y, a.z}, vec{0.9, a.y, a.z}, vec{0.9, b.y, b.z}, vec{-0.9, b.y, b.z})
	}
	for _, x := range []float64{-0.9, 0.9} {
		pts := make([]vec, len(side))
		for i, s := range side {
			pts[i] = vec{x, s.y, s.z}
		}
		if x < 0 {
			for i := range len(pts) / 2 {
				pts[i], pts[len(pts)-1-i] = pts[len(pts)-1-i], pts[i]
			}
		}
		body.flat(pts...)
		s := math.Copysign(1, x)
		pane.flat(vec{x + 0.01*s, 1.3, 0.25}, vec{x + 0.01*s, 1.3, 1.2}, vec{x + 0.01*s, 1.88, 0.78}, vec{x + 0.01*s, 1.88, 0.25})
		for _, z := range []float64{-1.25, 1.35} {
			dark.move(x, 0.36, z).roll(math.Pi/2).lathe(18, [2]float64{0, -0.12}, [2]float64{0.36, -0.12}, [2]float64{0.36, 0.12}, [2]float64{0, 0.12})
			p.with(rusty(vec{0.4, 0.4, 0.38}, 0.5)).move(x, 0.36, z).roll(math.Pi/2).lathe(14, [2]float64{0, -0.13}, [2]float64{0.17, -0.13}, [2]float64{0.17, 0.13}, [2]float64{0, 0.13})
		}
		dark.box(x-0.01, 0.5, -2.0, x+0.01, 0.62, 2.1)
	}
	pane.flat(vec{-0.78, 1.30, 1.34}, vec{0.78, 1.30, 1.34}, vec{0.72, 1.92, 0.89}, vec{-0.72, 1.92, 0.89})
	chrome := p.with(plain(vec{0.45, 0.44, 0.42}, 0.6))
	chrome.box(-0.95, 0.42, 2.2, 0.95, 0.58, 2.3)
	for _, x := range []float64{-0.66, 0.66} {
		p.with(plain(vec{0.6, 0.58, 0.5}, 0.5)).ball(vec{x, 0.85, 2.2}, vec{0.13, 0.13, 0.06}, 12)
	}
	dark.box(-0.42, 0.68, 2.19, 0.42, 0.98, 2.22)
	load := p.with(timber(vec{0.34, 0.25, 0.15}))
	load.box(-0.6, 2.12, -2.4, -0.35, 2.2, 1.4)
	load.box(-0.3, 2.12, -2.2, -0.05, 2.2, 1.6)
	dark.box(-0.85, 2.06, -1.2, 0.85, 2.13, -1.1)
	dark.box(-0.85, 2.06, 0.3, 0.85, 2.13, 0.4)
}

func jibCrane(p pen) {
	iron := p.with(rusty(vec{0.36, 0.25, 0.06}, 0.55))
	dark := p.with(rusty(vec{0.05, 0.05, 0.05}, 0.5))
	p.with(masonry(vec{0.3, 0.28, 0.25}, 0.3, -9)).box(-0.8, 0, -0.8, 0.8, 0.5, 0.8)
	iron.move(0, 0.5, 0).lathe(14, [2]float64{0.45, 0}, [2]float64{0.30, 0.4}, [2]float64{0.22, 3.6}, [2]float64{0.3, 3.7}, [2]float64{0.1, 3.9})
	tip, root := vec{-4.4, 5.9, 2.2}, vec{0, 1.5, 0}
	for _, e := range []vec{{0, 0, 0.16}, {0, 0, -0.16}} {
		iron.beam(root.add(e), tip.add(e.mul(0.4)), 0.11, 0.11)
		iron.beam(vec{0, 2.3, 0}.add(e), tip.add(e.mul(0.4)), 0.07, 0.07)
	}
	for i := range 9 {
		t := float64(i) / 9
		a, b := root.mix(tip, t), vec{0, 2.3, 0}.mix(tip, t+0.06)
		iron.beam(a, b, 0.04, 0.04)
	}
	line(dark, vec{0, 4.3, 0}, tip, 0.022, 0.05)
	line(dark, vec{0, 4.3, 0}, tip.mix(root, 0.3), 0.022, 0.05)
	line(dark, tip, tip.sub(vec{0, 3.2, 0}), 0.02, 0)
	dark.box(tip.x-0.12, tip.y-3.6, tip.z-0.08, tip.x+0.12, tip.y-3.2, tip.z+0.08)
	ring(dark, tip.sub(vec{0, 3.75, 0}), vec{0, 0, 1}, 0.12, 0.035)
	dark.box(0.3, 1.0, -0.4, 0.9, 1.9, 0.4)
	ring(dark, vec{0.2, 1.6, -0.5}, vec{0, 0, 1}, 0.4, 0.03)
}
