package mass

import (
	"fmt"
	"image"
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Plan is a picture of few flat shapes.
type Plan struct {
	// Labels gives the shape of each pixel, 0.. in raster order.
	Labels imageproc.Labels
	Shapes []Shape
	// Tones is the tone of each value by the mean of the light of its pixels,
	// darkest first and always rising (see riseTones); a value without pixels has
	// a tone between its neighbours'.
	Tones []palette.L
	// Shares is the part of the picture that each value has, 0..1.
	Shares []float64
	// Borders are the borders between shapes, sorted by A, then B.
	Borders []ShapeBorder
	// Next is the shape that goes next when one more is pulled together, and
	// Into the shapes that it joins; Next is -1 when nothing more can go.
	Next int
	Into []int
}

// Shape is one connected flat shape of a Plan.
type Shape struct {
	Value  int       // 0 the darkest
	Area   int       // pixels
	Share  float64   // of the picture, 0..1
	Mean   palette.L // of the light of its own pixels
	Bounds image.Rectangle
	X, Y   float64 // its centre of gravity in pixels
}

// ShapeBorder is where shapes A < B meet.
type ShapeBorder struct {
	A, B int
	Len  int       // pixel sides
	Edge float64   // mean height of the picture's own edge there, about in L*
	Gap  palette.L // difference of the tones on both sides
}

// Shapes returns the plan of at most s shapes, brush marks gone; see Least for
// when it has to be more. dst's memory is used for its labels where it is large
// enough. It panics if s < 1. One pass over the pixels.
func (l *Layout) Shapes(dst imageproc.Labels, s int) Plan {
	if s < 1 {
		panic(fmt.Sprintf("mass: plan of %d shapes", s))
	}
	t := l.brush
	for t < len(l.flips) && l.leftAfter(t) > s {
		t++
	}
	root, value := l.replay(t)
	return l.draw(dst, root, value, t)
}

// Least returns how many shapes are left when everything is pulled together:
// one, or more if the painter fixed values.
func (l *Layout) Least() int { return l.leftAfter(len(l.flips)) }

// replay returns which of the finest shapes stands for each after t flips, and
// the value of each that stands for others.
func (l *Layout) replay(t int) (root, value []int32) {
	root, value = make([]int32, len(l.value)), slices.Clone(l.value)
	for i := range root {
		root[i] = int32(i)
	}
	done := int32(0)
	for _, f := range l.flips[:t] {
		value[f.shape] = f.value
		for ; done < f.joins; done++ {
			j := l.joins[done]
			root[j.lost] = j.kept // both have the value now
		}
	}
	for i := range root {
		r := int32(i)
		for root[r] != r {
			r = root[r]
		}
		root[i] = r
	}
	return root, value
}

// draw makes the plan after t flips.
func (l *Layout) draw(dst imageproc.Labels, root, value []int32, t int) Plan {
	b := l.base
	number := l.numberShapes(root)
	shape := make([]int32, len(b.shapes)) // of each base shape
	n := 0
	for i := range shape {
		shape[i] = number[root[l.fine[i]]]
		n = max(n, int(shape[i])+1)
	}
	p := Plan{Labels: imageproc.Labels{W: b.w, H: b.h, Pix: resize(dst.Pix, b.w*b.h)}, Shapes: make([]Shape, n)}
	for i, s := range b.labels.Pix {
		p.Labels.Pix[i] = shape[s]
	}
	for i, r := range root {
		if int32(i) == r {
			p.Shapes[number[r]].Value = int(value[r])
		}
	}
	l.describe(&p, shape)
	var g borderGraph
	g.contract(&b.border, shape)
	for e := range g.a {
		gap := p.Tones[p.Shapes[g.a[e]].Value] - p.Tones[p.Shapes[g.b[e]].Value]
		p.Borders = append(p.Borders, ShapeBorder{int(g.a[e]), int(g.b[e]), int(g.len[e]), g.step(e), palette.L(math.Abs(float64(gap)))})
	}
	p.Next = -1
	if t < len(l.flips) {
		from := int32(0)
		if t > 0 {
			from = l.flips[t-1].joins
		}
		p.Next = int(number[l.flips[t].shape])
		for _, j := range l.joins[from:l.flips[t].joins] {
			for _, r := range [2]int32{j.lost, j.kept} {
				if s := int(number[r]); s != p.Next && !slices.Contains(p.Into, s) {
					p.Into = append(p.Into, s)
				}
			}
		}
		slices.Sort(p.Into)
	}
	return p
}

// numberShapes numbers the shapes in raster order of their first pixels.
func (l *Layout) numberShapes(root []int32) []int32 {
	first := make([]int32, len(root))
	for i := range first {
		first[i] = math.MaxInt32
	}
	for i := range l.base.shapes {
		r := root[l.fine[i]]
		first[r] = min(first[r], l.base.shapes[i].first)
	}
	var order []int32
	for i, r := range root {
		if int32(i) == r {
			order = append(order, r)
		}
	}
	slices.SortFunc(order, func(i, j int32) int { return int(first[i] - first[j]) })
	number := make([]int32, len(root))
	for k, r := range order {
		number[r] = int32(k)
	}
	return number
}

// describe measures the plan's shapes and values from its base shapes.
func (l *Layout) describe(p *Plan, shape []int32) {
	b := l.base
	light := make([]float64, len(p.Shapes))
	for i := range b.shapes {
		from, to := &b.shapes[i], &p.Shapes[shape[i]]
		to.Area += int(from.area)
		to.X += from.x
		to.Y += from.y
		to.Bounds = to.Bounds.Union(from.bounds)
		light[shape[i]] += from.light
	}
	all := float64(b.w * b.h)
	area, sum := make([]float64, l.values), make([]float64, l.values)
	for i := range p.Shapes {
		s := &p.Shapes[i]
		n := float64(s.Area)
		s.X, s.Y, s.Share = s.X/n, s.Y/n, n/all
		s.Mean = palette.Y(light[i] / n).L()
		area[s.Value] += n
		sum[s.Value] += light[i]
	}
	p.Tones, p.Shares = make([]palette.L, l.values), make([]float64, l.values)
	for k := range area {
		p.Shares[k] = area[k] / all
		if area[k] > 0 {
			p.Tones[k] = palette.Y(sum[k] / area[k]).L()
		} else {
			p.Tones[k] = palette.L(math.NaN())
		}
	}
	riseTones(p.Tones, area)
	fillTones(p.Tones)
}

// toneGap is how far tones that had to be pooled are kept apart.
const toneGap palette.L = .5

// riseTones makes the tones of the values that have pixels rise. After many
// shapes went, what is left of a value can be darker than what is left of the
// value below it; such values share their mean, half an L* apart, so that the
// lighter value stays the lighter paint. Tones that rise are left alone.
//
// Source: pooling of adjacent violators, Ayer et al. 1955, Ann. Math. Stat. 26.
func riseTones(tones []palette.L, area []float64) {
	type block struct{ sum, n, ks float64 }
	var blocks []block
	pooled := false
	for k, n := range area {
		if n == 0 {
			continue
		}
		blocks = append(blocks, block{float64(tones[k]) * n, n, 1})
		for i := len(blocks) - 1; i > 0 && blocks[i].sum/blocks[i].n <= blocks[i-1].sum/blocks[i-1].n; i-- {
			a, b := blocks[i-1], blocks[i]
			blocks[i-1], blocks = block{a.sum + b.sum, a.n + b.n, a.ks + b.ks}, blocks[:i]
			pooled = true
		}
	}
	if !pooled {
		return
	}
	var held []int
	for k, n := range area {
		if n > 0 {
			held = append(held, k)
		}
	}
	i := 0
	for _, b := range blocks {
		for j := range int(b.ks) {
			tones[held[i]] = palette.L(b.sum/b.n) + toneGap*palette.L(float64(j)-(b.ks-1)/2)
			i++
		}
	}
	for i, k := range held {
		tones[k] = max(tones[k], toneGap*palette.L(i))
		if i > 0 {
			tones[k] = max(tones[k], tones[held[i-1]]+toneGap)
		}
	}
	for i := len(held) - 1; i >= 0; i-- {
		top := 100 - toneGap*palette.L(len(held)-1-i)
		if i < len(held)-1 {
			top = min(top, tones[held[i+1]]-toneGap)
		}
		tones[held[i]] = min(tones[held[i]], top)
	}
}

// fillTones gives values without pixels tones at equal steps between their
// neighbours', black and white standing beyond the ends.
func fillTones(tones []palette.L) {
	last, from := palette.L(0), -1
	for k := 0; k <= len(tones); k++ {
		tone := palette.L(100)
		if k < len(tones) {
			if tone = tones[k]; math.IsNaN(float64(tone)) {
				continue
			}
		}
		for i := from + 1; i < k; i++ {
			tones[i] = last + (tone-last)*palette.L(i-from)/palette.L(k-from)
		}
		last, from = tone, k
	}
}
