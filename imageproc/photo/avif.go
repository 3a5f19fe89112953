package photo

import (
	"context"
	"image"
	"sync"
	_ "unsafe" // for the link below

	_ "github.com/gen2brain/avif" // carries the decoder
)

// avifWasm is libavif with libaom, compiled to WebAssembly and packed, as the
// avif package carries it; see heifWasm for why its own Decode is not used.
//
//go:linkname avifWasm github.com/gen2brain/avif.decodeWasm
var avifWasm []byte

var avifEngine = sync.OnceValues(func() (*engine, error) { return newEngine(avifWasm, 1) })

// The memory that the decoder takes: 24 bytes a pixel for 8 bits, 35 for more,
// measured on pictures of 3, 12 and 24 million pixels. It is bounded at a
// quarter above that. Source: ours.
const (
	avifBase     = 8 << 20
	avifPerPixel = 36
)

// decodeAVIF decodes a picture of known size. Its orientation and crop are not
// applied by the decoder. The result keeps the decoder's memory.
func decodeAVIF(ctx context.Context, data []byte, p *heifPicture) (image.Image, error) {
	e, err := avifEngine()
	if err != nil {
		return nil, err
	}
	var img image.Image
	need := avifBase + avifPerPixel*int64(p.size.X)*int64(p.size.Y) + int64(len(data))
	err = e.run(ctx, need, need+need/4, func(s *sandbox) (err error) {
		img, err = runAVIF(s, data, p.size)
		return err
	})
	if err != nil {
		return nil, err
	}
	return subImage(img, p.crop), nil
}

// subImage returns the part of an image that crop shows.
func subImage(img image.Image, crop image.Rectangle) image.Image {
	if part, ok := img.(interface {
		SubImage(image.Rectangle) image.Image
	}); ok && crop != img.Bounds() {
		return part.SubImage(crop)
	}
	return img
}

func runAVIF(s *sandbox, data []byte, size image.Point) (image.Image, error) {
	in, err := s.put(data)
	if err != nil {
		return nil, err
	}
	about, err := s.alloc(16 + 8) // width, height, depth, count; the time a frame is shown
	if err != nil {
		return nil, err
	}
	ask := func(configOnly uint64, out uint32) error {
		ok, err := s.call("decode", uint64(in), uint64(len(data)), configOnly, 0,
			uint64(about), uint64(about+4), uint64(about+8), uint64(about+12), uint64(about+16), uint64(out))
		if err == nil && uint32(ok) == 0 {
			err = errSandbox
		}
		return err
	}
	if err := ask(1, 0); err != nil {
		return nil, err
	}
	v, err := s.numbers(about, 3)
	if err != nil {
		return nil, err
	}
	if int(v[0]) != size.X || int(v[1]) != size.Y {
		return nil, errSandbox
	}
	each := 4
	if v[2] > 8 {
		each = 8
	}
	n := int64(each) * int64(size.X) * int64(size.Y)
	out, err := s.alloc(n)
	if err != nil {
		return nil, err
	}
	// A frame that cannot be decoded leaves the pixels as they were, without
	// an error: a mark in the first, which no premultiplied pixel has, tells.
	first, err := s.view(out, int64(each))
	if err != nil {
		return nil, err
	}
	mark := [8]byte{0xff, 0xff, 0xff, 0}
	if each == 8 {
		mark = [8]byte{0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0, 0}
	}
	copy(first, mark[:each])
	if err := ask(0, out); err != nil {
		return nil, err
	}
	pix, err := s.view(out, n)
	if err != nil {
		return nil, err
	}
	if string(pix[:each]) == string(mark[:each]) {
		return nil, errSandbox
	}
	all := image.Rectangle{Max: size}
	if each == 4 {
		return &image.RGBA{Pix: pix, Stride: 4 * size.X, Rect: all}, nil
	}
	for i := 0; i+1 < len(pix); i += 2 { // the decoder's numbers have their low byte first
		pix[i], pix[i+1] = pix[i+1], pix[i]
	}
	return &image.RGBA64{Pix: pix, Stride: 8 * size.X, Rect: all}, nil
}
