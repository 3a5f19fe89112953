package photo

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"image"
	"io"

	"golang.org/x/image/tiff"
	"golang.org/x/image/tiff/lzw"
)

// inkTIFF is a TIFF of four inks, which Go's own package does not read: strips
// of whole pixels, 8 or 16 bits a sample. Source: TIFF 6.0, sections 8 and 16.
type inkTIFF struct {
	dir     ifd
	size    image.Point
	samples int // four inks and what else there is
	deep    bool
	rows    int // in a strip
	packing uint32
	rising  bool // samples are stored as differences (predictor 2)
}

// inksOf returns the description of a TIFF of four inks; false for others.
func inksOf(data []byte) (inkTIFF, bool) {
	d, ok := readIFD(data, 0)
	if !ok {
		return inkTIFF{}, false
	}
	one := func(tag uint16, or uint32) uint32 {
		if v, ok := d.number(tag); ok {
			return v
		}
		return or
	}
	w, h := one(tagWidth, 0), one(tagHeight, 0)
	t := inkTIFF{
		dir: d, size: image.Pt(int(w), int(h)), samples: int(one(tagSamples, 0)), packing: one(tagCompression, 1),
		rows: int(min(one(tagRowsPerStrip, h), h)), rising: one(tagPredictor, 1) == 2,
	}
	depths := d.numbers(tagBits, 16)
	if one(tagPhotometric, 0) != 5 || one(tagInkSet, 1) != 1 || t.samples < 4 || t.samples > 16 || len(depths) != t.samples {
		return inkTIFF{}, false
	}
	for _, v := range depths {
		if v != depths[0] || v != 8 && v != 16 {
			return inkTIFF{}, false
		}
	}
	t.deep = depths[0] == 16
	return t, w <= 1<<30 && h <= 1<<30
}

// decode returns the inks, 8 bits each.
func (t inkTIFF) decode(r io.ReaderAt) (*image.CMYK, error) {
	if v, ok := t.dir.number(tagPlanar); ok && v != 1 || t.rows <= 0 {
		return nil, tiff.UnsupportedError("planes of inks")
	}
	strips := (t.size.Y + t.rows - 1) / t.rows
	places, lengths := t.dir.numbers(tagStripAt, strips), t.dir.numbers(tagStripLen, strips)
	if len(places) != strips || len(lengths) != strips {
		return nil, tiff.FormatError("strips missing")
	}
	img := image.NewCMYK(image.Rectangle{Max: t.size})
	each := 1
	if t.deep {
		each = 2
	}
	line := t.size.X * t.samples * each
	strip := make([]byte, t.rows*line)
	for i := range strips {
		rows := min(t.rows, t.size.Y-i*t.rows)
		packed := io.NewSectionReader(r, int64(places[i]), int64(lengths[i]))
		if err := t.unpack(strip[:rows*line], packed); err != nil {
			return nil, err
		}
		for y := range rows {
			row := strip[y*line : (y+1)*line]
			if t.rising {
				t.sum(row)
			}
			dst := img.Pix[(i*t.rows+y)*img.Stride:]
			for x := range t.size.X {
				for k := range 4 {
					at := (x*t.samples + k) * each
					if t.deep && t.dir.order == binary.ByteOrder(binary.LittleEndian) {
						at++ // the high byte
					}
					dst[4*x+k] = row[at]
				}
			}
		}
	}
	return img, nil
}

// unpack fills dst from one strip.
func (t inkTIFF) unpack(dst []byte, packed io.Reader) error {
	switch t.packing {
	case 1:
	case 5:
		l := lzw.NewReader(packed, lzw.MSB, 8)
		defer l.Close()
		packed = l
	case 8, 32946:
		z, err := zlib.NewReader(packed)
		if err != nil {
			return err
		}
		defer z.Close()
		packed = z
	case 32773:
		return unpackBits(dst, packed)
	default:
		return tiff.UnsupportedError("packing of inks")
	}
	_, err := io.ReadFull(packed, dst)
	return err
}

// unpackBits fills dst from runs. Source: TIFF 6.0, section 9.
func unpackBits(dst []byte, packed io.Reader) error {
	src, err := io.ReadAll(packed)
	if err != nil {
		return err
	}
	for len(dst) > 0 {
		if len(src) < 2 {
			return io.ErrUnexpectedEOF
		}
		switch n := int(int8(src[0])); {
		case n >= 0:
			if len(src) < n+2 {
				return io.ErrUnexpectedEOF
			}
			dst = dst[copy(dst, src[1:n+2]):]
			src = src[n+2:]
		case n > -128:
			k := copy(dst, bytes.Repeat(src[1:2], 1-n))
			dst, src = dst[k:], src[2:]
		default:
			src = src[1:]
		}
	}
	return nil
}

// sum turns the differences of one row into samples.
func (t inkTIFF) sum(row []byte) {
	if !t.deep {
		for i := t.samples; i < len(row); i++ {
			row[i] += row[i-t.samples]
		}
		return
	}
	o := t.dir.order
	for i := 2 * t.samples; i+1 < len(row); i += 2 {
		o.PutUint16(row[i:], o.Uint16(row[i:])+o.Uint16(row[i-2*t.samples:]))
	}
}
