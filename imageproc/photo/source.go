package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"
	"golang.org/x/image/webp"
)

// source gives the file to a decoder, counts what was taken, and ends the work
// when the context ends.
type source struct {
	job   *job
	data  []byte
	off   int
	far   int  // furthest byte given out
	ended bool // the decoder asked for more than there is
}

// Read implements io.Reader.
func (s *source) Read(p []byte) (int, error) {
	n, err := s.ReadAt(p, int64(s.off))
	s.off += n
	if n > 0 {
		err = nil
	}
	return n, err
}

// ReadAt implements io.ReaderAt, which the TIFF decoder asks for.
func (s *source) ReadAt(p []byte, off int64) (int, error) {
	if err := s.job.ctx.Err(); err != nil {
		return 0, err
	}
	data := s.data
	if off < 0 || off >= int64(len(data)) {
		s.ended = true
		return 0, io.EOF
	}
	n := copy(p, data[off:])
	s.far = max(s.far, int(off)+n)
	s.job.report(decodeShare * float64(s.far) / float64(len(data)))
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// pixels is a width and height as a header claims them.
type pixels struct{ x, y int64 }

// headerSize reads a picture's size without decoding it.
func headerSize(kind string, data []byte) (pixels, error) {
	var c image.Config
	var err error
	r := bytes.NewReader(data)
	switch kind {
	case kindJPEG:
		c, err = jpeg.DecodeConfig(r)
	case kindPNG:
		if len(data) >= 24 && string(data[12:16]) == "IHDR" { // also sizes that the decoder calls unsupported
			return pixels{int64(binary.BigEndian.Uint32(data[16:])), int64(binary.BigEndian.Uint32(data[20:]))}, nil
		}
		c, err = png.DecodeConfig(r)
	case kindGIF:
		c, err = gif.DecodeConfig(r)
	case kindTIFF:
		if t, ok := inksOf(data); ok {
			return pixels{int64(t.size.X), int64(t.size.Y)}, nil
		}
		c, err = tiff.DecodeConfig(r)
	case kindBMP:
		c, err = bmp.DecodeConfig(r)
	case kindWebP:
		if size, ok := webpCanvas(data); ok {
			return size, nil // also canvases that the decoder calls invalid for their size
		}
		c, err = webp.DecodeConfig(r)
	}
	return pixels{int64(c.Width), int64(c.Height)}, err
}
