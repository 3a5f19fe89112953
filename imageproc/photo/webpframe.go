package photo

import (
	"encoding/binary"
	"image"
	"image/color"

	"golang.org/x/image/webp"
)

// webpFrame is the first frame of a moving WebP: a still one of its own, and
// where it lies on the canvas.
type webpFrame struct {
	file []byte
	at   image.Point
}

// firstFrame returns the first frame of a moving WebP; false if there is none.
// Source: RFC 9649, 2.7.1.2.
func firstFrame(data []byte) (webpFrame, bool) {
	var f webpFrame
	webpChunks(data, func(name string, body []byte) {
		if name != "ANMF" || f.file != nil || len(body) < 16 {
			return
		}
		u24 := func(b []byte) int { return int(b[0]) | int(b[1])<<8 | int(b[2])<<16 }
		f.at = image.Pt(2*u24(body), 2*u24(body[3:]))
		var inner []byte
		flags := byte(0)
		webpChunks(append(make([]byte, 12), body[16:]...), func(name string, part []byte) {
			switch name {
			case "ALPH":
				flags = 0x10
				inner = appendWebP(inner, name, part)
			case "VP8 ", "VP8L":
				inner = appendWebP(inner, name, part)
			}
		})
		head := append([]byte{flags, 0, 0, 0}, body[6:12]...) // the frame's own width and height
		all := inner
		if flags != 0 {
			all = append(appendWebP(nil, "VP8X", head), inner...)
		}
		f.file = append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(all)+4)), "WEBP"...)
		f.file = append(f.file, all...)
	})
	return f, f.file != nil
}

func appendWebP(b []byte, name string, body []byte) []byte {
	b = binary.LittleEndian.AppendUint32(append(b, name...), uint32(len(body)))
	b = append(b, body...)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

// decodeFrame decodes the first frame of a moving WebP as large as its canvas,
// clear where the frame does not reach.
func (j *job) decodeFrame() (image.Image, error) {
	f, ok := firstFrame(j.data)
	if !ok {
		return webp.Decode(j.source) // the decoder's own words
	}
	j.source.data = f.file
	c, err := webp.DecodeConfig(&source{job: j, data: f.file})
	if err != nil {
		return nil, err
	}
	if err := j.admitSize(pixels{int64(c.Width), int64(c.Height)}); err != nil {
		return nil, err
	}
	img, err := webp.Decode(j.source)
	if err != nil {
		return nil, err
	}
	canvas, _ := webpCanvas(j.data)
	whole := image.Rect(0, 0, int(canvas.x), int(canvas.y))
	if f.at == (image.Point{}) && img.Bounds() == whole {
		return img, nil
	}
	out := image.NewNRGBA(whole)
	lay(out, img, f.at)
	return out, nil
}

// lay copies a decoded WebP picture onto dst, codes unchanged.
func lay(dst *image.NRGBA, img image.Image, at image.Point) {
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := color.NRGBA{A: 255}
			switch m := img.(type) {
			case *image.YCbCr:
				c.R, c.G, c.B = narrowRGB(m.YCbCrAt(x, y))
			case *image.NYCbCrA:
				v := m.NYCbCrAAt(x, y)
				c.R, c.G, c.B = narrowRGB(v.YCbCr)
				c.A = v.A
			default:
				c = color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
			}
			dst.SetNRGBA(at.X+x-b.Min.X, at.Y+y-b.Min.Y, c)
		}
	}
}

// narrowRGB turns a colour of the narrow range, see studio, into RGB codes.
func narrowRGB(c color.YCbCr) (r, g, b uint8) {
	k := studio
	y, cb, cr := (int32(c.Y)-k.black)*k.y+1<<15, int32(c.Cb)-128, int32(c.Cr)-128
	code := func(v int32) uint8 { return uint8(max(0, min(v>>16, 255))) }
	return code(y + k.rCr*cr), code(y - k.gCb*cb - k.gCr*cr), code(y + k.b*cb)
}
