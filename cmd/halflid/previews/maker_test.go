package previews

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// quayPNG is an invented quay of flat areas: a light sky, a dark shed, a middle
// ground.
func quayPNG(t testing.TB, w, h int, sky uint8) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA{sky, sky, sky, 255}
			switch {
			case x > w/10 && x < w/2 && y > h/4 && y < h*6/10:
				c = color.NRGBA{50, 44, 40, 255}
			case y > h*6/10:
				c = color.NRGBA{136, 128, 110, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func write(t testing.TB, dir, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func newMaker(t *testing.T) *Maker {
	t.Helper()
	return &Maker{Store: newStore(t, DefaultRoom), State: t.TempDir()}
}

// A small picture is the photo averaged: the grey of a flat area is the photo's.
func TestPhotoIsMadeSmallAndKept(t *testing.T) {
	m, dir := newMaker(t), t.TempDir()
	path := write(t, dir, "quay.png", quayPNG(t, 800, 600, 214))
	s, err := m.Photo(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	if s.r.Size() != image.Pt(256, 192) {
		t.Errorf("size %v", s.r.Size())
	}
	r := s.Raster(image.Pt(40, 30))
	if r.Size() != image.Pt(40, 30) {
		t.Errorf("raster %v", r.Size())
	}
	if c := r.At(20, 2); c.R < 212 || c.R > 216 {
		t.Errorf("the sky is %v, in the photo 214", c)
	}
	if c := r.At(12, 12); c.R < 47 || c.R > 53 {
		t.Errorf("the shed is %v, in the photo 50 44 40", c)
	}
	if c := r.At(30, 12); c.R < 212 || c.R > 216 {
		t.Errorf("right of the shed is %v, in the photo the sky, 214", c)
	}
	if _, ok := m.Kept(path); !ok {
		t.Error("it was not kept")
	}
	// What is kept is found by what the file holds, wherever it lies.
	moved := write(t, t.TempDir(), "other.png", quayPNG(t, 800, 600, 214))
	again, ok := m.Kept(moved)
	if !ok {
		t.Fatal("the same photo under another name is not found")
	}
	if c := again.Raster(image.Pt(40, 30)).At(20, 2); c.R < 210 || c.R > 218 {
		t.Errorf("the kept sky is %v", c)
	}
	other := write(t, dir, "other.png", quayPNG(t, 800, 600, 120))
	if _, ok := m.Kept(other); ok {
		t.Error("another photo is taken for it")
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 2 {
		t.Errorf("the folder holds %d files, 2 were put there", len(entries))
	}
}

func TestKeyTellsFilesApart(t *testing.T) {
	base := bytes.Repeat([]byte("harbour "), 40_000)
	key := func(b []byte) string {
		k, err := keyOf(bytes.NewReader(b), int64(len(b)))
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	seen := map[string]string{key(base): "itself"}
	for name, change := range map[string]func([]byte) []byte{
		"first":  func(b []byte) []byte { b[0]++; return b },
		"last":   func(b []byte) []byte { b[len(b)-1]++; return b },
		"longer": func(b []byte) []byte { return append(b, 0) },
		"short":  func(b []byte) []byte { return b[:10] },
		"none":   func(b []byte) []byte { return b[:0] },
	} {
		k := key(change(bytes.Clone(base)))
		if was, ok := seen[k]; ok {
			t.Errorf("%s has the key of %s", name, was)
		}
		seen[k] = name
	}
}

// keepPlan puts a plan beside a photo and returns it, fitted.
func keepPlan(t *testing.T, photoPath string, edit func(plan.Plan) plan.Plan) plan.Plan {
	t.Helper()
	data, err := os.ReadFile(photoPath)
	if err != nil {
		t.Fatal(err)
	}
	p, err := photo.Decode(t.Context(), data, filepath.Base(photoPath), photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	made := plan.Fit(edit(plan.Default(p.Size)), plan.Frame{Photo: p.Size})
	f := plan.File{Photo: plan.Photo{Name: p.Name, SHA256: p.SHA256, Width: p.Size.X, Height: p.Size.Y}}.With(made)
	place, err := keep.PathFor(photoPath, t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	if err := keep.Save(place.Path, f.Text()); err != nil {
		t.Fatal(err)
	}
	return made
}

// The small picture of a plan is the plan: its greys are the tones, and only those.
func TestPlanIsTheStudysOwn(t *testing.T) {
	m, dir := newMaker(t), t.TempDir()
	path := write(t, dir, "quay.png", quayPNG(t, 800, 600, 214))
	if s, err := m.Plan(t.Context(), path); err != nil || !s.None() {
		t.Fatalf("without a plan: %v, %v", s.r.Size(), err)
	}
	made := keepPlan(t, path, func(p plan.Plan) plan.Plan { return plan.SetK(3)(p, plan.Frame{Photo: image.Pt(800, 600)}) })
	s, err := m.Plan(t.Context(), path)
	if err != nil || s.None() {
		t.Fatalf("no plan: %v", err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := photo.Decode(t.Context(), data, "", photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	full, err := study.NewDesk(p.Master).Make(t.Context(), made, study.Plan)
	if err != nil {
		t.Fatal(err)
	}
	want := full.Sketch().Raster(s.r.Size())
	same(t, "made", s.Raster(s.r.Size()), want)
	kept, err := m.Plan(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "kept", kept.Raster(s.r.Size()), want)

	// The picture that was saved with the plan gives the same, without the photo
	// being opened; one of another plan is not taken.
	var b bytes.Buffer
	if err := full.WritePlan(&b, 0); err != nil {
		t.Fatal(err)
	}
	if PlanOf(b.Bytes()) != plan.Hash(made) {
		t.Errorf("the saved picture is of plan %q", PlanOf(b.Bytes()))
	}
	fresh := newMaker(t)
	fresh.Limit.MaxPixels = 1 // the photo cannot be opened
	write(t, dir, "quay.plan.png", b.Bytes())
	fromFile, err := fresh.Plan(t.Context(), path)
	if err != nil || fromFile.None() {
		t.Fatalf("from the saved picture: %v", err)
	}
	r, off := fromFile.Raster(s.r.Size()), 0
	for y := range r.H {
		for x := range r.W {
			if r.At(x, y) != want.At(x, y) {
				off++
			}
		}
	}
	if off*100 > r.W*r.H { // made small from another size: borders may move a pixel
		t.Errorf("from the saved picture %d of %d pixels differ", off, r.W*r.H)
	}
	keepPlan(t, path, func(p plan.Plan) plan.Plan { return plan.SetK(2)(p, plan.Frame{Photo: image.Pt(800, 600)}) })
	if _, err := fresh.Plan(t.Context(), path); err == nil {
		t.Error("the picture of another plan was taken for this one's")
	}
}

func same(t *testing.T, what string, got, want imageproc.Raster) {
	t.Helper()
	if got.Size() != want.Size() {
		t.Fatalf("%s: size %v, want %v", what, got.Size(), want.Size())
	}
	for y := range got.H {
		for x := range got.W {
			if got.At(x, y) != want.At(x, y) {
				t.Fatalf("%s: pixel %d,%d is %v, want %v", what, x, y, got.At(x, y), want.At(x, y))
			}
		}
	}
}

// Whatever is wrong with a file ends in one line.
func TestBadFilesGiveALine(t *testing.T) {
	m, dir := newMaker(t), t.TempDir()
	whole := quayPNG(t, 300, 200, 214)
	if err := os.Mkdir(filepath.Join(dir, "folder.png"), 0o700); err != nil {
		t.Fatal(err)
	}
	closed := write(t, dir, "closed.png", whole)
	if err := os.Chmod(closed, 0); err != nil {
		t.Fatal(err)
	}
	cases := map[string]string{
		filepath.Join(dir, "gone.png"):                        "no longer there",
		filepath.Join(dir, "folder.png"):                      "no file",
		write(t, dir, "half.png", whole[:len(whole)/2]):       "cut short",
		write(t, dir, "words.jpg", []byte("dear diary")):      "",
		write(t, dir, "empty.jpg", nil):                       "",
		write(t, dir, "mark.jpg", []byte("\xff\xd8\xff\xe0")): "",
	}
	if os.Getuid() != 0 {
		cases[closed] = "permissions"
	}
	for path, want := range cases {
		_, err := m.Photo(t.Context(), path)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v; want one line with %q", filepath.Base(path), err, want)
		}
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	path := write(t, dir, "quay.png", whole)
	if _, err := m.Photo(ctx, path); !errors.Is(err, context.Canceled) {
		t.Errorf("called off: %v", err)
	}
	write(t, dir, "quay.plan.json", []byte(`{"halflid":`))
	if _, err := m.Plan(t.Context(), path); err == nil || !strings.Contains(err.Error(), "plan") {
		t.Errorf("an unreadable plan: %v", err)
	}
}

// The list has photographs by their bytes, whatever they are called.
func TestList(t *testing.T) {
	dir := t.TempDir()
	data := quayPNG(t, 30, 20, 214)
	for name, what := range map[string][]byte{
		"boat.png": data, "called.txt": data, "no-ending": data,
		".hidden.png": data, "words.png": []byte("dear diary"), "page.jpg": []byte("%PDF-1.7 and so on"),
		"boat.plan.json": []byte("{}"), "empty.jpg": nil, "a\x1b[2J.png": data,
	} {
		write(t, dir, name, what)
	}
	if err := os.Mkdir(filepath.Join(dir, "sub.png"), 0o700); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "boat.png")
	made := keepPlan(t, path, func(p plan.Plan) plan.Plan { return p })
	ph, err := photo.Decode(t.Context(), data, "", photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := study.NewDesk(ph.Master).Make(t.Context(), made, study.Plan)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := s.WritePlan(&b, 0); err != nil {
		t.Fatal(err)
	}
	write(t, dir, "boat.plan.png", b.Bytes())
	entries, whole, err := List(dir)
	if err != nil || !whole {
		t.Fatalf("whole %v, %v", whole, err)
	}
	got := map[string]bool{}
	for _, e := range entries {
		if IsPhoto(filepath.Join(dir, e.Name)) {
			got[e.Name] = e.Planned
		}
	}
	want := map[string]bool{"boat.png": true, "called.txt": false, "no-ending": false, "a\x1b[2J.png": false}
	if len(got) != len(want) {
		t.Errorf("got %v", got)
	}
	for n, planned := range want {
		if is, ok := got[n]; !ok || is != planned {
			t.Errorf("%q: there %v, with a plan %v; want %v", n, ok, is, planned)
		}
	}
	if err := CanList(dir); err != nil {
		t.Error(err)
	}
	if err := CanList(filepath.Join(dir, "none")); err == nil {
		t.Error("a folder that is not there can be looked into")
	}
	if _, _, err := List(filepath.Join(dir, "none")); err == nil || !strings.Contains(err.Error(), "no such folder") {
		t.Errorf("a folder that is not there: %v", err)
	}
}
