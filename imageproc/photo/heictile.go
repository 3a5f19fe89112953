//go:build !noheic

package photo

import (
	"encoding/binary"
)

// synthesize returns a HEIC file of one picture: coded data and the parameter
// sets that go with it, nothing else. A grey picture is declared one of 4:2:0,
// for the decoder's glue asks libheif for what is declared and has no grey.
func synthesize(coded, hvcc []byte, s hevcShape) []byte {
	if s.chroma == 0 {
		hvcc = append([]byte{}, hvcc...)
		hvcc[16] = hvcc[16]&^3 | 1
	}
	size := s.size
	u16 := func(v ...int) (b []byte) {
		for _, x := range v {
			b = binary.BigEndian.AppendUint16(b, uint16(x))
		}
		return b
	}
	u32 := func(v ...int) (b []byte) {
		for _, x := range v {
			b = binary.BigEndian.AppendUint32(b, uint32(x))
		}
		return b
	}
	build := func(at int) []byte {
		b := appendBox(nil, "ftyp", []byte("heic"), u32(0), []byte("mif1heic"))
		props := appendBox(appendBox(nil, "hvcC", hvcc), "ispe", u32(0, size.X, size.Y))
		return appendBox(b, "meta", u32(0),
			appendBox(nil, "hdlr", u32(0, 0), []byte("pict"), make([]byte, 13)),
			appendBox(nil, "pitm", u32(0), u16(1)),
			appendBox(nil, "iinf", u32(0), u16(1), appendBox(nil, "infe", u32(2<<24), u16(1, 0), []byte("hvc1\x00"))),
			appendBox(nil, "iprp", appendBox(nil, "ipco", props),
				appendBox(nil, "ipma", u32(0, 1), u16(1), []byte{2, 0x81, 2})),
			appendBox(nil, "iloc", u32(0), u16(0x4400, 1, 1, 0, 1), u32(at, len(coded))))
	}
	head := build(len(build(0)) + 8)
	return appendBox(head, "mdat", coded)
}
