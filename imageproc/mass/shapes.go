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
// when it has to be more, and the package for what details add. dst's memory is
// used for its labels where it is large enough. It panics if s < 1. One pass over
// the pixels.
func (l *Layout) Shapes(dst imageproc.Labels, s int) Plan {
	if s < 1 {
		panic(fmt.Sprintf("mass: plan of %d shapes", s))
	}
	t := l.brush
	for t < len(l.flips) && l.leftAfter(t) > s {
		t++
	}
	value := l.replay(t)
	if l.details != nil {
		l.details.work(value)
	}
	p, shape := l.draw(dst, value)
	l.sayNext(&p, t, shape)
	return p
}

// Least returns how many shapes are left when everything is pulled together:
// one, or more if the painter fixed values.
func (l *Layout) Least() int { return l.leftAfter(len(l.flips)) }

// replay returns the value of each base shape after t flips.
func (l *Layout) replay(t int) []int32 {
	root, value := l.rootsAfter(t), slices.Clone(l.value)
	for _, f := range l.flips[:t] {
		value[f.shape] = f.value
	}
	out := make([]int32, len(l.fine))
	for i, f := range l.fine {
		out[i] = value[root[f]]
	}
	return out
}

// rootsAfter returns which of the finest shapes stands for each after t flips.
func (l *Layout) rootsAfter(t int) []int32 {
	root := make([]int32, len(l.value))
	for i := range root {
		root[i] = int32(i)
	}
	if t > 0 {
		for _, j := range l.joins[:l.flips[t-1].joins] {
			root[j.lost] = j.kept
		}
	}
	for i := range root {
		r := int32(i)
		for root[r] != r {
			r = root[r]
		}
		root[i] = r
	}
	return root
}

// draw makes the plan of base shapes of these values, and returns the shape of
// each base shape.
func (l *Layout) draw(dst imageproc.Labels, value []int32) (Plan, []int32) {
	b := l.base
	shape, n := l.connect(value)
	l.numberShapes(shape, n)
	p := Plan{Labels: imageproc.Labels{W: b.w, H: b.h, Pix: resize(dst.Pix, b.w*b.h)}, Shapes: make([]Shape, n), Next: -1}
	for i, s := range b.labels.Pix {
		p.Labels.Pix[i] = shape[s]
	}
	for i, s := range shape {
		p.Shapes[s].Value = int(value[i])
	}
	l.describe(&p, shape)
	var g borderGraph
	g.contract(&b.border, shape)
	p.addBorders(&g)
	return p, shape
}

// addBorders sets the plan's borders, whose tones must be known.
func (p *Plan) addBorders(g *borderGraph) {
	for e := range g.a {
		gap := p.Tones[p.Shapes[g.a[e]].Value] - p.Tones[p.Shapes[g.b[e]].Value]
		p.Borders = append(p.Borders, ShapeBorder{int(g.a[e]), int(g.b[e]), int(g.len[e]), g.step(e), palette.L(math.Abs(float64(gap)))})
	}
}

// numberShapes numbers n shapes anew, in raster order of their first pixels.
func (l *Layout) numberShapes(shape []int32, n int) {
	first, order := make([]int32, n), make([]int32, n)
	for i := range first {
		first[i], order[i] = math.MaxInt32, int32(i)
	}
	for i, s := range shape {
		first[s] = min(first[s], l.base.shapes[i].first)
	}
	slices.SortFunc(order, func(i, j int32) int { return int(first[i] - first[j]) })
	number := make([]int32, n)
	for k, s := range order {
		number[s] = int32(k)
	}
	for i, s := range shape {
		shape[i] = number[s]
	}
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
	p.finish(light, l.values)
	p.Tones = l.tones(p, shape)
}

// finish works out shares and centres of n values from areas, sums of places and
// the light of each shape.
func (p *Plan) finish(light []float64, n int) {
	all := float64(p.Labels.W * p.Labels.H)
	p.Shares = make([]float64, n)
	for i := range p.Shapes {
		s := &p.Shapes[i]
		n := float64(s.Area)
		s.X, s.Y, s.Share = s.X/n, s.Y/n, n/all
		s.Mean = palette.Y(light[i] / n).L()
		p.Shares[s.Value] += n
	}
	for k := range p.Shares {
		p.Shares[k] /= all
	}
}
