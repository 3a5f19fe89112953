package page

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	xdraw "golang.org/x/image/draw"
)

// Draw returns a page as a picture of dpi pixels an inch on white, its edges
// smooth. The picture is the caller's. It panics on what no page can hold.
func Draw(p Page, dpi float64) *image.NRGBA {
	p.check()
	k := dpi / Inch
	dst := image.NewNRGBA(image.Rect(0, 0, max(1, int(math.Round(p.W*k))), max(1, int(math.Round(p.H*k)))))
	for i := range dst.Pix {
		dst.Pix[i] = 255
	}
	c := &canvas{dst: dst, k: k}
	for _, l := range p.Layers {
		c.items(l.Items, Point{}, Rect{0, 0, p.W, p.H})
	}
	return dst
}

// canvas draws items in pixels, k to a millimetre.
type canvas struct {
	dst *image.NRGBA
	k   float64
	ras vector.Rasterizer
	buf sfnt.Buffer
}

func (c *canvas) items(items []Item, shift Point, clip Rect) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			c.path(it, shift, clip)
		case Text:
			c.text(it, shift, clip)
		case Picture:
			c.picture(it, shift, clip)
		case Group:
			inner := clip
			if it.Clip.W > 0 {
				inner = clip.within(Rect{it.Clip.X + shift.X, it.Clip.Y + shift.Y, it.Clip.W, it.Clip.H})
			}
			c.items(it.Items, shift.plus(it.Shift), inner)
		}
	}
}

// pixels returns a rectangle in whole pixels.
func (c *canvas) pixels(r Rect) image.Rectangle {
	at := func(v float64) int { return int(math.Round(v * c.k)) }
	return image.Rect(at(r.X), at(r.Y), at(r.X+r.W), at(r.Y+r.H)).Intersect(c.dst.Rect)
}

// shape is an outline in pixels.
type shape struct {
	rings [][]Point
}

func (s *shape) bounds() (lo, hi Point) {
	lo, hi = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, r := range s.rings {
		for _, p := range r {
			lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
			hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
		}
	}
	return lo, hi
}

// fill draws a shape in an ink within a clip.
func (c *canvas) fill(s *shape, ink Ink, clip Rect) {
	if len(s.rings) == 0 {
		return
	}
	lo, hi := s.bounds()
	box := image.Rect(int(math.Floor(lo.X)), int(math.Floor(lo.Y)), int(math.Ceil(hi.X))+1, int(math.Ceil(hi.Y))+1)
	seen := box.Intersect(c.pixels(clip))
	if seen.Empty() {
		return
	}
	// Only what is seen is drawn; what lies left of it counts all the same.
	c.ras.Reset(seen.Dx(), seen.Dy())
	at := func(p Point) (x, y float32) {
		return float32(p.X - float64(seen.Min.X)), float32(p.Y - float64(seen.Min.Y))
	}
	for _, r := range s.rings {
		for i, p := range r {
			if x, y := at(p); i == 0 {
				c.ras.MoveTo(x, y)
			} else {
				c.ras.LineTo(x, y)
			}
		}
		c.ras.ClosePath()
	}
	c.ras.Draw(c.dst, seen, image.NewUniform(colourOf(ink)), image.Point{})
}

// flat is how far a straight line may lie from a curve, in pixels.
const flat = 0.1

// ring returns a line as points in pixels.
func (c *canvas) ring(l Line, shift Point) []Point {
	var out []Point
	for i, s := range l.Segments {
		from, c1, c2, to := s.From.plus(shift), s.C1.plus(shift), s.C2.plus(shift), s.To.plus(shift)
		if i == 0 {
			out = append(out, Point{from.X * c.k, from.Y * c.k})
		}
		n := 1
		if !s.Straight {
			bend := max(math.Hypot(from.X-2*c1.X+c2.X, from.Y-2*c1.Y+c2.Y), math.Hypot(c1.X-2*c2.X+to.X, c1.Y-2*c2.Y+to.Y)) * c.k
			n = min(200, 1+int(math.Sqrt(bend/flat)))
		}
		for j := 1; j <= n; j++ {
			t := float64(j) / float64(n)
			u := 1 - t
			a, b, d, e := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
			if s.Straight {
				a, b, d, e = u, 0, 0, t
			}
			out = append(out, Point{
				(a*from.X + b*c1.X + d*c2.X + e*to.X) * c.k,
				(a*from.Y + b*c1.Y + d*c2.Y + e*to.Y) * c.k,
			})
		}
	}
	return out
}

func (c *canvas) path(it Path, shift Point, clip Rect) {
	var rings [][]Point
	for _, l := range it.Lines {
		if r := c.ring(l, shift); len(r) > 1 {
			rings = append(rings, r)
		}
	}
	if it.Fill.On {
		c.fill(&shape{rings}, it.Fill, clip)
	}
	if !it.Stroke.On {
		return
	}
	for _, r := range rings {
		for _, piece := range dashed(r, it.Dash, c.k) {
			c.fill(stroked(piece, it.Width*c.k/2), it.Stroke, clip)
		}
	}
}

// stroked returns a broad line as shapes that all turn the same way: a band for
// each stretch and a disc at each point, so that they may overlap.
func stroked(line []Point, half float64) *shape {
	var s shape
	for i, p := range line {
		disc := make([]Point, 0, 12)
		for j := range 12 {
			sin, cos := math.Sincos(2 * math.Pi * float64(j) / 12)
			disc = append(disc, Point{p.X + half*cos, p.Y + half*sin})
		}
		s.rings = append(s.rings, disc)
		if i == 0 {
			continue
		}
		q := line[i-1]
		dx, dy := p.X-q.X, p.Y-q.Y
		long := math.Hypot(dx, dy)
		if long == 0 {
			continue
		}
		nx, ny := -dy/long*half, dx/long*half
		s.rings = append(s.rings, []Point{{q.X - nx, q.Y - ny}, {p.X - nx, p.Y - ny}, {p.X + nx, p.Y + ny}, {q.X + nx, q.Y + ny}})
	}
	return &s
}

// dashed cuts a line into its dashes; lengths are millimetres.
func dashed(line []Point, dash []float64, k float64) [][]Point {
	total := 0.0
	for _, d := range dash {
		total += d
	}
	if !(total*k > 0.5) {
		return [][]Point{line}
	}
	var out [][]Point
	on, left, i := true, dash[0]*k, 0
	piece := []Point{line[0]}
	for n := 1; n < len(line); n++ {
		a, b := line[n-1], line[n]
		for {
			long := math.Hypot(b.X-a.X, b.Y-a.Y)
			if long <= left {
				left -= long
				piece = append(piece, b)
				break
			}
			t := left / long
			a = Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)}
			if piece = append(piece, a); on {
				out = append(out, piece)
			}
			piece, on = []Point{a}, !on
			i = (i + 1) % len(dash)
			left = max(dash[i]*k, 0.01)
		}
	}
	if on {
		out = append(out, piece)
	}
	return out
}

func (c *canvas) text(it Text, shift Point, clip Rect) {
	f := faceOf(it.Bold)
	size := fixed.Int26_6(math.Round(it.Size * c.k * 64))
	em := float64(f.UnitsPerEm())
	x, y := (it.left()+shift.X)*c.k, (it.At.Y+shift.Y)*c.k
	for _, r := range lettered(it.Words, it.Bold) {
		g, err := f.GlyphIndex(&c.buf, r)
		if err != nil {
			continue
		}
		segments, err := f.LoadGlyph(&c.buf, g, size, nil)
		if err == nil {
			c.fill(glyph(segments, x, y), it.Ink, clip)
		}
		if a, err := f.GlyphAdvance(&c.buf, g, fixed.Int26_6(f.UnitsPerEm())<<6, 0); err == nil {
			x += float64(a) / 64 / em * it.Size * c.k
		}
	}
}

// glyph returns a letter whose origin lies at x, y.
func glyph(segments sfnt.Segments, x, y float64) *shape {
	var s shape
	var ring []Point
	at := func(p fixed.Point26_6) Point { return Point{x + float64(p.X)/64, y + float64(p.Y)/64} }
	for _, g := range segments {
		switch g.Op {
		case sfnt.SegmentOpMoveTo:
			if len(ring) > 2 {
				s.rings = append(s.rings, ring)
			}
			ring = []Point{at(g.Args[0])}
		case sfnt.SegmentOpLineTo:
			ring = append(ring, at(g.Args[0]))
		case sfnt.SegmentOpQuadTo:
			from, c1, to := ring[len(ring)-1], at(g.Args[0]), at(g.Args[1])
			for j := 1; j <= 4; j++ {
				t := float64(j) / 4
				u := 1 - t
				ring = append(ring, Point{u*u*from.X + 2*u*t*c1.X + t*t*to.X, u*u*from.Y + 2*u*t*c1.Y + t*t*to.Y})
			}
		case sfnt.SegmentOpCubeTo:
			ring = append(ring, at(g.Args[2]))
		}
	}
	if len(ring) > 2 {
		s.rings = append(s.rings, ring)
	}
	return &s
}

func (c *canvas) picture(it Picture, shift Point, clip Rect) {
	whole := Rect{it.At.X + shift.X, it.At.Y + shift.Y, it.At.W, it.At.H}
	at := func(v float64) int { return int(math.Round(v * c.k)) }
	box := image.Rect(at(whole.X), at(whole.Y), at(whole.X+whole.W), at(whole.Y+whole.H))
	seen := box.Intersect(c.pixels(clip))
	if seen.Empty() {
		return
	}
	dst := c.dst.SubImage(seen).(draw.Image)
	var how xdraw.Scaler = xdraw.CatmullRom
	if it.Blocky && box.Dx() >= it.Image.Bounds().Dx() {
		how = xdraw.NearestNeighbor
	}
	how.Scale(dst, box, it.Image, it.Image.Bounds(), xdraw.Src, nil)
}
