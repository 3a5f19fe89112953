package photo

import (
	"context"
	"errors"
	"fmt"
	"image"
	"runtime"
	"sync"

	"atelier/halflid/imageproc"
)

// errNoPixels is what average returns for an empty image.
var errNoPixels = errors.New("photo: image without pixels")

// maxBands bounds the goroutines of one average: memory limits more.
const maxBands = 8

// average returns img in linear sRGB, turned upright by its EXIF orientation,
// area-averaged so that its long side is at most side. Each output pixel is the
// mean light of the exact, possibly fractional, rectangle of pixels under it.
// Rows are summed first and columns after, so that columns are met once per
// output row. told, if not nil, hears the share done, 0 to 1, from the calling
// goroutine. A panic in any goroutine comes back as an error.
func average(ctx context.Context, img image.Image, c *curves, side, orientation int, told func(float64)) (imageproc.Picture, error) {
	size := img.Bounds().Size()
	if size.X <= 0 || size.Y <= 0 {
		return imageproc.Picture{}, errNoPixels
	}
	if deep(img) {
		c.prepareDeep()
	}
	small := fit(size, side)
	out := placed{size: small, orientation: orientation}
	if orientation >= 5 {
		out.pic = imageproc.NewPicture(small.Y, small.X)
	} else {
		out.pic = imageproc.NewPicture(small.X, small.Y)
	}
	work := &averaging{
		ctx: ctx, out: out, mix: c.mix,
		cols: spans(size.X, small.X), rows: spans(size.Y, small.Y),
		scale: float32(float64(small.X) * float64(small.Y) / (float64(size.X) * float64(size.Y))),
	}
	bands := max(1, min(runtime.GOMAXPROCS(0), maxBands, small.Y/16))
	errs := make([]error, bands)
	var wg sync.WaitGroup
	for b := 1; b < bands; b++ {
		wg.Go(func() {
			errs[b] = work.band(img, c, b*small.Y/bands, (b+1)*small.Y/bands, nil)
		})
	}
	errs[0] = work.band(img, c, 0, small.Y/bands, told)
	wg.Wait()
	return out.pic, errors.Join(errs...)
}

// fit returns size scaled down so that its long side is at most side, neither
// side below 1; never up.
func fit(size image.Point, side int) image.Point {
	long := max(size.X, size.Y)
	if long <= side {
		return size
	}
	scaled := func(v int) int { return max(1, int((int64(v)*int64(side)*2+int64(long))/(2*int64(long)))) }
	return image.Pt(scaled(size.X), scaled(size.Y))
}

// span is the run of source pixels i to j that one output pixel covers: the
// first with weight first, the last with weight last, those between wholly.
// Where i == j, last is 0.
type span struct {
	i, j        int
	first, last float32
}

func (s span) weight(k int) float32 {
	switch k {
	case s.i:
		return s.first
	case s.j:
		return s.last
	}
	return 1
}

// spans divides n source pixels into m <= n equal runs.
func spans(n, m int) []span {
	out := make([]span, m)
	for d := range out {
		lo, hi := int64(d)*int64(n), int64(d+1)*int64(n)
		s := span{i: int(lo / int64(m)), j: int(hi / int64(m))}
		s.first = float32(1 - float64(lo%int64(m))/float64(m))
		s.last = float32(float64(hi%int64(m)) / float64(m))
		if s.last == 0 {
			s.j--
			s.last = 1
		}
		if s.i == s.j {
			s.last = 0
		}
		out[d] = s
	}
	return out
}

// averaging is what the goroutines of one average share; they write to
// different rows of out.
type averaging struct {
	ctx        context.Context
	out        placed
	cols, rows []span
	scale      float32
	mix        *mixer
}

// band computes the output rows lo to hi.
func (a *averaging) band(img image.Image, c *curves, lo, hi int, told func(float64)) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("photo: conversion panicked: %v", r)
		}
	}()
	src := rowsOf(img, c) // inside the recovery: a strange palette may panic already
	last := a.cols[len(a.cols)-1]
	acc := make([]float32, 3*(last.j+1))
	one := make([]float32, len(acc))
	held := -1 // the source row that one holds
	for y := lo; y < hi; y++ {
		if err := a.ctx.Err(); err != nil {
			return err
		}
		span, begun := a.rows[y], false
		for k := span.i; k <= span.j; k++ {
			switch w := span.weight(k); {
			case begun && w == 1 && k != held:
				src.add(k, acc)
				continue
			case k != held:
				src.row(k, one)
				held = k
				fallthrough
			default:
				weigh(acc, one, w, begun)
			}
			begun = true
		}
		a.finish(y, acc)
		if told != nil {
			told(float64(y-lo+1) / float64(hi-lo))
		}
	}
	return nil
}

// weigh adds w times one to acc, or sets acc to it. Both hold whole pixels, so
// three at a time leave nothing over.
func weigh(acc, one []float32, w float32, add bool) {
	if !add {
		for i := 0; i+3 <= len(acc); i += 3 {
			a, o := acc[i:i+3], one[i:i+3]
			a[0], a[1], a[2] = w*o[0], w*o[1], w*o[2]
		}
		return
	}
	for i := 0; i+3 <= len(acc); i += 3 {
		a, o := acc[i:i+3], one[i:i+3]
		a[0] += float32(w * o[0])
		a[1] += float32(w * o[1])
		a[2] += float32(w * o[2])
	}
}

// finish averages the columns of a summed row and stores output row y.
func (a *averaging) finish(y int, acc []float32) {
	r, g, b, at, step := a.out.row(y)
	for _, s := range a.cols {
		p := acc[3*s.i : 3*s.i+3]
		v0, v1, v2 := float32(s.first*p[0]), float32(s.first*p[1]), float32(s.first*p[2])
		if s.j > s.i {
			mid := acc[3*s.i+3 : 3*s.j]
			for ; len(mid) >= 3; mid = mid[3:] {
				v0 += mid[0]
				v1 += mid[1]
				v2 += mid[2]
			}
			p = acc[3*s.j : 3*s.j+3]
			v0 += float32(s.last * p[0])
			v1 += float32(s.last * p[1])
			v2 += float32(s.last * p[2])
		}
		v0, v1, v2 = v0*a.scale, v1*a.scale, v2*a.scale
		if a.mix != nil {
			v0, v1, v2 = insideSRGB(a.mix.apply(v0, v1, v2))
		}
		r[at], g[at], b[at] = unit(v0), unit(v1), unit(v2)
		at += step
	}
}

// unit clamps v, which is never NaN, to 0..1.
func unit(v float32) float32 {
	if v < 0 {
		return 0
	}
	if v > 1 {
		return 1
	}
	return v
}

// placed puts rows of the picture as stored where they belong upright.
type placed struct {
	pic         imageproc.Picture
	size        image.Point // as stored
	orientation int
}

// row returns the planes' pixels, the index of the first pixel of stored row y
// and the step from there to each next pixel of that row.
// Source: Exif 2.3 (CIPA DC-008-2012), tag 0x0112.
func (p placed) row(y int) (r, g, b []float32, at, step int) {
	w, h := p.size.X, p.size.Y
	switch p.orientation {
	case 2: // mirrored left to right
		at, step = y*w+w-1, -1
	case 3: // upside down
		at, step = (h-1-y)*w+w-1, -1
	case 4: // mirrored top to bottom
		at, step = (h-1-y)*w, 1
	case 5: // row y becomes column y
		at, step = y, h
	case 6: // row y becomes column h-1-y, read downwards
		at, step = h-1-y, h
	case 7: // row y becomes column h-1-y, read upwards
		at, step = (w-1)*h+h-1-y, -h
	case 8: // row y becomes column y, read upwards
		at, step = (w-1)*h+y, -h
	default:
		at, step = y*w, 1
	}
	return p.pic.R.Pix, p.pic.G.Pix, p.pic.B.Pix, at, step
}
