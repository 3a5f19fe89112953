package imageproc

import (
	"fmt"
	"image"

	"atelier/halflid/palette"
)

// Fill paints the whole raster in one colour.
func (r Raster) Fill(c palette.SRGB) {
	for i := 0; i < len(r.Pix); i += 3 {
		r.Pix[i], r.Pix[i+1], r.Pix[i+2] = c.R, c.G, c.B
	}
}

// FillRect paints a part of the raster in one colour; what of it falls outside is
// left away.
func (r Raster) FillRect(part image.Rectangle, c palette.SRGB) {
	part = part.Intersect(image.Rectangle{Max: r.Size()})
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			r.Set(x, y, c)
		}
	}
}

// Reshape returns a raster of w by h that reuses r's memory where it is large
// enough; its contents are undefined.
func (r Raster) Reshape(w, h int) Raster {
	if cap(r.Pix) < 3*w*h {
		return NewRaster(w, h)
	}
	return Raster{W: w, H: h, Pix: r.Pix[:3*w*h]}
}

// Reshape returns labels of w by h that reuse l's memory where it is large
// enough; their contents are undefined.
func (l Labels) Reshape(w, h int) Labels {
	if cap(l.Pix) < w*h {
		return NewLabels(w, h)
	}
	return Labels{W: w, H: h, Pix: l.Pix[:w*h]}
}

// Lay copies src into r with its top left corner at at; what falls outside r
// is left away.
func (r Raster) Lay(src Raster, at image.Point) {
	part := image.Rectangle{Min: at, Max: at.Add(src.Size())}.Intersect(image.Rectangle{Max: r.Size()})
	for y := part.Min.Y; y < part.Max.Y; y++ {
		from := 3 * ((y-at.Y)*src.W + part.Min.X - at.X)
		to := 3 * (y*r.W + part.Min.X)
		copy(r.Pix[to:to+3*part.Dx()], src.Pix[from:])
	}
}

// Fit returns the largest whole-pixel size inside room whose width to height,
// seen on pixels that are aspect times as wide as high, is ratio: one side is
// the room's, the other the nearest whole number. It is at least 1 by 1,
// however extreme the ratio. Room, ratio and aspect must be positive; it panics
// if they are not, or if ratio and aspect are both infinite.
func Fit(ratio, aspect float64, room image.Point) image.Point {
	inPixels := ratio / aspect
	if !(ratio > 0) || !(aspect > 0) || !(inPixels >= 0) || room.X < 1 || room.Y < 1 {
		panic("imageproc: Fit needs a positive ratio, aspect and room")
	}
	// Compared before they become whole numbers, which hold no extremes.
	if tall := float64(room.X) / inPixels; tall < float64(room.Y)+0.5 {
		return image.Pt(room.X, max(1, int(tall+0.5)))
	}
	return image.Pt(max(1, int(float64(room.Y)*inPixels+0.5)), room.Y)
}

// Majority returns labels of w by h in which each pixel carries the label that
// covers most of its place in src, by exact area; ties go to the smaller label.
// Labels must be 0..n-1, src and the result not empty, or it panics; dst lends
// its memory where that is large enough and must not share src's. Flat areas
// stay exactly flat: no mixtures arise. A mirrored src gives the mirrored
// result. Cost: proportional to the larger of the two.
func (src Labels) Majority(dst Labels, w, h, n int) Labels {
	src.checkResize("Majority", w, h, n)
	dst = dst.Reshape(w, h)
	cols := make([]stretch, w)
	for x := range cols {
		cols[x] = stretchOf(x, w, src.W)
	}
	cover := make([]int, n)
	mixed := make([]int32, src.W)
	for y := range h {
		rows := stretchOf(y, h, src.H)
		top := src.Row(rows.first)
		src.columnsMixed(mixed, rows)
		out := dst.Row(y)
		for x, c := range cols {
			if c.flat(top, mixed) {
				out[x] = top[c.first]
				continue
			}
			clear(cover)
			for yy := rows.first; yy <= rows.last; yy++ {
				c.count(cover, src.Row(yy), rows.weight(yy))
			}
			out[x] = largest(cover)
		}
	}
	return dst
}

// columnsMixed sets mixed to 0 where the column of src within rows is of one
// label. Most pixels show a flat place, which this tells sooner than counting.
func (src Labels) columnsMixed(mixed []int32, rows stretch) {
	clear(mixed)
	top := src.Row(rows.first)[:len(mixed)]
	for y := rows.first + 1; y <= rows.last; y++ {
		row := src.Row(y)[:len(mixed)]
		for x, l := range row {
			mixed[x] |= l ^ top[x]
		}
	}
}

// flat reports whether all that the stretch covers is of one label.
func (s stretch) flat(top, mixed []int32) bool {
	label, differs := top[s.first], int32(0)
	for x := s.first; x <= s.last; x++ {
		differs |= mixed[x] | (top[x] ^ label)
	}
	return differs == 0
}

// stretch is what one pixel of a line covers of a line of other pixels: first
// to last whole, but for what the ends lack. All is in whole numbers: a pixel of
// the one line is as many units wide as the other line has pixels.
type stretch struct {
	first, last int
	unit        int // width of a pixel that is covered
	left, right int // units of first and of last; together, if they are one pixel, left
}

// stretchOf returns what pixel i of a line of n covers of a line of m.
func stretchOf(i, n, m int) stretch {
	lo, hi := i*m, (i+1)*m
	s := stretch{first: lo / n, last: (hi - 1) / n, unit: n}
	if s.first == s.last {
		s.left, s.right = m, m
		return s
	}
	s.left, s.right = (s.first+1)*n-lo, hi-s.last*n
	return s
}

// weight returns how many units of pixel i are covered.
func (s stretch) weight(i int) int {
	switch i {
	case s.first:
		return s.left
	case s.last:
		return s.right
	}
	return s.unit
}

// count adds to cover what the stretch covers of each label of a row. Equal
// neighbours are the common case and are added at one go.
func (s stretch) count(cover []int, row []int32, weight int) {
	label, run := row[s.first], s.left
	if s.first < s.last {
		for _, l := range row[s.first+1 : s.last] {
			if l != label {
				cover[label] += run * weight
				label, run = l, 0
			}
			run += s.unit
		}
		if l := row[s.last]; l != label {
			cover[label] += run * weight
			label, run = l, 0
		}
		run += s.right
	}
	cover[label] += run * weight
}

// largest returns the place of the largest number, of equals the first.
func largest(of []int) int32 {
	best := 0
	for k := 1; k < len(of); k++ {
		if of[k] > of[best] {
			best = k
		}
	}
	return int32(best)
}

// Enlarge returns labels of w by h, larger than src, with smooth outlines: each
// pixel takes the label whose bilinearly interpolated presence is largest at its
// centre, ties to the smaller label. Labels must be 0..n-1, src and the result
// not empty, or it panics. It reckons in whole numbers: the result is the same
// on every machine, and mirrored for a mirrored src.
func (src Labels) Enlarge(w, h, n int) Labels {
	src.checkResize("Enlarge", w, h, n)
	dst := NewLabels(w, h)
	cols := make([]between, w)
	for x := range cols {
		cols[x] = betweenOf(x, w, src.W)
	}
	presence := make([]int, n)
	for y := range h {
		v := betweenOf(y, h, src.H)
		top, bottom := src.Row(v.i), src.Row(v.j)
		out := dst.Row(y)
		for x, u := range cols {
			a, b, c, d := top[u.i], top[u.j], bottom[u.i], bottom[u.j]
			if a == b && a == c && a == d {
				out[x] = a
				continue
			}
			clear(presence)
			presence[a] += u.toI * v.toI
			presence[b] += u.toJ * v.toI
			presence[c] += u.toI * v.toJ
			presence[d] += u.toJ * v.toJ
			out[x] = largest(presence)
		}
	}
	return dst
}

// between places a pixel's centre between the centres i and j of another line,
// the nearer the heavier; at the ends of the line, i and j are one.
type between struct{ i, j, toI, toJ int }

// betweenOf places the centre of pixel i of a line of n on a line of m.
func betweenOf(i, n, m int) between {
	at := min(max((2*i+1)*m-n, 0), (m-1)*2*n) // in units of 1/2n
	first, rest := at/(2*n), at%(2*n)
	return between{first, min(first+1, m-1), 2*n - rest, rest}
}

func (src Labels) checkResize(what string, w, h, n int) {
	if src.W < 1 || src.H < 1 || w < 1 || h < 1 || n < 1 {
		panic(fmt.Sprintf("imageproc: %s of labels of %d by %d into %d by %d, %d labels", what, src.W, src.H, w, h, n))
	}
}

// Paint returns the labels as flat colours, in dst's memory where that is large
// enough: label k is painted colours[k]. It panics on a label without a colour.
func (l Labels) Paint(dst Raster, colours []palette.SRGB) Raster {
	dst = dst.Reshape(l.W, l.H)
	for i, k := range l.Pix {
		c := colours[k]
		dst.Pix[3*i], dst.Pix[3*i+1], dst.Pix[3*i+2] = c.R, c.G, c.B
	}
	return dst
}

// Dim darkens the raster outside inside to share of its light (0..1) and draws a
// line of one pixel just outside it, light on dark and dark on light in turn so
// that it reads on any ground. Nothing within inside changes; what lies outside
// the raster is left away. An empty inside darkens everything and is still lined.
func (r Raster) Dim(inside image.Rectangle, share palette.Light) {
	var dimmed [256]uint8
	for c := range dimmed {
		dimmed[c] = palette.Encode8(palette.Decode8(uint8(c)) * share)
	}
	dim := func(pix []uint8) {
		for i, c := range pix {
			pix[i] = dimmed[c]
		}
	}
	keep := inside.Intersect(image.Rectangle{Max: r.Size()})
	for y := range r.H {
		row := r.Pix[3*y*r.W : 3*(y+1)*r.W]
		if y < keep.Min.Y || y >= keep.Max.Y {
			dim(row)
			continue
		}
		dim(row[:3*keep.Min.X])
		dim(row[3*keep.Max.X:])
	}
	line := inside.Inset(-1)
	for x := line.Min.X; x < line.Max.X; x++ {
		r.dash(x, line.Min.Y)
		r.dash(x, line.Max.Y-1)
	}
	for y := line.Min.Y; y < line.Max.Y; y++ {
		r.dash(line.Min.X, y)
		r.dash(line.Max.X-1, y)
	}
}

// dash draws one pixel of the line, if it lies on the raster.
func (r Raster) dash(x, y int) {
	if !(image.Point{X: x, Y: y}).In(image.Rectangle{Max: r.Size()}) {
		return
	}
	code := uint8(230)
	if (x+y)/2%2 == 1 {
		code = 20
	}
	r.Set(x, y, palette.SRGB{R: code, G: code, B: code})
}
