package sheet

import (
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
)

// ruled returns where lines run across nearly all of a strip, in millimetres: the
// middles of the columns (or rows) of which nine tenths are not white.
func ruled(img *image.Gray, dpi float64, rows bool, from, to float64) []float64 {
	n := img.Rect.Dx()
	if rows {
		n = img.Rect.Dy()
	}
	k := page.Inch / dpi
	a, b := int(from/k), int(to/k)
	var out []float64
	for start := -1; n > 0; n-- {
		i := img.Rect.Dx() - n
		if rows {
			i = img.Rect.Dy() - n
		}
		dark := 0
		for j := a; j < b; j++ {
			c := img.GrayAt(i, j).Y
			if rows {
				c = img.GrayAt(j, i).Y
			}
			if c < 235 {
				dark++
			}
		}
		on := 10*dark > 9*(b-a)
		switch {
		case on && start < 0:
			start = i
		case !on && start >= 0:
			out = append(out, (float64(start)+float64(i))/2*k)
			start = -1
		}
	}
	return out
}

// panelOn returns where the panel's edge is drawn on a page, also beyond the part
// that a tile shows.
func panelOn(t *testing.T, p page.Page) (panel, clip page.Rect) {
	t.Helper()
	g := layerOf(t, p, "panel").Items[0].(page.Group)
	s := g.Items[0].(page.Path).Lines[0].Segments
	return page.Rect{X: s[0].From.X, Y: s[0].From.Y, W: s[1].From.X - s[0].From.X, H: s[2].From.Y - s[0].From.Y}, grown(g.Clip, -0.5)
}

// The panel's edges and the lines of the grid, measured on pages that poppler
// rasterises at 300 dots an inch, lie within 0.2 mm of where a ruler would put
// them, and so does the printed ruler; on tiles too. Sizes of panels: 6x8 in is
// 152.4 by 203.2 mm and so on, by the inch of 25.4 mm.
func TestTrueSize(t *testing.T) {
	tool(t, "pdftoppm")
	const dpi = 300
	for _, c := range []struct {
		panel, paper string
		grid         plan.Grid
		w, h, every  float64
		pages        int
	}{
		{"6x8 across", "letter", plan.Grid{Every: 1, Unit: plan.Inch}, 203.2, 152.4, 25.4, 1},
		{"18x24 upright", "a4", plan.Grid{Every: 2, Unit: plan.Centimetre}, 180, 240, 20, 1},
		{"12x16 across", "letter", plan.Grid{Every: 2, Unit: plan.Inch}, 406.4, 304.8, 50.8, 4},
	} {
		s := sceneOf(t, c.panel, 3, 3, 5)
		d, _ := s.compose(t, Options{Paper: paper(t, c.paper), Grid: c.grid})
		if len(d.Pages) != c.pages {
			t.Fatalf("%s on %s: %d pages", c.panel, c.paper, len(d.Pages))
		}
		pdf := pdfOf(t, d)
		for i, p := range d.Pages {
			if i > 0 && i < len(d.Pages)-1 && os.Getenv("HALFLID_HEAVY") == "" {
				continue // of tiles the first and the last
			}
			img := printed(t, pdf, i+1, dpi)
			panel, clip := panelOn(t, p)
			cols := ruled(img, dpi, false, clip.Y+1, clip.Y+clip.H-1)
			rows := ruled(img, dpi, true, clip.X+1, clip.X+clip.W-1)
			measured(t, c.panel+" "+p.Name+" columns", cols, panel.X, panel.X+c.w, clip.X, clip.X+clip.W, c.every)
			measured(t, c.panel+" "+p.Name+" rows", rows, panel.Y, panel.Y+c.h, clip.Y, clip.Y+clip.H, c.every)
			rulerMeasured(t, img, p, dpi)
		}
	}
}

// measured compares lines with those that a ruler laid at the panel's left or upper
// edge gives, of which those within from..to are on the page.
func measured(t *testing.T, what string, got []float64, edge, far, from, to, every float64) {
	t.Helper()
	var want []float64
	for at := edge; at < far-1; at += every {
		want = append(want, at)
	}
	want = append(want, far)
	for _, at := range want {
		if at < from-0.1 || at > to+0.1 {
			continue
		}
		best := math.Inf(1)
		for _, g := range got {
			best = min(best, math.Abs(g-at))
		}
		if best > 0.2 {
			t.Errorf("%s: no line within 0.2 mm of %.2f: %.2f", what, at, got)
		}
	}
}

// rulerMeasured measures the printed ruler's first and last millimetre and inch.
func rulerMeasured(t *testing.T, img *image.Gray, p page.Page, dpi float64) {
	t.Helper()
	y := p.H - margin - rulerHeight/2
	ticks := func(y float64) []float64 { // short strips just above or below the long line
		return ruled(img, dpi, false, y, y+0.8*tickLong)
	}
	for _, c := range []struct {
		ticks []float64
		n     int
		long  float64
	}{{ticks(y - 0.95*tickLong), 11, 100}, {ticks(y + 0.15*tickLong), 5, 4 * page.Inch}} {
		var on []float64
		for _, x := range c.ticks {
			if x < margin+c.long+1 {
				on = append(on, x)
			}
		}
		if len(on) != c.n {
			t.Errorf("%s: the ruler has %d long marks, want %d: %.2f", p.Name, len(on), c.n, on)
			continue
		}
		if long := on[len(on)-1] - on[0]; math.Abs(long-c.long) > 0.2 {
			t.Errorf("%s: the ruler of %.1f mm is %.2f mm long", p.Name, c.long, long)
		}
	}
}

// The SVG of a page agrees with the PDF: the same lines within 0.2 mm.
func TestSVGAgreesWithPDF(t *testing.T) {
	tool(t, "rsvg-convert")
	const dpi = 300
	s := sceneOf(t, "6x8 across", 3, 3, 5)
	d, _ := s.compose(t, Options{Paper: paper(t, "letter"), Grid: plan.Grid{Every: 1, Unit: plan.Inch}})
	img := printed(t, pdfOf(t, d), 1, dpi)
	dir := t.TempDir()
	svg := filepath.Join(dir, "a.svg")
	writeSVG(t, svg, d, 0)
	ran(t, "rsvg-convert", "-d", "300", "-p", "300", "-b", "white", "-o", filepath.Join(dir, "a.png"), svg)
	other := greyOf(t, filepath.Join(dir, "a.png"))
	_, clip := panelOn(t, d.Pages[0])
	for _, rows := range []bool{false, true} {
		from, to := clip.Y+1, clip.Y+clip.H-1
		if rows {
			from, to = clip.X+1, clip.X+clip.W-1
		}
		a, b := ruled(img, dpi, rows, from, to), ruled(other, dpi, rows, from, to)
		if len(a) != len(b) || len(a) < 7 {
			t.Fatalf("%d lines in the PDF, %d in the SVG", len(a), len(b))
		}
		for i := range a {
			if math.Abs(a[i]-b[i]) > 0.2 {
				t.Errorf("line %d: %.2f mm in the PDF, %.2f in the SVG", i, a[i], b[i])
			}
		}
	}
}

// The PDF is sound, its lettering embedded, and its numbers and words can be found.
func TestPDFIsSound(t *testing.T) {
	tool(t, "pdftotext")
	s := sceneOf(t, "6x8 across", 4, 24, 5)
	d, m := s.compose(t, Options{Kinds: Kinds(), Paper: paper(t, "letter"), Title: "Low tide"})
	pdf := pdfOf(t, d)
	words := ran(t, "pdftotext", "-f", "1", "-l", "1", "-layout", pdf, "-")
	for _, want := range []string{"Low tide", "print at 100 %", "plan " + m.Hash[:8], "Outline at true size", munsell(m.Figures.Tones[0]), munsell(m.Figures.Tones[3])} {
		if !strings.Contains(words, want) {
			t.Errorf("the first page says no %q:\n%s", want, words)
		}
	}
	fields := strings.Fields(words)
	for _, n := range []string{"1", "2", "3", "4"} {
		found := 0
		for _, f := range fields {
			if f == n {
				found++
			}
		}
		if found < 2 { // in the key and in a mass
			t.Errorf("number %s is found %d times:\n%s", n, found, words)
		}
	}
	if _, err := exec.LookPath("pdffonts"); err == nil {
		for _, line := range strings.Split(strings.TrimSpace(ran(t, "pdffonts", pdf)), "\n")[2:] {
			if f := strings.Fields(line); f[len(f)-5] != "yes" {
				t.Errorf("not embedded: %s", line)
			}
		}
	}
	if _, err := exec.LookPath("qpdf"); err == nil {
		ran(t, "qpdf", "--check", pdf)
	}
}
