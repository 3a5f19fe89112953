package main

import (
	"fmt"
	"io"
	"path/filepath"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/photo"
)

// unsound is why the plan that lies there cannot be used, and that it can be moved
// away; nil if none lies there or it was read.
func (w *work) unsound() error {
	if w.unread == nil {
		return nil
	}
	return fmt.Errorf("%w: mend it or move it away", w.unread)
}

// tell writes what whoever only looks should know of the plan: that it was made
// for another picture, or that it could not be read and another is shown.
func (w *work) tell(errw io.Writer) {
	line := w.match
	if err := w.unsound(); err != nil {
		line = fmt.Sprintf("this is a new plan, not the one that is kept: %v", err)
	}
	if line != "" {
		fmt.Fprintln(errw, "halflid: note: "+photo.SafeName(line))
	}
}

// seek tells of a plan that the photo had under another name.
func (w *work) seek(path string) {
	if name, was := keep.Orphan(path, w.photo.SHA256); name != "" {
		w.match = fmt.Sprintf("%s was made for this picture when it was called %s: rename it to %s to go on with it", name, was, filepath.Base(w.place.Path))
		w.notes = append(w.notes, w.match)
	}
}
