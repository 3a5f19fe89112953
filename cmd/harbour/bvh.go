package main

import "math"

// node is one box of the tree: a leaf holds count faces from first; an inner
// node's children are the next node and the node at first.
type node struct {
	lo    [3]float32
	first int32
	hi    [3]float32
	count int32
}

type cutTri struct{ a, e1, e2 [3]float32 }

// tree finds what a ray meets first (a hierarchy of bounding boxes).
type tree struct {
	nodes []node
	tris  []cutTri
	faces []face
}

type bound struct{ lo, hi [3]float64 }

func noBound() bound {
	i := math.Inf(1)
	return bound{[3]float64{i, i, i}, [3]float64{-i, -i, -i}}
}

func (b *bound) take(o bound) {
	for k := range 3 {
		if o.lo[k] < b.lo[k] {
			b.lo[k] = o.lo[k]
		}
		if o.hi[k] > b.hi[k] {
			b.hi[k] = o.hi[k]
		}
	}
}

func (b bound) area() float64 {
	x, y, z := b.hi[0]-b.lo[0], b.hi[1]-b.lo[1], b.hi[2]-b.lo[2]
	if x < 0 {
		return 0
	}
	return x*y + y*z + z*x
}

func arr(v vec) [3]float64 { return [3]float64{v.x, v.y, v.z} }

func newTree(faces []face) *tree {
	t := &tree{faces: make([]face, 0, len(faces))}
	ids := make([]int, len(faces))
	bs := make([]bound, len(faces))
	for i, f := range faces {
		ids[i] = i
		bs[i] = noBound()
		for _, c := range f.c {
			bs[i].take(bound{arr(c.p), arr(c.p)})
		}
	}
	t.build(faces, bs, ids)
	t.tris = make([]cutTri, len(t.faces))
	for i, f := range t.faces {
		a := f.c[0].p
		t.tris[i] = cutTri{f32(a), f32(f.c[1].p.sub(a)), f32(f.c[2].p.sub(a))}
	}
	return t
}

func f32(v vec) [3]float32 { return [3]float32{float32(v.x), float32(v.y), float32(v.z)} }

func (t *tree) build(faces []face, bs []bound, ids []int) {
	all, mid := noBound(), noBound()
	for _, i := range ids {
		all.take(bs[i])
		c := centre(bs[i])
		mid.take(bound{c, c})
	}
	me := len(t.nodes)
	n := node{}
	for k := range 3 { // boxes grow outwards when rounded to float32
		n.lo[k] = math.Nextafter32(float32(all.lo[k]), float32(math.Inf(-1)))
		n.hi[k] = math.Nextafter32(float32(all.hi[k]), float32(math.Inf(1)))
	}
	t.nodes = append(t.nodes, n)
	axis, at, ok := 0, 0.0, false
	if len(ids) > 4 {
		axis, at, ok = split(bs, ids, mid)
	}
	if !ok {
		t.nodes[me].first, t.nodes[me].count = int32(len(t.faces)), int32(len(ids))
		for _, i := range ids {
			t.faces = append(t.faces, faces[i])
		}
		return
	}
	cut := 0
	for i, id := range ids {
		if (bs[id].lo[axis]+bs[id].hi[axis])/2 < at {
			ids[i], ids[cut] = ids[cut], id
			cut++
		}
	}
	if cut == 0 || cut == len(ids) {
		cut = len(ids) / 2
	}
	t.build(faces, bs, ids[:cut])
	t.nodes[me].first = int32(len(t.nodes))
	t.build(faces, bs, ids[cut:])
}

func centre(b bound) [3]float64 {
	return [3]float64{(b.lo[0] + b.hi[0]) / 2, (b.lo[1] + b.hi[1]) / 2, (b.lo[2] + b.hi[2]) / 2}
}

// split picks the cheapest of 12 planes on each axis by surface area.
func split(bs []bound, ids []int, mid bound) (axis int, at float64, ok bool) {
	const bins = 12
	best := math.Inf(1)
	for k := range 3 {
		lo, size := mid.lo[k], mid.hi[k]-mid.lo[k]
		if size < 1e-9 {
			continue
		}
		var b [bins]bound
		var n [bins]int
		for i := range b {
			b[i] = noBound()
		}
		for _, i := range ids {
			j := min(int((centre(bs[i])[k]-lo)/size*bins), bins-1)
			b[j].take(bs[i])
			n[j]++
		}
		var right [bins]float64 // cost of everything from a bin on
		r, nr := noBound(), 0
		for i := bins - 1; i > 0; i-- {
			r.take(b[i])
			nr += n[i]
			right[i] = r.area() * float64(nr)
		}
		l, nl := noBound(), 0
		for cut := 1; cut < bins; cut++ {
			l.take(b[cut-1])
			nl += n[cut-1]
			nr := len(ids) - nl
			cost := l.area()*float64(nl) + right[cut]
			if nl > 0 && nr > 0 && cost < best {
				best, axis, at, ok = cost, k, lo+size*float64(cut)/bins, true
			}
		}
	}
	return axis, at, ok
}

// meet returns the first face that the ray from o along d meets before far,
// with its distance and barycentric place; face -1 if none. With hurry set
// it returns whichever it finds.
func (t *tree) meet(o, d vec, far float64, hurry bool) (id int, dist, bu, bv float64) {
	of, df := f32(o), f32(d)
	var inv [3]float32
	for k := range 3 {
		if df[k] == 0 {
			df[k] = 1e-20
		}
		inv[k] = 1 / df[k]
	}
	best, bestU, bestV := float32(far), float32(0), float32(0)
	id = -1
	var stack [64]int32
	sp, at := 0, int32(0)
	for {
		n := &t.nodes[at]
		if n.count > 0 {
			for i := n.first; i < n.first+n.count; i++ {
				if s, u, v, ok := t.tris[i].cut(&of, &df, best); ok {
					best, bestU, bestV, id = s, u, v, int(i)
					if hurry {
						return id, float64(best), 0, 0
					}
				}
			}
		} else {
			l, r := at+1, n.first
			tl, tr := t.nodes[l].enter(&of, &inv, best), t.nodes[r].enter(&of, &inv, best)
			if tl > tr {
				l, r, tl, tr = r, l, tr, tl
			}
			if tl < best {
				at = l
				if tr < best {
					stack[sp] = r
					sp++
				}
				continue
			}
		}
		if sp == 0 {
			return id, float64(best), float64(bestU), float64(bestV)
		}
		sp--
		at = stack[sp]
	}
}

func (n *node) enter(o, inv *[3]float32, far float32) float32 {
	ax, bx := (n.lo[0]-o[0])*inv[0], (n.hi[0]-o[0])*inv[0]
	ay, by := (n.lo[1]-o[1])*inv[1], (n.hi[1]-o[1])*inv[1]
	az, bz := (n.lo[2]-o[2])*inv[2], (n.hi[2]-o[2])*inv[2]
	if ax > bx {
		ax, bx = bx, ax
	}
	if ay > by {
		ay, by = by, ay
	}
	if az > bz {
		az, bz = bz, az
	}
	in, out := float32(0), far
	if ax > in {
		in = ax
	}
	if ay > in {
		in = ay
	}
	if az > in {
		in = az
	}
	if bx < out {
		out = bx
	}
	if by < out {
		out = by
	}
	if bz < out {
		out = bz
	}
	if in > out {
		return math.MaxFloat32
	}
	return in
}

// cut is the ray and triangle meeting of Moeller and Trumbore (1997).
func (t *cutTri) cut(o, d *[3]float32, far float32) (s, u, v float32, ok bool) {
	px, py, pz := d[1]*t.e2[2]-d[2]*t.e2[1], d[2]*t.e2[0]-d[0]*t.e2[2], d[0]*t.e2[1]-d[1]*t.e2[0]
	det := t.e1[0]*px + t.e1[1]*py + t.e1[2]*pz
	if det == 0 {
		return
	}
	k := 1 / det
	sx, sy, sz := o[0]-t.a[0], o[1]-t.a[1], o[2]-t.a[2]
	u = (sx*px + sy*py + sz*pz) * k
	if u < 0 || u > 1 {
		return
	}
	qx, qy, qz := sy*t.e1[2]-sz*t.e1[1], sz*t.e1[0]-sx*t.e1[2], sx*t.e1[1]-sy*t.e1[0]
	v = (d[0]*qx + d[1]*qy + d[2]*qz) * k
	if v < 0 || u+v > 1 {
		return
	}
	s = (t.e2[0]*qx + t.e2[1]*qy + t.e2[2]*qz) * k
	return s, u, v, s > 1e-4 && s < far
}
