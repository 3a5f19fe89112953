package main

import "math"

// hit is a point that a ray met.
type hit struct {
	p, n, g vec // where, smooth normal, true normal; both face the eye
	t       vec // place on the material
	d       vec // direction of looking
	dist    float64
}

// surface is what a material says about a hit.
type surface struct {
	c     vec     // share of light thrown back, per channel
	n     vec     // normal with small relief
	gloss float64 // wet or varnished sheen, 0 none to 1 water
	rough float64 // spread of the mirror image
}

type material func(h *hit, s *surface)

// sample is the light that came along one ray, kept in parts so that the soft
// light from the sky can be smoothed without smearing what it falls on.
type sample struct {
	direct   vec // all but the soft light
	albedo   vec
	indirect vec
	n        vec
	dist     float64
}

// scene is everything that can be looked at.
type scene struct {
	tree *tree
	mats []material
}

// waterLevel is the height of the sea and of every puddle.
const waterLevel = -0.12

const farthest = 9000

func (s *scene) find(o, d vec) (h hit, sf surface, ok bool) {
	id, dist, u, v := s.tree.meet(o, d, farthest, false)
	if id < 0 {
		return h, sf, false
	}
	f := &s.tree.faces[id]
	a, b, c := &f.c[0], &f.c[1], &f.c[2]
	w := 1 - u - v
	h = hit{p: o.add(d.mul(dist)), d: d, dist: dist}
	h.g = b.p.sub(a.p).cross(c.p.sub(a.p)).unit()
	h.n = a.n.mul(w).add(b.n.mul(u)).add(c.n.mul(v)).unit()
	h.t = a.t.mul(w).add(b.t.mul(u)).add(c.t.mul(v))
	if h.g.dot(d) > 0 {
		h.g = h.g.mul(-1)
	}
	if h.n.dot(h.g) < 0 {
		h.n = h.n.mul(-1)
	}
	sf = surface{n: h.n, rough: 0.15}
	s.mats[f.mat](&h, &sf)
	return h, sf, true
}

// sunlit returns 1 if the sun reaches p, 0 if something stands before it; the
// sun has a little breadth, so edges of shadows soften with distance.
func (s *scene) sunlit(p, n vec, r *dice) float64 {
	a, b := toSun.basis()
	sn, cs := math.Sincos(2 * math.Pi * r.next())
	k := 0.0065 * math.Sqrt(r.next())
	d := toSun.add(a.mul(k * cs)).add(b.mul(k * sn)).unit()
	if id, _, _, _ := s.tree.meet(p, d, farthest, true); id >= 0 {
		return 0
	}
	return 1
}

func lift(h *hit) vec { return h.p.add(h.g.mul(1e-3 + 2e-4*h.dist)) }

// look returns the light that comes to o from direction d.
func (s *scene) look(o, d vec, r *dice) sample {
	h, sf, ok := s.find(o, d)
	if d.y < -1e-6 {
		if t := (waterLevel - o.y) / d.y; (!ok || t < h.dist) && t < farthest {
			return s.water(o, d, t, r)
		}
	}
	if !ok {
		return sample{direct: cloudySky(d), n: vec{0, 0, -1}, dist: farthest}
	}
	out := sample{albedo: sf.c, n: sf.n, dist: h.dist}
	at := lift(&h)
	if c := sf.n.dot(toSun); c > 0 && h.g.dot(toSun) > -0.2 {
		lit := s.sunlit(at, h.g, r)
		out.direct = sf.c.times(sunLight).mul(c * lit)
		if sf.gloss > 0 && lit > 0 { // sparkle
			half := toSun.sub(d).unit()
			e := 30 / (0.02 + sf.rough)
			out.direct = out.direct.add(sunLight.mul(sf.gloss * 0.5 * math.Pow(math.Max(sf.n.dot(half), 0), e)))
		}
	}
	if f := sf.gloss * fresnel(-d.dot(sf.n)); f > 0.015 {
		m := d.mirror(sf.n).add(vec{r.next() - 0.5, r.next() - 0.5, r.next() - 0.5}.mul(sf.rough))
		if k := m.dot(h.g); k < 0.02 {
			m = m.add(h.g.mul(0.02 - k))
		}
		out.direct = out.direct.mul(1 - f).add(s.glance(at, m.unit(), r).mul(f))
		out.albedo = out.albedo.mul(1 - f)
	}
	out.indirect = s.soft(at, sf.n, h.g, r)
	t, air := hazed(d, h.dist)
	out.direct = out.direct.times(t).add(air)
	out.albedo = out.albedo.times(t)
	return out
}

func fresnel(c float64) float64 {
	k := 1 - clamp(c, 0, 1)
	return 0.03 + 0.97*k*k*k*k*math.Sqrt(k)
}

// soft gathers, along one random direction, the light of the sky and of
// things about, for a white card at p.
func (s *scene) soft(p, n, g vec, r *dice) vec {
	a, b := n.basis()
	sn, cs := math.Sincos(2 * math.Pi * r.next())
	q := r.next()
	k := math.Sqrt(q)
	d := a.mul(k * cs).add(b.mul(k * sn)).add(n.mul(math.Sqrt(1 - q)))
	if d.dot(g) < 0.01 {
		d = d.add(g.mul(0.02 - d.dot(g))).unit()
	}
	if id, _, _, _ := s.tree.meet(p, d, 40, true); id < 0 {
		return clearSky(d).mix(skyFill.mul(1.4), 0.25)
	}
	return s.glance(p, d, r)
}

// glance is a cheaper look for reflections and thrown-back light.
func (s *scene) glance(o, d vec, r *dice) vec {
	h, sf, ok := s.find(o, d)
	if d.y < 0 && o.y > waterLevel {
		if t := (waterLevel - o.y) / d.y; !ok || t < h.dist {
			return clearSky(vec{d.x, -d.y, d.z}).mul(0.55)
		}
	}
	if !ok {
		return cloudySky(d)
	}
	e := skyFill.mul(0.32 + 0.28*sf.n.y)
	if c := sf.n.dot(toSun); c > 0 {
		e = e.add(sunLight.mul(c * s.sunlit(lift(&h), h.g, r)))
	}
	t, air := hazed(d, h.dist)
	return sf.c.times(e).times(t).add(air)
}

// water returns the light from a point of the water level: calm in puddles,
// rippled on the open sea.
func (s *scene) water(o, d vec, t float64, r *dice) sample {
	p := o.add(d.mul(t))
	open := ramp(38, 60, p.z)
	amp := lerp(0.006, 0.055, open)
	fx, fz := p.x*lerp(5, 1.1, open), p.z*lerp(5, 2.2, open)
	n := vec{(fbm(fx, fz, 3, 11) - 0.5) * amp * 2, 1, (fbm(fx, fz, 3, 23) - 0.5) * amp * 2}.unit()
	m := d.mirror(n)
	m.y = math.Max(m.y, 0.01)
	at := p.add(vec{0, 1e-3 + 1e-4*t, 0})
	mirror := s.glance(at, m.unit(), r)
	f := clamp(fresnel(-d.dot(n))*1.15+0.05, 0, 0.96)
	depth := waterLevel - groundY(p.x, p.z)
	bed := vec{0.15, 0.13, 0.095}.mix(vec{0.05, 0.085, 0.085}, ramp(0.05, 0.5, depth))
	lit := s.sunlit(at, n, r)
	direct := bed.times(sunLight).mul(toSun.y * lit * 0.8 * (1 - f)).add(mirror.mul(f))
	through, air := hazed(d, t)
	return sample{
		direct: direct.times(through).add(air), albedo: bed.mul(1 - f).times(through),
		indirect: s.soft(at, n, n, r), n: vec{0, 1, 0}, dist: t,
	}
}
