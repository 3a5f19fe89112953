package sheet

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// boatyard is an invented scene: sky, a shed, hulls and posts on a slipway.
func boatyard(w, h int, seed uint64) imageproc.Picture {
	r := rand.New(rand.NewPCG(seed, 8))
	p := imageproc.NewPicture(w, h)
	paint := func(x0, y0, x1, y1 int, v float32) {
		for y := max(0, y0); y < min(h, y1); y++ {
			for x := max(0, x0); x < min(w, x1); x++ {
				p.R.Set(x, y, v)
				p.G.Set(x, y, v)
				p.B.Set(x, y, v*0.9)
			}
		}
	}
	paint(0, 0, w, h*2/5, 0.7)
	paint(0, h*2/5, w, h, 0.25)
	paint(w/10, h/5, w*5/10, h*3/5, 0.05)
	for range 24 {
		x, y := r.IntN(w), h*2/5+r.IntN(h*3/5)
		paint(x, y, x+w/40+r.IntN(w/8), y+h/40+r.IntN(h/8), r.Float32())
	}
	return p
}

// scene is a photo with a plan, ready for sheets.
type scene struct {
	desk  *study.Desk
	frame plan.Frame
	plan  plan.Plan
	kept  []plan.Thumbnail
}

// sceneOf returns a scene on a panel as ParsePanel reads it, across unless it says
// otherwise.
func sceneOf(t testing.TB, panel string, k, shapes int, seed uint64) scene {
	t.Helper()
	named, err := plan.ParsePanel(panel)
	if err != nil {
		t.Fatal(err)
	}
	if named.Way == plan.Unsaid {
		named.Way = plan.Across
	}
	pic := boatyard(480, 360, seed)
	s := scene{desk: study.NewDesk(pic), frame: plan.Frame{Photo: pic.Size()}}
	p := plan.SetPanel(named)(plan.Default(pic.Size()), s.frame)
	p = plan.SetShapes(shapes)(plan.SetK(k)(p, s.frame), s.frame)
	s.plan = plan.SetFocus(plan.Focus{X: 0.4, Y: 0.5, Radius: 0.15})(p, s.frame)
	for i := range 5 {
		s.kept = append(s.kept, plan.Thumbnail{Name: fmt.Sprint("low tide ", i), Plan: plan.SetK(2+i%3)(s.plan, s.frame)})
	}
	return s
}

func (s scene) compose(t testing.TB, o Options) (page.Document, Material) {
	t.Helper()
	m, err := Gather(context.Background(), s.desk, s.plan, "boatyard.jpg", s.kept, s.frame, o)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Compose(m, o)
	if err != nil {
		t.Fatal(err)
	}
	return d, m
}

func paper(t testing.TB, name string) page.Paper {
	t.Helper()
	p, err := page.ParsePaper(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// layerOf returns the layer of an id; it fails if there is none.
func layerOf(t testing.TB, p page.Page, id string) page.Layer {
	t.Helper()
	for _, l := range p.Layers {
		if l.ID == id {
			return l
		}
	}
	t.Fatalf("page %s has no layer %s", p.Name, id)
	return page.Layer{}
}

// tool skips the test, or fails where everything must be there, without a program.
func tool(t testing.TB, name string) {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("HALFLID_NEED_SERVERS") != "" {
			t.Fatal(name + " is not installed")
		}
		t.Skip(name + " is not installed")
	}
}

// pdfOf writes a document into a folder of the test.
func pdfOf(t testing.TB, d page.Document) string {
	t.Helper()
	var b bytes.Buffer
	if err := page.WritePDF(&b, d); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func ran(t testing.TB, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v: %s", name, err, out)
	}
	return string(out)
}

// greyOf reads a PNG as greys.
func greyOf(t testing.TB, path string) *image.Gray {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	out := image.NewGray(img.Bounds())
	draw.Draw(out, out.Rect, img, image.Point{}, draw.Src)
	return out
}

// printed is page n (from 1) of a PDF as poppler rasterises it.
func printed(t testing.TB, pdf string, n, dpi int) *image.Gray {
	t.Helper()
	tool(t, "pdftoppm")
	stem := filepath.Join(t.TempDir(), "p")
	at := fmt.Sprint(n)
	ran(t, "pdftoppm", "-r", fmt.Sprint(dpi), "-f", at, "-l", at, "-gray", "-png", "-singlefile", pdf, stem)
	return greyOf(t, stem+".png")
}
