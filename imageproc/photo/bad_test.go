package photo

import (
	"context"
	"encoding/binary"
	"errors"
	"math/rand/v2"
	"strings"
	"testing"
)

// hugeJPEG is a JPEG's beginning that claims w by h pixels.
func hugeJPEG(w, h int) []byte {
	return []byte{
		0xff, 0xd8, 0xff, 0xc0, 0, 17, 8, byte(h >> 8), byte(h), byte(w >> 8), byte(w), 3,
		1, 0x22, 0, 2, 0x11, 1, 3, 0x11, 1, 0xff, 0xda, 0, 12, 3, 1, 0, 2, 0x11, 3, 0x11, 0, 63, 0, 1, 2, 3,
	}
}

func hugePNG(w, h uint32) []byte {
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	return append(append([]byte("\x89PNG\r\n\x1a\n"), pngChunk("IHDR", append(head, 8, 2, 0, 0, 0))...), pngChunk("IDAT", deflate(make([]byte, 100)))...)
}

func hugeBMP(w, h uint32) []byte {
	b := binary.LittleEndian.AppendUint32([]byte("BM"), 54)
	b = binary.LittleEndian.AppendUint32(append(b, 0, 0, 0, 0), 54)
	b = binary.LittleEndian.AppendUint32(b, 40)
	b = binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint32(b, w), h)
	return append(append(b, 1, 0, 24, 0), make([]byte, 24)...)
}

func hugeTIFF(w, h uint32) []byte {
	return buildTIFF(binary.LittleEndian, make([]byte, 64), func(at uint32) [][]field {
		return [][]field{{long(256, w), long(257, h), short(258, 8), short(259, 1), short(262, 1), long(273, at), short(277, 1), long(278, h), long(279, 64)}}
	})
}

func hugeWebP(t testing.TB, w, h int) []byte {
	return extendWebP(t, fixture(t, "boats-lossless.webp"), 0, w, h, nil, nil)
}

func hugeGIF(w, h uint16) []byte {
	b := binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16([]byte("GIF89a"), w), h)
	b = append(b, 0x80, 0, 0, 0, 0, 0, 255, 255, 255, ',', 0, 0, 0, 0)
	b = binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16(b, w), h)
	return append(b, 0, 2, 2, 0x4c, 0x01, 0, ';')
}

func TestRefused(t *testing.T) {
	rawFile := buildTIFF(binary.LittleEndian, make([]byte, 64), func(at uint32) [][]field {
		return [][]field{{
			long(tagSubfile, 1), long(256, 8), long(257, 8), short(258, 8), short(259, 1), short(262, 1), long(273, at),
			short(277, 1), long(278, 8), long(279, 64), long(tagSubIFDs, 8),
		}}
	})
	dng := buildTIFF(binary.BigEndian, nil, func(uint32) [][]field { return [][]field{{undef(tagDNG, []byte{1, 4, 0, 0})}} })
	heicKind := ErrTruncated
	if !opensHEIC {
		heicKind = ErrUnsupported
	}
	inner := hugeTIFF(8, 8)
	binary.LittleEndian.PutUint16(inner[8+2+12*2+8:], 7) // 7 bits a sample
	for _, c := range []struct {
		name string
		data []byte
		kind error
		word string
	}{
		{"empty.jpg", nil, ErrEmpty, "empty"},
		{"notes.jpg", []byte("low tide at six, bring the long brush\n"), ErrNotPicture, "text"},
		{"notes.png", []byte("BMW? no: a letter that begins like a bitmap"), ErrNotPicture, "text"},
		{"noise.jpg", []byte{1, 2, 3, 250, 0, 9, 255, 7}, ErrNotPicture, "not a kind of picture"},
		{"one.jpg", []byte{0xff}, ErrNotPicture, "not a kind"},
		{"page.jpg", []byte("%PDF-1.7 ..."), ErrUnsupported, "PDF"},
		{"logo.png", []byte("<?xml version=\"1.0\"?><svg xmlns=\"\"/>"), ErrUnsupported, "SVG"},
		{"phone.jpg", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), heicKind, ""},
		{"phone2.jpg", []byte("\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00mif1heix"), heicKind, ""},
		{"web.png", []byte("\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00mif1avif"), ErrTruncated, ""},
		{"film.jpg", []byte("\x00\x00\x00\x18ftypisom\x00\x00\x00\x00isommp42"), ErrNotPicture, "not a kind"},
		{"new.cr3", []byte("\x00\x00\x00\x18ftypcrx \x00\x00\x00\x01crx isom"), ErrUnsupported, "raw camera file holds no picture"},
		{"old.cr2", []byte("II*\x00\x10\x00\x00\x00CR\x02\x00"), ErrUnsupported, "raw camera file holds no picture"},
		{"camera.nef", rawFile, ErrUnsupported, "raw camera file holds no picture"},
		{"camera.dng", dng, ErrUnsupported, "raw camera file holds no picture"},
		{"a.jxl", []byte("\xff\x0a\x00\x10"), ErrUnsupported, "JPEG XL"},
		{"odd.tif", inner, ErrUnsupported, "this sort of TIFF"},
		{"runs.bmp", fixture(t, "boats-rle.bmp"), ErrUnsupported, "this sort of BMP"},
		{"moving.webp", extendWebP(t, fixture(t, "boats-lossless.webp"), 2, 32, 64, nil, nil), ErrDamaged, ""},
		{"huge.jpg", hugeJPEG(65500, 65500), ErrTooLarge, "65500 x 65500"},
		{"huge.png", hugePNG(100000, 100000), ErrTooLarge, "100000 x 100000 pixels is more than the 150 million"},
		{"huge.bmp", hugeBMP(100000, 100000), ErrTooLarge, "100000 x"},
		{"huge.tif", hugeTIFF(100000, 100000), ErrTooLarge, "100000 x"},
		{"huge.webp", hugeWebP(t, 100000, 100000), ErrTooLarge, "100000 x"},
		{"huge.gif", hugeGIF(65535, 65535), ErrTooLarge, "65535 x"},
		{"hollow.jpg", hugeJPEG(12000, 12000), ErrTruncated, "cannot be in a file of only 38 bytes"},
		{"hollow.png", hugePNG(12000, 12000), ErrTruncated, "12000 x 12000"},
		{"hollow.bmp", hugeBMP(12000, 12000), ErrTruncated, "12000 x"},
		{"hollow.tif", hugeTIFF(12000, 12000), ErrTruncated, "12000 x"},
		{"hollow.webp", hugeWebP(t, 12000, 12000), ErrTruncated, "12000 x"},
		{"hollow.gif", hugeGIF(12000, 12000), ErrTruncated, "12000 x"},
		{"nothing.png", hugePNG(0, 7), ErrDamaged, ""},
		{"edge.png", hugePNG(1<<31-1, 1<<31-1), ErrTooLarge, ""},
		{"line.png", hugePNG(100_001, 1), ErrTooLarge, "100001 x 1 pixels has a longer side than the 100000 pixels"},
		{"thread.bmp", hugeBMP(1, 140_000_000), ErrTooLarge, "a longer side"},
	} {
		p, err := Decode(context.Background(), c.data, c.name, Options{})
		if p != nil || !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.word) {
			t.Errorf("%s: %v; want %v with %q", c.name, err, c.kind, c.word)
			continue
		}
		if !strings.HasPrefix(err.Error(), c.name+": ") || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: not one line with the name first: %q", c.name, err)
		}
		kinds := 0
		for _, k := range []error{ErrEmpty, ErrNotPicture, ErrTooLarge, ErrTruncated, ErrDamaged, ErrUnsupported} {
			if errors.Is(err, k) {
				kinds++
			}
		}
		if kinds != 1 {
			t.Errorf("%s: %d sentinels", c.name, kinds)
		}
	}
}

func TestLimits(t *testing.T) {
	data := encodeJPEG(t, harbour(100, 80), 80)
	for _, c := range []struct {
		opt   Options
		want  error
		limit Limit
	}{
		{Options{MaxPixels: 8000, MaxBytes: int64(len(data))}, nil, NoLimit},
		{Options{MaxPixels: 7999}, ErrTooLarge, ByPixels},
		{Options{MaxBytes: int64(len(data)) - 1}, ErrTooLarge, ByBytes},
		{Options{MaxMemory: 1 << 20}, ErrTooLarge, ByMemory},
	} {
		_, err := Decode(context.Background(), data, "a.jpg", c.opt)
		if !errors.Is(err, c.want) {
			t.Errorf("%+v: %v", c.opt, err)
		}
		var e *Error
		if errors.As(err, &e) && e.Limit != c.limit {
			t.Errorf("%+v: limit %d", c.opt, e.Limit)
		}
	}
}

func TestErrorNamesAreSafe(t *testing.T) {
	for name, want := range map[string]string{
		"dir/\x1b]0;owned\x07tide\u202e.jpg": "tide.jpg: ",
		"\x1b[2J":                            "the picture: ",
		"":                                   "the picture: ",
	} {
		_, err := Decode(context.Background(), nil, name, Options{})
		if !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %q", name, err)
		}
	}
}

// TestCutShort cuts each file at many places: always an error, never a
// panic, and for the common formats nearly always the right word.
func TestCutShort(t *testing.T) {
	files := map[string][]byte{
		"a.jpg": encodeJPEG(t, harbour(64, 48), 90), "p.jpg": fixture(t, "boats-progressive.jpg"), "c.jpg": fixture(t, "boats-cmyk.jpg"),
		"a.png": encodePNG(t, harbour(64, 48)), "a.webp": fixture(t, "boats-lossless.webp"), "l.webp": fixture(t, "boats-lossy.webp"),
		"a.tif": fixture(t, "boats-lzw.tif"), "a.gif": hugeGIF(1, 1),
	}
	for name, data := range files {
		for n := 1; n < len(data); n += max(1, len(data)/97) {
			p, err := Decode(context.Background(), data[:n], name, Options{})
			if err == nil {
				if name == "a.tif" || strings.HasSuffix(name, "webp") || name == "a.gif" {
					continue // what is missing there holds no pixels
				}
				t.Errorf("%s cut at %d of %d opened as %v", name, n, len(data), p.Size)
				continue
			}
			var e *Error
			if !errors.As(err, &e) {
				t.Errorf("%s cut at %d: %v is no *Error", name, n, err)
			}
			if n > 40 && strings.HasSuffix(name, ".jpg") && !errors.Is(err, ErrTruncated) {
				t.Errorf("%s cut at %d: %v", name, n, err)
			}
		}
	}
	half := files["a.png"][:len(files["a.png"])/2]
	if _, err := Decode(context.Background(), half, "half.png", Options{}); !errors.Is(err, ErrTruncated) {
		t.Errorf("half a PNG: %v", err)
	}
}

// TestScrambled changes bytes at random: any result but a panic.
func TestScrambled(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for _, name := range []string{
		"boats-420.jpg", "boats-progressive.jpg", "boats-cmyk.jpg", "boats-palette2.png", "boats-interlaced.png",
		"boats-lossy.webp", "boats-lossless.webp", "boats-alpha.webp", "boats-lzw.tif", "boats-rle.bmp",
	} {
		whole := fixture(t, name)
		for range 150 {
			data := append([]byte{}, whole...)
			for range 1 + rng.IntN(4) {
				data[rng.IntN(len(data))] = byte(rng.UintN(256))
			}
			p, err := Decode(context.Background(), data, name, Options{MaxPixels: 1 << 20})
			if (p == nil) == (err == nil) {
				t.Fatalf("%s: %v, %v", name, p, err)
			}
		}
	}
	for range 300 {
		data := make([]byte, rng.IntN(200))
		for i := range data {
			data[i] = byte(rng.UintN(256))
		}
		if _, err := Decode(context.Background(), data, "random", Options{}); err == nil {
			t.Fatalf("% x opened", data)
		}
	}
}

// TestPaletteFiles: files whose pixels name colours that their palettes lack.
func TestPaletteFiles(t *testing.T) {
	head := []byte{0, 0, 0, 4, 0, 0, 0, 1, 8, 3, 0, 0, 0}
	file := append([]byte("\x89PNG\r\n\x1a\n"), pngChunk("IHDR", head)...)
	file = append(file, pngChunk("PLTE", []byte{255, 255, 255, 200, 80, 60})...)
	file = append(append(file, pngChunk("IDAT", deflate([]byte{0, 0, 1, 200, 255}))...), pngChunk("IEND", nil)...)
	p := mustDecode(t, file, "short.png")
	for x, want := range [][3]int{{255, 255, 255}, {200, 80, 60}, {0, 0, 0}, {0, 0, 0}} {
		near(t, "PNG", codeAt(p.Master, x, 0), want, 0)
	}
	b := binary.LittleEndian.AppendUint32([]byte("BM\x00\x00\x00\x00\x00\x00\x00\x00"), 14+40+8)
	for _, v := range []uint32{40, 4, 1, 8<<16 | 1, 0, 0, 0, 0, 2, 0} {
		b = binary.LittleEndian.AppendUint32(b, v)
	}
	b = append(b, 255, 255, 255, 0, 60, 80, 200, 0, 0, 1, 200, 255)
	q, err := Decode(context.Background(), b, "short.bmp", Options{})
	if err == nil {
		near(t, "BMP", codeAt(q.Master, 1, 0), [3]int{200, 80, 60}, 0)
		near(t, "BMP outside", codeAt(q.Master, 3, 0), [3]int{0, 0, 0}, 0)
	} else if !errors.Is(err, ErrDamaged) {
		t.Error(err)
	}
}

// TestPanicBecomesError: whatever panics below Decode comes back as ErrDamaged.
func TestPanicBecomesError(t *testing.T) {
	_, err := Decode(context.Background(), fixture(t, "boats-420.jpg"), "a.jpg", Options{Progress: func(float64) { panic("tide") }})
	if !errors.Is(err, ErrDamaged) {
		t.Errorf("got %v", err)
	}
}

func TestSniff(t *testing.T) {
	for want, data := range map[string][]byte{
		"JPEG": fixture(t, "boats-420.jpg"), "PNG": encodePNG(t, letters(2)), "GIF": hugeGIF(1, 1), "TIFF": fixture(t, "boats-lzw.tif"),
		"BMP": fixture(t, "boats-rle.bmp"), "WebP": fixture(t, "boats-lossy.webp"), "": {0xff, 0xd8}, "text": []byte("grüße"),
	} {
		if got := Sniff(data); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if got := Sniff(nil); got != "" {
		t.Errorf("nothing is %q", got)
	}
	long := strings.Repeat("é", 400)[:513] // cut in the middle of a letter
	if got := Sniff([]byte("x" + long)); got != "text" {
		t.Errorf("long text is %q", got)
	}
}
