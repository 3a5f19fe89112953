package main

import "math"

// limb is one soft part of a blob: a bar with round ends whose radius changes
// from ra to rb.
type limb struct {
	a, b   vec
	ra, rb float64
	mat    int32
	hard   bool // joined without a soft fillet
}

func (l limb) dist(p vec) float64 {
	d := l.b.sub(l.a)
	t := clamp(p.sub(l.a).dot(d)/math.Max(d.dot(d), 1e-9), 0, 1)
	return p.sub(l.a.add(d.mul(t))).length() - lerp(l.ra, l.rb, t)
}

// blob is a body of limbs melted together.
type blob struct {
	limbs []limb
	soft  float64 // fillet in metres
}

// dist returns the signed distance and the material of the nearest limb.
func (b blob) dist(p vec) (float64, int32) {
	sum, near, mat := 1e9, 1e9, int32(0)
	for _, l := range b.limbs {
		d := l.dist(p)
		if d < near {
			near, mat = d, l.mat
		}
		k := b.soft
		if l.hard {
			k = 0.004
		}
		h := math.Max(k-math.Abs(sum-d), 0) / k
		sum = math.Min(sum, d) - h*h*k/4
	}
	return sum, mat
}

// blob draws a body with cells of the given size by surface nets: one vertex
// in each cell that the surface crosses, at the mean of its edge crossings.
func (p pen) blob(b blob, cell float64) {
	lo, hi := vec{1e9, 1e9, 1e9}, vec{-1e9, -1e9, -1e9}
	for _, l := range b.limbs {
		for _, q := range []vec{l.a, l.b} {
			r := math.Max(l.ra, l.rb) + 2*cell
			lo = vec{math.Min(lo.x, q.x-r), math.Min(lo.y, q.y-r), math.Min(lo.z, q.z-r)}
			hi = vec{math.Max(hi.x, q.x+r), math.Max(hi.y, q.y+r), math.Max(hi.z, q.z+r)}
		}
	}
	n := net{b: b, lo: lo, cell: cell}
	n.nx, n.ny, n.nz = int((hi.x-lo.x)/cell)+2, int((hi.y-lo.y)/cell)+2, int((hi.z-lo.z)/cell)+2
	n.sample()
	n.vertices()
	n.draw(p)
}

type net struct {
	b          blob
	lo         vec
	cell       float64
	nx, ny, nz int
	d          []float64
	at         []corner // one per cell, valid where has
	has        []bool
	mat        []int32
}

func (n *net) id(x, y, z int) int { return (z*n.ny+y)*n.nx + x }

func (n *net) place(x, y, z float64) vec {
	return n.lo.add(vec{x, y, z}.mul(n.cell))
}

func (n *net) sample() {
	n.d = make([]float64, n.nx*n.ny*n.nz)
	for z := range n.nz {
		for y := range n.ny {
			for x := range n.nx {
				n.d[n.id(x, y, z)], _ = n.b.dist(n.place(float64(x), float64(y), float64(z)))
			}
		}
	}
}

var cellEdges = [12][2]int{{0, 1}, {2, 3}, {4, 5}, {6, 7}, {0, 2}, {1, 3}, {4, 6}, {5, 7}, {0, 4}, {1, 5}, {2, 6}, {3, 7}}

func (n *net) vertices() {
	n.at, n.has, n.mat = make([]corner, len(n.d)), make([]bool, len(n.d)), make([]int32, len(n.d))
	for z := range n.nz - 1 {
		for y := range n.ny - 1 {
			for x := range n.nx - 1 {
				sum, k := vec{}, 0.0
				for _, e := range cellEdges {
					ax, ay, az := e[0]&1, e[0]>>1&1, e[0]>>2
					bx, by, bz := e[1]&1, e[1]>>1&1, e[1]>>2
					da, db := n.d[n.id(x+ax, y+ay, z+az)], n.d[n.id(x+bx, y+by, z+bz)]
					if (da < 0) == (db < 0) {
						continue
					}
					t := da / (da - db)
					sum = sum.add(vec{float64(x) + lerp(float64(ax), float64(bx), t), float64(y) + lerp(float64(ay), float64(by), t), float64(z) + lerp(float64(az), float64(bz), t)})
					k++
				}
				if k == 0 {
					continue
				}
				q := sum.mul(1 / k)
				n.vertex(n.id(x, y, z), n.place(q.x, q.y, q.z))
			}
		}
	}
}

func (n *net) vertex(i int, q vec) {
	const e = 0.004
	d, m := n.b.dist(q)
	dx, _ := n.b.dist(q.add(vec{e, 0, 0}))
	dy, _ := n.b.dist(q.add(vec{0, e, 0}))
	dz, _ := n.b.dist(q.add(vec{0, 0, e}))
	n.at[i] = corner{q, vec{dx - d, dy - d, dz - d}.unit(), q}
	n.has[i], n.mat[i] = true, m
}

func (n *net) draw(p pen) {
	quad := func(a, b, c, d int) {
		if !(n.has[a] && n.has[b] && n.has[c] && n.has[d]) {
			return
		}
		p.mat = n.mat[a]
		p.tri(n.at[a], n.at[b], n.at[c])
		p.tri(n.at[a], n.at[c], n.at[d])
	}
	for z := 1; z < n.nz-1; z++ {
		for y := 1; y < n.ny-1; y++ {
			for x := 1; x < n.nx-1; x++ {
				in := n.d[n.id(x, y, z)] < 0
				if in != (n.d[n.id(x+1, y, z)] < 0) {
					quad(n.id(x, y-1, z-1), n.id(x, y, z-1), n.id(x, y, z), n.id(x, y-1, z))
				}
				if in != (n.d[n.id(x, y+1, z)] < 0) {
					quad(n.id(x-1, y, z-1), n.id(x, y, z-1), n.id(x, y, z), n.id(x-1, y, z))
				}
				if in != (n.d[n.id(x, y, z+1)] < 0) {
					quad(n.id(x-1, y-1, z), n.id(x, y-1, z), n.id(x, y, z), n.id(x-1, y, z))
				}
			}
		}
	}
}
