package retouch

import (
	"fmt"
	"image"
	"math"

	"atelier/halflid/imageproc"
)

// carry is the scratch memory of Carry.
type carry struct {
	box        image.Rectangle // of the marked pixels, in the picture they come from
	pix        []sample        // the box; what is not marked is zero
	to         image.Rectangle // where it lands, in the picture it is laid onto
	cols, rows []span
	weights    []float32
	sharp      float32
	out        imageproc.Picture
}

// sample is light that counts as far as it is covered: r, g, b and coverage, the
// three multiplied by the fourth.
// Source: Porter & Duff 1984, Compositing Digital Images (from memory).
type sample [4]float32

// Carry lays what the patch covers in from onto pic: dx pixels to the right and
// dy down (fractions are fine), scale times as large (.001 to 1000) about the middle
// of the patch's rectangle, and with left and right exchanged about that middle
// if mirror is set. What lies outside from or lands outside pic is left away.
//
// Scaled down, a pixel is the mean of the area it stands for, in linear light;
// scaled up it is bilinear. Only marked pixels of from take part: what lies
// beside the patch never bleeds in. At its edge the patch blends over one pixel
// of pic, by the share of the pixel that it covers, however large the scale (scaled up,
// its corners are rounded by half a pixel of from). Moved by whole pixels
// with scale 1, every pixel is an exact copy, mirrored or not, and the edge falls
// between pixels.
//
// from is not changed. pic may be from, or share memory with it: from is read
// before pic is written. The planes of one picture must be of one size; the two
// pictures need not be. It panics if scale is out of its range, or dx or dy
// is not finite. Memory: 16 bytes a pixel of the marked rectangle, kept for the next
// call.
func (r *Retoucher) Carry(pic, from imageproc.Picture, p Patch, dx, dy, scale float64, mirror bool) {
	check(from, p)
	check(pic, p)
	if !(math.Abs(dx)+math.Abs(dy) <= math.MaxFloat64) || !(scale >= .001 && scale <= 1000) {
		panic(fmt.Sprintf("retouch: carry by %v, %v, scale %v", dx, dy, scale))
	}
	c := &r.carry
	c.box = p.bounds(image.Rectangle{Max: from.Size()})
	if c.box.Empty() {
		return
	}
	whole, size := p.rect(), pic.Size()
	midX, midY := float64(whole.Min.X+whole.Max.X)/2, float64(whole.Min.Y+whole.Max.Y)/2
	c.weights = c.weights[:0]
	across := axis{from: midX, to: midX + dx, scale: scale, mirror: mirror}
	down := axis{from: midY, to: midY + dy, scale: scale}
	c.to.Min.X, c.to.Max.X = across.reach(c.box.Min.X, c.box.Max.X, size.X)
	c.to.Min.Y, c.to.Max.Y = down.reach(c.box.Min.Y, c.box.Max.Y, size.Y)
	if c.to.Empty() {
		return
	}
	c.cols = c.spans(c.cols[:0], across, c.to.Min.X, c.to.Max.X, c.box.Min.X, c.box.Max.X)
	c.rows = c.spans(c.rows[:0], down, c.to.Min.Y, c.to.Max.Y, c.box.Min.Y, c.box.Max.Y)
	c.lift(from, p)
	c.sharp = float32(max(scale, 1))
	c.out = pic
	side := max(1/scale, 1) + 1
	cost := int(min(20*float64(c.to.Dx())*side*side, 1e9))
	r.crew.Do(c.to.Dy(), cost, imageproc.Workers(), c)
	c.out = imageproc.Picture{}
}

// lift copies the marked pixels of from.
func (c *carry) lift(from imageproc.Picture, p Patch) {
	c.pix = sized(c.pix, c.box.Dx()*c.box.Dy())
	clear(c.pix)
	for y := range c.box.Dy() {
		at := c.box.Min.Y + y
		red, green, blue := from.R.Row(at)[c.box.Min.X:], from.G.Row(at)[c.box.Min.X:], from.B.Row(at)[c.box.Min.X:]
		row := c.pix[y*c.box.Dx():]
		for x, marked := range p.row(at, c.box.Min.X, c.box.Max.X) {
			if marked {
				row[x] = sample{red[x], green[x], blue[x], 1}
			}
		}
	}
}

// Rows lays rows y0..y1-1 of the landing place.
func (c *carry) Rows(_, y0, y1 int) {
	for y := y0; y < y1; y++ {
		at := c.to.Min.Y + y
		planes := c.out.Planes()
		out := [3][]float32{
			planes[0].Row(at)[c.to.Min.X:c.to.Max.X],
			planes[1].Row(at)[c.to.Min.X:c.to.Max.X],
			planes[2].Row(at)[c.to.Min.X:c.to.Max.X],
		}
		for x, col := range c.cols {
			r, g, b, m := c.gather(col, c.rows[y])
			cover := float32((m-.5)*c.sharp) + .5
			if !(cover > 0) || m == 0 {
				continue
			}
			r, g, b = r/m, g/m, b/m
			if cover < 1 {
				r = float32(r*cover) + float32(out[0][x]*(1-cover))
				g = float32(g*cover) + float32(out[1][x]*(1-cover))
				b = float32(b*cover) + float32(out[2][x]*(1-cover))
			}
			out[0][x], out[1][x], out[2][x] = r, g, b
		}
	}
}

// gather returns the weighted sums of light and coverage over a column span and
// a row span.
func (c *carry) gather(col, row span) (r, g, b, m float32) {
	across := c.weights[col.at : col.at+col.n]
	for i, v := range c.weights[row.at : row.at+row.n] {
		line := c.pix[(row.first+i)*c.box.Dx()+col.first:][:len(across)]
		for j, h := range across {
			s := &line[j]
			if s[3] == 0 {
				continue
			}
			w := v * h
			r += float32(w * s[0])
			g += float32(w * s[1])
			b += float32(w * s[2])
			m += w
		}
	}
	return r, g, b, m
}
