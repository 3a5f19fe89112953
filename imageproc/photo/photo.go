// Package photo opens photographs: bytes of a picture file in, an upright
// linear-light picture of bounded size out. It reads JPEG, PNG, GIF, TIFF, BMP,
// WebP, HEIC and AVIF, and the preview inside raw camera files, told apart by
// their bytes and never by their names; it opens no path itself. It is the
// project's only importer of disintegration/imaging, which saves display copies
// here (see WritePNG) and decides no value.
package photo

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"path/filepath"

	"atelier/halflid/imageproc"
)

const (
	// MasterSide is the longest side, in pixels, of a Photo's Master.
	MasterSide = 2048

	// MaxSide is the longest side, in pixels, of a picture that is opened: a
	// plan file names no longer one, and while rows are averaged each takes 24
	// bytes a pixel of its width for every goroutine.
	MaxSide = 100_000

	// DefaultMaxPixels is the largest picture opened when Options.MaxPixels is
	// zero: 150 million pixels, more than any camera back gives in one shot.
	DefaultMaxPixels = 150_000_000

	// DefaultMaxBytes is the largest file opened when Options.MaxBytes is zero: 512 MB.
	DefaultMaxBytes = 512_000_000
)

// Options says how much Decode may take on. The zero value is ready to use.
type Options struct {
	MaxPixels int64 // largest width times height; zero means DefaultMaxPixels
	MaxBytes  int64 // largest file in bytes; zero means DefaultMaxBytes
	MaxMemory int64 // most memory in bytes that decoding may take; zero means DefaultMaxMemory

	// Progress, when not nil, is told the share done, 0 to 1, never less than
	// before and in steps of at least one percent. It is called from Decode's
	// own goroutine and should return quickly.
	Progress func(done float64)
}

// Photo is a decoded reference. It never changes once made; its Master is
// shared by all who hold it and must not be written to.
type Photo struct {
	Name   string      // base name as given; pass it through SafeName before showing it
	Format string      // the kind of file: "JPEG", "PNG", "GIF", "TIFF", "BMP", "WebP", "HEIC", "AVIF" or "raw camera file"
	Size   image.Point // upright size in pixels of the full picture
	Bytes  int64       // length of the file
	SHA256 string      // fingerprint of the file's bytes, 64 lower-case hex digits

	// Master is the picture the project measures: linear sRGB, 0 to 1, upright,
	// its long side MasterSide or the full picture's own if that is smaller,
	// area-averaged in linear light.
	Master imageproc.Picture

	// Profile names how the file's colours were read: "sRGB" (also when it says
	// nothing), "Display P3", "Adobe RGB (1998)", "embedded: " with the name in
	// its profile, "PNG gamma 2.20" and the like. It is safe to show.
	Profile string

	Notes       []string // what the painter should know of this file; whole sentences without a final stop
	Orientation int      // the file's orientation as EXIF counts, 1 to 8, already applied; 1 if it gives none
}

// Decode opens the picture in data. name is used for Photo.Name and in error
// messages only.
//
// Limits are checked from the header before any pixel is decoded. Transparent
// parts are laid over a mid grey of L* 50 in linear light. A file of many
// pictures gives its first or main one. A raw camera file gives the largest
// JPEG that the camera put inside, as a note says. Colours are turned to sRGB
// from a matrix profile (relative colorimetric, no black point compensation),
// from code points, or from what a PNG or EXIF says instead (see coloursOf):
// curves before averaging, the matrix after, and colours that sRGB cannot show
// keep their luminance (see insideSRGB). Profiles made of tables, and inks, are
// left and noted.
//
// The error is an *Error wrapping ErrEmpty, ErrNotPicture, ErrTooLarge,
// ErrTruncated, ErrDamaged or ErrUnsupported, its text one line for the
// painter; or it wraps ctx.Err() when ctx ended first. No input makes Decode
// panic. Conversion uses as many goroutines as GOMAXPROCS allows, and the
// result does not depend on how many. Memory: the decoder's own planes (36 MB
// for a 24-megapixel 4:2:0 JPEG), bounded by Options.MaxMemory, and at most 48
// MB besides; data is neither changed nor kept. When ctx ends Decode returns at
// once for every format; a HEIC tile or an AVIF picture that is under way ends
// by itself a moment later, holding data until then.
func Decode(ctx context.Context, data []byte, name string, opt Options) (p *Photo, err error) {
	job := newJob(ctx, data, name, opt)
	defer func() {
		if r := recover(); r != nil {
			p, err = nil, job.fail(ErrDamaged, fmt.Errorf("decoder panicked: %v", r), damagedLine)
		}
	}()
	if err := job.admit(); err != nil {
		return nil, err
	}
	sum := make(chan [sha256.Size]byte, 1) // the fingerprint is taken while the decoder, which is one goroutine, works
	go func() { sum <- sha256.Sum256(data) }()
	img, meta, err := job.decode()
	if err != nil {
		return nil, err
	}
	colours, notes := coloursOf(job.kind, img, meta)
	master, err := average(ctx, img, colours.curves(), MasterSide, meta.orientation, job.converted)
	if err != nil {
		if ctx.Err() != nil {
			return nil, job.stopped()
		}
		return nil, job.fail(ErrDamaged, err, damagedLine)
	}
	size := img.Bounds().Size()
	if meta.orientation >= 5 {
		size.X, size.Y = size.Y, size.X
	}
	digest := <-sum
	job.report(1)
	return &Photo{
		Name: base(name), Format: job.kind, Size: size, Bytes: int64(len(data)),
		SHA256: hex.EncodeToString(digest[:]), Master: master,
		Profile: colours.name, Notes: append(meta.notes, notes...), Orientation: meta.orientation,
	}, nil
}

// base returns the last element of a name; "" stays "".
func base(name string) string {
	if name == "" {
		return ""
	}
	return filepath.Base(name)
}
