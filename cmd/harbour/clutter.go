package main

import "math"

// crate is an open box of slats; it returns the pen it was given.
func crate(p pen, w, h float64) pen {
	t := p.with(timber(vec{0.33, 0.25, 0.16}))
	d := w * 0.62
	for i := range 3 {
		y := h * (0.06 + 0.33*float64(i))
		y1 := y + h*0.24
		t.box(-w/2, y, -d/2, w/2, y1, -d/2+0.025)
		t.box(-w/2, y, d/2-0.025, w/2, y1, d/2)
		t.box(-w/2, y, -d/2, -w/2+0.025, y1, d/2)
		t.box(w/2-0.025, y, -d/2, w/2, y1, d/2)
	}
	for _, x := range []float64{-1, 1} {
		for _, z := range []float64{-1, 1} {
			t.box(x*(w/2-0.05)-0.03, 0, z*(d/2-0.05)-0.03, x*(w/2-0.05)+0.03, h, z*(d/2-0.05)+0.03)
		}
	}
	t.box(-w/2, 0.02, -d/2, w/2, 0.05, d/2)
	return p
}

func barrel(p pen, paint vec) {
	b := p.with(rusty(paint, 0.6))
	b.lathe(20, [2]float64{0.29, 0}, [2]float64{0.29, 0.28}, [2]float64{0.31, 0.30}, [2]float64{0.29, 0.32}, [2]float64{0.29, 0.58}, [2]float64{0.31, 0.60}, [2]float64{0.29, 0.62}, [2]float64{0.29, 0.88}, [2]float64{0.27, 0.86}, [2]float64{0, 0.86})
}

func pallet(p pen) {
	t := p.with(timber(vec{0.36, 0.30, 0.22}))
	for i := range 6 {
		z := -0.55 + 0.21*float64(i)
		t.box(-0.6, 0.11, z, 0.6, 0.135, z+0.12)
	}
	for _, x := range []float64{-0.55, -0.05, 0.45} {
		t.box(x, 0, -0.55, x+0.1, 0.11, 0.6)
	}
}

// potStack is a heap of hooped creels.
func potStack(p pen, n int) {
	d := dice{s: uint64(n) + 91}
	for i := range n {
		row := i / 4
		q := p.move(0.05*d.bell()+0.3*float64(row&1), 0.42*float64(row), 0.72*float64(i%4)+0.1*d.bell()).turn(0.15 * d.bell())
		q.with(timber(vec{0.2, 0.15, 0.1})).box(-0.35, 0, -0.26, 0.35, 0.05, 0.26)
		q.with(netting(vec{0.10, 0.16, 0.14})).grid(8, 10, func(u, v float64) (vec, vec) {
			s, c := math.Sincos(math.Pi * v)
			return vec{lerp(-0.34, 0.34, u), 0.05 + 0.36*s, 0.25 * c}, vec{u, v, 0}
		})
		hoop := q.with(timber(vec{0.26, 0.2, 0.13}))
		for _, x := range []float64{-0.34, 0, 0.34} {
			path := make([]vec, 9)
			for k := range path {
				s, c := math.Sincos(math.Pi * float64(k) / 8)
				path[k] = vec{x, 0.05 + 0.38*s, 0.27 * c}
			}
			hoop.tube(path, 5, func(float64) float64 { return 0.022 })
		}
	}
}

// netHeap is a slumped pile of net with floats and a trailing rope.
func netHeap(p pen, size float64, twine vec, seed uint64, detail float64) {
	d := dice{s: seed}
	q := p.with(netting(twine))
	b := blob{soft: 0.22 * size}
	for range 11 {
		a, r := d.between(0, 6.3), d.between(0, 0.62)*size
		at := vec{r * math.Cos(a), d.between(0, 0.25) * (1 - r/size) * size, r * math.Sin(a) * 0.8}
		to := at.add(vec{d.between(-0.3, 0.3), d.between(-0.05, 0.08), d.between(-0.3, 0.3)}.mul(size))
		b.limbs = append(b.limbs, limb{at, to, 0.26 * size, 0.20 * size, q.mat, false})
	}
	q.blob(b, 0.05/detail)
	cork := p.with(plain(vec{0.50, 0.20, 0.05}, 0.2))
	for range 12 {
		a, r := d.between(0, 6.3), d.between(0.1, 0.8)*size
		cork.ball(vec{r * math.Cos(a), (0.42 - 0.36*r/size) * size, 0.8 * r * math.Sin(a)}, vec{0.09, 0.06, 0.06}, 8)
	}
}

// coil is a rope laid round and round with its end running off.
func coil(p pen, r float64, turns int) {
	q := p.with(plain(vec{0.30, 0.24, 0.15}, 0))
	var path []vec
	for i := range turns*16 + 1 {
		s, c := math.Sincos(float64(i) / 16 * 2 * math.Pi)
		k := float64(i) / 16
		rr := r * (1 - 0.05*math.Mod(k, 4))
		path = append(path, vec{rr * c, 0.03 + 0.05*math.Floor(k/4) + 0.01*k, rr * s})
	}
	for i := range 14 {
		path = append(path, path[len(path)-1].add(vec{0.11, -0.04 * float64(min(i, 1)), 0.05 * math.Sin(float64(i)*0.7)}))
		path[len(path)-1].y = math.Max(path[len(path)-1].y, 0.02)
	}
	q.tube(path, 6, func(float64) float64 { return 0.028 })
}

func barrow(p pen) {
	tub := p.with(rusty(vec{0.10, 0.16, 0.12}, 0.5))
	wood := p.with(timber(vec{0.30, 0.22, 0.13}))
	a := [4]vec{{-0.22, 0.36, -0.35}, {0.22, 0.36, -0.35}, {0.20, 0.32, 0.30}, {-0.20, 0.32, 0.30}}
	b := [4]vec{{-0.34, 0.70, -0.45}, {0.34, 0.70, -0.45}, {0.30, 0.72, 0.62}, {-0.30, 0.72, 0.62}}
	tub.flat(a[0], a[1], a[2], a[3])
	for i := range 4 {
		j := (i + 1) % 4
		tub.flat(a[i], a[j], b[j], b[i])
	}
	for _, s := range []float64{-1, 1} {
		wood.rod(vec{s * 0.10, 0.25, 0.78}, vec{s * 0.30, 0.52, -1.05}, 0.032, 7)
		wood.rod(vec{s * 0.22, 0.42, -0.30}, vec{s * 0.26, 0, -0.38}, 0.03, 7)
	}
	ring(p.with(plain(vec{0.03, 0.03, 0.03}, 0)), vec{0, 0.21, 0.78}, vec{1, 0, 0}, 0.18, 0.04)
	p.with(rusty(vec{0.2, 0.2, 0.2}, 0.8)).rod(vec{-0.1, 0.21, 0.78}, vec{0.1, 0.21, 0.78}, 0.03, 6)
	p.with(netting(vec{0.16, 0.13, 0.09})).ball(vec{0, 0.66, 0.06}, vec{0.27, 0.22, 0.42}, 14)
}

func trestle(p pen, h float64) {
	t := p.with(timber(vec{0.34, 0.27, 0.18}))
	t.beam(vec{-0.5, h, 0}, vec{0.5, h, 0}, 0.09, 0.09)
	for _, x := range []float64{-0.42, 0.42} {
		for _, z := range []float64{-0.28, 0.28} {
			t.beam(vec{x, h, 0}, vec{x * 1.15, 0, z}, 0.06, 0.06)
		}
	}
	t.beam(vec{-0.46, h * 0.45, -0.15}, vec{0.46, h * 0.45, -0.15}, 0.05, 0.05)
}

func layClutter(p pen, detail float64) {
	on := func(x, z, turn float64) pen { return p.move(x, groundY(x, z)-0.02, z).turn(turn) }
	// left foreground: the heap that a painter would leave out
	netHeap(on(-5.0, 10.2, 0.4), 1.15, vec{0.12, 0.20, 0.16}, 3, detail)
	netHeap(on(-6.5, 11.6, 1.4), 0.9, vec{0.22, 0.13, 0.08}, 4, detail)
	netHeap(on(-3.0, 24.6, 0.4), 1.0, vec{0.12, 0.12, 0.10}, 5, detail)
	barrel(on(-6.0, 13.6, 0), vec{0.06, 0.13, 0.22})
	barrel(on(-6.7, 13.9, 1), vec{0.25, 0.07, 0.04})
	barrel(on(-7.2, 13.3, 2), vec{0.14, 0.16, 0.10})
	barrel(on(-5.1, 15.2, 2).move(0, 0.29, 0).pitch(1.5707), vec{0.24, 0.16, 0.05})
	crate(crate(on(-3.6, 11.9, 0.3), 0.9, 0.45).move(0.06, 0.46, 0.02).turn(0.25), 0.9, 0.45)
	crate(on(-2.5, 11.2, -0.5), 0.85, 0.42)
	crate(on(-7.6, 15.6, 0.9), 1.0, 0.5)
	pallet(on(-1.7, 9.3, 0.5))
	pallet(on(-1.65, 9.32, 0.62).move(0, 0.14, 0))
	barrow(on(-0.35, 12.6, 2.3))
	coil(on(0.9, 9.2, 0.2), 0.36, 11)
	coil(on(-2.8, 8.4, 2.2), 0.3, 8)
	potStack(on(-10.4, 21.4, 0.8), 12)
	potStack(on(-6.2, 23.6, 1.5), 9)
	crate(crate(on(-5.3, 22.7, 0.2), 1.1, 0.5).move(0, 0.5, 0).turn(-0.2), 1.1, 0.5)
	barrel(on(-8.4, 23.9, 1), vec{0.1, 0.1, 0.1})
	barrel(on(5.6, 24.3, 1), vec{0.10, 0.15, 0.20})
	barrel(on(6.2, 24.9, 1), vec{0.22, 0.16, 0.06})
	crate(crate(on(4.9, 24.9, 1.2), 1.0, 0.5).move(0.1, 0.5, 0), 1.0, 0.5)
	planks(on(-11.2, 16.6, 0.9))
	planks(on(4.1, 16.6, -0.85))
	anchorOnMud(on(3.1, 9.9, 0.5))
	staging(p)
	odds(p)
	mooring(p)
	stones(p, int(4+4*detail))
	tools(p)
}

// planks is a rough stack of sawn boards.
func planks(p pen) {
	d := dice{s: uint64(abs(p.f.o.x) * 10)}
	for i := range 14 {
		q := p.with(timber(vec{0.40, 0.30, 0.19}.mul(d.between(0.7, 1.15))))
		y, x := 0.09*float64(i/4)+0.05, 0.27*float64(i%4)
		l := d.between(1.5, 2.1)
		q.turn(0.05*d.bell()).box(x, y, -l, x+0.24, y+0.06, l)
	}
}

func anchorOnMud(p pen) {
	rust := rusty(vec{0.06, 0.05, 0.05}, 0.9)
	iron := p.with(rust)
	iron.rod(vec{0, 0.08, -0.8}, vec{0, 0.22, 0.7}, 0.05, 8)
	iron.rod(vec{-0.55, 0.5, -0.55}, vec{0.55, 0.0, -0.55}, 0.035, 8)
	iron.rod(vec{0, 0.22, 0.7}, vec{0.45, 0.45, 0.45}, 0.05, 8)
	iron.rod(vec{0, 0.22, 0.7}, vec{-0.4, -0.05, 0.4}, 0.05, 8)
	for i := range 52 { // chain
		t := float64(i) * 0.085
		q := p.f.point(vec{0.35*math.Sin(t*1.7) + 0.05*math.Sin(t*7), 0, -0.85 - t})
		link := p
		link.f = worldFrame().turn(0.5)
		link.f.o = vec{q.x, groundY(q.x, q.z) + 0.03, q.z}
		ring(link.with(rust), vec{}, vec{0.4 * float64(1-2*(i&1)), 1, 0}, 0.05, 0.015)
	}
}

// staging is the plank on trestles beside the bow that a scraper stands on.
func staging(p pen) {
	for _, q := range [][2]float64{{-3.75, 17.0}, {-3.8, 20.2}} {
		trestle(p.move(q[0], groundY(q[0], q[1])-0.02, q[1]).turn(0.02), 0.95)
	}
	t := p.with(timber(vec{0.42, 0.33, 0.22}))
	t.beam(vec{-3.62, 1.03, 16.4}, vec{-3.66, 1.03, 20.9}, 0.30, 0.06)
	t.beam(vec{-3.95, 1.03, 16.6}, vec{-4.0, 1.03, 20.7}, 0.26, 0.06)
}

// mooring ropes and withies across the mud.
func mooring(p pen) {
	rope := p.with(plain(vec{0.22, 0.17, 0.11}, 0))
	for i, e := range [][4]float64{{-2.2, 14.2, 5.2, 13.2}, {6.1, 11.3, 8.8, 9.2}, {9, 37, 6.6, 31}, {-4, 13, -8, 15}} {
		var path []vec
		for k := range 40 {
			t := float64(k) / 39
			x, z := lerp(e[0], e[2], t)+0.25*math.Sin(t*9+float64(i)), lerp(e[1], e[3], t)+0.35*math.Sin(t*6)
			path = append(path, vec{x, groundY(x, z) + 0.03, z})
		}
		rope.tube(path, 6, func(float64) float64 { return 0.03 })
	}
	pole := p.with(timber(vec{0.13, 0.11, 0.085}))
	for i, e := range [][2]float64{{6.2, 34}, {7.9, 47}, {5.6, 50}, {9.6, 53}, {4.4, 63}} {
		y := groundY(e[0], e[1])
		pole.rod(vec{e[0], y - 0.5, e[1]}, vec{e[0] + 0.2*spot(i, 1, 2), y + 2.1 + spot(i, 2, 2), e[1]}, 0.08, 7)
	}
}

func stones(p pen, sides int) {
	d := dice{s: 777}
	for range 460 {
		z := 5 + 40*math.Pow(d.next(), 1.6)
		x := d.between(-0.5, 0.62) * z
		r := 0.022 + 0.11*math.Pow(d.next(), 5)
		if yardness(x, z) > 0.5 {
			r *= 0.6
		}
		tone := d.between(0.06, 0.26)
		q := p.with(plain(vec{tone, tone * 0.93, tone * 0.82}, 0.2))
		q.move(x, groundY(x, z)+r*0.15, z).turn(d.between(0, 3)).ball(vec{}, vec{r * 1.3, r * 0.7, r}, sides)
	}
}

// tools lean and lie about: oars, a boathook, a broom, buckets, a tarpaulin.
func tools(p pen) {
	t := p.with(timber(vec{0.42, 0.32, 0.19}))
	t.rod(vec{-8.6, 0.05, 22.9}, vec{-8.3, 3.3, 25.4}, 0.035, 7)
	t.rod(vec{-8.2, 0.05, 22.9}, vec{-8.1, 3.2, 25.4}, 0.035, 7)
	t.rod(vec{-3.9, 0.05, 24.6}, vec{-3.7, 2.5, 25.4}, 0.03, 7)
	t.rod(vec{-7.0, 0.93, 13.3}, vec{-5.0, 0.1, 12.2}, 0.03, 7)
	for i, e := range [][2]float64{{-3.5, 14.9}, {-3.1, 14.4}, {1.8, 12.4}, {-4.9, 18.4}} {
		q := p.move(e[0], groundY(e[0], e[1]), e[1])
		paint := []vec{{0.35, 0.36, 0.36}, {0.10, 0.2, 0.32}, {0.38, 0.10, 0.05}, {0.3, 0.3, 0.28}}[i]
		q.with(rusty(paint, 0.3)).lathe(14, [2]float64{0.11, 0}, [2]float64{0.15, 0.30}, [2]float64{0.14, 0.30}, [2]float64{0.10, 0.05}, [2]float64{0, 0.05})
	}
	cover(p.move(-11.8, 0, 19.2).turn(0.5), vec{0.10, 0.17, 0.20}, 1)
	cover(p.move(-2.75, 0, 22.3).turn(1.3), vec{0.028, 0.034, 0.03}, 1.75)
}

// cover is a heap under a tarpaulin.
func cover(p pen, c vec, high float64) {
	p.with(cloth(c)).grid(30, 24, func(u, v float64) (vec, vec) {
		x, z := lerp(-1.5, 1.5, u), lerp(-1, 1, v)
		y := 0.95*high*ramp(1, 0.45, math.Max(abs(x)/1.5, abs(z))) + 0.12*(fbm(x*2.2, z*2.2, 3, 231)-0.4)
		return vec{x, math.Max(y, 0.03), z}, vec{x, z, y}
	})
}
