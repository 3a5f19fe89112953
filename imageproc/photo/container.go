package photo

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
)

// maxProfile bounds an embedded colour profile; real ones reach 3 MB.
const maxProfile = 8 << 20

// metadata is what a file says about its picture besides the pixels.
type metadata struct {
	orientation int    // 1 to 8
	profile     []byte // the ICC profile; nil if none
	exif        []byte // the EXIF block from its byte-order mark on; nil if none
	codes       *codes // code points of the colours; nil if none
	png         pngColours
	notes       []string // what else the painter should know
}

// readMeta reads a file's metadata. Damaged metadata counts as none: a picture
// whose pixels can be read is worth opening.
func readMeta(kind string, data []byte) metadata {
	var m metadata
	switch kind {
	case kindJPEG:
		m = jpegMeta(data)
	case kindPNG:
		m = pngMeta(data)
	case kindWebP:
		m = webpMeta(data)
	case kindTIFF:
		m.exif = data
		if first, ok := readIFD(data, 0); ok {
			m.profile = first.bytes(tagProfile)
		}
	}
	m.orientation = exifOrientation(m.exif)
	return m
}

// exifOrientation returns the orientation of an EXIF block; 1 if it gives none.
func exifOrientation(exif []byte) int {
	if first, ok := readIFD(exif, 0); ok {
		if v, ok := first.number(tagOrientation); ok && v >= 1 && v <= 8 {
			return int(v)
		}
	}
	return 1
}

// jpegSegments calls f with the segments of a JPEG up to its first scan.
func jpegSegments(data []byte, f func(marker byte, body []byte)) {
	for at := 2; at+4 <= len(data); {
		if data[at] != 0xff {
			return
		}
		marker := data[at+1]
		if marker == 0xff || marker == 0x01 || marker >= 0xd0 && marker <= 0xd8 {
			at++ // fill bytes and markers without a body
			if marker != 0xff {
				at++
			}
			continue
		}
		n := int(binary.BigEndian.Uint16(data[at+2:]))
		if n < 2 || at+2+n > len(data) || marker == 0xda || marker == 0xd9 {
			return
		}
		f(marker, data[at+4:at+2+n])
		at += 2 + n
	}
}

func jpegMeta(data []byte) (m metadata) {
	const exifHead, iccHead = "Exif\x00\x00", "ICC_PROFILE\x00"
	chunks := map[int][]byte{} // of the profile, by their number
	jpegSegments(data, func(marker byte, body []byte) {
		switch {
		case marker == 0xe1 && m.exif == nil && bytes.HasPrefix(body, []byte(exifHead)):
			m.exif = body[len(exifHead):]
		case marker == 0xe2 && bytes.HasPrefix(body, []byte(iccHead)) && len(body) > len(iccHead)+2:
			chunks[int(body[len(iccHead)])] = body[len(iccHead)+2:]
		}
	})
	for i := 1; i <= 255 && chunks[i] != nil && len(m.profile) < maxProfile; i++ {
		m.profile = append(m.profile, chunks[i]...)
	}
	return m
}

// pngMeta walks a PNG's chunks.
func pngMeta(data []byte) (m metadata) {
	seen := map[string]bool{}
	for at := 8; at+12 <= len(data); {
		n := int64(binary.BigEndian.Uint32(data[at:]))
		end := int64(at) + 8 + n
		if end+4 > int64(len(data)) {
			break
		}
		body := data[at+8 : end]
		name := string(data[at+4 : at+8])
		first := !seen[name]
		seen[name] = true
		switch {
		case name == "eXIf" && first:
			m.exif = body
		case seen["IDAT"] && name != "IEND": // colours must be told before the pixels
		case name == "cICP" && first:
			m.codes = pngCodes(body)
		case name == "sRGB" || name == "gAMA" || name == "cHRM":
			m.png.read(name, body)
		case name == "iCCP" && first:
			// a name, a zero, the method (0: deflate), then the profile
			if i := bytes.IndexByte(body[:min(len(body), 80)], 0); i >= 0 && i+2 <= len(body) {
				m.profile = inflate(body[i+2:])
			}
		case name == "IEND":
			return m
		}
		at = int(end) + 4
	}
	return m
}

func inflate(packed []byte) []byte {
	z, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil
	}
	out, err := io.ReadAll(io.LimitReader(z, maxProfile))
	if err != nil {
		return nil
	}
	return out
}

// webpChunks calls f with each chunk of a WebP file.
func webpChunks(data []byte, f func(name string, body []byte)) {
	for at := 12; at+8 <= len(data); {
		n := int64(binary.LittleEndian.Uint32(data[at+4:]))
		end := int64(at) + 8 + n
		if end > int64(len(data)) {
			return
		}
		f(string(data[at:at+4]), data[at+8:end])
		at = int(end + n&1) // chunks are padded to an even length
	}
}

func webpMeta(data []byte) (m metadata) {
	webpChunks(data, func(name string, body []byte) {
		switch name {
		case "EXIF":
			m.exif = bytes.TrimPrefix(body, []byte("Exif\x00\x00"))
		case "ICCP":
			m.profile = body
		}
	})
	return m
}

// webpCanvas reads the size from the extended header, if there is one.
func webpCanvas(data []byte) (pixels, bool) {
	if len(data) < 30 || string(data[12:16]) != "VP8X" {
		return pixels{}, false
	}
	u24 := func(b []byte) int64 { return int64(b[0]) | int64(b[1])<<8 | int64(b[2])<<16 }
	return pixels{u24(data[24:]) + 1, u24(data[27:]) + 1}, true
}

func isAnimatedWebP(data []byte) bool {
	return len(data) > 20 && string(data[12:16]) == "VP8X" && data[20]&2 != 0
}
