package photo

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// This file builds the files that the tests open.

func fixture(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "fixtures", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func mustDecode(t testing.TB, data []byte, name string) *Photo {
	t.Helper()
	p, err := Decode(context.Background(), data, name, Options{})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return p
}

func codeAt(p imageproc.Picture, x, y int) [3]int {
	var c [3]int
	for i, plane := range p.Planes() {
		c[i] = int(palette.Encode8(palette.Light(plane.At(x, y))))
	}
	return c
}

// near reports an error unless got and want differ by at most tol codes.
func near(t testing.TB, what string, got, want [3]int, tol int) {
	t.Helper()
	for i := range got {
		if d := got[i] - want[i]; d > tol || -d > tol {
			t.Errorf("%s: code %v, want %v within %d", what, got, want, tol)
			return
		}
	}
}

func encodePNG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func encodeJPEG(t testing.TB, m image.Image, quality int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// harbour is an invented scene: a bright sky over dark water with a hull.
func harbour(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{uint8(150 + 100*y/h), uint8(170 + 60*y/h), 220, 255}
			if y > h/2 {
				c = color.RGBA{uint8(30 + 40*x/w), 60, uint8(80 + 20*(x*7/w%2)), 255}
			}
			if x > w/4 && x < w/2 && y > h*2/5 && y < h*3/5 {
				c = color.RGBA{190, 70, 40, 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	return m
}

// field is one entry of a TIFF directory: numbers of type SHORT or LONG, or bytes.
type field struct {
	tag  uint16
	typ  uint16
	nums []uint32
	raw  []byte
}

func short(tag uint16, v ...uint32) field { return field{tag: tag, typ: 3, nums: v} }
func long(tag uint16, v ...uint32) field  { return field{tag: tag, typ: 4, nums: v} }
func undef(tag uint16, b []byte) field    { return field{tag: tag, typ: 7, raw: b} }

// buildTIFF lays out directories one after another, each linked to the next,
// then tail; patch may set fields once the offset of tail is known.
func buildTIFF(order binary.AppendByteOrder, tail []byte, dirs func(tailAt uint32) [][]field) []byte {
	build := func(tailAt uint32) []byte {
		b := []byte("II*\x00")
		if order.String() == binary.BigEndian.String() {
			b = []byte("MM\x00*")
		}
		b = order.AppendUint32(b, 8)
		list := dirs(tailAt)
		for n, dir := range list {
			extraAt := uint32(len(b) + 2 + 12*len(dir) + 4)
			var extra []byte
			b = order.AppendUint16(b, uint16(len(dir)))
			for _, f := range dir {
				val, count := f.raw, len(f.raw)
				for _, v := range f.nums {
					count++
					if f.typ == 3 {
						val = order.AppendUint16(val, uint16(v))
					} else {
						val = order.AppendUint32(val, v)
					}
				}
				b = order.AppendUint16(b, f.tag)
				b = order.AppendUint16(b, f.typ)
				b = order.AppendUint32(b, uint32(count))
				if len(val) <= 4 {
					b = append(b, append(val, 0, 0, 0, 0)[:4]...)
					continue
				}
				b = order.AppendUint32(b, extraAt+uint32(len(extra)))
				extra = append(extra, val...)
			}
			next := uint32(0)
			if n+1 < len(list) {
				next = extraAt + uint32(len(extra))
			}
			b = append(order.AppendUint32(b, next), extra...)
		}
		return append(b, tail...)
	}
	return build(uint32(len(build(0)) - len(tail)))
}

// exifBlock is an EXIF block with an orientation and, if thumb is not nil, a thumbnail.
func exifBlock(order binary.AppendByteOrder, orientation uint32, thumb []byte) []byte {
	return buildTIFF(order, thumb, func(at uint32) [][]field {
		dirs := [][]field{{short(tagOrientation, orientation)}}
		if thumb != nil {
			dirs = append(dirs, []field{short(tagCompression, 6), long(tagThumbAt, at), long(tagThumbLen, uint32(len(thumb)))})
		}
		return dirs
	})
}

// withSegment inserts a JPEG segment behind the start marker.
func withSegment(file []byte, marker byte, body []byte) []byte {
	out := append([]byte{}, file[:2]...)
	out = append(out, 0xff, marker)
	out = binary.BigEndian.AppendUint16(out, uint16(len(body)+2))
	return append(append(out, body...), file[2:]...)
}

func withEXIF(file, block []byte) []byte {
	return withSegment(file, 0xe1, append([]byte("Exif\x00\x00"), block...))
}

func pngChunk(name string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, name...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// withChunk inserts a PNG chunk behind the header chunk.
func withChunk(file []byte, name string, body []byte) []byte {
	const after = 8 + 25
	return append(append(append([]byte{}, file[:after]...), pngChunk(name, body)...), file[after:]...)
}

func deflate(b []byte) []byte {
	var out bytes.Buffer
	z := zlib.NewWriter(&out)
	z.Write(b)
	z.Close()
	return out.Bytes()
}

func webpChunk(name string, body []byte) []byte {
	b := binary.LittleEndian.AppendUint32([]byte(name), uint32(len(body)))
	b = append(b, body...)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

// extendWebP wraps the picture chunk of a simple WebP in the extended form.
func extendWebP(t testing.TB, simple []byte, flags byte, w, h int, before, after []byte) []byte {
	t.Helper()
	var picture []byte
	webpChunks(simple, func(name string, body []byte) { picture = webpChunk(name, body) })
	if picture == nil {
		t.Fatal("no chunk in the WebP fixture")
	}
	head := []byte{flags, 0, 0, 0, byte(w - 1), byte((w - 1) >> 8), byte((w - 1) >> 16), byte(h - 1), byte((h - 1) >> 8), byte((h - 1) >> 16)}
	body := append(webpChunk("VP8X", head), before...)
	body = append(append(body, picture...), after...)
	out := binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body)+4))
	return append(append(out, "WEBP"...), body...)
}
