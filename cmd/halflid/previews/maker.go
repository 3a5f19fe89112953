// Package previews makes the small pictures of a folder's photographs and of
// their plans, and keeps them in the user's cache folder by what the files hold,
// so that the next visit shows them at once. It writes nowhere else.
package previews

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// Maker makes small pictures. Its methods may be called from any goroutine; how
// many run at once is up to the caller.
type Maker struct {
	Store *Store
	Limit photo.Options // how large a photo may be; Progress is not used
	State string        // the folder for plans that cannot lie beside their photo; may be ""
}

const (
	// ends is how much of a file's beginning and of its end tells it from others.
	ends = 64 << 10
	// front is how much of a file is read in the hope for the camera's own
	// small picture.
	front = 256 << 10
	// maxMemory bounds what one photo may take while it is made small: two at a
	// time must leave room for the one that is open.
	maxMemory = 500_000_000
	// longPlan bounds the picture of a plan that is read in place of making it.
	longPlan = 4096
)

// Photo returns the small picture of the photo at path: a kept one, else the one
// that the camera put inside, else made from the photo. The error is one line for
// the painter without the file's name, or wraps ctx's.
func (m *Maker) Photo(ctx context.Context, path string) (Small, error) {
	f, size, key, err := known(path)
	if err != nil {
		return Small{}, err
	}
	defer f.Close()
	if s, err := decodePhoto(m.Store.get(key)); err == nil {
		return s, nil
	}
	s, err := m.makePhoto(ctx, f, size)
	if err != nil {
		return Small{}, err
	}
	m.keep(key, s)
	return s, nil
}

// Kept returns the small picture of the photo at path if it is kept; it makes none.
func (m *Maker) Kept(path string) (Small, bool) {
	f, _, key, err := known(path)
	if err != nil {
		return Small{}, false
	}
	defer f.Close()
	s, err := decodePhoto(m.Store.get(key))
	return s, err == nil
}

func (m *Maker) makePhoto(ctx context.Context, f io.ReaderAt, size int64) (Small, error) {
	head := make([]byte, min(size, front))
	if _, err := f.ReadAt(head, 0); err != nil && err != io.EOF {
		return Small{}, unreadable(err)
	}
	if p, err := photo.Preview(head); err == nil {
		return ofPhoto(p), nil
	}
	p, err := m.decode(ctx, f, size)
	if err != nil {
		return Small{}, err
	}
	return ofPhoto(p.Master), nil
}

// Plan returns the small picture of the plan of the photo at path: a kept one,
// else the plan's own picture if it lies beside it and is of this plan, else made.
// Without a plan it returns no picture and no error. The error is one line for
// the painter without the file's name, or wraps ctx's.
func (m *Maker) Plan(ctx context.Context, path string) (Small, error) {
	place, err := keep.PathFor(path, m.State)
	if err != nil || !place.Exists() {
		return Small{}, err
	}
	file, err := keep.Load(place.From)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return Small{}, nil // taken away meanwhile
		}
		return Small{}, errors.New("its plan cannot be read")
	}
	f, size, key, err := known(path)
	if err != nil {
		return Small{}, err
	}
	defer f.Close()
	hash := plan.Hash(file.Plan)
	name := key + "-" + short(hash)
	if s, err := decodePlan(m.Store.get(name), Side); err == nil {
		return s, nil
	}
	s, ok := saved(place.From, hash)
	if !ok {
		if s, err = m.makePlan(ctx, f, size, file.Plan); err != nil {
			return Small{}, err
		}
	}
	m.keep(name, s)
	return s, nil
}

func (m *Maker) makePlan(ctx context.Context, f io.ReaderAt, size int64, p plan.Plan) (Small, error) {
	ph, err := m.decode(ctx, f, size)
	if err != nil {
		return Small{}, err
	}
	s, err := study.NewDesk(ph.Master).Make(ctx, plan.Fit(p, plan.Frame{Photo: ph.Size}), study.Plan)
	if err != nil {
		return Small{}, err
	}
	k := s.Sketch()
	return ofPlan(k.Raster(imageproc.Fit(k.Ratio(), 1, within(s.Figures.Size))))
}

// saved returns the small form of the picture that lies beside a plan, if it is of
// the plan with that hash.
func saved(planPath, hash string) (Small, bool) {
	path := strings.TrimSuffix(planPath, filepath.Ext(planPath)) + ".png"
	f, size, err := open(path)
	if err != nil {
		return Small{}, false
	}
	defer f.Close()
	if size > 64_000_000 {
		return Small{}, false
	}
	data := make([]byte, size)
	if _, err := f.ReadAt(data, 0); err != nil && err != io.EOF {
		return Small{}, false
	}
	if PlanOf(data) != hash {
		return Small{}, false
	}
	s, err := decodePlan(data, longPlan)
	return s, err == nil
}

// PlanOf returns the plan's hash that a PNG carries right behind its header: it is
// then a picture of a plan or a sheet, not a photograph. Empty for any other file.
func PlanOf(data []byte) string {
	const header = 8 + 12 + 13
	if len(data) < header+8 || !bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")) {
		return ""
	}
	for rest := data[header:]; len(rest) >= 12; {
		n, kind := binary.BigEndian.Uint32(rest), string(rest[4:8])
		if kind == "IDAT" || int64(n)+12 > int64(len(rest)) {
			return ""
		}
		if text, ok := bytes.CutPrefix(rest[8:8+n], []byte("Plan\x00")); ok && kind == "tEXt" {
			return string(text)
		}
		rest = rest[n+12:]
	}
	return ""
}

func (m *Maker) decode(ctx context.Context, f io.ReaderAt, size int64) (*photo.Photo, error) {
	opt := m.Limit
	opt.Progress, opt.MaxMemory = nil, maxMemory
	most := opt.MaxBytes
	if most <= 0 {
		most = photo.DefaultMaxBytes
	}
	if size > most {
		return nil, fmt.Errorf("too large for a small picture: %d MB", size/1_000_000)
	}
	data := make([]byte, size)
	n, err := io.ReadFull(&during{ctx, io.NewSectionReader(f, 0, size)}, data)
	if err != nil && err != io.ErrUnexpectedEOF && err != io.EOF {
		return nil, unreadable(err)
	}
	p, err := photo.Decode(ctx, data[:n], "", opt)
	var e *photo.Error
	if errors.As(err, &e) && ctx.Err() == nil {
		return nil, errors.New(e.Line)
	}
	return p, err
}

// during is a reader that ends with a context.
type during struct {
	ctx context.Context
	r   io.Reader
}

func (d *during) Read(p []byte) (int, error) {
	if err := d.ctx.Err(); err != nil {
		return 0, err
	}
	return d.r.Read(p[:min(len(p), 1<<20)])
}

func (m *Maker) keep(key string, s Small) {
	if data, err := s.encode(); err == nil {
		m.Store.put(key, data)
	}
}

// keyOf returns what stands for a file's contents: a hash of its length and its
// two ends, so that a large file is not read whole.
func keyOf(f io.ReaderAt, size int64) (string, error) {
	h := sha256.New()
	_ = binary.Write(h, binary.BigEndian, size)
	buf := make([]byte, min(size, ends))
	for _, at := range []int64{0, size - int64(len(buf))} {
		if n, err := f.ReadAt(buf, at); n < len(buf) {
			if err == io.EOF {
				err = errors.New("it was cut off meanwhile")
			}
			return "", err
		}
		h.Write(buf)
	}
	return hex.EncodeToString(h.Sum(nil)[:20]), nil
}

// short is a hash short enough for the end of a name.
func short(hash string) string {
	sum := sha256.Sum256([]byte(hash))
	return hex.EncodeToString(sum[:10])
}

// known opens a file and returns its size and by what its small pictures are kept.
func known(path string) (f *os.File, size int64, key string, err error) {
	if f, size, err = open(path); err != nil {
		return nil, 0, "", err
	}
	if key, err = keyOf(f, size); err != nil {
		f.Close()
		return nil, 0, "", unreadable(err)
	}
	return f, size, key, nil
}

// open opens a file that can be read whole; a pipe in its place holds up nothing.
func open(path string) (*os.File, int64, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, 0, errors.New("it is no longer there")
	case errors.Is(err, fs.ErrPermission):
		return nil, 0, errors.New("its permissions do not let you read it")
	case err != nil:
		return nil, 0, unreadable(err)
	case !info.Mode().IsRegular():
		return nil, 0, errors.New("it is no file that can be read whole")
	}
	f, err := openNow(path)
	switch {
	case errors.Is(err, fs.ErrPermission):
		return nil, 0, errors.New("its permissions do not let you read it")
	case err != nil:
		return nil, 0, unreadable(err)
	}
	return f, info.Size(), nil
}

func unreadable(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return fmt.Errorf("it cannot be read: %w", err)
}
