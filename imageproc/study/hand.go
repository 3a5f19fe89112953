package study

import (
	"cmp"
	"fmt"
	"image"
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/plan"
)

// How the painter points at shapes without a mouse: from a place to the shape
// there, from a shape to the next, from shapes to an area of the photo. Places
// are fractions of the crop's width and height, 0..1 from its upper left corner.

// At returns the shape at a place, as its index in List; -1 outside the crop,
// for what is no number, or without a Map. The right and the lower edge belong to
// the last pixels.
func (f Figures) At(x, y float64) int {
	if len(f.Map.Pix) == 0 || !(x >= 0 && x <= 1 && y >= 0 && y <= 1) {
		return -1
	}
	p := f.pixel(x, y)
	return int(f.Map.At(p.X, p.Y))
}

// pixel returns the pixel of the working picture at a place inside the crop.
func (f Figures) pixel(x, y float64) image.Point {
	return image.Pt(min(int(x*float64(f.Map.W)), f.Map.W-1), min(int(y*float64(f.Map.H)), f.Map.H-1))
}

// middle returns the middle of a pixel as a place.
func (f Figures) middle(p image.Point) (x, y float64) {
	return (float64(p.X) + 0.5) / float64(f.Map.W), (float64(p.Y) + 0.5) / float64(f.Map.H)
}

// Place returns the place deepest inside a shape, the middle of one of its
// pixels; of equally deep ones the first in raster order. It panics if there is
// no such shape.
func (f Figures) Place(shape int) (x, y float64) {
	m := f.mask(shape)
	px, py, ok := outline.Inside(m)
	if !ok {
		panic(fmt.Sprintf("study: shape %d is nowhere on the map", shape))
	}
	return f.middle(f.List[shape].Bounds.Min.Add(image.Pt(px, py)))
}

// mask marks shapes within their common bounds.
func (f Figures) mask(shapes ...int) imageproc.Mask {
	b := f.bounds(shapes)
	chosen := make([]bool, len(f.List))
	for _, s := range shapes {
		chosen[s] = true
	}
	m := imageproc.NewMask(b.Dx(), b.Dy())
	for y := range m.H {
		row := m.Pix[y*m.W : (y+1)*m.W]
		for x, s := range f.Map.Row(b.Min.Y + y)[b.Min.X:b.Max.X] {
			row[x] = chosen[s]
		}
	}
	return m
}

func (f Figures) bounds(shapes []int) image.Rectangle {
	var b image.Rectangle
	for _, s := range shapes {
		if s < 0 || s >= len(f.List) {
			panic(fmt.Sprintf("study: shape %d of %d", s, len(f.List)))
		}
		b = b.Union(f.List[s].Bounds)
	}
	return b
}

// Beside returns a place in the next shape in a direction from the shape at (x,
// y): the first other shape on the straight line from there; if the line meets
// none, the shape whose deepest place lies nearest to (x, y) among those that lie
// mostly that way, within 45 degrees of the direction. One of dx and dy is -1 or
// 1, the other 0. The new place is the middle of a pixel that lies farther that
// way than the old one, so that going on always comes to an end, and well inside
// the shape, at least half as deep as its deepest pixel on that side: of those
// the one nearest to the line, then the nearest to the old place, then the first
// in raster order. If there is no shape that way, or none at (x, y), it returns
// x, y and false. It panics on another direction. Source: ours.
func (f Figures) Beside(x, y float64, dx, dy int) (nx, ny float64, ok bool) {
	if dx*dx+dy*dy != 1 {
		panic(fmt.Sprintf("study: beside in the direction %d, %d", dx, dy))
	}
	here := f.At(x, y)
	if here < 0 {
		return x, y, false
	}
	from, way := f.pixel(x, y), image.Pt(dx, dy)
	next := f.metOnLine(from, way, here)
	if next < 0 {
		next = f.mostly(from, way, here)
	}
	if next < 0 {
		return x, y, false
	}
	nx, ny = f.middle(f.settle(next, from, way))
	return nx, ny, true
}

// metOnLine returns the first other shape on the line; -1 if there is none.
func (f Figures) metOnLine(from, way image.Point, here int) int {
	all := image.Rectangle{Max: f.Map.Size()}
	for p := from.Add(way); p.In(all); p = p.Add(way) {
		if s := int(f.Map.At(p.X, p.Y)); s != here {
			return s
		}
	}
	return -1
}

// mostly returns the nearest other shape within 45 degrees of the direction; -1
// if there is none.
func (f Figures) mostly(from, way image.Point, here int) int {
	depth := make([]float32, len(f.Map.Pix))
	outline.Depth(depth, f.Map)
	deepest := make([]int, len(f.List))
	for s := range deepest {
		deepest[s] = -1
	}
	for i, s := range f.Map.Pix {
		if at := deepest[s]; at < 0 || depth[i] > depth[at] {
			deepest[s] = i
		}
	}
	best, least := -1, math.MaxInt
	for s, i := range deepest {
		if s == here || i < 0 {
			continue
		}
		along, across := steps(image.Pt(i%f.Map.W, i/f.Map.W).Sub(from), way)
		if d := along*along + across*across; along > 0 && across <= along && d < least {
			best, least = s, d
		}
	}
	return best
}

// steps returns how far v leads in a direction, and how far off it to a side.
func steps(v, way image.Point) (along, across int) {
	along = v.X*way.X + v.Y*way.Y
	across = v.X*way.Y + v.Y*way.X
	return along, max(across, -across)
}

// settle returns the pixel of a shape to come to rest on, coming from another.
func (f Figures) settle(shape int, from, way image.Point) image.Point {
	m, corner := f.mask(shape), f.List[shape].Bounds.Min
	depth := make([]float32, len(m.Pix))
	outline.Distance(depth, m)
	deepest := float32(0)
	for i, d := range depth {
		if along, _ := steps(corner.Add(image.Pt(i%m.W, i/m.W)).Sub(from), way); along > 0 {
			deepest = max(deepest, d)
		}
	}
	var best image.Point
	near, off := math.MaxInt, math.MaxInt
	for i, d := range depth {
		if d == 0 || 2*d < deepest {
			continue
		}
		p := corner.Add(image.Pt(i%m.W, i/m.W))
		along, across := steps(p.Sub(from), way)
		if along > 0 && (across < off || across == off && along < near) {
			best, near, off = p, along, across
		}
	}
	return best
}

// BySize returns the deepest place of the shape that comes step shapes after the
// one at (x, y) when they are ordered from the largest to the smallest, equally
// large ones by their index: 1 is the next smaller, -1 the next larger, and after
// the last comes the first. If there is no shape at (x, y) the order begins
// anew: step 1 is the largest, -1 the smallest. Without shapes it returns x, y.
func (f Figures) BySize(x, y float64, step int) (nx, ny float64) {
	n := len(f.List)
	if n == 0 {
		return x, y
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(f.List[b].Share, f.List[a].Share), cmp.Compare(a, b))
	})
	at := slices.Index(order, f.At(x, y))
	if at < 0 && step < 0 {
		at = 0 // one back from the first is the last
	}
	return f.Place(order[((at+step)%n+n)%n])
}

// The tolerance of Area, in parts of the working picture's long side, and how
// well each ring must agree with the traced one (intersection over union) before
// a smaller tolerance is tried. Source: ours.
const (
	areaTolerance = 0.003
	areaAgreement = 0.9
)

// Area returns the outline of shapes taken together, in fractions of the photo,
// for a photo of that size in pixels: what a choice is tied to. p is the plan
// that f was made for. The outline is traced along the pixels and simplified by
// at most 0.3 % of the working picture's long side, and ring by ring by less where
// that would lose too much: a mast before the sky keeps its place, and so does
// the gap that it leaves in the sky. Empty for no shapes. It panics if there is
// no such shape.
func (f Figures) Area(shapes []int, p plan.Plan, photo image.Point) plan.Area {
	if len(shapes) == 0 {
		return plan.Area{}
	}
	traced := outline.Trace(f.mask(shapes...))
	tolerance := areaTolerance * float64(max(f.Map.W, f.Map.H))
	rings := outline.Faithful(traced, tolerance, areaAgreement)
	for corners(rings) > plan.MaxPoints {
		rings = outline.Simplify(traced, tolerance)
		tolerance *= 2
	}
	x0, y0, x1, y1 := f.crop(p, photo)
	corner := f.bounds(shapes).Min
	out := make([][]plan.Point, len(rings))
	for i, r := range rings {
		for _, c := range r {
			out[i] = append(out[i], plan.Point{
				X: x0 + float64((x1-x0)*(float64(corner.X)+c.X))/float64(f.Map.W),
				Y: y0 + float64((y1-y0)*(float64(corner.Y)+c.Y))/float64(f.Map.H),
			})
		}
	}
	return plan.AreaOf(out)
}

func corners(rings []outline.Ring) int {
	n := 0
	for _, r := range rings {
		n += len(r)
	}
	return n
}

// crop returns the edges of what the working picture shows, in fractions of the
// photo: the plan's crop, or for the photo that it was made of exactly the pixels
// that the crop was snapped to.
func (f Figures) crop(p plan.Plan, photo image.Point) (x0, y0, x1, y1 float64) {
	if p.PixelRect(photo) == f.Crop {
		w, h := float64(photo.X), float64(photo.Y)
		return float64(f.Crop.Min.X) / w, float64(f.Crop.Min.Y) / h, float64(f.Crop.Max.X) / w, float64(f.Crop.Max.Y) / h
	}
	return p.Rect(photo)
}
