package photo

import (
	"encoding/binary"
	"strings"
)

// The tags that matter here. Source: TIFF 6.0; Exif 2.3 (CIPA DC-008-2012);
// DNG 1.4 for tagDNG; ICC.1:2010, B.4 for tagProfile.
const (
	tagSubfile      = 0x00fe
	tagWidth        = 0x0100
	tagHeight       = 0x0101
	tagBits         = 0x0102
	tagCompression  = 0x0103
	tagPhotometric  = 0x0106
	tagMake         = 0x010f
	tagStripAt      = 0x0111
	tagOrientation  = 0x0112
	tagSamples      = 0x0115
	tagRowsPerStrip = 0x0116
	tagStripLen     = 0x0117
	tagPlanar       = 0x011c
	tagPredictor    = 0x013d
	tagSubIFDs      = 0x014a
	tagInkSet       = 0x014c
	tagThumbAt      = 0x0201
	tagThumbLen     = 0x0202
	tagExif         = 0x8769
	tagProfile      = 0x8773
	tagColorSpace   = 0xa001
	tagInterop      = 0xa005
	tagDNG          = 0xc612

	tagInteropIndex = 0x0001 // in the interoperability directory
)

// ifd is one directory of a TIFF structure, in bounds of its block.
type ifd struct {
	block   []byte
	order   binary.ByteOrder
	entries []byte // 12 bytes each
	next    uint32 // offset of the directory after it; 0 if none
}

// tiffHeads are the openings of TIFF structures: plain, and those of cameras
// whose raw files differ from TIFF in their third and fourth byte alone.
var tiffHeads = [...]string{"II*\x00", "MM\x00*", "IIRO", "IIRS", "MMOR", "IIU\x00"}

// readIFD returns the directory number n (0 or 1) of the block.
func readIFD(block []byte, n int) (ifd, bool) {
	for _, head := range tiffHeads {
		if len(block) < 8 || !hasHead(block, head) {
			continue
		}
		d := ifd{block: block, order: binary.LittleEndian}
		if head[0] == 'M' {
			d.order = binary.BigEndian
		}
		d, ok := d.at(d.order.Uint32(block[4:]))
		for ; ok && n > 0; n-- {
			d, ok = d.at(d.next)
		}
		return d, ok
	}
	return ifd{}, false
}

// at returns the directory at an offset of d's block.
func (d ifd) at(offset uint32) (ifd, bool) {
	at := int64(offset)
	if at < 8 || at+2 > int64(len(d.block)) {
		return d, false
	}
	end := at + 2 + 12*int64(d.order.Uint16(d.block[at:]))
	if end > int64(len(d.block)) {
		return d, false
	}
	d.entries, d.next = d.block[at+2:end], 0
	if end+4 <= int64(len(d.block)) {
		d.next = d.order.Uint32(d.block[end:])
	}
	return d, true
}

// follow returns the directory that a tag points to.
func (d ifd) follow(tag uint16) (ifd, bool) {
	offset, ok := d.number(tag)
	if !ok {
		return d, false
	}
	return d.at(offset)
}

// entry returns the type, the count and the four bytes of value or offset of tag.
func (d ifd) entry(tag uint16) (typ uint16, count uint32, value []byte, ok bool) {
	for e := d.entries; len(e) >= 12; e = e[12:] {
		if d.order.Uint16(e) == tag {
			return d.order.Uint16(e[2:]), d.order.Uint32(e[4:]), e[8:12], true
		}
	}
	return 0, 0, nil, false
}

// number returns a tag's first value when it is a SHORT or LONG that stands in
// the entry itself.
func (d ifd) number(tag uint16) (uint32, bool) {
	typ, count, value, ok := d.entry(tag)
	switch {
	case !ok || count != 1:
	case typ == 3:
		return uint32(d.order.Uint16(value)), true
	case typ == 4 || typ == 13: // LONG or IFD
		return d.order.Uint32(value), true
	}
	return 0, false
}

// numbers returns a tag's values when they are SHORT, LONG or IFD; at most most
// of them; nil if they are not whole.
func (d ifd) numbers(tag uint16, most int) []uint32 {
	typ, count, value, ok := d.entry(tag)
	size := 4
	if typ == 3 {
		size = 2
	}
	if !ok || typ != 3 && typ != 4 && typ != 13 || count > 1<<24 {
		return nil
	}
	if n := int64(count) * int64(size); n > 4 {
		at := int64(d.order.Uint32(value))
		if at+n > int64(len(d.block)) {
			return nil
		}
		value = d.block[at : at+n]
	}
	var out []uint32
	for i := range min(int(count), most) {
		if size == 2 {
			out = append(out, uint32(d.order.Uint16(value[2*i:])))
		} else {
			out = append(out, d.order.Uint32(value[4*i:]))
		}
	}
	return out
}

// bytes returns the value of a tag of one-byte type longer than four bytes; nil
// if it is not whole.
func (d ifd) bytes(tag uint16) []byte {
	typ, count, value, ok := d.entry(tag)
	if !ok || count <= 4 || typ != 1 && typ != 2 && typ != 7 {
		return nil
	}
	at := int64(d.order.Uint32(value))
	if at+int64(count) > int64(len(d.block)) {
		return nil
	}
	return d.block[at : at+int64(count)]
}

// isRawTIFF tells raw camera files from TIFF pictures: their first directory
// holds a small preview, which must not pass for the photograph.
func isRawTIFF(data []byte) bool {
	if len(data) >= 10 && string(data[8:10]) == "CR" {
		return true
	}
	first, ok := readIFD(data, 0)
	if !ok {
		return false
	}
	if _, _, _, dng := first.entry(tagDNG); dng {
		return true
	}
	_, _, _, inner := first.entry(tagSubIFDs)
	reduced, _ := first.number(tagSubfile)
	packing, _ := first.number(tagCompression)
	maker := string(first.bytes(tagMake))
	camera := strings.HasPrefix(maker, "NIKON") || strings.HasPrefix(maker, "SONY") || strings.HasPrefix(maker, "PENTAX")
	return inner && reduced&1 == 1 || inner && camera && packing == 6 || packing == 65535 || packing == 34713
}

// thumbnail returns the small JPEG of an EXIF block; nil if it has none.
func thumbnail(exif []byte) []byte {
	second, ok := readIFD(exif, 1)
	if !ok {
		return nil
	}
	at, ok1 := second.number(tagThumbAt)
	n, ok2 := second.number(tagThumbLen)
	if !ok1 || !ok2 || n < 4 || int64(at)+int64(n) > int64(len(exif)) {
		return nil
	}
	return exif[at : int64(at)+int64(n)]
}
