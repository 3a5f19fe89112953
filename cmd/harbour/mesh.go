package main

import "math"

// corner is a vertex: where, its smooth normal, and its place on the material
// in metres (u, v along the surface, w a height or other third coordinate).
type corner struct{ p, n, t vec }

type face struct {
	c   [3]corner
	mat int32
}

// mesh is everything solid in the scene.
type mesh struct {
	faces []face
	mats  []material
}

// pen draws solids into a mesh, in its own frame and with its own material.
// Pens are values: with, move and turn return changed copies.
type pen struct {
	m   *mesh
	f   frame
	mat int32
}

func (p pen) with(m material) pen {
	p.m.mats = append(p.m.mats, m)
	p.mat = int32(len(p.m.mats) - 1)
	return p
}

func (p pen) move(x, y, z float64) pen { p.f = p.f.move(vec{x, y, z}); return p }
func (p pen) turn(a float64) pen       { p.f = p.f.turn(a); return p }
func (p pen) pitch(a float64) pen      { p.f = p.f.pitch(a); return p }
func (p pen) roll(a float64) pen       { p.f = p.f.roll(a); return p }

// scale returns p drawing everything k times as large.
func (p pen) scale(k float64) pen {
	p.f.x, p.f.y, p.f.z = p.f.x.mul(k), p.f.y.mul(k), p.f.z.mul(k)
	return p
}

func (p pen) tri(a, b, c corner) {
	for _, k := range []*corner{&a, &b, &c} {
		k.p, k.n = p.f.point(k.p), p.f.dir(k.n)
	}
	p.m.faces = append(p.m.faces, face{[3]corner{a, b, c}, p.mat})
}

// flat draws a convex polygon with one normal; u runs along the first side.
func (p pen) flat(pts ...vec) {
	n := pts[1].sub(pts[0]).cross(pts[2].sub(pts[0])).unit()
	u := pts[1].sub(pts[0]).unit()
	if math.Abs(n.y) < 0.97 { // walls and roofs: u level, v up
		u = vec{n.z, 0, -n.x}.unit()
	}
	v := n.cross(u)
	if v.y < 0 && math.Abs(n.y) < 0.97 {
		v = v.mul(-1)
	}
	cs := make([]corner, len(pts))
	for i, q := range pts {
		cs[i] = corner{q, n, vec{q.dot(u), q.dot(v), q.y}}
	}
	for i := 2; i < len(cs); i++ {
		p.tri(cs[0], cs[i-1], cs[i])
	}
}

// box draws a box between two opposite corners.
func (p pen) box(x0, y0, z0, x1, y1, z1 float64) {
	v := func(i int) vec {
		q := vec{x0, y0, z0}
		if i&1 != 0 {
			q.x = x1
		}
		if i&2 != 0 {
			q.y = y1
		}
		if i&4 != 0 {
			q.z = z1
		}
		return q
	}
	for _, s := range [6][4]int{{0, 1, 3, 2}, {5, 4, 6, 7}, {4, 0, 2, 6}, {1, 5, 7, 3}, {2, 3, 7, 6}, {4, 5, 1, 0}} {
		p.flat(v(s[0]), v(s[1]), v(s[2]), v(s[3]))
	}
}

// beam draws a squared timber of the given width from a to b.
func (p pen) beam(a, b vec, w, h float64) {
	d := b.sub(a)
	l := d.length()
	z := d.unit()
	x := vec{0, 1, 0}.cross(z)
	if x.length() < 0.01 {
		x = vec{1, 0, 0}
	}
	x = x.unit()
	q := p
	q.f = frame{p.f.point(a), p.f.dir(x), p.f.dir(z.cross(x)), p.f.dir(z)}
	q.box(-w/2, -h/2, 0, w/2, h/2, l)
}

// grid draws a smooth sheet of nu by nv cells; at gives points for 0..1 by 0..1.
func (p pen) grid(nu, nv int, at func(u, v float64) (q, tex vec)) {
	cs := make([]corner, (nu+1)*(nv+1))
	for j := 0; j <= nv; j++ {
		for i := 0; i <= nu; i++ {
			q, t := at(float64(i)/float64(nu), float64(j)/float64(nv))
			cs[j*(nu+1)+i] = corner{p: q, t: t}
		}
	}
	id := func(i, j int) *corner {
		return &cs[min(max(j, 0), nv)*(nu+1)+min(max(i, 0), nu)]
	}
	for j := 0; j <= nv; j++ {
		for i := 0; i <= nu; i++ {
			du := id(i+1, j).p.sub(id(i-1, j).p)
			dv := id(i, j+1).p.sub(id(i, j-1).p)
			id(i, j).n = du.cross(dv).unit()
		}
	}
	for j := range nv {
		for i := range nu {
			a, b, c, d := *id(i, j), *id(i+1, j), *id(i+1, j+1), *id(i, j+1)
			p.tri(a, b, c)
			p.tri(a, c, d)
		}
	}
}

// tube draws a round bar along a path; radius is asked at 0..1 along it.
func (p pen) tube(path []vec, sides int, radius func(t float64) float64) {
	n := len(path) - 1
	p.grid(n, sides, func(u, v float64) (vec, vec) {
		i := min(int(u*float64(n)+0.5), n)
		d := path[min(i+1, n)].sub(path[max(i-1, 0)]).unit()
		a, b := d.basis()
		r := radius(u)
		s, c := math.Sincos(-2 * math.Pi * v)
		return path[i].add(a.mul(c * r)).add(b.mul(s * r)), vec{u * float64(n), v, path[i].y}
	})
}

// rod is a straight tube of even thickness with closed ends.
func (p pen) rod(a, b vec, r float64, sides int) {
	d := b.sub(a).unit().mul(r * 0.02)
	p.tube([]vec{a, a.add(d), b.sub(d), b}, sides, func(t float64) float64 {
		if t < 0.1 || t > 0.9 {
			return 0
		}
		return r
	})
}

// lathe turns a profile of (radius, height) pairs about the local y axis.
func (p pen) lathe(sides int, profile ...[2]float64) {
	n := len(profile) - 1
	for k := range n { // each band by itself keeps its edges crisp
		a, b := profile[k], profile[k+1]
		p.grid(1, sides, func(u, v float64) (vec, vec) {
			r, y := lerp(a[0], b[0], u), lerp(a[1], b[1], u)
			s, c := math.Sincos(2 * math.Pi * v)
			return vec{r * c, y, r * s}, vec{v * 2 * math.Pi * math.Max(a[0], b[0]), y, y}
		})
	}
}

// ball draws an ellipsoid with half axes a.
func (p pen) ball(c, a vec, n int) {
	p.grid(n, n, func(u, v float64) (vec, vec) {
		s, k := math.Sincos(2 * math.Pi * u)
		sv, cv := math.Sincos(math.Pi * (v - 0.5))
		return c.add(vec{a.x * s * cv, a.y * sv, a.z * k * cv}), vec{u, v, sv}
	})
}
