package plan

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Version is the version of the plan file that is written, and the newest that
// is read.
const Version = 1

// maxPhotoName is how long a photo's name is at most, in bytes.
const maxPhotoName = 255

// Photo says which photo a plan file is for. It never holds a folder.
type Photo struct {
	Name          string // the file's own name
	SHA256        string // of the file's bytes, 64 lower-case hexadecimal digits
	Width, Height int    // pixels when upright
}

// Size returns the photo's upright size in pixels.
func (p Photo) Size() image.Point { return image.Pt(p.Width, p.Height) }

// Frame returns what edits must know of the photo.
func (p Photo) Frame() Frame { return Frame{p.Size()} }

// File is what a plan file holds: the photo, the current plan, the thumbnails in
// the order in which they are shown, and the steps that undo takes back. Use it
// as a value: With, Keep, Drop and WithHistory return a new one, and nobody
// writes to Thumbnails.
type File struct {
	Photo      Photo
	Plan       Plan
	Thumbnails []Thumbnail
	history    *History // nil: none; never written to
	unknown    unknown
}

// With returns the file with p as its current plan, and all else as it is (see
// History).
func (f File) With(p Plan) File {
	f.Plan = p
	return f
}

// Keep returns the file with p kept under name after the other thumbnails, see
// State.Keep.
func (f File) Keep(name string, p Plan) (_ File, ok bool) {
	s, ok := f.state().Keep(name, p)
	f.Thumbnails = s.Thumbnails
	return f, ok
}

// Drop returns the file without thumbnail i; unchanged if there is none.
func (f File) Drop(i int) File {
	f.Thumbnails = f.state().Drop(i).Thumbnails
	return f
}

func (f File) state() State { return State{f.Plan, f.Thumbnails} }

// Equal reports whether f and g hold the same.
func (f File) Equal(g File) bool {
	return f.Photo == g.Photo && f.Plan == g.Plan && f.unknown == g.unknown && slices.Equal(f.Thumbnails, g.Thumbnails) && f.history.equal(g.history)
}

// Text returns the plan file: canonical JSON with its fields in a fixed order,
// numbers rounded (crop: six decimals, areas, shifts and focal point: four,
// brush and smoothing: one, squint, cuts, tones, sizes and panel sides: two), two
// spaces a level, LF, one at the end, and unknown fields where they were read.
// The choices of all plans stand once each in a table, in the order of first
// use. Of the history go the newest MaxKept steps, fewer if they make more than
// 512 kB of text. Read gives the fitted file back, and Text of that the same
// bytes. Names are cut to what Read takes. It panics if the photo's size or
// SHA-256 is none.
func (f File) Text() []byte {
	ph := f.Photo
	if ph.Width < 1 || ph.Height < 1 || ph.Width > MaxSide || ph.Height > MaxSide || !isSHA256(ph.SHA256) {
		panic(fmt.Sprintf("plan: file for a photo of %d by %d pixels, SHA-256 %q", ph.Width, ph.Height, ph.SHA256))
	}
	photo := object(f.unknown, "photo",
		field{"name", quoted(photoName(ph.Name))},
		field{"sha256", quoted(ph.SHA256)},
		field{"width", strconv.Itoa(ph.Width)},
		field{"height", strconv.Itoa(ph.Height)})
	now := f.state().fit(ph.Frame())
	var table choiceTable
	plan := planText(now.Plan, table.references)
	thumbnails := list(now.Thumbnails, func(t Thumbnail) string { return thumbText(t, table.references) })
	history := ""
	if f.history != nil {
		history = f.history.text(now.Thumbnails, &table, ph.Frame())
	}
	return indented(object(f.unknown, "",
		field{"halflid", `"plan"`},
		field{"version", strconv.Itoa(Version)},
		field{"photo", photo},
		field{"plan", plan},
		field{"thumbnails", thumbnails},
		field{"choices", table.text()},
		field{"history", history}))
}

// Write writes Text to w.
func (f File) Write(w io.Writer) error {
	if _, err := w.Write(f.Text()); err != nil {
		return fmt.Errorf("the plan for %s could not be written: %w", photoName(f.Photo.Name), err)
	}
	return nil
}

// Hash returns twelve hexadecimal digits that stand for a fitted plan: equal for
// equal plans, on every machine, and with all likelihood different for different
// ones. Exports carry it, so that a sheet can be traced to its plan. It covers
// the decisions alone, not the photo. Source: SHA-256 (FIPS 180-4) of the
// plan's text without spaces, cut to 48 bits.
func Hash(p Plan) string {
	sum := sha256.Sum256([]byte(planText(p, fullChoices)))
	return hex.EncodeToString(sum[:6])
}

func isSHA256(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}

// isPhotoName reports whether s is a file's own name, without a folder.
func isPhotoName(s string) bool {
	return s != "" && s != "." && s != ".." && len(s) <= maxPhotoName && !strings.ContainsAny(s, "/\x00")
}

// photoName returns the last part of a path as a name that Read takes: UTF-8,
// not empty, at most 255 bytes.
func photoName(s string) string {
	s = s[strings.LastIndexByte(s, '/')+1:]
	s = strings.ToValidUTF8(strings.ReplaceAll(s, "\x00", ""), "\ufffd")
	for len(s) > maxPhotoName {
		_, n := utf8.DecodeLastRuneInString(s)
		s = s[:len(s)-n]
	}
	if !isPhotoName(s) {
		return "photo"
	}
	return s
}
