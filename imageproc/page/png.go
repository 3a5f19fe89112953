package page

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
)

// ErrTooLarge is what WritePNG returns for a page of more pixels than fit into
// memory.
var ErrTooLarge = errors.New("page: too many pixels")

// mostPixels is the largest picture of a page.
const mostPixels = 120_000_000

// WritePNG writes one page as a PNG of dpi pixels an inch, which the file says
// itself, with the mark as text under the keyword "Plan". The same document gives
// the same bytes. It panics as WriteSVG does and on a dpi below 1; the error is
// ErrTooLarge, or w's.
func WritePNG(w io.Writer, d Document, page int, dpi float64) error {
	p := d.one(page)
	if !(dpi >= 1) {
		panic(fmt.Sprintf("page: %g pixels an inch", dpi))
	}
	if wide, high := p.W/Inch*dpi, p.H/Inch*dpi; wide*high > mostPixels {
		return fmt.Errorf("%w: %.0f by %.0f; choose fewer pixels an inch", ErrTooLarge, wide, high)
	}
	var img image.Image = Draw(p, dpi)
	if grey, ok := asGrey(img.(*image.NRGBA)); ok {
		img = grey
	}
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := enc.Encode(&b, img); err != nil {
		return fmt.Errorf("page: writing PNG: %w", err)
	}
	const head = 8 + 25 // signature and IHDR
	var density [9]byte
	perMetre := uint32(math.Round(dpi / Inch * 1000))
	binary.BigEndian.PutUint32(density[0:], perMetre)
	binary.BigEndian.PutUint32(density[4:], perMetre)
	density[8] = 1
	out := bytes.NewBuffer(make([]byte, 0, b.Len()+200))
	out.Write(b.Bytes()[:head])
	out.Write(chunk("pHYs", density[:]))
	if d.Mark != "" {
		out.Write(chunk("tEXt", []byte("Plan\x00"+d.Mark)))
	}
	out.Write(b.Bytes()[head:])
	_, err := w.Write(out.Bytes())
	return err
}

// chunk returns a part of a PNG file. Source: W3C PNG (third edition) 5.3.
func chunk(kind string, data []byte) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	out = append(append(out, kind...), data...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[4:]))
}

// asGrey returns a picture without colour as a grey one, if it is that.
func asGrey(p *image.NRGBA) (*image.Gray, bool) {
	out := image.NewGray(p.Rect)
	for i := range out.Pix {
		r := p.Pix[4*i]
		if p.Pix[4*i+1] != r || p.Pix[4*i+2] != r {
			return nil, false
		}
		out.Pix[i] = r
	}
	return out, true
}

// colourOf is an ink for drawing.
func colourOf(k Ink) color.NRGBA { return color.NRGBA{k.Colour.R, k.Colour.G, k.Colour.B, 255} }
