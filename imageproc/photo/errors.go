package photo

import (
	"context"
	"errors"
	"fmt"
)

// What can be wrong with a file; every error of Decode but a cancelled context
// wraps exactly one of the first six.
var (
	ErrEmpty       = errors.New("photo: empty file")
	ErrNotPicture  = errors.New("photo: not a picture")
	ErrTooLarge    = errors.New("photo: too large")
	ErrTruncated   = errors.New("photo: cut short")
	ErrDamaged     = errors.New("photo: damaged")
	ErrUnsupported = errors.New("photo: kind of picture not supported")

	// ErrNoPreview is returned by Preview when a file carries no small picture
	// that can stand for the large one. It is no fault of the file.
	ErrNoPreview = errors.New("photo: no usable preview")
)

// The lines that are said in more than one place.
const (
	damagedLine   = "the picture is damaged and cannot be read: copy it again from the camera or card"
	truncatedLine = "the picture is cut short, part of it is missing: copy it again from the camera or card"
)

// Error is a failure to open one file. Its text is one line for the painter:
// the file, what is wrong, what to do.
type Error struct {
	Name  string // the file's base name, made safe to show
	Line  string // what is wrong and what to do
	Kind  error  // one of the sentinels above, or the context's error
	Limit Limit  // what would have to be larger for it to open; usually none
	Cause error  // what the decoder said; may be nil
}

// Limit is one of the limits that Options sets, or none.
type Limit int

// The limits.
const (
	NoLimit   Limit = iota
	ByPixels        // Options.MaxPixels
	ByBytes         // Options.MaxBytes
	ByMemory        // Options.MaxMemory
	ByContext       // the deadline of Decode's context
)

// Error returns the name and the line.
func (e *Error) Error() string { return e.Name + ": " + e.Line }

// Unwrap returns the kind, and the cause when there is one.
func (e *Error) Unwrap() []error {
	if e.Cause == nil {
		return []error{e.Kind}
	}
	return []error{e.Kind, e.Cause}
}

func (j *job) fail(kind, cause error, format string, args ...any) error {
	return &Error{Name: j.shown, Line: fmt.Sprintf(format, args...), Kind: kind, Cause: cause}
}

// over is the failure of what goes over a limit that can be raised.
func (j *job) over(limit Limit, format string, args ...any) error {
	return &Error{Name: j.shown, Line: fmt.Sprintf(format, args...), Kind: ErrTooLarge, Limit: limit}
}

func (j *job) stopped() error {
	line, limit := "opening was stopped", NoLimit
	if errors.Is(j.ctx.Err(), context.DeadlineExceeded) {
		line = "opening took longer than it may and was stopped: save it as a plain 8-bit JPEG, or allow more time"
		limit = ByContext
	}
	return &Error{Name: j.shown, Line: line, Kind: j.ctx.Err(), Limit: limit}
}
