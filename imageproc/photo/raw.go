package photo

import (
	"bytes"
	"encoding/binary"
	"image/jpeg"
)

const (
	tagJPEGOfRaw = 0x002e // Panasonic's, the picture itself

	// leastPreview is the shortest long side of a picture inside a raw file that
	// is worth planning from. Source: ours.
	leastPreview = 480
	// maxTries bounds how many beginnings of a JPEG are looked at where no
	// directory leads to one.
	maxTries = 200
	// maxDirectories bounds the walk through a raw file; real ones have under 20.
	maxDirectories = 64
)

// rawPicture returns the largest JPEG that a raw camera file carries as its
// preview, as a slice of data, and the file's own EXIF block; nil if there is
// none. Plain and lossless raw data are passed over. Some makers keep their
// preview behind notes of their own: if no directory leads to one of a useful
// size, the file is searched for the beginnings of JPEGs.
func rawPicture(data []byte) (picture, exif []byte) {
	best, long := int64(0), 0
	try := func(at, n uint64) {
		if n < 4 || at > uint64(len(data)) || n > uint64(len(data))-at {
			return
		}
		part := data[at : at+n : at+n]
		if !hasHead(part, "\xff\xd8\xff") {
			return
		}
		c, err := jpeg.DecodeConfig(bytes.NewReader(part))
		if area := int64(c.Width) * int64(c.Height); err == nil && area > best {
			best, long, picture = area, max(c.Width, c.Height), part
		}
	}
	switch {
	case hasHead(data, "FUJIFILMCCD-RAW"):
		if len(data) >= 92 {
			try(uint64(binary.BigEndian.Uint32(data[84:])), uint64(binary.BigEndian.Uint32(data[88:])))
		}
	case hasHead(data, "????ftyp"):
		exif = crxPictures(data, try)
	default:
		exif = data
		walkIFDs(data, func(d ifd) {
			at, ok1 := d.number(tagThumbAt)
			n, ok2 := d.number(tagThumbLen)
			if ok1 && ok2 {
				try(uint64(at), uint64(n))
			}
			ats, lens := d.numbers(tagStripAt, 2), d.numbers(tagStripLen, 2)
			if len(ats) == 1 && len(lens) == 1 {
				try(uint64(ats[0]), uint64(lens[0]))
			}
			if _, n, value, ok := d.entry(tagJPEGOfRaw); ok {
				try(uint64(d.order.Uint32(value)), uint64(n))
			}
		})
	}
	at := 0
	for tries := 0; long < leastPreview && tries < maxTries; tries++ {
		i := bytes.Index(data[at:], []byte("\xff\xd8\xff"))
		if i < 0 {
			break
		}
		try(uint64(at+i), uint64(len(data)-at-i))
		at += i + 3
	}
	return picture, exif
}

// walkIFDs calls f with the directories of a TIFF structure: the chain, those
// inside (SubIFDs) and EXIF's, each once.
func walkIFDs(data []byte, f func(ifd)) {
	first, ok := readIFD(data, 0)
	if !ok {
		return
	}
	seen := map[int]bool{}
	queue := []ifd{first}
	for len(queue) > 0 && len(seen) < maxDirectories {
		d := queue[0]
		queue = queue[1:]
		place := len(d.block) - cap(d.entries) // entries are a slice of the block
		if seen[place] {
			continue
		}
		seen[place] = true
		f(d)
		for _, at := range append(d.numbers(tagSubIFDs, maxDirectories), d.numbers(tagExif, 1)...) {
			if inner, ok := d.at(at); ok {
				queue = append(queue, inner)
			}
		}
		if next, ok := d.at(d.next); ok {
			queue = append(queue, next)
		}
	}
}

// crxPictures tries the JPEGs of a CR3 file: the preview and the one sample of
// each track. It returns the EXIF block. Source: ISO/IEC 14496-12 for the
// tracks; the maker's boxes by looking at files, no published source.
func crxPictures(data []byte, try func(at, n uint64)) (exif []byte) {
	data = data[:len(data):len(data)] // so that a part's capacity tells its place
	place := func(part []byte) uint64 { return uint64(len(data) - cap(part)) }
	var walk func(b []byte, depth int)
	var at, size uint64
	walk = func(b []byte, depth int) {
		eachBox(b, func(kind string, body []byte, _ int) bool {
			switch kind {
			case "moov", "trak", "mdia", "minf", "stbl":
				if depth < 6 {
					walk(body, depth+1)
				}
			case "uuid":
				inner := body[min(16, len(body)):]
				if cmt := findBox(inner, "CMT1"); cmt != nil && exif == nil {
					exif = cmt
				}
				// the preview's box stands behind eight more bytes
				eachBox(inner[min(8, len(inner)):], func(kind string, body []byte, _ int) bool {
					if i := bytes.Index(body[:min(len(body), 64)], []byte("\xff\xd8\xff")); kind == "PRVW" && i >= 0 {
						try(place(body[i:]), uint64(len(body)-i))
					}
					return true
				})
			case "stsz":
				r := &fields{b: body}
				r.full()
				size = uint64(r.u32())
				if r.u32() == 1 && size == 0 {
					size = uint64(r.u32())
				}
			case "co64", "stco":
				r := &fields{b: body}
				r.full()
				if r.u32(); kind == "co64" {
					at = r.number(8)
				} else {
					at = r.number(4)
				}
			}
			if kind == "trak" {
				try(at, size)
				at, size = 0, 0
			}
			return true
		})
	}
	walk(data, 0)
	return exif
}
