// Package purego stands in for the package of that name, which opens libraries
// of the machine at run time. halflid never does: its decoders of HEIC and AVIF
// pictures run in a sandbox of their own, alike on every machine. Two packages
// that carry those decoders would look for such libraries before main; here
// they are told that there are none.
package purego

import "errors"

// The modes of Dlopen.
const (
	RTLD_NOW    = 2
	RTLD_GLOBAL = 0x100
)

// Dlopen opens nothing: it returns an error.
func Dlopen(string, int) (uintptr, error) {
	return 0, errors.New("purego: libraries of the machine are not opened")
}

// RegisterLibFunc is never reached, since Dlopen opens nothing.
func RegisterLibFunc(any, uintptr, string) { panic("purego: no library") }
