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
	"unicode"
	"unicode/utf8"

	"atelier/halflid/palette"
)

// Version is the version of the plan file that is written, and the newest that
// is read.
const Version = 1

// Limits of a plan file's parts.
const (
	MaxThumbnails = 200
	maxPhotoName  = 255 // bytes
	maxThumbName  = 80  // characters
)

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

// Thumbnail is a plan that the painter kept, to be compared with others.
type Thumbnail struct {
	Name    string
	Plan    Plan
	unknown unknown
}

// File is what a plan file holds: the photo, the current plan, and the
// thumbnails in the order in which they were kept. Use it as a value: With,
// Keep and Drop return a new one, and nobody writes to Thumbnails.
type File struct {
	Photo      Photo
	Plan       Plan
	Thumbnails []Thumbnail
	unknown    unknown
}

// With returns the file with p as its current plan.
func (f File) With(p Plan) File {
	f.Plan = p
	return f
}

// Keep returns the file with p kept under name after the other thumbnails. The
// name loses control characters and all but 80 characters; empty, it becomes
// the thumbnail's number. A file that holds MaxThumbnails already comes back
// as it was, with ok false.
func (f File) Keep(name string, p Plan) (_ File, ok bool) {
	if len(f.Thumbnails) >= MaxThumbnails {
		return f, false
	}
	if name = thumbName(name); name == "" {
		name = strconv.Itoa(len(f.Thumbnails) + 1)
	}
	f.Thumbnails = append(slices.Clone(f.Thumbnails), Thumbnail{Name: name, Plan: p})
	return f, true
}

// Drop returns the file without thumbnail i; unchanged if there is none.
func (f File) Drop(i int) File {
	if i < 0 || i >= len(f.Thumbnails) {
		return f
	}
	f.Thumbnails = slices.Delete(slices.Clone(f.Thumbnails), i, i+1)
	return f
}

// Equal reports whether f and g hold the same.
func (f File) Equal(g File) bool {
	return f.Photo == g.Photo && f.Plan == g.Plan && f.unknown == g.unknown && slices.Equal(f.Thumbnails, g.Thumbnails)
}

// Text returns the plan file: canonical JSON with its fields in a fixed order,
// numbers rounded (crop: six decimals, focal point: four, brush: one, squint, cuts,
// tones and panel sides: two), two spaces a level, LF, one at the end, and
// unknown fields where they were read. Read gives the fitted file back, and
// Text of that the same bytes. Names are cut to what Read takes. It panics if
// the photo's size or SHA-256 is none.
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
	thumb := func(t Thumbnail) string {
		name := thumbName(t.Name)
		if name == "" {
			name = "thumbnail"
		}
		return object(t.unknown, "", field{"name", quoted(name)}, field{"plan", planText(Fit(t.Plan, ph.Frame()))})
	}
	return indented(object(f.unknown, "",
		field{"halflid", `"plan"`},
		field{"version", strconv.Itoa(Version)},
		field{"photo", photo},
		field{"plan", planText(Fit(f.Plan, ph.Frame()))},
		field{"thumbnails", list(f.Thumbnails, thumb)}))
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
	sum := sha256.Sum256([]byte(planText(p)))
	return hex.EncodeToString(sum[:6])
}

// planText returns a fitted plan as JSON without spaces.
func planText(p Plan) string {
	u := p.unknown
	crop := []field{{"x", number(p.Crop.X)}, {"y", number(p.Crop.Y)}, {"w", number(p.Crop.W)}, {"h", ""}}
	if p.Panel.Free() {
		crop[3].text = number(p.Crop.H)
	}
	value := func(v palette.Value) string { return number(float64(v)) }
	var cuts, tones string
	if v := p.Values.HandCuts(); v != nil {
		cuts = list(v, value)
	}
	if v := p.Values.HandTones(); v != nil {
		tones = list(v, value)
	}
	focus := ""
	if f := p.Focus; !f.None() {
		focus = object(u, "focus", field{"x", number(f.X)}, field{"y", number(f.Y)}, field{"radius", number(f.Radius)})
	}
	return object(u, "",
		field{"crop", object(u, "crop", crop...)},
		field{"panel", object(u, "panel",
			field{"size", quoted(p.Panel.Name())},
			field{"way", quoted(string(p.Panel.Way))})},
		field{"squint", number(p.Squint)},
		field{"values", object(u, "values",
			field{"count", strconv.Itoa(p.Values.K)},
			field{"cuts", object(u, "values.cuts", field{"method", quoted(string(p.Values.CutMethod))}, field{"at", cuts})},
			field{"tones", object(u, "values.tones", field{"method", quoted(string(p.Values.ToneMethod))}, field{"at", tones})})},
		field{"shapes", object(u, "shapes",
			field{"wanted", strconv.Itoa(p.Shapes.Wanted)},
			field{"brush_mm", number(p.Shapes.Brush)})},
		field{"focus", focus})
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

// thumbName returns s as a thumbnail's name that Read takes, or nothing.
func thumbName(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
	s = strings.TrimSpace(s)
	if r := []rune(s); len(r) > maxThumbName {
		s = strings.TrimSpace(string(r[:maxThumbName]))
	}
	return s
}
