package keep

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
)

const (
	mostOrphans = 1000 // plan files that Orphan looks at
	orphanHead  = 2048 // bytes of each: the photo stands first in what is saved
)

// Orphan looks beside the photo at photoPath for a plan of the same picture, told
// by its SHA-256, whose photo is no longer there under the name that it had: the
// photo was given another. It returns the plan file's name and the photo's old
// one; empty if there is none.
func Orphan(photoPath, sha256 string) (planName, photoName string) {
	dir := filepath.Dir(photoPath)
	entries, err := os.ReadDir(dir)
	if err != nil {
		return "", ""
	}
	looked := 0
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		if !IsPlanPath(path) || !e.Type().IsRegular() {
			continue
		}
		if looked++; looked > mostOrphans {
			break
		}
		if !begins(path, sha256) {
			continue
		}
		f, err := Load(path)
		if err == nil && f.Photo.SHA256 == sha256 && !exists(PhotoFor(path, f)) {
			return e.Name(), f.Photo.Name
		}
	}
	return "", ""
}

// begins reports whether text stands in the first part of the file at path.
func begins(path, text string) bool {
	f, err := openNow(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head, err := io.ReadAll(io.LimitReader(f, orphanHead))
	return err == nil && bytes.Contains(head, []byte(text))
}
