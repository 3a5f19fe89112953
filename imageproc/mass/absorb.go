package mass

import (
	"fmt"
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Absorber takes crumbs out of labels. It keeps its scratch memory between
// calls; the zero value is ready. Not for concurrent use.
type Absorber struct {
	label  Labeller
	shapes imageproc.Labels
	parent []int32 // union-find over shapes
	area   []int32
	value  []int32

	// The pixel pairs along borders, as one linked list of neighbours a shape.
	// Joining two shapes joins their lists; a list may name a shape often.
	head, tail, next []int32
	other            []int32
	length           []int32

	// Crumbs by area and value: each bucket is a linked list of entries. A shape
	// that grew has a new entry; the old one is passed over.
	bucket, entry, chain, batch []int32

	border []int64 // per value: length of border with the crumb
	reach  []int64 // per value: area of the neighbours with that value
	seen   []int32 // the crumb that last met this shape
}

// Absorb gives every connected shape of fewer than minArea pixels the nearest
// value among its neighbours' values, so that it joins them, smallest shape
// first, until no such shape is left or one shape is left; it changes values in
// place and returns the number of shapes that remain. lightness[v] is the L* of
// value v. See Absorber.Absorb.
func Absorb(values imageproc.Labels, lightness []palette.L, minArea int) int {
	var a Absorber
	return a.Absorb(values, lightness, minArea)
}

// Absorb is the function Absorb with a's memory. Ties: of two values equally
// near, the one with the longer border, then the one whose touching shapes are
// larger, then the darker; of two crumbs of one area, the one with the smaller
// value goes first. Only crumbs equal in area and value go by raster order. It
// panics on a value that lightness does not hold. Cost: one pass over the
// pixels, then proportional to the borders of the crumbs.
//
// Source: ours (TestAbsorb).
func (a *Absorber) Absorb(values imageproc.Labels, lightness []palette.L, minArea int) int {
	if a.shapes.W != values.W || a.shapes.H != values.H {
		a.shapes = imageproc.NewLabels(values.W, values.H)
	}
	n := a.label.Components(a.shapes, values)
	if n < 2 || minArea < 2 {
		return n
	}
	minArea = min(minArea, len(values.Pix))
	a.prepare(values, n, len(lightness))
	k := len(lightness)
	a.bucket = resize(a.bucket, minArea*k)
	for i := range a.bucket {
		a.bucket[i] = -1
	}
	a.entry, a.chain = a.entry[:0], a.chain[:0]
	for i := range int32(n) {
		a.push(i, minArea, k)
	}
	left := n
	for b := k; b < len(a.bucket); b++ {
		a.batch = a.batch[:0]
		for e := a.bucket[b]; e >= 0; e = a.chain[e] {
			a.batch = append(a.batch, a.entry[e])
		}
		slices.Sort(a.batch)
		for _, i := range a.batch {
			if a.parent[i] != i || int(a.area[i])*k+int(a.value[i]) != b || left == 1 {
				continue // joined since, or grown and waiting elsewhere
			}
			left -= a.absorb(i, lightness)
			a.push(find(a.parent, i), minArea, k)
		}
	}
	for p, s := range a.shapes.Pix {
		values.Pix[p] = a.value[find(a.parent, s)]
	}
	return left
}

// prepare measures the n shapes and lists their neighbours.
func (a *Absorber) prepare(values imageproc.Labels, n, k int) {
	a.parent, a.value = resize(a.parent, n), resize(a.value, n)
	a.seen = resize(a.seen, n)
	a.head, a.tail = resize(a.head, n), resize(a.tail, n)
	a.border, a.reach = resize(a.border, k), resize(a.reach, k)
	a.area = Areas(a.area, a.shapes, n)
	for i := range n {
		a.parent[i] = int32(i)
		a.head[i], a.tail[i], a.seen[i] = -1, -1, -1
	}
	a.next, a.other, a.length = a.next[:0], a.other[:0], a.length[:0]
	w, h, pix := values.W, values.H, a.shapes.Pix
	for y := range h {
		for x := range w {
			i := y*w + x
			if v := values.Pix[i]; v < 0 || int(v) >= k {
				panic(fmt.Sprintf("mass: Absorb of value %d with %d tones", v, k))
			}
			a.value[pix[i]] = values.Pix[i]
			if x > 0 && pix[i-1] != pix[i] {
				a.meet(pix[i-1], pix[i])
			}
			if y > 0 && pix[i-w] != pix[i] {
				a.meet(pix[i-w], pix[i])
			}
		}
	}
}

// meet adds one pixel pair to both shapes' lists.
func (a *Absorber) meet(p, q int32) {
	a.add(p, q)
	a.add(q, p)
}

func (a *Absorber) add(p, q int32) {
	// A border met pixel by pixel mostly goes on with the same neighbour.
	if t := a.tail[p]; t >= 0 && a.other[t] == q {
		a.length[t]++
		return
	}
	e := int32(len(a.next))
	a.next, a.other, a.length = append(a.next, -1), append(a.other, q), append(a.length, 1)
	if a.tail[p] < 0 {
		a.head[p] = e
	} else {
		a.next[a.tail[p]] = e
	}
	a.tail[p] = e
}

// push puts shape i among the crumbs if it is one.
func (a *Absorber) push(i int32, minArea, k int) {
	if int(a.area[i]) >= minArea {
		return
	}
	b := int(a.area[i])*k + int(a.value[i])
	a.entry, a.chain = append(a.entry, i), append(a.chain, a.bucket[b])
	a.bucket[b] = int32(len(a.entry) - 1)
}

// absorb gives crumb i its neighbours' nearest value, joins it with all
// neighbours of that value and returns with how many.
func (a *Absorber) absorb(i int32, lightness []palette.L) int {
	clear(a.border)
	clear(a.reach)
	// A grown crumb keeps its number, so marks of an earlier round go first.
	for e := a.head[i]; e >= 0; e = a.next[e] {
		a.seen[find(a.parent, a.other[e])] = -1
	}
	for e := a.head[i]; e >= 0; e = a.next[e] {
		o := find(a.parent, a.other[e])
		if o == i {
			continue
		}
		v := a.value[o]
		a.border[v] += int64(a.length[e])
		if a.seen[o] != i {
			a.seen[o] = i
			a.reach[v] += int64(a.area[o])
		}
	}
	best := a.nearest(a.value[i], lightness)
	a.value[i] = best
	joined := 0
	root := i
	for e, end := a.head[i], a.tail[i]; ; e = a.next[e] {
		if o := find(a.parent, a.other[e]); o != root && a.value[o] == best {
			root = a.join(root, o)
			joined++
		}
		if e == end {
			break
		}
	}
	return joined
}

// nearest returns the touching value nearest to v in lightness.
func (a *Absorber) nearest(v int32, lightness []palette.L) int32 {
	best, dist := int32(-1), math.Inf(1)
	for k, b := range a.border {
		if b == 0 {
			continue
		}
		d := math.Abs(float64(lightness[k] - lightness[v]))
		better := best < 0 || d < dist
		if !better && d == dist {
			o := a.border[best]
			switch {
			case b != o:
				better = b > o
			case a.reach[k] != a.reach[best]:
				better = a.reach[k] > a.reach[best]
			default:
				better = lightness[k] < lightness[best]
			}
		}
		if better {
			best, dist = int32(k), d
		}
	}
	return best
}

// join makes two shapes one; the smaller number names it.
func (a *Absorber) join(i, j int32) int32 {
	if j < i {
		i, j = j, i
	}
	a.parent[j] = i
	a.area[i] += a.area[j]
	if a.head[j] >= 0 {
		a.next[a.tail[i]] = a.head[j]
		a.tail[i] = a.tail[j]
	}
	return i
}
