package previews

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/photo"
)

// Entry is a file of a folder that looks like a photograph.
type Entry struct {
	Name    string // within the folder; not safe to show
	Time    time.Time
	Planned bool // a plan lies beside it
}

// MaxFiles bounds how many files of a folder are looked at.
const MaxFiles = 100_000

// List returns the files of a folder that could be photographs, by what the folder
// says of them alone: no subfolders, hidden files or plans. Candidates still have
// to be looked into: see IsPhoto. Of a folder of more than MaxFiles only so many are
// looked at, and whole is false. The error is one line for the painter.
func List(dir string) (found []Entry, whole bool, err error) {
	d, err := os.Open(dir)
	if err != nil {
		return nil, false, folderError(dir, err)
	}
	defer d.Close()
	names, err := d.Readdirnames(MaxFiles + 1)
	if err != nil && err != io.EOF {
		return nil, false, folderError(dir, err)
	}
	plans := map[string]bool{}
	for _, n := range names {
		if keep.IsPlanPath(n) {
			plans[n[:len(n)-len(keep.Ext)]] = true
		}
	}
	whole = len(names) <= MaxFiles
	names = names[:min(len(names), MaxFiles)]
	for _, n := range names {
		if strings.HasPrefix(n, ".") || keep.IsPlanPath(n) {
			continue
		}
		info, err := os.Stat(filepath.Join(dir, n))
		if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
			continue
		}
		stem := strings.TrimSuffix(n, filepath.Ext(n))
		found = append(found, Entry{Name: n, Time: info.ModTime(), Planned: plans[n] || plans[stem]})
	}
	return found, whole, nil
}

// CanList returns why a folder cannot be looked into, in one line for the painter;
// nil if it can.
func CanList(dir string) error {
	d, err := os.Open(dir)
	if err == nil {
		defer d.Close()
		_, err = d.Readdirnames(1)
	}
	if err != nil && err != io.EOF {
		return folderError(dir, err)
	}
	return nil
}

func folderError(dir string, err error) error {
	var p *fs.PathError
	switch {
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s may not be looked into: its permissions do not let you", dir)
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: there is no such folder", dir)
	case errors.As(err, &p):
		err = p.Err
	}
	return fmt.Errorf("%s cannot be looked into: %w", dir, err)
}

// sniffed is how much of a file tells what it is.
const sniffed = 4 << 10

// IsPhoto reports whether the file at path is a photograph, by its first bytes: a
// picture of a kind that is opened, or that is known to be one. Pictures of plans
// are none. Of what cannot be read only the name is left to judge by.
func IsPhoto(path string) bool {
	f, _, err := open(path)
	if err != nil {
		return keep.IsPictureName(path)
	}
	defer f.Close()
	head := make([]byte, sniffed)
	n, err := f.ReadAt(head, 0)
	if err != nil && err != io.EOF {
		return keep.IsPictureName(path)
	}
	switch photo.Sniff(head[:n]) {
	case "", "text", "PDF page", "SVG drawing":
		return false
	}
	return PlanOf(head[:n]) == ""
}
