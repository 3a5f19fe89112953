package mass

import (
	"cmp"
	"image"
	"slices"

	"atelier/halflid/imageproc"
)

// Base is a picture taken apart into base shapes, of which every plan is made:
// connected shapes of up to eight base values whose outlines lie on edges of
// the picture. It is immutable and safe for concurrent use. It keeps 12 bytes a
// pixel.
type Base struct {
	w, h   int
	long   float64 // what lengths are fractions of
	labels imageproc.Labels
	shapes []baseShape
	border borderGraph
	class  []moments // of the values of each base value's shapes, darkest first
	chain  *chain

	// planes for clipping
	value []uint16
	light []float32
	rise  []uint16
	focus *falloff
	at    image.Point // where the picture lies in what focus was made for
}

// baseShape is what is known of a base shape: sums over its pixels.
type baseShape struct {
	area   float64
	value  float64 // in steps of L*
	light  float64 // relative luminance
	focus  float64 // focal weight
	class  int32
	first  int32 // its first pixel in raster order
	bounds image.Rectangle
	x, y   float64 // of pixel middles
}

// mean returns the shape's value in L*.
func (s *baseShape) mean() float64 { return s.value / s.area / stepsL }

// Size returns the width and height.
func (b *Base) Size() image.Point { return image.Pt(b.w, b.h) }

// Shapes returns how many base shapes there are: what no plan exceeds.
func (b *Base) Shapes() int { return len(b.shapes) }

// Labels returns the base shape of each pixel, 0 being the largest shape. It
// must not be changed.
func (b *Base) Labels() imageproc.Labels { return b.labels }

// At returns the base shape at a pixel. It panics outside the picture.
func (b *Base) At(x, y int) int { return int(b.labels.At(x, y)) }

// assemble makes base shapes out of the classes of the pixels. b must hold its
// planes; classes are numbers below n.
func (b *Base) assemble(classes imageproc.Labels, n int, label *Labeller) {
	b.part(classes, label, func(first int32) int32 { return classes.Pix[first] })
	b.sortClasses(n)
	b.chain = newChain(b)
}

// part makes base shapes out of the connected parts of equal number and measures
// them and their borders; class is the class of the part with that first pixel.
func (b *Base) part(numbers imageproc.Labels, label *Labeller, class func(first int32) int32) {
	b.w, b.h = numbers.W, numbers.H
	b.labels = imageproc.NewLabels(b.w, b.h)
	shapes := label.Components(b.labels, numbers)
	b.measure(shapes, class)
	b.settle()
	b.border.build(b.labels, shapes, b.rise, nil)
	b.border.first, b.border.fill, b.border.pairs = nil, nil, nil
}

// measure sums up the n shapes.
func (b *Base) measure(n int, class func(first int32) int32) {
	b.shapes = make([]baseShape, n)
	for i := range b.shapes {
		b.shapes[i].first = -1
	}
	for y := range b.h {
		row := b.labels.Row(y)
		value, light := b.value[y*b.w:][:b.w], b.light[y*b.w:][:b.w]
		for x, l := range row {
			s := &b.shapes[l]
			if s.first < 0 {
				s.first = int32(y*b.w + x)
				s.class = class(s.first)
				s.bounds = image.Rect(x, y, x+1, y+1)
			}
			s.area++
			s.value += float64(value[x])
			s.light += float64(light[x])
			s.x += float64(x)
			s.y += float64(y)
			s.bounds.Min.X = min(s.bounds.Min.X, x)
			s.bounds.Max.X = max(s.bounds.Max.X, x+1)
			s.bounds.Max.Y = y + 1
		}
		if b.focus != nil {
			for x, l := range row {
				b.shapes[l].focus += float64(b.focus.at(x+b.at.X, y+b.at.Y))
			}
		}
	}
	for i := range b.shapes {
		s := &b.shapes[i]
		s.x, s.y = s.x+s.area/2, s.y+s.area/2
		if s.focus /= focusSteps; b.focus == nil {
			s.focus = s.area
		}
	}
}

// settle renumbers the shapes by what they are, the largest first (see
// regionSums.settle).
func (b *Base) settle() {
	order := make([]int32, len(b.shapes))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, j int32) int {
		p, q := &b.shapes[i], &b.shapes[j]
		return cmp.Or(cmp.Compare(q.area, p.area), cmp.Compare(p.value, q.value), cmp.Compare(p.first, q.first))
	})
	number, shapes := make([]int32, len(order)), make([]baseShape, len(order))
	for k, i := range order {
		number[i], shapes[k] = int32(k), b.shapes[i]
	}
	b.shapes = shapes
	for i, l := range b.labels.Pix {
		b.labels.Pix[i] = number[l]
	}
}

// sortClasses leaves out those of the n classes that have no pixels and numbers
// the rest by mean value. A class counts what its shapes weigh, each at its mean:
// the picture as it will be painted, not as it was before outlines were drawn.
func (b *Base) sortClasses(n int) {
	area, value := make([]float64, n), make([]float64, n)
	for i := range b.shapes {
		area[b.shapes[i].class] += b.shapes[i].area
		value[b.shapes[i].class] += b.shapes[i].value
	}
	var order []int32
	for c := range n {
		if area[c] > 0 {
			order = append(order, int32(c))
		}
	}
	slices.SortStableFunc(order, func(i, j int32) int {
		return cmp.Compare(value[i]/area[i], value[j]/area[j])
	})
	number := make([]int32, n)
	for k, c := range order {
		number[c] = int32(k)
	}
	b.class = make([]moments, len(order))
	for i := range b.shapes {
		s := &b.shapes[i]
		s.class = number[s.class]
		v := s.mean()
		b.class[s.class] = b.class[s.class].plus(moments{s.focus, float64(s.focus * v), float64(float64(s.focus*v) * v)})
	}
}
