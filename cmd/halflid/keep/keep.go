// Package keep is where plans live on disk: which file a photo's plan is in,
// reading it, saving it whole or not at all, telling a second window, and
// saving by itself while the painter works. It is the only part that knows of
// folders; it prints nothing.
package keep

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"atelier/halflid/imageproc/plan"
)

// Ext is the end of a plan file's name.
const Ext = ".plan.json"

// Kinds of failure, wrapped by the errors of this package.
var (
	ErrLink      = errors.New("a link stands in its place")
	ErrNotFile   = errors.New("something that is no file stands in its place")
	ErrProtected = errors.New("it is protected against writing")
	ErrNoSpace   = errors.New("the disk is full")
	ErrTaken     = errors.New("the plan is open in another window")
)

// Place is where a photo's plan is kept.
type Place struct {
	Path string // the file to save to
	From string // the file to load from: Path, or an older one elsewhere while Path does not exist
	Note string // a line for the painter if the plan is not simply beside its photo; or empty
}

// Exists reports whether there is a plan to load.
func (p Place) Exists() bool { return exists(p.From) }

// StateDir returns the folder for plans that cannot lie beside their photo:
// halflid in $XDG_STATE_HOME, or in ~/.local/state without one. getenv is
// os.Getenv outside tests; it makes no folder. Source: XDG Base Directory
// Specification 0.8, which tells to ignore a path that is not absolute.
func StateDir(getenv func(string) string) (string, error) {
	if dir := getenv("XDG_STATE_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "halflid"), nil
	}
	if home := getenv("HOME"); filepath.IsAbs(home) {
		return filepath.Join(home, ".local", "state", "halflid"), nil
	}
	return "", errors.New("there is no folder for plans: HOME is not set; set XDG_STATE_HOME to a folder that can be written")
}

// PathFor returns where the plan of the photo at photoPath is kept.
//
// Beside the photo it is STEM.plan.json: boat.plan.json for boat.jpg. It is
// FULLNAME.plan.json (boat.jpg.plan.json) instead if that file exists already,
// if STEM.plan.json belongs to another photo that lies there too, or if there
// is no STEM.plan.json yet and another picture of that stem (boat.png) could
// ask for it. A STEM.plan.json whose photo is gone counts as this photo's: it
// was renamed (see Match). So does one that cannot be read, so that the painter
// hears of it.
//
// If the photo's folder cannot be written the plan is kept in stateDir, under
// the photo's name and a hash of its absolute path; without a stateDir ("") its
// place is beside the photo all the same, and saving there fails. It makes no
// file or folder.
func PathFor(photoPath, stateDir string) (Place, error) {
	abs, err := filepath.Abs(photoPath)
	if err != nil {
		return Place{}, fmt.Errorf("the place of %s is not known: %w", photoPath, err)
	}
	beside := besidePath(abs)
	state := statePath(filepath.Base(abs), abs, stateDir)
	p := Place{Path: beside}
	switch {
	case stateDir == "":
		if !writable(filepath.Dir(abs)) {
			p.Note = "the photo's folder cannot be written, and there is no other for its plan: set HOME or XDG_STATE_HOME"
		}
		state = beside
	case len(filepath.Base(lockPath(beside))) > maxName:
		p.Path, p.Note = state, "the photo's name is too long for a plan beside it: the plan is kept in "+stateDir
	case !writable(filepath.Dir(abs)):
		p.Path, p.Note = state, "the photo's folder cannot be written: the plan is kept in "+stateDir
	}
	p.From = p.Path
	if !exists(p.Path) {
		for _, other := range []string{beside, state} {
			if exists(other) {
				p.From = other
			}
		}
	}
	return p, nil
}

// PathForDemo returns where the plan of a photo inside the program is kept: in
// stateDir, under its name.
func PathForDemo(name, stateDir string) Place {
	path := filepath.Join(stateDir, short(stem(filepath.Base(name)))+"-demo"+Ext)
	return Place{Path: path, From: path, Note: "the plan of this scene is kept in " + stateDir}
}

// IsPlanPath reports whether a path is named as a plan file is.
func IsPlanPath(path string) bool {
	return len(filepath.Base(path)) > len(Ext) && strings.EqualFold(path[len(path)-len(Ext):], Ext)
}

// maxName is the longest file name that common file systems take, in bytes.
const maxName = 255

func besidePath(photo string) string {
	dir, base := filepath.Split(photo)
	full := filepath.Join(dir, base+Ext)
	plain := filepath.Join(dir, stem(base)+Ext)
	switch {
	case exists(full):
		return full
	case exists(plain):
		if othersPlan(plain, photo) {
			return full
		}
		return plain
	case hasTwin(dir, base):
		return full
	}
	return plain
}

// stem returns a file name without its last extension; all of it if nothing
// else would be left.
func stem(base string) string {
	if s := strings.TrimSuffix(base, filepath.Ext(base)); s != "" {
		return s
	}
	return base
}

// othersPlan reports whether the plan file names another photo that lies in the
// same folder. It reads leniently, so that plans of newer versions count too.
func othersPlan(path, photo string) bool {
	data, err := readLimited(path)
	if err != nil {
		return false
	}
	var file struct{ Photo struct{ Name string } }
	name := ""
	if json.Unmarshal(data, &file) == nil {
		name = file.Photo.Name
	}
	if name == "" || name == asKept(filepath.Base(photo)) || name != filepath.Base(name) {
		return false
	}
	other, err := os.Stat(filepath.Join(filepath.Dir(path), name))
	if err != nil {
		return false
	}
	this, err := os.Stat(photo)
	return err != nil || !os.SameFile(this, other)
}

// pictureExts are the ends of file names that could ask for the same plan.
var pictureExts = [...]string{".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".gif", ".bmp", ".heic", ".heif", ".avif"}

// IsPictureName reports whether a file is named as pictures are, by the end of its
// name alone.
func IsPictureName(name string) bool {
	return slices.Contains(pictureExts[:], strings.ToLower(filepath.Ext(name)))
}

// hasTwin reports whether another picture of the same stem lies in dir.
func hasTwin(dir, base string) bool {
	this, err := os.Stat(filepath.Join(dir, base))
	for _, ext := range pictureExts {
		for _, e := range [...]string{ext, strings.ToUpper(ext)} {
			name := stem(base) + e
			if name == base {
				continue
			}
			other, errOther := os.Stat(filepath.Join(dir, name))
			if errOther == nil && (err != nil || !os.SameFile(this, other)) {
				return true
			}
		}
	}
	return false
}

func statePath(base, abs, stateDir string) string {
	sum := sha256.Sum256([]byte(abs))
	return filepath.Join(stateDir, short(stem(base))+"-"+hex.EncodeToString(sum[:6])+Ext)
}

// short cuts a name to 80 bytes, between characters.
func short(name string) string {
	for len(name) > 80 {
		_, n := utf8.DecodeLastRuneInString(name)
		name = name[:len(name)-n]
	}
	return name
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// Load reads the plan file at path. Without one the error is fs.ErrNotExist;
// one that is not sound gives the *plan.ReadError; both name the path.
func Load(path string) (plan.File, error) {
	data, err := readLimited(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return plan.File{}, fmt.Errorf("there is no plan %s: %w", path, fs.ErrNotExist)
	case err != nil:
		return plan.File{}, fmt.Errorf("the plan %s cannot be read: %w", path, reason(err))
	}
	f, err := plan.Read(data)
	if err != nil {
		return plan.File{}, fmt.Errorf("%s: %w", path, err)
	}
	return f, nil
}

// readLimited reads a regular file to just past the size that plan.Read takes.
func readLimited(path string) ([]byte, error) {
	// A device may do something when it is opened: look before.
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return nil, ErrNotFile
	}
	f, err := openNow(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, cmp.Or(err, ErrNotFile)
	}
	var b bytes.Buffer
	_, err = io.Copy(&b, io.LimitReader(f, plan.MaxBytes+1))
	return b.Bytes(), err
}

// SetAside renames a plan that cannot be read so that a new one can be saved in
// its place, and returns its new path: the name with .unread, or .unread2 and
// so on. Nothing is overwritten.
func SetAside(path string) (string, error) {
	for i := 1; i < 100; i++ {
		to := path + ".unread"
		if i > 1 {
			to = fmt.Sprintf("%s.unread%d", path, i)
		}
		err := os.Link(path, to) // unlike a rename, a link overwrites nothing
		switch {
		case errors.Is(err, fs.ErrExist):
			continue
		case err != nil && !exists(to):
			err = os.Rename(path, to) // file systems without links
		case err == nil:
			err = os.Remove(path)
		}
		if err != nil {
			return "", fmt.Errorf("the plan %s could not be set aside: %w", path, reason(err))
		}
		return to, nil
	}
	return "", fmt.Errorf("the plan %s could not be set aside: too many lie there already; take some away", path)
}

// reason returns the cause alone of an error that repeats the path.
func reason(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}
