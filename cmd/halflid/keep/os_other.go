//go:build !unix

package keep

import (
	"errors"
	"io/fs"
	"os"
	"strings"
)

// writable reports whether the user may make files in dir, by making one.
func writable(dir string) bool {
	f, err := os.CreateTemp(dir, tempStem)
	if err != nil {
		return false
	}
	f.Close()
	os.Remove(f.Name())
	return true
}

func isFull(err error) bool {
	return strings.Contains(strings.ToLower(err.Error()), "not enough space")
}

func hasNoModes(err error) bool { return errors.Is(err, fs.ErrPermission) }

func openNow(path string) (*os.File, error) { return os.Open(path) }

// syncDir does nothing: folders cannot be synced here.
func (disk) syncDir(string) error { return nil }
