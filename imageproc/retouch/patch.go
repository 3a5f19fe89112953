package retouch

import (
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Patch is a part of a picture: the marked pixels of Mask, whose pixel 0,0 lies
// on the picture's pixel At. It may reach outside the picture; what lies there
// is left away. A mask of the patch's own size and one of the whole picture's
// do the same, the small one with less to look through.
type Patch struct {
	At   image.Point
	Mask imageproc.Mask
}

// rect is the rectangle of the mask, in pixels of the picture.
func (p Patch) rect() image.Rectangle {
	return image.Rect(0, 0, p.Mask.W, p.Mask.H).Add(p.At)
}

// row returns the marks of columns x0..x1-1 of the picture's row y, which must
// lie inside rect.
func (p Patch) row(y, x0, x1 int) []bool {
	i := (y - p.At.Y) * p.Mask.W
	return p.Mask.Pix[i+x0-p.At.X : i+x1-p.At.X]
}

// has says whether the patch covers the picture's pixel x, y, which may lie
// anywhere.
func (p Patch) has(x, y int) bool {
	x, y = x-p.At.X, y-p.At.Y
	return uint(x) < uint(p.Mask.W) && uint(y) < uint(p.Mask.H) && p.Mask.Pix[y*p.Mask.W+x]
}

// bounds returns the smallest rectangle inside r that holds every marked pixel
// of r; the empty rectangle if there is none.
func (p Patch) bounds(r image.Rectangle) image.Rectangle {
	r = r.Intersect(p.rect())
	out := image.Rectangle{}
	for y := r.Min.Y; y < r.Max.Y; y++ {
		row := p.row(y, r.Min.X, r.Max.X)
		first := 0
		for first < len(row) && !row[first] {
			first++
		}
		if first == len(row) {
			continue
		}
		last := len(row) - 1
		for !row[last] {
			last--
		}
		line := image.Rect(r.Min.X+first, y, r.Min.X+last+1, y+1)
		out = out.Union(line)
	}
	return out
}

// check panics unless the planes are of one size and the mask is whole.
func check(pic imageproc.Picture, p Patch) {
	if pic.G.Size() != pic.Size() || pic.B.Size() != pic.Size() {
		panic("retouch: picture of unequal planes")
	}
	if p.Mask.W < 0 || p.Mask.H < 0 || len(p.Mask.Pix) != p.Mask.W*p.Mask.H {
		panic("retouch: mask of the wrong length")
	}
}

// Paint gives every pixel of pic that the patch covers one grey: light, 0
// (black) to 1 (white), in all three planes. The edge is hard. What lies
// outside pic is left away.
func Paint(pic imageproc.Picture, p Patch, light palette.Light) {
	check(pic, p)
	r := p.rect().Intersect(image.Rectangle{Max: pic.Size()})
	for _, plane := range pic.Planes() {
		for y := r.Min.Y; y < r.Max.Y; y++ {
			out := plane.Row(y)[r.Min.X:r.Max.X]
			for x, marked := range p.row(y, r.Min.X, r.Max.X) {
				if marked {
					out[x] = float32(light)
				}
			}
		}
	}
}
