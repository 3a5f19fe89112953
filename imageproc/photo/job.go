package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"strings"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"
	"golang.org/x/image/webp"
)

// decodeShare is the part of Options.Progress that reading the file stands for;
// the rest is averaging. Source: ours, from the times in the benchmarks.
const decodeShare = 0.8

// job is one call of Decode.
type job struct {
	ctx    context.Context
	data   []byte
	shown  string // the name as errors show it
	opt    Options
	kind   string
	told   float64 // last share given to Progress
	source *source
}

func newJob(ctx context.Context, data []byte, name string, opt Options) *job {
	if opt.MaxPixels == 0 {
		opt.MaxPixels = DefaultMaxPixels
	}
	if opt.MaxBytes == 0 {
		opt.MaxBytes = DefaultMaxBytes
	}
	shown := SafeName(base(name))
	if shown == "" {
		shown = "the picture"
	}
	return &job{ctx: ctx, data: data, shown: shown, opt: opt}
}

func (j *job) report(done float64) {
	if j.opt.Progress != nil && (done >= j.told+0.01 || done == 1 && j.told < 1) {
		j.told = done
		j.opt.Progress(done)
	}
}

func (j *job) converted(part float64) { j.report(decodeShare + (0.99-decodeShare)*part) }

// admit decides from the file's length and header whether to decode it.
func (j *job) admit() error {
	switch {
	case j.ctx.Err() != nil:
		return j.stopped()
	case len(j.data) == 0:
		return j.fail(ErrEmpty, nil, "the file is empty: choose another, or copy it again from the camera or card")
	case int64(len(j.data)) > j.opt.MaxBytes:
		return j.fail(ErrTooLarge, nil, "the file has %s, more than the %s that can be opened: save a smaller copy",
			megabytes(int64(len(j.data))), megabytes(j.opt.MaxBytes))
	}
	j.kind = Sniff(j.data)
	switch {
	case j.kind == kindText:
		return j.fail(ErrNotPicture, nil, "the file holds text, not a picture: open a JPEG, PNG, TIFF, WebP, BMP or GIF")
	case j.kind == "":
		return j.fail(ErrNotPicture, nil, "this is not a kind of picture that can be opened: open a JPEG, PNG, TIFF, WebP, BMP or GIF")
	case !opens(j.kind):
		return j.fail(ErrUnsupported, nil, "%s cannot be opened yet: export the picture as JPEG and open that", aKind(j.kind))
	}
	size, err := headerSize(j.kind, j.data)
	if err != nil {
		return j.explain(err, false)
	}
	return j.admitSize(size)
}

// admitSize refuses pictures that are too large, and those that claim more
// pixels than a file of this length can hold.
func (j *job) admitSize(w pixels) error {
	switch {
	case w.x <= 0 || w.y <= 0:
		return j.fail(ErrDamaged, nil, "the picture has no pixels: copy it again from the camera or card")
	case w.x > j.opt.MaxPixels/w.y:
		return j.fail(ErrTooLarge, nil, "%d x %d pixels is more than the %s that can be opened: save a smaller copy",
			w.x, w.y, million(j.opt.MaxPixels))
	case w.x*w.y > freePixels && w.x*w.y/pixelsPerByte(j.kind) > int64(len(j.data)):
		return j.fail(ErrTruncated, nil, "%d x %d pixels cannot be in a file of only %s: copy it again from the camera or card",
			w.x, w.y, megabytes(int64(len(j.data))))
	}
	return nil
}

// freePixels are decoded whatever the length of the file: they cost little.
const freePixels = 1 << 22

// pixelsPerByte bounds how many pixels one byte of a file can stand for.
// A JPEG block of 64 pixels takes at least one bit; deflate reaches 1032 to 1
// (RFC 1951, 258 bytes from two bits) on 8 pixels a byte; a GIF code of 12 bits
// gives at most 4096 pixels. TIFF and WebP have no such bound; no photograph
// comes near the one set for them. Source: ours, from the formats.
func pixelsPerByte(kind string) int64 {
	switch kind {
	case kindJPEG:
		return 512
	case kindGIF:
		return 4096
	case kindBMP:
		return 256
	}
	return 8 * 1032
}

// decode returns the full picture as the file stores it.
func (j *job) decode() (image.Image, error) {
	j.source = &source{job: j}
	var img image.Image
	var err error
	switch j.kind {
	case kindJPEG:
		img, err = jpeg.Decode(j.source)
	case kindPNG:
		img, err = png.Decode(j.source)
	case kindGIF:
		img, err = gif.Decode(j.source)
	case kindTIFF:
		img, err = tiff.Decode(j.source)
	case kindBMP:
		img, err = bmp.Decode(j.source)
	case kindWebP:
		img, err = webp.Decode(j.source)
	}
	if err != nil {
		return nil, j.explain(err, j.source.ended)
	}
	size := img.Bounds().Size()
	if err := j.admitSize(pixels{int64(size.X), int64(size.Y)}); err != nil {
		return nil, err
	}
	if m, ok := img.(*image.YCbCr); ok && j.kind == kindWebP {
		img = &studioImage{m}
	}
	j.report(decodeShare)
	return img, nil
}

// explain turns what a decoder said into an Error. ended tells that the decoder
// came to the end of the file.
func (j *job) explain(err error, ended bool) error {
	if j.ctx.Err() != nil {
		return j.stopped()
	}
	var ju jpeg.UnsupportedError
	var pu png.UnsupportedError
	var tu tiff.UnsupportedError
	switch {
	case errors.As(err, &ju) && strings.Contains(string(ju), "APP14"):
		return j.fail(ErrUnsupported, err, "this JPEG has four inks and does not say which: save it again as an RGB JPEG")
	case errors.As(err, &ju), errors.As(err, &pu), errors.As(err, &tu), errors.Is(err, bmp.ErrUnsupported):
		return j.fail(ErrUnsupported, err, "this sort of %s cannot be opened yet: save it again as a plain 8-bit JPEG or PNG", j.kind)
	case j.kind == kindWebP && isAnimatedWebP(j.data):
		return j.fail(ErrUnsupported, err, "moving WebP pictures cannot be opened yet: save one frame as JPEG or PNG")
	case ended, errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return j.fail(ErrTruncated, err, truncatedLine)
	}
	return j.fail(ErrDamaged, err, damagedLine)
}

// source gives the file to a decoder, counts what was taken, and ends the work
// when the context ends.
type source struct {
	job   *job
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
	data := s.job.data
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

func megabytes(n int64) string {
	switch {
	case n < 10_000:
		return fmt.Sprintf("%d bytes", n)
	case n < 1<<20:
		return fmt.Sprintf("%d kB", (n+512)>>10)
	}
	return fmt.Sprintf("%d MB", (n+(1<<19))>>20)
}

func million(n int64) string {
	if n < 10_000_000 {
		return fmt.Sprintf("%d pixels", n)
	}
	return fmt.Sprintf("%d million", n/1_000_000)
}

// aKind returns kind with its article, to begin a sentence.
func aKind(kind string) string {
	switch kind {
	case kindAVIF:
		return "An AVIF picture"
	case kindHEIC, kindJXL, kindJP2:
		return "A " + kind + " picture"
	case kindSVG:
		return "An " + kind
	}
	return "A " + kind
}
