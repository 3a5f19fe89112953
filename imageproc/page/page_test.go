package page_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/palette"
)

// tool returns a program to check with; without it the test is skipped, but fails
// where everything must be there.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("HALFLID_NEED_SERVERS") != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}

func runs(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(tool(t, name), args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

const testWords = "Größe: café, N4.5 & 32 % <hull>"

// sample is a page of letter paper with a black frame of known place, a grey disc
// of cubics in it, a picture, words, and a group that is moved and cut off.
func sample() page.Document {
	const k = 0.5522847498 // a quarter circle as a cubic
	arc := func(x, y float64) page.Line {
		const r = 20.0
		p := func(dx, dy float64) page.Point { return page.Point{X: x + r*dx, Y: y + r*dy} }
		return page.Line{Closed: true, Segments: []page.Segment{
			{From: p(1, 0), C1: p(1, k), C2: p(k, 1), To: p(0, 1)},
			{From: p(0, 1), C1: p(-k, 1), C2: p(-1, k), To: p(-1, 0)},
			{From: p(-1, 0), C1: p(-1, -k), C2: p(-k, -1), To: p(0, -1)},
			{From: p(0, -1), C1: p(k, -1), C2: p(1, -k), To: p(1, 0)},
		}}
	}
	dots := image.NewGray(image.Rect(0, 0, 2, 2))
	dots.Pix = []uint8{0, 200, 200, 0}
	return page.Document{Title: "A quay & a boat", Mark: "abc123", Pages: []page.Page{{
		Name: "one", W: 8.5 * page.Inch, H: 11 * page.Inch,
		Layers: []page.Layer{
			{ID: "frame", Title: "Frame", Items: []page.Item{page.Path{Lines: []page.Line{page.Box(page.Rect{X: 20, Y: 30, W: 152.4, H: 203.2})}, Stroke: page.Grey(0), Width: 0.2}}},
			{ID: "disc", Title: "Disc", Items: []page.Item{page.Path{Lines: []page.Line{arc(70, 90)}, Fill: page.Grey(60)}}},
			{ID: "picture", Title: "Picture", Items: []page.Item{page.Picture{At: page.Rect{X: 110, Y: 70, W: 40, H: 40}, Image: dots, Blocky: true}}},
			{ID: "words", Title: "Words", Items: []page.Item{page.Text{At: page.Point{X: 96.2, Y: 150}, Words: testWords, Size: 5, Anchor: page.Middle, Ink: page.Grey(0)}}},
			{ID: "group", Title: "Group", Items: []page.Item{page.Group{
				Clip: page.Rect{X: 50, Y: 180, W: 30, H: 10}, Shift: page.Point{X: 10, Y: 0},
				Items: []page.Item{page.Path{Lines: []page.Line{page.Box(page.Rect{X: 0, Y: 170, W: 100, H: 100})}, Fill: page.Grey(30)}},
			}}},
		},
	}}}
}

// opened reads a PNG file.
func opened(t *testing.T, path string) image.Image {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func greyAt(img image.Image, x, y, dpi float64) int {
	return int(color.GrayModel.Convert(img.At(int(x/page.Inch*dpi), int(y/page.Inch*dpi))).(color.Gray).Y)
}

// edges returns where along a line of pixels, at mm from the left or the top, dark
// first begins, and last ends, in mm.
func edges(img image.Image, dpi, at float64, across bool) (first, last float64) {
	b := img.Bounds()
	n := b.Dx()
	if !across {
		n = b.Dy()
	}
	first, last = -1, -1
	for i := range n {
		x, y := i, int(at/page.Inch*dpi)
		if !across {
			x, y = y, x
		}
		if g := color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y; g < 128 {
			if first < 0 {
				first = float64(i) / dpi * page.Inch
			}
			last = float64(i+1) / dpi * page.Inch
		}
	}
	return first, last
}

// True size: the page rasterised from PDF by poppler, from SVG by librsvg and our
// own PNG have the frame where it was drawn, within 0.2 mm, the same fills and the
// group cut off where it should be.
func TestTrueSize(t *testing.T) {
	d := sample()
	dir := t.TempDir()
	var pdf, svg bytes.Buffer
	if err := errors.Join(page.WritePDF(&pdf, d), page.WriteSVG(&svg, d, 0)); err != nil {
		t.Fatal(err)
	}
	write := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	pdfPath, svgPath := write("a.pdf", pdf.Bytes()), write("a.svg", svg.Bytes())
	dpis := []float64{300}
	if os.Getenv("HALFLID_HEAVY") != "" {
		dpis = append(dpis, 600)
	}
	for _, dpi := range dpis {
		var own bytes.Buffer
		if err := page.WritePNG(&own, d, 0, dpi); err != nil {
			t.Fatal(err)
		}
		pictures := map[string]image.Image{"own": opened(t, write("own.png", own.Bytes()))}
		runs(t, "pdftoppm", "-r", fmt.Sprint(dpi), "-png", "-singlefile", pdfPath, filepath.Join(dir, "pdf"))
		pictures["pdf"] = opened(t, filepath.Join(dir, "pdf.png"))
		runs(t, "rsvg-convert", "-d", fmt.Sprint(dpi), "-p", fmt.Sprint(dpi), "-o", filepath.Join(dir, "svg.png"), svgPath)
		pictures["svg"] = opened(t, filepath.Join(dir, "svg.png"))
		grey := int(palette.Grey(palette.L(60).Y()).G)
		for name, img := range pictures {
			for _, c := range []struct {
				at          float64
				across      bool
				first, last float64
			}{{50, true, 20, 172.4}, {200, true, 20, 172.4}, {40, false, 30, 233.2}, {160, false, 30, 233.2}} {
				first, last := edges(img, dpi, c.at, c.across)
				if math.Abs(first-c.first) > 0.2 || math.Abs(last-c.last) > 0.2 {
					t.Errorf("%s at %g dpi: frame from %.2f to %.2f mm, want %g to %g", name, dpi, first, last, c.first, c.last)
				}
			}
			for _, c := range []struct {
				x, y float64
				want int
			}{{70, 90, grey}, {70 + 13.5, 90 + 13.5, grey}, {70 + 15.5, 90 + 15.5, 255}, {115, 75, 0}, {145, 75, 200}, {55, 185, 71}, {48, 185, 255}, {82, 185, 255}, {65, 192, 255}} {
				if got := greyAt(img, c.x, c.y, dpi); got < c.want-3 || got > c.want+3 {
					t.Errorf("%s at %g dpi: grey %d at %g, %g mm, want %d", name, dpi, got, c.x, c.y, c.want)
				}
			}
		}
	}
}

// What other programs say of the PDF: it is sound (qpdf), its letters are embedded
// (pdffonts), its words can be read (pdftotext) and its paper is what was asked for.
// Papers: ISO 216:2007 and ANSI/ASME Y14.1.
func TestPDFIsSound(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.pdf")
	d := sample()
	for _, p := range page.Papers() {
		d.Pages = append(d.Pages, page.Page{Name: p.Name, W: p.W, H: p.H})
	}
	var b bytes.Buffer
	if err := page.WritePDF(&b, d); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if out := runs(t, "qpdf", "--check", path); !strings.Contains(out, "No syntax or stream encoding errors") {
		t.Errorf("qpdf: %s", out)
	}
	fonts := strings.Split(strings.TrimSpace(runs(t, "pdffonts", path)), "\n")
	for _, l := range fonts[2:] {
		if !strings.Contains(l, "TrueType") || !strings.Contains(l, " yes ") {
			t.Errorf("not embedded: %s", l)
		}
	}
	if text := runs(t, "pdftotext", path, "-"); !strings.Contains(text, testWords) {
		t.Errorf("the words read %q", text)
	}
	info := runs(t, "pdfinfo", "-f", "1", "-l", "99", path)
	for _, want := range []string{"Title:           A quay & a boat", "Keywords:        abc123"} {
		if !strings.Contains(info, want) {
			t.Errorf("pdfinfo lacks %q in\n%s", want, info)
		}
	}
	for i, want := range [][2]float64{{215.9, 279.4}, {210, 297}, {297, 420}, {148, 210}, {215.9, 355.6}, {279.4, 431.8}, {420, 594}} {
		var w, h float64
		for _, l := range strings.Split(info, "\n") {
			if strings.HasPrefix(l, fmt.Sprintf("Page %4d size:", i+2)) {
				_, _ = fmt.Sscanf(strings.TrimSpace(strings.SplitN(l, ":", 2)[1]), "%f x %f", &w, &h)
			}
		}
		if math.Abs(w/72*page.Inch-want[0]) > 0.1 || math.Abs(h/72*page.Inch-want[1]) > 0.1 {
			t.Errorf("%s: %.2f by %.2f mm", page.Papers()[i].Name, w/72*page.Inch, h/72*page.Inch)
		}
	}
}

// The same document gives the same bytes; a PNG says its density and its plan.
func TestSameBytes(t *testing.T) {
	var out [2][3]bytes.Buffer
	for i := range out {
		d := sample()
		if err := errors.Join(page.WritePDF(&out[i][0], d), page.WriteSVG(&out[i][1], d, 0), page.WritePNG(&out[i][2], d, 0, 100)); err != nil {
			t.Fatal(err)
		}
	}
	for k := range out[0] {
		if !bytes.Equal(out[0][k].Bytes(), out[1][k].Bytes()) {
			t.Errorf("kind %d differs from time to time", k)
		}
	}
	file := out[0][2].String()
	if !strings.Contains(file, "pHYs\x00\x00\x0f\x61\x00\x00\x0f\x61\x01") || !strings.Contains(file, "tEXtPlan\x00abc123") {
		t.Error("the PNG lacks 3937 pixels a metre or its mark") // 100 an inch
	}
}

// Any words and places give XML that a strict reader takes, with each id once.
func TestSVGIsXML(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		var items []page.Item
		for range r.IntN(8) {
			p := func() page.Point { return page.Point{X: r.NormFloat64() * 100, Y: r.NormFloat64() * 100} }
			words := make([]rune, r.IntN(20))
			for i := range words {
				words[i] = rune(r.IntN(0x2100))
			}
			items = append(items,
				page.Text{At: p(), Words: string(words), Size: 1 + r.Float64(), Bold: r.IntN(2) == 0, Ink: page.Grey(20)},
				page.Path{Lines: []page.Line{{Segments: []page.Segment{{From: p(), C1: p(), C2: p(), To: p()}}, Closed: r.IntN(2) == 0}}, Stroke: page.Grey(0), Width: 0.1, Dash: []float64{1, 2}},
				page.Group{Clip: page.Rect{X: 1, Y: 2, W: 3, H: 4}, Shift: p(), Items: []page.Item{page.Path{Lines: []page.Line{page.Box(page.Rect{W: 1, H: 1})}, Fill: page.Grey(50)}}})
		}
		d := page.Document{Title: "<&>\x00", Pages: []page.Page{{Name: "p", W: 100, H: 100, Layers: []page.Layer{{ID: "a", Title: "]]>", Items: items}}}}}
		var b bytes.Buffer
		if err := errors.Join(page.WriteSVG(&b, d, 0), page.WritePDF(io.Discard, d), page.WritePNG(io.Discard, d, 0, 30)); err != nil {
			t.Fatal(err)
		}
		dec := xml.NewDecoder(&b)
		for {
			if _, err := dec.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatal(err)
			}
		}
		if strings.Contains(b.String(), "NaN") {
			t.Fatal("a place is no number")
		}
	}
}

func TestWidthAndWrap(t *testing.T) {
	// The figures of Go Regular are 1139 of 2048 units wide (its hmtx table, from
	// memory): ten of them at 10 mm are 55.6 mm.
	if w := page.Width("0000000000", 10, false); math.Abs(w-55.6) > 0.2 {
		t.Errorf("ten noughts are %.2f mm wide", w)
	}
	words := "the darks are one mass of 32 % of the picture, and reach the focal point"
	for _, wide := range []float64{10, 20, 40, 200} {
		lines := page.Wrap(words, 3, false, wide)
		for _, l := range lines {
			if page.Width(l, 3, false) > wide && strings.Contains(l, " ") {
				t.Errorf("%q is wider than %g mm", l, wide)
			}
			if strings.HasPrefix(l, "%") {
				t.Errorf("a percent sign begins %q", l)
			}
		}
		if got := strings.ReplaceAll(strings.Join(lines, " "), "\u00a0", " "); got != words {
			t.Errorf("wrapped to %q", got)
		}
	}
}

func TestParsePaper(t *testing.T) {
	for s, want := range map[string][2]float64{"A4": {210, 297}, "letter": {215.9, 279.4}, "400x300 mm": {300, 400}, "12x18in": {304.8, 457.2}, "30 x 40 cm": {300, 400}} {
		p, err := page.ParsePaper(s)
		if err != nil || math.Abs(p.W-want[0]) > 1e-9 || math.Abs(p.H-want[1]) > 1e-9 {
			t.Errorf("%s: %v, %v", s, p, err)
		}
	}
	for _, s := range []string{"", "a9", "50x50mm", "0x0mm", "NaNx300mm", "3000x3000mm", "300mm", "12x18"} {
		if p, err := page.ParsePaper(s); err == nil {
			t.Errorf("%q is taken for %v", s, p)
		}
	}
}

func TestTooLargeAPicture(t *testing.T) {
	if err := page.WritePNG(io.Discard, sample(), 0, 2000); !errors.Is(err, page.ErrTooLarge) {
		t.Errorf("17000 by 22000 pixels: %v", err)
	}
}

func BenchmarkPDF(b *testing.B) {
	d := sample()
	for b.Loop() {
		if err := page.WritePDF(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}
