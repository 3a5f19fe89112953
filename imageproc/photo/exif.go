package photo

import (
	"encoding/binary"
	"strings"
)

// The tags that matter here. Source: TIFF 6.0; Exif 2.3 (CIPA DC-008-2012);
// DNG 1.4 for tagDNG; ICC.1:2010, B.4 for tagProfile.
const (
	tagSubfile     = 0x00fe
	tagCompression = 0x0103
	tagMake        = 0x010f
	tagOrientation = 0x0112
	tagSubIFDs     = 0x014a
	tagThumbAt     = 0x0201
	tagThumbLen    = 0x0202
	tagProfile     = 0x8773
	tagDNG         = 0xc612
)

// ifd is one directory of a TIFF structure, in bounds of its block.
type ifd struct {
	block   []byte
	order   binary.ByteOrder
	entries []byte // 12 bytes each
	next    uint32 // offset of the directory after it; 0 if none
}

// readIFD returns the directory number n (0 or 1) of the block.
func readIFD(block []byte, n int) (ifd, bool) {
	d := ifd{block: block}
	switch {
	case hasHead(block, "II*\x00"):
		d.order = binary.LittleEndian
	case hasHead(block, "MM\x00*"):
		d.order = binary.BigEndian
	default:
		return d, false
	}
	if len(block) < 8 {
		return d, false
	}
	for d.next = d.order.Uint32(block[4:]); ; n-- {
		at := int64(d.next)
		if at < 8 || at+2 > int64(len(block)) {
			return d, false
		}
		end := at + 2 + 12*int64(d.order.Uint16(block[at:]))
		if end > int64(len(block)) {
			return d, false
		}
		d.entries = block[at+2 : end]
		d.next = 0
		if end+4 <= int64(len(block)) {
			d.next = d.order.Uint32(block[end:])
		}
		if n == 0 {
			return d, true
		}
	}
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
	case typ == 4:
		return d.order.Uint32(value), true
	}
	return 0, false
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
