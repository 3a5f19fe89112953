package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"image"
	"strings"
	"testing"
)

// rawShot is a JPEG as a camera puts it into its raw files.
func rawShot(t testing.TB, w, h int) []byte { return encodeJPEG(t, harbour(w, h), 85) }

// losslessJPEG begins as raw data packed without loss do: SOF3, which no
// decoder of pictures opens.
func losslessJPEG() []byte {
	b := hugeJPEG(6000, 4000)
	b[3] = 0xc3
	return b
}

// rawTIFF builds a raw file on TIFF: a directory with a small picture, one
// inside it (SubIFDs) with a large one, and one behind with raw data.
func rawTIFF(order binary.AppendByteOrder, small, large []byte, orientation uint32) []byte {
	data := append(append([]byte{}, small...), large...)
	raw := losslessJPEG()
	data = append(data, raw...)
	file := buildTIFF(order, data, func(at uint32) [][]field {
		l := at + uint32(len(small))
		r := l + uint32(len(large))
		return [][]field{
			{long(tagSubfile, 1), short(tagCompression, 6), long(tagStripAt, at), short(tagOrientation, orientation), long(tagStripLen, uint32(len(small))), long(tagSubIFDs, 0)},
			{short(tagCompression, 6), long(tagThumbAt, l), long(tagThumbLen, uint32(len(large)))},
			{short(tagCompression, 7), long(tagStripAt, r), long(tagStripLen, uint32(len(raw)))},
		}
	})
	// The second directory hangs in the first one's SubIFDs, not behind it.
	first, _ := readIFD(file, 0)
	place := bytes.Index(file, order.AppendUint32(order.AppendUint32(order.AppendUint16(order.AppendUint16(nil, tagSubIFDs), 4), 1), 0))
	order.(interface {
		PutUint32([]byte, uint32)
	}).PutUint32(file[place+8:], first.next)
	return file
}

func rawRAF(shot []byte) []byte {
	b := append([]byte("FUJIFILMCCD-RAW 0201FF000001"), make([]byte, 92)...)
	binary.BigEndian.PutUint32(b[84:], 120)
	binary.BigEndian.PutUint32(b[88:], uint32(len(shot)))
	return append(b[:120], shot...)
}

func rawCR3(preview, shot []byte, orientation uint32) []byte {
	cmt := exifBlock(binary.LittleEndian, orientation, nil)
	ftyp := box("ftyp", []byte("crx "), be(4, 1), []byte("crx isom"))
	prvw := box("uuid", make([]byte, 16), be(4, 0, 1), box("PRVW", be(4, 0), be(2, 1, 160, 120, 1), be(4, len(preview)), preview))
	build := func(at int) []byte {
		sample := func(at, n int) []byte {
			return box("trak", box("mdia", box("minf", box("stbl", box("stsz", be(4, 0, n, 1)), box("co64", be(4, 0, 1), be(8, at))))))
		}
		moov := box("moov", box("uuid", make([]byte, 16), box("CMT1", cmt)), sample(at, len(shot)), sample(at+len(shot), 40))
		return append(append(append([]byte{}, ftyp...), moov...), prvw...)
	}
	return append(build(len(build(0))+8), box("mdat", shot, make([]byte, 40))...)
}

// TestRawFiles opens the largest picture that each sort of raw file carries,
// turned as the file says, and tells so.
func TestRawFiles(t *testing.T) {
	small, large := rawShot(t, 160, 120), rawShot(t, 720, 540)
	panasonic := buildTIFF(binary.LittleEndian, large, func(at uint32) [][]field {
		return [][]field{{field{tag: tagJPEGOfRaw, typ: 7, raw: make([]byte, 5)}, short(tagOrientation, 6)}}
	})
	copy(panasonic, "IIU\x00")
	e := bytes.Index(panasonic, []byte{0x2e, 0, 7, 0})
	binary.LittleEndian.PutUint32(panasonic[e+4:], uint32(len(large)))
	binary.LittleEndian.PutUint32(panasonic[e+8:], uint32(len(panasonic)-len(large)))
	olympus := exifBlock(binary.LittleEndian, 6, nil)
	copy(olympus, "IIRO")
	olympus = append(append(append(olympus, make([]byte, 500)...), small...), large...)
	for name, data := range map[string][]byte{
		"hidden.orf": olympus,
		"little.nef": rawTIFF(binary.LittleEndian, small, large, 6), "big.nef": rawTIFF(binary.BigEndian, small, large, 6),
		"turned.cr3": rawCR3(small, large, 6), "small.cr3": rawCR3(large, small, 6), "quay.rw2": panasonic,
		"own.raf": rawRAF(withEXIF(large, exifBlock(binary.LittleEndian, 6, nil))),
	} {
		p := mustDecode(t, data, name)
		if p.Format != "raw camera file" || p.Size != image.Pt(540, 720) || p.Orientation != 6 || p.Profile != "sRGB" {
			t.Errorf("%s: %s, %v, orientation %d, profile %s", name, p.Format, p.Size, p.Orientation, p.Profile)
		}
		if len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "720 x 540 pixels, not the raw data") {
			t.Errorf("%s: notes %q", name, p.Notes)
		}
		near(t, name+": hull", codeAt(p.Master, 270, 270), [3]int{190, 70, 40}, 8)
	}
	// A picture that says itself how it stands is not turned a second time.
	own := mustDecode(t, rawTIFF(binary.LittleEndian, small, withEXIF(large, exifBlock(binary.BigEndian, 1, nil)), 6), "own.nef")
	if own.Orientation != 1 || own.Size != image.Pt(720, 540) {
		t.Errorf("own orientation %d, %v", own.Orientation, own.Size)
	}
	// A camera's Adobe mark stands in the raw file.
	marked := append(adobeEXIF(65535, "R03"), large...)
	if !adobeMarked(marked) {
		t.Error("the mark is not seen")
	}
}

func TestRawRefused(t *testing.T) {
	small := rawShot(t, 160, 120)
	for _, c := range []struct {
		name string
		data []byte
		kind error
		word string
	}{
		{"tiny.nef", rawTIFF(binary.LittleEndian, small, small, 1), ErrUnsupported, "only a small picture, 160 x 120"},
		{"none.cr2", []byte("II*\x00\x10\x00\x00\x00CR\x02\x00\x00\x00\x00\x00\x00\x00"), ErrUnsupported, "holds no picture"},
		{"none.cr3", rawCR3([]byte("xx"), make([]byte, 50), 1), ErrUnsupported, "holds no picture"},
		{"none.raf", rawRAF(nil), ErrUnsupported, "holds no picture"},
		{"short.raf", []byte("FUJIFILMCCD-RAW 0201"), ErrUnsupported, "holds no picture"},
	} {
		p, err := Decode(context.Background(), c.data, c.name, Options{})
		if p != nil || !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.word) {
			t.Errorf("%s: %v; want %v with %q", c.name, err, c.kind, c.word)
		}
	}
}

// TestIFDLoops: directories that lead to each other are each met once.
func TestIFDLoops(t *testing.T) {
	loop := buildTIFF(binary.LittleEndian, nil, func(uint32) [][]field {
		return [][]field{{long(tagSubIFDs, 8), long(tagExif, 8)}}
	})
	binary.LittleEndian.PutUint32(loop[len(loop)-4:], 8)
	n := 0
	walkIFDs(loop, func(ifd) { n++ })
	if n != 1 {
		t.Errorf("met %d times", n)
	}
}
