package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"atelier/halflid/cmd/halflid/previews"
	"atelier/halflid/imageproc/photo"
)

// withoutOwn leaves out pictures that the program wrote itself, which *.png names
// too, and says on errw which; with nothing left it fails.
func withoutOwn(files []string, errw io.Writer) ([]string, error) {
	var photos, own []string
	for _, f := range files {
		if ownPicture(f) {
			own = append(own, f)
			continue
		}
		photos = append(photos, f)
	}
	switch {
	case len(own) == 0:
		return photos, nil
	case len(photos) == 0:
		return nil, fmt.Errorf("%s is the picture of a plan, not a photo: name the photo, or its plan file", own[0])
	case len(own) == 1:
		fmt.Fprintf(errw, "halflid: note: %s is the picture of a plan, not a photo: passed over\n", photo.SafeName(own[0]))
	default:
		fmt.Fprintf(errw, "halflid: note: %s and %d more are pictures of plans, not photos: passed over\n", photo.SafeName(own[0]), len(own)-1)
	}
	return photos, nil
}

// ownPicture reports whether the file at path is a picture of a plan, told by what
// such pictures carry. One that cannot be read is none: opening it says why.
func ownPicture(path string) bool {
	if !strings.EqualFold(filepath.Ext(path), ".png") {
		return false
	}
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head, err := io.ReadAll(io.LimitReader(f, 4096))
	return err == nil && previews.PlanOf(head) != ""
}
