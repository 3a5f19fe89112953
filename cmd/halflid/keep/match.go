package keep

import (
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"atelier/halflid/imageproc/plan"
)

// Likeness says how a photo agrees with the one that a plan was made for.
type Likeness int

// The likenesses.
const (
	Same      Likeness = iota // the same picture under the same name
	Renamed                   // the same picture under another name
	Changed                   // another picture of the same size: edited since, most likely
	OtherSize                 // another picture of another size
)

// Verdict is a likeness with a line for the painter on what it means and what
// can be done; the line is empty for Same.
type Verdict struct {
	Likeness Likeness
	Line     string
}

// Match compares the photo that a plan file was made for with the one that is
// open: its file name, the SHA-256 of its bytes and its upright size in pixels.
func Match(f plan.File, name, sha256 string, size image.Point) Verdict {
	was := f.Photo
	switch {
	case was.SHA256 == sha256 && was.Name == asKept(name):
		return Verdict{Likeness: Same}
	case was.SHA256 == sha256:
		return Verdict{Renamed, fmt.Sprintf("this photo was called %s when it was planned: the plan holds as it is and takes the new name", was.Name)}
	case was.Size() == size:
		return Verdict{Changed, fmt.Sprintf("%s is not the picture that was planned, but has its size: the crop holds, values and shapes are measured anew; look them over", name)}
	}
	line := fmt.Sprintf("%s has %d by %d pixels, the planned photo had %d by %d: ", name, size.X, size.Y, was.Width, was.Height)
	if sameProportions(was.Size(), size) {
		return Verdict{OtherSize, line + "the proportions agree, so the crop lies where it lay; look it over"}
	}
	return Verdict{OtherSize, line + "the proportions differ, so the crop is fitted into the photo anew; place it again, or start a plan of its own"}
}

// sameProportions reports whether b is a scaled copy of a, within the rounding
// of its sides to whole pixels.
func sameProportions(a, b image.Point) bool {
	if a.X < 1 || a.Y < 1 || b.X < 1 || b.Y < 1 {
		return false
	}
	// Were b's width exact, its height would be this.
	h := float64(b.X) / float64(a.X) * float64(a.Y)
	w := float64(b.Y) / float64(a.Y) * float64(a.X)
	near := func(x, y float64) bool { return x-y <= 1 && y-x <= 1 }
	return near(h, float64(b.Y)) || near(w, float64(b.X))
}

// PhotoFor returns the photo that a plan file at planPath names: beside it, or in
// the folder above if it lies there alone, since plans may be kept in a folder of
// their own among the photos. Where there is none it is the place beside the plan. A
// name that no plan file can hold (see asKept) is looked for in both folders.
func PhotoFor(planPath string, f plan.File) string {
	dir, name := filepath.Dir(planPath), filepath.Base(f.Photo.Name)
	for _, in := range []string{dir, filepath.Join(dir, "..")} {
		if path, ok := photoIn(in, name); ok {
			return path
		}
	}
	return filepath.Join(dir, name)
}

// photoIn returns the file in dir whose name stands as name in a plan file.
func photoIn(dir, name string) (path string, ok bool) {
	path = filepath.Join(dir, name)
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		return path, true
	}
	if !strings.ContainsRune(name, utf8.RuneError) {
		return "", false
	}
	entries, _ := os.ReadDir(dir) // without them it is not found
	for _, e := range entries {
		if asKept(e.Name()) == name && !e.IsDir() {
			return filepath.Join(dir, e.Name()), true
		}
	}
	return "", false
}

// asKept returns a file name as a plan file holds it, which is UTF-8 text: each
// run of bytes that are none is one U+FFFD.
func asKept(name string) string { return strings.ToValidUTF8(name, string(utf8.RuneError)) }
