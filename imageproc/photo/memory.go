package photo

import "bytes"

// DefaultMaxMemory is how much memory opening one picture may take, besides the
// file itself, when Options.MaxMemory is zero: 1.2 GB.
const DefaultMaxMemory = 1_200_000_000

// masterMemory is what a Photo takes besides the decoder's planes: its Master
// and the rows that are averaged. Source: ours, by measure.
const masterMemory = 48 << 20

// decoderMemory returns a bound for the bytes that decoding a picture of so
// many pixels takes, from its header alone. Sources: the buffers that the
// decoders allocate, and by measure.
func decoderMemory(kind string, data []byte, w pixels) int64 {
	area := w.x * w.y
	switch kind {
	case kindJPEG:
		return jpegMemory(data, area)
	case kindPNG:
		return pngMemory(data, area)
	case kindTIFF:
		return tiffMemory(data, w)
	case kindGIF:
		return 2 * area
	case kindWebP:
		return 8 * area // a lossless one is held twice
	}
	return 4 * area
}

// jpegFrame returns the sampling factors of a JPEG's components and whether it
// is progressive; none if there is no frame header.
func jpegFrame(data []byte) (factors [][2]int64, progressive bool) {
	jpegSegments(data, func(marker byte, body []byte) {
		if marker < 0xc0 || marker > 0xc2 || len(body) < 6 || len(body) < 6+3*int(body[5]) || factors != nil {
			return
		}
		progressive = marker == 0xc2
		for i := range int(body[5]) {
			f := body[6+3*i+1]
			factors = append(factors, [2]int64{int64(f >> 4), int64(f & 15)})
		}
	})
	return factors, progressive
}

func jpegMemory(data []byte, area int64) int64 {
	factors, progressive := jpegFrame(data)
	wide, high, sum := int64(1), int64(1), int64(0)
	for _, f := range factors {
		wide, high, sum = max(wide, f[0]), max(high, f[1]), sum+f[0]*f[1]
	}
	planes := area * sum / (wide * high)
	total := planes
	if progressive {
		total += 4 * planes // coefficients of 32 bits
	}
	if len(factors) == 4 || len(factors) == 3 && wide*high == 1 {
		total += 4 * area // put together pixel by pixel, as four inks and RGB are
	}
	return total
}

func pngMemory(data []byte, area int64) int64 {
	if len(data) < 29 {
		return 8 * area
	}
	depth, kind, interlaced := data[24], data[25], data[28] != 0
	each := int64(4)
	if kind == 3 || kind == 0 && !bytes.Contains(data[:min(len(data), 4096)], []byte("tRNS")) {
		each = 1
	}
	if depth == 16 {
		each *= 2
	}
	if interlaced {
		each *= 2 // the last passes are pictures of half the size
	}
	return each * area
}

func tiffMemory(data []byte, w pixels) int64 {
	first, ok := readIFD(data, 0)
	if !ok {
		return 8 * w.x * w.y
	}
	depth, samples := int64(1), int64(1)
	for _, v := range first.numbers(tagBits, 8) {
		depth = max(depth, int64(min(v, 64)))
	}
	if v, ok := first.number(tagSamples); ok {
		samples = int64(min(v, 16))
	}
	each := int64(4)
	if depth > 8 {
		each = 8
	}
	rows := w.y
	if v, ok := first.number(tagRowsPerStrip); ok {
		rows = min(rows, int64(v))
	}
	return each*w.x*w.y + w.x*rows*depth*samples/8 // the picture and one strip
}
