package main

import "math"

// plain is one colour with the small unevenness that everything has.
func plain(c vec, gloss float64) material {
	return func(h *hit, s *surface) {
		k := 0.82 + 0.36*fbm3(h.p.mul(2.3), 3, 5)
		s.c, s.gloss = c.mul(k), gloss
	}
}

// even is one colour for things too small to show more.
func even(c vec) material { return func(h *hit, s *surface) { s.c = c } }

// boards is weathered planking with upright boards of the given width.
func boards(c vec, width float64, worn float64) material {
	return func(h *hit, s *surface) {
		u := h.t.x / width
		i := int(math.Floor(u))
		tone := 0.7 + 0.6*spot(i, 3, 41)
		grain := fbm(h.t.x*38, h.t.y*1.6+float64(i)*9, 3, 43)
		s.c = c.mul(tone * (0.7 + 0.6*grain))
		bare := ramp(1-worn*0.5, 1.1-worn*0.5, fbm(h.t.x*1.3, h.t.y*0.8, 4, 47)+0.35*grain-0.1)
		s.c = s.c.mix(vec{0.13, 0.118, 0.105}.mul(0.6+0.8*grain), bare*0.7)
		s.c = s.c.mul(lerp(0.62, 1, ramp(-0.1, 0.9, h.t.z+0.5*(grain-0.5)))) // damp foot
		if e := math.Abs(fract(u) - 0.5); e > 0.455 {
			s.c = s.c.mul(0.35)
		}
		s.n = h.n
	}
}

// strakes is weathered planking with level boards.
func strakes(c vec, width, worn float64) material {
	b := boards(c, width, worn)
	return func(h *hit, s *surface) {
		q := *h
		q.t.x, q.t.y = h.t.y, h.t.x
		b(&q, s)
	}
}

// corrugated is ribbed iron with rust that runs down it.
func corrugated(c vec, rust float64) material {
	return func(h *hit, s *surface) {
		a, _ := h.n.basis()
		if math.Abs(h.n.y) < 0.9 {
			a = vec{h.n.z, 0, -h.n.x}.unit()
		}
		s.n = h.n.add(a.mul(0.45 * math.Sin(h.t.x*2*math.Pi/0.16))).unit()
		sheet := 0.8 + 0.4*spotAt(h.t.x/0.9, h.t.y/2.2, 51)
		run := fbm(h.t.x*2.2, h.t.y*0.5, 4, 53)
		k := ramp(1-rust, 1.12-rust, run+0.12*spotAt(h.t.x/0.9, h.t.y/2.2, 57))
		red := vec{0.125, 0.062, 0.036}.mul(0.5 + fbm(h.t.x*9, h.t.y*6, 3, 59))
		s.c, s.gloss, s.rough = c.mul(sheet).mix(red, k), 0.15*(1-k), 0.3
	}
}

// slates is a roof of rows of slates with moss.
func slates(c vec) material {
	return func(h *hit, s *surface) {
		row := math.Floor(h.t.y / 0.24)
		u := h.t.x/0.30 + 0.5*math.Mod(row, 2)
		k := 0.65 + 0.7*spot(int(math.Floor(u)), int(row), 67)
		if fract(h.t.y/0.24) < 0.10 || fract(u) < 0.05 {
			k *= 0.5
		}
		moss := ramp(0.52, 0.7, fbm(h.t.x*0.9, h.t.y*0.9, 4, 69))
		s.c = c.mul(k).mix(vec{0.11, 0.12, 0.05}, moss*0.6)
		s.gloss, s.rough = 0.12*(1-moss), 0.25
	}
}

// masonry is coursed stone; below foot it is dark with weed. w is the height.
func masonry(c vec, course, foot float64) material {
	return func(h *hit, s *surface) {
		v := h.t.y / course
		row := int(math.Floor(v))
		u := h.t.x/(course*2.1) + 0.37*float64(row&1) + 0.2*spot(row, 9, 3)
		k := 0.62 + 0.76*spot(int(math.Floor(u)), row, 73)
		rough := fbm(h.t.x*5, h.t.y*5, 4, 75)
		s.c = c.mul(k * (0.65 + 0.7*rough))
		if fract(v) < 0.09 || fract(u) < 0.045 {
			s.c = s.c.mul(0.45)
		}
		a, b := h.n.basis()
		s.n = h.n.add(a.mul((fbm(h.t.x*7, h.t.y*7, 3, 77) - 0.5) * 0.7)).add(b.mul((rough - 0.5) * 0.7)).unit()
		weed := ramp(foot+0.25, foot-0.35, h.t.z+0.9*(fbm(h.t.x*1.4, h.t.y*0.5, 4, 79)-0.5))
		s.c = s.c.mix(vec{0.035, 0.042, 0.018}.mul(0.5+rough), weed*0.92)
		s.gloss, s.rough = 0.5*weed, 0.3
		streak := ramp(0.55, 0.8, fbm(h.t.x*2.5, h.t.y*0.25, 3, 81))
		s.c = s.c.mul(1 - 0.35*streak)
	}
}

// timber is bare or painted wood along its length.
func timber(c vec) material {
	return func(h *hit, s *surface) {
		g := fbm3(vec{h.p.x * 14, h.p.y * 14, h.p.z * 14}, 3, 85)
		s.c = c.mul((0.55 + 0.9*g) * (0.75 + 0.5*fbm3(h.p.mul(1.7), 2, 87)))
	}
}

// rusty is painted iron: rust breaks through the paint.
func rusty(paint vec, rust float64) material {
	return func(h *hit, s *surface) {
		f := fbm3(vec{h.p.x * 3.5, h.p.y * 1.6, h.p.z * 3.5}, 4, 91)
		k := ramp(0.95-rust*0.7, 1.05-rust*0.7, f+0.25*fbm3(h.p.mul(11), 2, 93))
		red := vec{0.135, 0.066, 0.038}.mul(0.45 + 1.1*fbm3(h.p.mul(8), 3, 95))
		s.c, s.gloss, s.rough = paint.mix(red, k), 0.45*(1-k), 0.12
	}
}

// cloth has soft folds and faded places.
func cloth(c vec) material {
	return func(h *hit, s *surface) {
		f := fbm3(h.p.mul(7), 3, 97)
		e := vec{fbm3(h.p.mul(9), 2, 98) - 0.5, 0.6 * (fbm3(h.p.mul(9), 2, 99) - 0.5), fbm3(h.p.mul(9), 2, 101) - 0.5}
		s.n = h.n.add(e.mul(1.5)).unit()
		s.c = c.mul(0.45+1.1*f).mix(vec{0.2, 0.17, 0.13}, 0.25*ramp(0.5, 0.7, fbm3(h.p.mul(3.1), 3, 102)))
	}
}

// netting is a heap of mesh: dark holes between lighter twine.
func netting(c vec) material {
	return func(h *hit, s *surface) {
		f := fbm3(h.p.mul(26), 2, 103)
		big := fbm3(h.p.mul(5), 3, 105)
		s.c = c.mul(0.25 + 1.5*ramp(0.35, 0.65, f)*big)
		e := vec{fbm3(h.p.mul(12), 2, 107) - 0.5, fbm3(h.p.mul(12), 2, 108) - 0.5, fbm3(h.p.mul(12), 2, 109) - 0.5}
		s.n = h.n.add(e.mul(1.6)).unit()
	}
}

// glass is a dark pane that mirrors.
func glass() material {
	return func(h *hit, s *surface) {
		s.c, s.gloss, s.rough = vec{0.015, 0.02, 0.024}, 1.6, 0.01
		s.n = h.n.add(vec{0.02 * (spotAt(h.t.x/0.5, h.t.y/0.5, 111) - 0.5), 0, 0}).unit()
	}
}
