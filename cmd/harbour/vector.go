package main

import "math"

// vec is a point or direction in metres (x right, y up, z away from the
// viewer), or a colour in linear light.
type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec            { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) sub(b vec) vec            { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec) mul(k float64) vec        { return vec{a.x * k, a.y * k, a.z * k} }
func (a vec) times(b vec) vec          { return vec{a.x * b.x, a.y * b.y, a.z * b.z} }
func (a vec) dot(b vec) float64        { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec) length() float64          { return math.Sqrt(a.dot(a)) }
func (a vec) mix(b vec, k float64) vec { return a.mul(1 - k).add(b.mul(k)) }

func (a vec) cross(b vec) vec {
	return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

// unit returns a scaled to length 1; the null vector becomes straight up.
func (a vec) unit() vec {
	l := a.length()
	if l < 1e-12 {
		return vec{0, 1, 0}
	}
	return a.mul(1 / l)
}

// mirror returns a reflected at a surface with normal n.
func (a vec) mirror(n vec) vec { return a.sub(n.mul(2 * a.dot(n))) }

// basis returns two unit vectors that complete n to a right-angled frame.
func (n vec) basis() (vec, vec) {
	a := vec{1, 0, 0}
	if math.Abs(n.x) > 0.8 {
		a = vec{0, 1, 0}
	}
	u := n.cross(a).unit()
	return u, n.cross(u)
}

func grey(v float64) vec { return vec{v, v, v} }

func luma(c vec) float64 { return 0.2126*c.x + 0.7152*c.y + 0.0722*c.z }

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }

func lerp(a, b, k float64) float64 { return a + (b-a)*k }

// ramp rises smoothly from 0 at a to 1 at b; a may be larger than b.
func ramp(a, b, v float64) float64 {
	t := clamp((v-a)/(b-a), 0, 1)
	return t * t * (3 - 2*t)
}

func fract(v float64) float64 { return v - math.Floor(v) }

// frame places local things in the world: an origin and three axes.
type frame struct{ o, x, y, z vec }

func worldFrame() frame { return frame{vec{}, vec{1, 0, 0}, vec{0, 1, 0}, vec{0, 0, 1}} }

func (f frame) dir(v vec) vec   { return f.x.mul(v.x).add(f.y.mul(v.y)).add(f.z.mul(v.z)) }
func (f frame) point(v vec) vec { return f.o.add(f.dir(v)) }

// move returns f with its origin at the local point v.
func (f frame) move(v vec) frame { f.o = f.point(v); return f }

// turn returns f turned about its own upright axis: local z swings towards local x.
func (f frame) turn(a float64) frame {
	s, c := math.Sincos(a)
	return frame{f.o, f.dir(vec{c, 0, -s}), f.y, f.dir(vec{s, 0, c})}
}

// pitch returns f turned about its own x axis: local y swings towards local z.
func (f frame) pitch(a float64) frame {
	s, c := math.Sincos(a)
	return frame{f.o, f.x, f.dir(vec{0, c, s}), f.dir(vec{0, -s, c})}
}

// roll returns f turned about its own z axis: local y swings towards local x.
func (f frame) roll(a float64) frame {
	s, c := math.Sincos(a)
	return frame{f.o, f.dir(vec{c, -s, 0}), f.dir(vec{s, c, 0}), f.z}
}

func abs(v float64) float64 { return math.Abs(v) }
