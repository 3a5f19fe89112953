package photo

import (
	"context"
	"errors"
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
	ctx     context.Context
	data    []byte
	shown   string // the name as errors show it
	opt     Options
	kind    string
	heif    *heifPicture // of a HEIC or AVIF file
	raw     []byte       // the JPEG inside a raw camera file
	rawEXIF []byte
	told    float64 // last share given to Progress
	source  *source
}

func newJob(ctx context.Context, data []byte, name string, opt Options) *job {
	if opt.MaxPixels == 0 {
		opt.MaxPixels = DefaultMaxPixels
	}
	if opt.MaxBytes == 0 {
		opt.MaxBytes = DefaultMaxBytes
	}
	if opt.MaxMemory == 0 {
		opt.MaxMemory = DefaultMaxMemory
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
		return j.over(ByBytes, "the file has %s, more than the %s that can be opened: save a smaller copy",
			megabytes(int64(len(j.data))), megabytes(j.opt.MaxBytes))
	}
	j.kind = Sniff(j.data)
	switch {
	case j.kind == kindText:
		return j.fail(ErrNotPicture, nil, "the file holds text, not a picture: open a JPEG, PNG, TIFF, WebP, HEIC, AVIF, BMP or GIF")
	case j.kind == "":
		return j.fail(ErrNotPicture, nil, "this is not a kind of picture that can be opened: open a JPEG, PNG, TIFF, WebP, HEIC, AVIF, BMP or GIF")
	case !opens(j.kind):
		return j.fail(ErrUnsupported, nil, "%s cannot be opened yet: export the picture as JPEG and open that", aKind(j.kind))
	}
	return j.prepare()
}

// prepare finds the picture inside a file and checks its size.
func (j *job) prepare() error {
	switch j.kind {
	case kindHEIC, kindAVIF:
		return j.prepareHEIF()
	case kindRaw:
		return j.prepareRaw()
	}
	size, err := headerSize(j.kind, j.data)
	if err != nil {
		return j.explain(err, false)
	}
	if err := j.admitSize(size); err != nil {
		return err
	}
	return j.admitMemory(decoderMemory(j.kind, j.data, size), size)
}

// admitMemory refuses pictures whose decoder would take more than it may.
func (j *job) admitMemory(need int64, w pixels) error {
	if need+masterMemory <= j.opt.MaxMemory {
		return nil
	}
	return j.over(ByMemory, "%d x %d pixels of this sort of %s would take %s of memory, more than the %s that may be used: "+
		"save it as a plain 8-bit JPEG, or smaller", w.x, w.y, j.kind, megabytes(need+masterMemory), megabytes(j.opt.MaxMemory))
}

// admitSize refuses pictures that are too large, and those that claim more
// pixels than a file of this length can hold.
func (j *job) admitSize(w pixels) error {
	switch {
	case w.x <= 0 || w.y <= 0:
		return j.fail(ErrDamaged, nil, "the picture has no pixels: copy it again from the camera or card")
	case w.x > j.opt.MaxPixels/w.y:
		return j.over(ByPixels, "%d x %d pixels is more than the %s that can be opened: save a smaller copy",
			w.x, w.y, million(j.opt.MaxPixels))
	case max(w.x, w.y) > MaxSide:
		return j.fail(ErrTooLarge, nil, "%d x %d pixels has a longer side than the %d pixels that can be opened: save a smaller copy, or a part of it",
			w.x, w.y, MaxSide)
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

// decode returns the full picture as the file stores it, and what the file
// says besides.
func (j *job) decode() (image.Image, metadata, error) {
	j.source = &source{job: j, data: j.data}
	var img image.Image
	var meta metadata
	var err error
	switch j.kind {
	case kindHEIC, kindAVIF:
		img, meta, err = j.decodeHEIF()
	case kindRaw:
		img, meta, err = j.decodeRaw()
	default:
		img, err = j.decodePlain()
		if err == nil {
			meta = readMeta(j.kind, j.data)
		}
	}
	if err != nil {
		return nil, meta, j.explain(err, j.source.ended)
	}
	size := img.Bounds().Size()
	if err := j.admitSize(pixels{int64(size.X), int64(size.Y)}); err != nil {
		return nil, meta, err
	}
	if m, ok := img.(*image.YCbCr); ok && j.kind == kindWebP {
		img = &scaledImage{m, studio}
	}
	j.report(decodeShare)
	return img, meta, nil
}

// decodePlain decodes the kinds that Go's own packages know.
func (j *job) decodePlain() (image.Image, error) {
	switch j.kind {
	case kindJPEG:
		return jpeg.Decode(j.source)
	case kindPNG:
		return png.Decode(j.source)
	case kindGIF:
		return gif.Decode(j.source)
	case kindTIFF:
		if t, ok := inksOf(j.data); ok {
			return t.decode(j.source)
		}
		return tiff.Decode(j.source)
	case kindBMP:
		return bmp.Decode(j.source)
	case kindWebP:
		if isAnimatedWebP(j.data) {
			return j.decodeFrame()
		}
		return webp.Decode(j.source)
	}
	panic("photo: no decoder for " + j.kind)
}

// explain turns what a decoder said into an Error. ended tells that the decoder
// came to the end of the file.
func (j *job) explain(err error, ended bool) error {
	if j.ctx.Err() != nil {
		return j.stopped()
	}
	var already *Error
	if errors.As(err, &already) {
		return already
	}
	var ju jpeg.UnsupportedError
	var pu png.UnsupportedError
	var tu tiff.UnsupportedError
	switch {
	case errors.As(err, &ju) && strings.Contains(string(ju), "APP14"):
		return j.fail(ErrUnsupported, err, "this JPEG has four inks and does not say which: save it again as an RGB JPEG")
	case errors.As(err, &ju), errors.As(err, &pu), errors.As(err, &tu), errors.Is(err, bmp.ErrUnsupported):
		return j.fail(ErrUnsupported, err, "this sort of %s cannot be opened yet: save it again as a plain 8-bit JPEG or PNG", j.kind)
	case errors.Is(err, errSandboxMemory):
		return j.fail(ErrTooLarge, err, "the picture takes more memory than its size explains: save it as JPEG or PNG and open that")
	case errors.Is(err, errEngine):
		return j.fail(ErrUnsupported, err, "the decoder of %s pictures does not run on this machine: save it as JPEG and open that", j.kind)
	case errors.Is(err, errHEIFKind):
		return j.fail(ErrUnsupported, err, "this sort of %s cannot be opened yet: save it as JPEG or PNG and open that", j.kind)
	case ended, errors.Is(err, errHEIFShort), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return j.fail(ErrTruncated, err, truncatedLine)
	}
	return j.fail(ErrDamaged, err, damagedLine)
}
