package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"atelier/halflid/cmd/halflid/demo"
	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
)

// source is a photo to be opened: its bytes and where it is, or was told to be.
type source struct {
	path string     // of the photo; "" for the demo
	name string     // of the photo, as it stands in its plan
	data []byte     // of the photo
	from string     // the plan file that was named instead of the photo; or ""
	file *plan.File // what that plan file holds
	text keep.Stamp // of that plan file

	input bool // the photo came on standard input: no plan is kept for it
}

// readSource reads the photo that path names, or the one that the plan at path
// was made for; the demo for an empty path.
func readSource(ctx context.Context, path string) (*source, error) {
	if path == "" {
		name, data := demo.Photo()
		return &source{name: name, data: data}, nil
	}
	data, err := readFile(ctx, path)
	if err != nil {
		return nil, err
	}
	if !keep.IsPlanPath(path) {
		return &source{path: path, name: filepath.Base(path), data: data}, nil
	}
	f, err := plan.Read(data)
	switch {
	case errors.Is(err, plan.ErrNewer): // says itself what to do
		return nil, fmt.Errorf("%s: %w", path, err)
	case err != nil:
		return nil, fmt.Errorf("%s: %w: mend it there, or move it away and open the photo itself", path, err)
	}
	stamp := keep.StampOf(data)
	photoPath := keep.PhotoFor(path, f)
	data, err = readFile(ctx, photoPath)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s: its photo %s is not beside it, nor in the folder above: put the photo there, or this plan beside the photo", path, f.Photo.Name)
	case err != nil:
		return nil, err
	}
	return &source{path: photoPath, name: filepath.Base(photoPath), data: data, from: path, file: &f, text: stamp}, nil
}

// readFile reads a picture or plan file whole, with a line for the painter on
// what can be wrong.
func readFile(ctx context.Context, path string) ([]byte, error) {
	most := limitsOf(ctx).MaxBytes
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, notThere{path}
	case errors.Is(err, fs.ErrPermission):
		return nil, fmt.Errorf("%s may not be looked at: its folder is closed to you", path)
	case err != nil:
		return nil, fmt.Errorf("%s cannot be read: %w", path, cause(err))
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder: name a photo in it (halflid with the folder alone shows them all)", path)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s is no file that can be read whole: copy the photo to a file first", path)
	case info.Size() > most:
		return nil, fmt.Errorf("%s is too large: %d MB, at most %d MB are opened; save a smaller copy, or raise that with --max-megabytes", path, (info.Size()+megabyte/2)/megabyte, most/megabyte)
	}
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrPermission) {
		return nil, fmt.Errorf("%s may not be read: its permissions do not let you", path)
	}
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, cause(err))
	}
	defer f.Close()
	data := make([]byte, 0, info.Size()+1)
	data, err = appendAll(data, io.LimitReader(f, most+1))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, cause(err))
	}
	return data, nil
}

// appendAll is io.ReadAll into memory of the right size, which for a large photo
// saves as much again.
func appendAll(data []byte, r io.Reader) ([]byte, error) {
	for {
		if len(data) == cap(data) {
			data = slices.Grow(data, 1<<16)
		}
		n, err := r.Read(data[len(data):cap(data)])
		data = data[:len(data)+n]
		if err == io.EOF {
			return data, nil
		}
		if err != nil {
			return data, err
		}
	}
}

// cause returns what is behind an error that repeats the path.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// work is an open photo with its plan.
type work struct {
	photo   *photo.Photo
	plan    plan.Plan
	file    plan.File // what the plan file will hold
	place   keep.Place
	stamp   keep.Stamp // of what lay in the plan's place when it was read
	notes   []string
	match   string // of the notes, what the photo is to the plan: empty for the one it was made for
	unread  error  // why the plan file that lies there could not be read
	isPlan  bool   // the painter named the plan, not the photo
	isDemo  bool
	planned bool // the plan was kept before
}

func (w *work) frame() plan.Frame { return plan.Frame{Photo: w.photo.Size} }
func (w *work) name() string      { return w.photo.Name }

// openWork reads and decodes a file and finds its plan.
func openWork(ctx context.Context, path string) (*work, error) {
	src, err := readSource(ctx, path)
	if err != nil {
		return nil, err
	}
	return src.open(ctx, nil)
}

// options are how the photo is decoded.
func (s *source) options(ctx context.Context, progress func(float64)) photo.Options {
	o := limitsOf(ctx)
	o.Progress = progress
	return o
}

// open decodes the photo and finds its plan: the one that was named, the kept
// one, or the one that every photo begins with.
func (s *source) open(ctx context.Context, progress func(float64)) (*work, error) {
	ctx, done := inTime(ctx)
	defer done()
	p, err := photo.Decode(ctx, s.data, s.name, s.options(ctx, progress))
	if err != nil {
		return nil, raising(err)
	}
	w := &work{photo: p, notes: p.Notes, isDemo: s.path == "" && !s.input, isPlan: s.from != ""}
	w.plan = plan.Default(p.Size)
	if err := w.findPlan(s); err != nil {
		return nil, err
	}
	w.settle()
	return w, nil
}

// settle fits the plan to the photo and makes it the one of the file.
func (w *work) settle() {
	w.plan = plan.Fit(w.plan, w.frame())
	w.file.Photo = plan.Photo{Name: w.photo.Name, SHA256: w.photo.SHA256, Width: w.photo.Size.X, Height: w.photo.Size.Y}
	w.file = w.file.With(w.plan)
}

// errMeanwhile: what was read is no longer what lies there.
var errMeanwhile = errors.New("another window saved the plan meanwhile")

// lock takes the lock of the plan at path. If that is where the plan of w was read
// and another window has saved it since, the error is errMeanwhile: saving would
// take back what was done there.
func (w *work) lock(path string) (*keep.Lock, error) {
	lock, err := keep.TakeLock(path)
	if err != nil {
		return nil, err
	}
	if path == w.place.Path && keep.StampAt(path) != w.stamp {
		lock.Release()
		return nil, fmt.Errorf("%w: nothing is written; once more goes on from what was saved there", errMeanwhile)
	}
	return lock, nil
}

// readAgain makes what lies in the plan's place now the plan to go on with.
func (w *work) readAgain() {
	w.stamp = keep.StampAt(w.place.Path)
	f, err := keep.Load(w.place.Path)
	w.unread = nil
	switch {
	case errors.Is(err, fs.ErrNotExist): // taken away: it is made anew
	case err != nil:
		w.unread = err
	default:
		w.take(f)
		w.settle()
	}
}

func (w *work) findPlan(s *source) error {
	if s.from != "" {
		w.place, w.stamp = keep.Place{Path: s.from, From: s.from}, s.text
		w.take(*s.file)
		return nil
	}
	if s.input {
		return nil
	}
	state, err := keep.StateDir(os.Getenv)
	switch {
	case s.path == "" && err != nil:
		return w.takeDemo() // without a home: nothing is kept
	case s.path == "":
		w.place = keep.PathForDemo(s.name, state)
	default:
		w.place, err = keep.PathFor(s.path, state)
		if err != nil {
			return err
		}
	}
	w.stamp = keep.StampAt(w.place.Path)
	if !w.place.Exists() {
		if s.path == "" {
			return w.takeDemo()
		}
		w.seek(s.path)
		return nil
	}
	f, err := keep.Load(w.place.From)
	if err != nil {
		w.unread = err
		return nil
	}
	w.take(f)
	return nil
}

// takeDemo begins with the plan that shows a newcomer what is possible.
func (w *work) takeDemo() error {
	f, err := plan.Read(demo.Plan())
	if err == nil {
		w.take(f)
	}
	return err
}

// take makes a kept plan the one to go on with, and says what the painter should
// know if it was made for another picture.
func (w *work) take(f plan.File) {
	w.file, w.plan, w.planned = f, f.Plan, true
	if v := keep.Match(f, w.photo.Name, w.photo.SHA256, w.photo.Size); v.Line != "" {
		w.match = v.Line
		if !slices.Contains(w.notes, v.Line) { // it may be read a second time
			w.notes = append(w.notes, v.Line)
		}
	}
}
