//go:build !noheic

package photo

import (
	"context"
	"image"
	"math"
	"sync/atomic"
)

// mosaic is the picture that the tiles of a HEIC file make together.
type mosaic struct {
	size, tile image.Point
	chroma     int // as in hevcShape
	ycc        *image.YCbCr
	grey       *image.Gray
}

// newMosaic allocates a picture for tiles of a shape; errHEIFKind where they
// cannot be laid without cutting colour samples.
func newMosaic(p *heifPicture, s hevcShape) (*mosaic, error) {
	m := &mosaic{size: p.size, tile: s.size, chroma: s.chroma}
	fits := func(n, tile, whole int) bool { return (n-1)*tile < whole && n*tile >= whole }
	if !fits(p.cols, s.size.X, p.size.X) || !fits(p.rows, s.size.Y, p.size.Y) {
		return nil, errHEIF
	}
	if p.cols > 1 && (s.chroma == 1 || s.chroma == 2) && s.size.X%2 == 1 || p.rows > 1 && s.chroma == 1 && s.size.Y%2 == 1 {
		return nil, errHEIFKind
	}
	all := image.Rectangle{Max: p.size}
	switch s.chroma {
	case 0:
		m.grey = image.NewGray(all)
	case 1:
		m.ycc = image.NewYCbCr(all, image.YCbCrSubsampleRatio420)
	case 2:
		m.ycc = image.NewYCbCr(all, image.YCbCrSubsampleRatio422)
	default:
		m.ycc = image.NewYCbCr(all, image.YCbCrSubsampleRatio444)
	}
	return m, nil
}

// bytes returns how many bytes the decoder hands over for a tile: planes one
// after another, each row taking stride bytes.
func (m *mosaic) bytes() int64 {
	n := int64(stride(m.tile.X)) * int64(m.tile.Y)
	c := m.chromaSize(m.tile)
	return n + 2*int64(stride(c.X))*int64(c.Y)
}

// stride is the length of a row of n samples as libheif lays them out: filled
// up to 16 bytes, and never under 64. Source: libheif 1.18.2, by its results.
func stride(n int) int { return (max(n, 64) + 15) &^ 15 }

// chromaSize returns the size of a chroma plane under a luma plane.
func (m *mosaic) chromaSize(luma image.Point) image.Point {
	switch m.chroma {
	case 0, 1: // a grey picture comes with two even planes
		return image.Pt((luma.X+1)/2, (luma.Y+1)/2)
	case 2:
		return image.Pt((luma.X+1)/2, luma.Y)
	}
	return luma
}

// lay copies a decoded tile to its place.
func (m *mosaic) lay(col, row int, planes []byte) {
	at := image.Pt(col*m.tile.X, row*m.tile.Y)
	if m.grey != nil {
		layPlane(m.grey.Pix, m.grey.Stride, m.size, at, planes, stride(m.tile.X), m.tile)
		return
	}
	n := stride(m.tile.X) * m.tile.Y
	layPlane(m.ycc.Y, m.ycc.YStride, m.size, at, planes, stride(m.tile.X), m.tile)
	c, whole, corner := m.chromaSize(m.tile), m.chromaSize(m.size), m.chromaSize(at)
	k := stride(c.X) * c.Y
	layPlane(m.ycc.Cb, m.ycc.CStride, whole, corner, planes[n:], stride(c.X), c)
	layPlane(m.ycc.Cr, m.ycc.CStride, whole, corner, planes[n+k:], stride(c.X), c)
}

// layPlane copies a tile's plane into one of size whole, cut where it ends.
func layPlane(dst []byte, dstStride int, whole, at image.Point, src []byte, srcStride int, tile image.Point) {
	w, h := min(tile.X, whole.X-at.X), min(tile.Y, whole.Y-at.Y)
	for y := range h {
		copy(dst[(at.Y+y)*dstStride+at.X:][:w], src[y*srcStride:])
	}
}

// image returns the finished picture, its codes to be read as c says.
func (m *mosaic) image(c codes, crop image.Rectangle) image.Image {
	if m.grey != nil {
		if !c.full {
			widen(m.grey.Pix)
		}
		return m.grey.SubImage(crop)
	}
	if c.matrix == 0 && m.chroma == 3 { // the planes are green, blue and red
		return greenBlueRed(m.ycc, crop)
	}
	part := m.ycc.SubImage(crop).(*image.YCbCr)
	return &scaledImage{part, matrixScale(c.matrix, c.full)}
}

// widen spreads the narrow range of codes, 16 to 235, over 0 to 255.
func widen(pix []byte) {
	var t [256]byte
	for i := range t {
		t[i] = byte(max(0, min(((i-16)*255*2+219)/(2*219), 255)))
	}
	for i, v := range pix {
		pix[i] = t[v]
	}
}

func greenBlueRed(m *image.YCbCr, crop image.Rectangle) image.Image {
	out := image.NewNRGBA(image.Rect(0, 0, crop.Dx(), crop.Dy()))
	for y := range crop.Dy() {
		for x := range crop.Dx() {
			at := m.YOffset(crop.Min.X+x, crop.Min.Y+y)
			c := m.COffset(crop.Min.X+x, crop.Min.Y+y)
			d := out.Pix[out.PixOffset(x, y):][:4]
			d[0], d[1], d[2], d[3] = m.Cr[c], m.Y[at], m.Cb[c], 255
		}
	}
	return out
}

// forEach calls f for 0 to n-1 in up to workers goroutines and told from its
// own, with the share done. It returns the error of the lowest number that
// failed; once one has failed or ctx has ended no more are begun.
func forEach(ctx context.Context, n, workers int, f func(i int) error, told func(float64)) error {
	type result struct {
		i   int
		err error
	}
	var next, bad atomic.Int64
	results := make(chan result, n)
	workers = min(workers, n)
	ended := make(chan struct{}, workers)
	for range workers {
		go func() {
			for bad.Load() == 0 && ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					break
				}
				err := f(i)
				if err != nil {
					bad.Store(1)
				}
				results <- result{i, err}
			}
			ended <- struct{}{}
		}()
	}
	var first error
	lowest, done := n, 0
	take := func(r result) {
		if done++; r.err != nil && r.i < lowest {
			lowest, first = r.i, r.err
		}
		told(float64(done) / float64(n))
	}
	for open := workers; open > 0; {
		select {
		case r := <-results:
			take(r)
		case <-ended:
			open--
		}
	}
	for len(results) > 0 {
		take(<-results)
	}
	if first == nil {
		first = ctx.Err()
	}
	return first
}

// matrixScale returns the factors from YCbCr to RGB for a matrix code of H.273,
// table 4; codes that are not said or not known count as BT.601, as JPEG's.
func matrixScale(matrix int, full bool) yccScale {
	kr, kb := 0.299, 0.114
	switch matrix {
	case 1:
		kr, kb = 0.2126, 0.0722
	case 7:
		kr, kb = 0.212, 0.087
	case 9, 10:
		kr, kb = 0.2627, 0.0593
	}
	if full && kr == 0.299 {
		return jfif
	}
	y, c, black := 255.0/219, 255.0/224, int32(16)
	if full {
		y, c, black = 1, 1, 0
	}
	kg := 1 - kr - kb
	whole := func(v float64) int32 { return int32(math.Round(65536 * v)) }
	s := yccScale{
		y: whole(y), black: black, rCr: whole(2 * c * (1 - kr)), b: whole(2 * c * (1 - kb)),
		gCb: whole(2 * c * kb * (1 - kb) / kg), gCr: whole(2 * c * kr * (1 - kr) / kg),
	}
	if full {
		s.y = jfif.y
	}
	return s
}
