package mass

import (
	"slices"

	"atelier/halflid/imageproc"
)

// Border is a pair of labels A < B that touch, and the length of what they
// share: the number of pairs of pixels, one of each, that lie beside or above
// one another.
type Border struct {
	A, B int32
	Len  int32
}

// Adjacency returns the borders between the n labels, sorted by A, then B. Two
// labels that meet only at a corner do not touch. It panics on a label outside
// 0..n-1. Cost: two passes over the pixels and one over the border pixels.
func Adjacency(labels imageproc.Labels, n int) []Border {
	var g borderGraph
	g.build(labels, n, nil, nil)
	out := make([]Border, len(g.a))
	for i := range out {
		out[i] = Border{g.a[i], g.b[i], int32(g.len[i])}
	}
	return out
}

// borderGraph is the list of borders between labels in flat arrays, sorted by
// a, then b (a < b): the length of each, and along it the sums of the height of
// the edge in value (rise) and in colour (edge), in steps of gradient.
type borderGraph struct {
	a, b            []int32
	len, rise, edge []float64

	// scratch
	first, fill []int32 // where each a's pairs begin
	pairs       []pixelPair
	slot        []int32 // which border of the current a leads to b
	row         []int32
}

// pixelPair is two pixels of different labels beside each other.
type pixelPair struct {
	b          int32 // the larger label
	rise, edge uint16
}

// build collects the borders of labels. Of the two pixels of a pair the larger
// rise and the larger edge count; either plane may be nil.
func (g *borderGraph) build(labels imageproc.Labels, n int, rise, edge []uint16) {
	g.count(labels, n)
	g.scatter(labels, rise, edge)
	g.gather(n)
}

// count finds how many pixel pairs each smaller label has.
func (g *borderGraph) count(labels imageproc.Labels, n int) {
	g.first = resize(g.first, n+1)
	clear(g.first)
	w, h, pix := labels.W, labels.H, labels.Pix
	for y := range h {
		row := pix[y*w : (y+1)*w]
		for x := 1; x < w; x++ {
			if row[x] != row[x-1] {
				g.first[min(row[x], row[x-1])+1]++
			}
		}
		if y == 0 {
			continue
		}
		up := pix[(y-1)*w:][:len(row)]
		for x, p := range row {
			if p != up[x] {
				g.first[min(p, up[x])+1]++
			}
		}
	}
	for i := range n {
		g.first[i+1] += g.first[i]
	}
}

// scatter sorts the pixel pairs by their smaller label.
func (g *borderGraph) scatter(labels imageproc.Labels, rise, edge []uint16) {
	n := len(g.first) - 1
	g.pairs = resize(g.pairs, int(g.first[n]))
	g.fill = resize(g.fill, n)
	copy(g.fill, g.first[:n])
	w, h, pix := labels.W, labels.H, labels.Pix
	put := func(i, j int) {
		p, q := pix[i], pix[j]
		if p > q {
			p, q = q, p
		}
		pair := pixelPair{b: q}
		if rise != nil {
			pair.rise = max(rise[i], rise[j])
		}
		if edge != nil {
			pair.edge = max(edge[i], edge[j])
		}
		g.pairs[g.fill[p]] = pair
		g.fill[p]++
	}
	for y := range h {
		for x := range w {
			i := y*w + x
			if x > 0 && pix[i] != pix[i-1] {
				put(i-1, i)
			}
			if y > 0 && pix[i] != pix[i-w] {
				put(i-w, i)
			}
		}
	}
}

// gather adds up the pairs of each border.
func (g *borderGraph) gather(n int) {
	g.reset()
	g.slot = resize(g.slot, n)
	for i := range g.slot {
		g.slot[i] = -1
	}
	for a := range int32(n) {
		pairs := g.pairs[g.first[a]:g.first[a+1]]
		g.row = g.row[:0]
		for i := range pairs {
			if b := pairs[i].b; g.slot[b] < 0 {
				g.slot[b] = 0
				g.row = append(g.row, b)
			}
		}
		slices.Sort(g.row)
		for _, b := range g.row {
			g.slot[b] = g.add(a, b)
		}
		for i := range pairs {
			p := &pairs[i]
			e := g.slot[p.b]
			g.len[e]++
			g.rise[e] += float64(p.rise)
			g.edge[e] += float64(p.edge)
		}
		for _, b := range g.row {
			g.slot[b] = -1
		}
	}
}

func (g *borderGraph) reset() {
	g.a, g.b, g.len, g.rise, g.edge = g.a[:0], g.b[:0], g.len[:0], g.rise[:0], g.edge[:0]
}

// add appends an empty border and returns its number.
func (g *borderGraph) add(a, b int32) int32 {
	g.a, g.b = append(g.a, a), append(g.b, b)
	g.len, g.rise, g.edge = append(g.len, 0), append(g.rise, 0), append(g.edge, 0)
	return int32(len(g.a) - 1)
}

// contract sets g to the borders of from after every label became region[label].
func (g *borderGraph) contract(from *borderGraph, region []int32) {
	type key struct {
		ab uint64
		e  int32
	}
	keys := make([]key, 0, len(from.a))
	for e := range from.a {
		a, b := region[from.a[e]], region[from.b[e]]
		if a == b {
			continue
		}
		if a > b {
			a, b = b, a
		}
		keys = append(keys, key{uint64(a)<<32 | uint64(b), int32(e)})
	}
	slices.SortFunc(keys, func(x, y key) int {
		if x.ab != y.ab {
			if x.ab < y.ab {
				return -1
			}
			return 1
		}
		return int(x.e - y.e)
	})
	g.reset()
	for i, k := range keys {
		if i == 0 || keys[i-1].ab != k.ab {
			g.add(int32(k.ab>>32), int32(k.ab&(1<<32-1)))
		}
		at := len(g.a) - 1
		g.len[at] += from.len[k.e]
		g.rise[at] += from.rise[k.e]
		g.edge[at] += from.edge[k.e]
	}
}

// step returns the mean height of border e in L*: twice the mean gradient.
func (g *borderGraph) step(e int) float64 { return 2 * g.rise[e] / g.len[e] / stepsL }
