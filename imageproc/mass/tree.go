package mass

import "context"

// tree is the order in which leaves grow together to one region. Nodes 0..n-1
// are the n leaves; node n+i is the i-th join.
type tree struct {
	n           int
	left, right []int32   // the two nodes of each join
	cost        []float64 // what each join cost, as a running maximum
}

// Weights of lightness, OKLab a and b (times 100) and texture in the distance
// of two regions.
var featureWeight = [4]float64{1, 4, 4, 3}

// grower is the state while a tree grows.
type grower struct {
	m       mesh
	q       queue
	node    []int32 // the tree's node of each region
	area    []float64
	sum     [4][]float64
	square  []float64
	focus   []float64
	price   []float64
	contour []float64 // .1 + .9 (1 - exp(-step/8)) over len^.75, per border
}

// growTree joins the cheapest two neighbours until one region is left. The
// price of a join is how much the square error of colour and texture grows,
// more where a real edge lies between, less per length of border and where both
// are uneven anyway.
//
// Source: greedy Mumford-Shah merging, Koepfler, Lopez, Morel 1994, SIAM J.
// Numer. Anal. 31; scale sets, Guigues, Cocquerez, Le Men 2006, IJCV 68. The
// edge factor, the texture and the exponent: ours.
func growTree(ctx context.Context, s *regionSums, g *borderGraph) (*tree, error) {
	n := len(s.area)
	t := &tree{n: n, left: make([]int32, 0, n), right: make([]int32, 0, n), cost: make([]float64, 0, n)}
	var w grower
	w.load(s, g)
	top := 0.0
	for len(w.q.items) > 0 {
		if len(t.cost)%1024 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		e := w.q.first()
		u, v := w.m.end[2*e], w.m.end[2*e+1]
		top = max(top, w.price[e])
		a, b := w.node[u], w.node[v]
		t.left, t.right, t.cost = append(t.left, min(a, b)), append(t.right, max(a, b)), append(t.cost, top)
		keep := w.join(u, v)
		w.node[keep] = int32(n + len(t.cost) - 1)
		w.reprice(keep)
	}
	return t, nil
}

func (w *grower) load(s *regionSums, g *borderGraph) {
	n := len(s.area)
	w.area, w.square, w.focus = append(w.area, s.area...), make([]float64, n), append(w.focus, s.focus...)
	unit := [4]float64{1. / stepsL, 1. / stepsAB, 1. / stepsAB, 1. / stepsL}
	for f, from := range [4][]float64{s.d, s.a, s.b, s.t} {
		w.sum[f] = make([]float64, n)
		for i, v := range from {
			w.sum[f][i] = float64(v * unit[f])
		}
	}
	for i, v := range s.square {
		w.square[i] = v * (unit[0] * unit[0])
	}
	w.node = make([]int32, n)
	for i := range w.node {
		w.node[i] = int32(i)
	}
	w.m.load(n, g.a, g.b, g.len, g.edge)
	w.price, w.contour = make([]float64, len(g.a)), make([]float64, len(g.a))
	for e := range w.price {
		w.weighBorder(int32(e))
		w.price[e] = w.priceOf(int32(e))
	}
	w.q.load(len(g.a), func(i, j int32) bool {
		if w.price[i] != w.price[j] {
			return w.price[i] < w.price[j]
		}
		li, hi := w.nodes(i)
		lj, hj := w.nodes(j)
		return li < lj || li == lj && hi < hj
	})
}

// nodes returns the nodes on both sides of border e, the smaller first.
func (w *grower) nodes(e int32) (int32, int32) {
	a, b := w.node[w.m.end[2*e]], w.node[w.m.end[2*e+1]]
	return min(a, b), max(a, b)
}

// weighBorder computes what only a border's own sums decide.
func (w *grower) weighBorder(e int32) {
	length := w.m.p[e]
	step := 2 * w.m.q[e] / length / stepsL
	w.contour[e] = (1 - float64(.9*expNeg(step/8))) / pow34(length)
}

func (w *grower) priceOf(e int32) float64 {
	u, v := w.m.end[2*e], w.m.end[2*e+1]
	nu, nv := w.area[u], w.area[v]
	apart := 0.0
	for f := range w.sum {
		d := w.sum[f][u]/nu - w.sum[f][v]/nv
		apart += float64(featureWeight[f] * float64(d*d))
	}
	uneven := 1 + float64(.01*min(w.variance(u), w.variance(v)))
	near := max(w.focus[u]/nu, w.focus[v]/nv)
	return near * (nu * nv / (nu + nv)) * apart * w.contour[e] / uneven
}

// variance returns the variance of lightness inside region u.
func (w *grower) variance(u int32) float64 {
	mean := w.sum[0][u] / w.area[u]
	return max(0, w.square[u]/w.area[u]-float64(mean*mean))
}

// join makes u and v one region.
func (w *grower) join(u, v int32) int32 {
	keep := w.m.join(u, v)
	lost := u + v - keep
	w.area[keep] += w.area[lost]
	w.square[keep] += w.square[lost]
	w.focus[keep] += w.focus[lost]
	for f := range w.sum {
		w.sum[f][keep] += w.sum[f][lost]
	}
	for _, e := range w.m.gone {
		w.q.remove(e)
	}
	return keep
}

// reprice brings the borders of region u up to date.
func (w *grower) reprice(u int32) {
	for h := w.m.head[u]; h >= 0; h = w.m.next[h] {
		e := h >> 1
		w.weighBorder(e)
		w.price[e] = w.priceOf(e)
		w.q.fix(e)
	}
}

// joinsBelow returns how many joins cost less than limit.
func (t *tree) joinsBelow(limit float64) int {
	m := 0
	for m < len(t.cost) && t.cost[m] < limit {
		m++
	}
	return m
}

// cut returns the region that each leaf lies in after the first m joins, and
// the number of regions. Regions are numbered by their smallest leaf.
func (t *tree) cut(m int) (region []int32, n int) {
	root := make([]int32, t.n+m)
	for i := range root {
		root[i] = int32(i)
	}
	for i := m - 1; i >= 0; i-- {
		r := root[t.n+i]
		root[t.left[i]], root[t.right[i]] = r, r
	}
	number := make([]int32, t.n+m)
	region = make([]int32, t.n)
	for i := range region {
		r := root[i]
		if number[r] == 0 {
			n++
			number[r] = int32(n)
		}
		region[i] = number[r] - 1
	}
	return region, n
}

// prune returns the tree with the regions of the first m joins as its leaves,
// and the region that each leaf lies in.
func (t *tree) prune(m int) (*tree, []int32) {
	region, n := t.cut(m)
	name := make([]int32, t.n+len(t.cost))
	copy(name, region)
	for i := range m {
		name[t.n+i] = name[t.left[i]]
	}
	out := &tree{n: n, cost: t.cost[m:]}
	for i := m; i < len(t.cost); i++ {
		name[t.n+i] = int32(n + i - m)
		a, b := name[t.left[i]], name[t.right[i]]
		out.left, out.right = append(out.left, min(a, b)), append(out.right, max(a, b))
	}
	return out, region
}
