package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"image/color"
	"testing"
)

// inkFile is a TIFF of four inks, w x h, in strips of two rows. Ink number k
// of pixel x, y is 30 x + 20 y + 9 k.
func inkFile(t testing.TB, order binary.AppendByteOrder, w, h, samples, depth, packing int, rising bool) []byte {
	t.Helper()
	each := depth / 8
	var data []byte
	var places, lengths []uint32
	for y0 := 0; y0 < h; y0 += 2 {
		var strip []byte
		for y := y0; y < min(y0+2, h); y++ {
			before := make([]int, samples)
			for x := range w {
				for k := range samples {
					v := 30*x + 20*y + 9*k
					if depth == 16 {
						v = v<<8 | 0x33
					}
					d := v
					if rising {
						d = v - before[k]
						before[k] = v
					}
					if each == 1 {
						strip = append(strip, byte(d))
					} else {
						strip = order.AppendUint16(strip, uint16(d))
					}
				}
			}
		}
		switch packing {
		case 8:
			strip = deflate(strip)
		case 32773:
			var runs []byte
			for i := 0; i < len(strip); { // runs of two where there are any
				if i+1 < len(strip) && strip[i] == strip[i+1] {
					runs = append(runs, 0xff, strip[i])
					i += 2
					continue
				}
				runs = append(runs, 0x80, 0, strip[i])
				i++
			}
			strip = runs
		}
		places, lengths = append(places, uint32(len(data))), append(lengths, uint32(len(strip)))
		data = append(data, strip...)
	}
	depths := make([]uint32, samples)
	for i := range depths {
		depths[i] = uint32(depth)
	}
	predictor := uint32(1)
	if rising {
		predictor = 2
	}
	return buildTIFF(order, data, func(at uint32) [][]field {
		p := make([]uint32, len(places))
		for i := range p {
			p[i] = places[i] + at
		}
		return [][]field{{
			short(tagWidth, uint32(w)), short(tagHeight, uint32(h)), short(tagBits, depths...), short(tagCompression, uint32(packing)),
			short(tagPhotometric, 5), long(tagStripAt, p...), short(tagOrientation, 6), short(tagSamples, uint32(samples)), long(tagRowsPerStrip, 2),
			long(tagStripLen, lengths...), short(tagPlanar, 1), short(tagPredictor, predictor),
		}}
	})
}

// TestInkTIFF opens TIFFs of four inks, packed in each way, as the standard
// library's image/color mixes inks, and turned as they say.
func TestInkTIFF(t *testing.T) {
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		for _, c := range []struct {
			samples, depth, packing int
			rising                  bool
		}{{4, 8, 1, false}, {5, 8, 8, true}, {4, 16, 8, true}, {4, 16, 1, false}, {4, 8, 32773, false}} {
			name := fmt.Sprintf("%v %+v", order, c)
			p := mustDecode(t, inkFile(t, order, 5, 3, c.samples, c.depth, c.packing, c.rising), name)
			if p.Size.X != 3 || p.Size.Y != 5 || p.Profile != "four inks taken as sRGB" || len(p.Notes) != 1 {
				t.Errorf("%s: %v, %s, %q", name, p.Size, p.Profile, p.Notes)
			}
			for y := range 3 {
				for x := range 5 {
					v := uint8(30*x + 20*y)
					r, g, b := color.CMYKToRGB(v, v+9, v+18, v+27)
					near(t, name, codeAt(p.Master, 2-y, x), [3]int{int(r), int(g), int(b)}, 0)
				}
			}
		}
	}
	whole := inkFile(t, binary.LittleEndian, 5, 3, 4, 8, 1, false)
	for n := 1; n < len(whole); n++ {
		if _, err := Decode(context.Background(), whole[:n], "cut.tif", Options{}); err == nil {
			t.Errorf("cut at %d of %d opened", n, len(whole))
		}
	}
	planes := bytes.Clone(whole)
	i := bytes.Index(planes, []byte{0x1c, 1, 3, 0})
	planes[i+8] = 2
	if _, err := Decode(context.Background(), planes, "planes.tif", Options{}); !errors.Is(err, ErrUnsupported) {
		t.Errorf("planes: %v", err)
	}
}

// TestInkLZW: the packing that picture programs prefer, through the decoder of
// Go's own TIFF package: one pixel of four inks as 9-bit codes, by hand.
// Source: TIFF 6.0, section 13: codes 256, the four bytes, 257.
func TestInkLZW(t *testing.T) {
	codes, packed, have, n := []int{256, 10, 20, 30, 40, 257}, []byte{}, 0, 0
	for _, c := range codes {
		have, n = have<<9|c, n+9
		for ; n >= 8; n -= 8 {
			packed = append(packed, byte(have>>(n-8)))
		}
	}
	packed = append(packed, byte(have<<(8-n)))
	out := make([]byte, 4)
	if err := (inkTIFF{packing: 5}).unpack(out, bytes.NewReader(packed)); err != nil || !bytes.Equal(out, []byte{10, 20, 30, 40}) {
		t.Errorf("% d, %v", out, err)
	}
}
