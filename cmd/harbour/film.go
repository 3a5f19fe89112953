package main

import (
	"math"
	"sync"
)

// camera stands at the origin's side of the yard and looks along +z with the
// back kept upright, so that upright things stay parallel.
type camera struct {
	eye      vec
	focal    float64 // in widths of the picture
	horizon  float64 // height of the horizon, share of the picture from its top
	aperture float64 // radius of the lens in metres
	sharp    float64 // distance of best focus in metres
}

var snapshot = camera{eye: vec{0, 3.0, 0}, focal: 0.90, horizon: 0.415, aperture: 0.011, sharp: 16}

// ray returns the ray through the point u, v of a picture with the given ratio
// height/width; u runs 0..1 across, v 0..1 down.
func (c camera) ray(u, v, ratio float64, r *dice) (o, d vec) {
	d = vec{(u - 0.5) / c.focal, (c.horizon - v) * ratio / c.focal, 1}
	s, k := math.Sincos(2 * math.Pi * r.next())
	q := c.aperture * math.Sqrt(r.next())
	lens := vec{q * k, q * s, 0}
	return c.eye.add(lens), d.mul(c.sharp).sub(lens).unit()
}

// film keeps one pixel's means, soft light apart from the rest.
type film struct {
	w, h                     int
	direct, albedo, indirect []vec
	n                        []vec
	dist                     []float64
}

// expose renders the scene at w by h with grain by grain rays for each pixel.
// Every pixel has its own dice, so the number of bands changes nothing.
func expose(s *scene, c camera, w, h, grain, bands int) *film {
	f := &film{w: w, h: h}
	for _, p := range []*[]vec{&f.direct, &f.albedo, &f.indirect, &f.n} {
		*p = make([]vec, w*h)
	}
	f.dist = make([]float64, w*h)
	var wg sync.WaitGroup
	for b := range bands {
		wg.Go(func() {
			for y := b; y < h; y += bands {
				for x := range w {
					f.pixel(s, c, x, y, grain)
				}
			}
		})
	}
	wg.Wait()
	return f
}

func (f *film) pixel(s *scene, c camera, x, y, grain int) {
	i := y*f.w + x
	var carried vec
	k := 1 / float64(grain*grain)
	for j := range grain * grain {
		r := dice{s: scramble(uint64(i)*16 + uint64(j) + 1)}
		u := (float64(x) + (float64(j%grain)+r.next())/float64(grain)) / float64(f.w)
		v := (float64(y) + (float64(j/grain)+r.next())/float64(grain)) / float64(f.h)
		o, d := c.ray(u, v, float64(f.h)/float64(f.w), &r)
		q := s.look(o, d, &r)
		f.direct[i] = f.direct[i].add(q.direct.mul(k))
		f.albedo[i] = f.albedo[i].add(q.albedo.mul(k))
		carried = carried.add(q.albedo.times(q.indirect).mul(k))
		f.n[i] = f.n[i].add(q.n.mul(k))
		f.dist[i] += q.dist * k
	}
	a := f.albedo[i]
	f.indirect[i] = vec{carried.x / (a.x + 1e-4), carried.y / (a.y + 1e-4), carried.z / (a.z + 1e-4)}
}

// settle smooths the soft light over neighbours that lie on the same surface
// (two passes of a small edge-keeping filter, the second spread wider).
func (f *film) settle() {
	for _, step := range []int{1, 3} {
		out := make([]vec, len(f.indirect))
		for y := range f.h {
			for x := range f.w {
				out[y*f.w+x] = f.settled(x, y, step)
			}
		}
		f.indirect = out
	}
}

func (f *film) settled(x, y, step int) vec {
	i := y*f.w + x
	if luma(f.albedo[i]) < 1e-4 {
		return f.indirect[i]
	}
	sum, all := vec{}, 0.0
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			xx, yy := x+dx*step, y+dy*step
			if xx < 0 || yy < 0 || xx >= f.w || yy >= f.h {
				continue
			}
			j := yy*f.w + xx
			e := f.n[i].sub(f.n[j])
			z := (f.dist[i] - f.dist[j]) / (0.02*f.dist[i] + 0.05)
			q := 1 / (1 + 12*e.dot(e) + z*z*2)
			q *= q * luma(f.albedo[j])
			sum, all = sum.add(f.indirect[j].mul(q)), all+q
		}
	}
	if all < 1e-9 {
		return f.indirect[i]
	}
	return sum.mul(1 / all)
}
