package photo

import (
	"encoding/binary"
	"strings"
	"unicode/utf8"
)

// The kinds of picture that Decode opens, as Sniff and Photo.Format name them.
const (
	kindJPEG = "JPEG"
	kindPNG  = "PNG"
	kindGIF  = "GIF"
	kindTIFF = "TIFF"
	kindBMP  = "BMP"
	kindWebP = "WebP"
	kindHEIC = "HEIC" // unless the build leaves it out
	kindAVIF = "AVIF"
	kindRaw  = "raw camera file"
)

// Kinds that are recognised so that the painter can be told what to do.
const (
	kindJXL  = "JPEG XL"
	kindJP2  = "JPEG 2000"
	kindPSD  = "layered picture (PSD)"
	kindPDF  = "PDF page"
	kindSVG  = "SVG drawing"
	kindText = "text"
)

// opens reports whether Decode opens pictures of kind.
func opens(kind string) bool {
	switch kind {
	case kindJPEG, kindPNG, kindGIF, kindTIFF, kindBMP, kindWebP, kindAVIF, kindRaw:
		return true
	case kindHEIC:
		return opensHEIC
	}
	return false
}

// magics are the openings that settle a kind by themselves; '?' matches any byte.
var magics = [...]struct{ head, kind string }{
	{"\xff\xd8\xff", kindJPEG},
	{"\x89PNG\r\n\x1a\n", kindPNG},
	{"GIF87a", kindGIF},
	{"GIF89a", kindGIF},
	{"RIFF????WEBPVP8", kindWebP},
	{"IIRO", kindRaw},
	{"IIRS", kindRaw},
	{"MMOR", kindRaw},
	{"IIU\x00", kindRaw},
	{"FUJIFILMCCD-RAW", kindRaw},
	{"FOVb", kindRaw},
	{"\x00MRM", kindRaw},
	{"\xff\x0a", kindJXL},
	{"\x00\x00\x00\x0cJXL \r\n\x87\n", kindJXL},
	{"\x00\x00\x00\x0cjP  \r\n\x87\n", kindJP2},
	{"\xff\x4f\xff\x51", kindJP2},
	{"8BPS", kindPSD},
	{"%PDF-", kindPDF},
}

// Sniff returns the kind of file that data is, judged by its bytes alone:
// "JPEG", "PNG", "GIF", "TIFF", "BMP", "WebP", "HEIC", "AVIF" or "raw camera
// file" for what Decode opens; another short word such as "JPEG XL" or "text"
// for what it recognises but does not open;
// "" for what it does not know. A few hundred bytes are enough but for raw
// camera files built on TIFF, which need the whole file to be told from it.
func Sniff(data []byte) string {
	for _, m := range magics {
		if hasHead(data, m.head) {
			return m.kind
		}
	}
	switch {
	case hasHead(data, "II*\x00") || hasHead(data, "MM\x00*"):
		if isRawTIFF(data) {
			return kindRaw
		}
		return kindTIFF
	case hasHead(data, "BM") && bmpHeader(data):
		return kindBMP
	case hasHead(data, "????ftyp") && len(data) >= 12:
		return brandKind(data)
	}
	return textKind(data)
}

func hasHead(data []byte, head string) bool {
	if len(data) < len(head) {
		return false
	}
	for i := range len(head) {
		if head[i] != '?' && head[i] != data[i] {
			return false
		}
	}
	return true
}

// bmpHeader tells a BMP from a text that begins with BM: by the size of the
// second header, one of those ever defined.
func bmpHeader(data []byte) bool {
	if len(data) < 18 {
		return false
	}
	switch binary.LittleEndian.Uint32(data[14:]) {
	case 12, 40, 52, 56, 64, 108, 124:
		return true
	}
	return false
}

// brandKind reads the brands of an ISO base media file: the main one first,
// then the compatible ones.
func brandKind(data []byte) string {
	end := min(int(min(binary.BigEndian.Uint32(data), 256)), len(data))
	for i := 8; i+4 <= max(end, 12); i += 4 {
		switch string(data[i : i+4]) {
		case "avif", "avis":
			return kindAVIF
		case "heic", "heix", "hevc", "hevx", "heim", "heis":
			return kindHEIC
		case "crx ":
			return kindRaw
		}
	}
	if string(data[8:12]) == "mif1" || string(data[8:12]) == "msf1" {
		return kindHEIC
	}
	return ""
}

// textKind tells whether the head of data reads as text.
func textKind(data []byte) string {
	head := data[:min(len(data), 512)]
	if len(head) == 0 {
		return ""
	}
	for i := 0; i < len(head); {
		r, n := utf8.DecodeRune(head[i:])
		cut := r == utf8.RuneError && n == 1 && len(head)-i < utf8.UTFMax && len(data) > len(head)
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' && r != '\f' || r == utf8.RuneError && n <= 1 && !cut {
			return ""
		}
		i += n
	}
	if s := strings.ToLower(string(head)); strings.Contains(s, "<svg") {
		return kindSVG
	}
	return kindText
}
