package sheet

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// The filled outline on the printed page is the plan: each pixel of the plan has
// the tone nearest to its own, but for at most 1 %; and away from borders and
// numbers exactly the grey of its number.
func TestFilledOutlineIsThePlan(t *testing.T) {
	s := sceneOf(t, "6x8 across", 4, 24, 11)
	d, m := s.compose(t, Options{Paper: paper(t, "letter"), Fill: true})
	const dpi = 200
	panel, _ := panelOn(t, d.Pages[0])
	img := printed(t, pdfOf(t, d), 1, dpi)
	bare := d.Pages[0]
	var layers []page.Layer
	for _, l := range bare.Layers {
		if strings.HasPrefix(l.ID, "value-") {
			layers = append(layers, l)
		}
	}
	bare.Layers = layers
	if len(layers) != len(m.Figures.Tones) {
		t.Fatalf("%d layers of %d values", len(layers), len(m.Figures.Tones))
	}
	flat := page.Draw(bare, dpi)
	labels := m.Map.RegionMap()
	depth := make([]float32, len(labels.Pix))
	outline.Depth(depth, labels)
	numbers := placeNumbers(m.Map, panel.W, panel.H, numberSize(panel.W, panel.H), sizeSmall, nil, nil)
	off, wrong, looked := 0, 0, 0
	for i := range labels.Pix {
		x := panel.X + (float64(i%labels.W)+0.5)/float64(labels.W)*panel.W
		y := panel.Y + (float64(i/labels.W)+0.5)/float64(labels.H)*panel.H
		px, py := int(x/page.Inch*dpi), int(y/page.Inch*dpi)
		own := int(m.Map.Regions[labels.Pix[i]].Label)
		if nearestTone(m.Figures.Tones, flat.NRGBAAt(px, py).G) != own {
			off++
		}
		if depth[i] < 5 || nearNumber(numbers, x-panel.X, y-panel.Y) {
			continue
		}
		looked++
		want := int(palette.Grey(m.Figures.Tones[own].Y()).G)
		if got := int(img.GrayAt(px, py).Y); got < want-1 || got > want+1 {
			wrong++
		}
	}
	if share := float64(off) / float64(len(labels.Pix)); share > 0.01 {
		t.Errorf("%.2f %% of the pixels differ", 100*share)
	}
	if wrong > 0 || looked < len(labels.Pix)/2 {
		t.Errorf("%d of %d pixels are not in the grey of their number", wrong, looked)
	}
}

func nearestTone(tones []palette.L, code uint8) int {
	best, off := 0, math.Inf(1)
	for i, t := range tones {
		if d := math.Abs(float64(palette.Grey(t.Y()).G) - float64(code)); d < off {
			best, off = i, d
		}
	}
	return best
}

func nearNumber(numbers []number, x, y float64) bool {
	for _, n := range numbers {
		r := half(n.size) + 0.3
		if math.Abs(n.at.X-x) < r && math.Abs(n.at.Y-y) < r {
			return true
		}
		if n.led && (aside{n.from, n.at}).distance(page.Point{X: x, Y: y}) < 1 {
			return true
		}
	}
	return false
}

// A mirrored drawing is the drawing from behind.
func TestMirroredDrawing(t *testing.T) {
	s := sceneOf(t, "6x8 across", 3, 24, 4)
	draws := func(mirror bool) []page.Line {
		d, _ := s.compose(t, Options{Paper: paper(t, "letter"), Mirror: mirror})
		var out []page.Line
		for _, l := range d.Pages[0].Layers {
			if strings.HasPrefix(l.ID, "value-") {
				out = append(out, l.Items[0].(page.Group).Items[0].(page.Path).Lines...)
			}
		}
		return out
	}
	a, b := draws(false), draws(true)
	if len(a) == 0 || len(a) != len(b) {
		t.Fatalf("%d lines, %d from behind", len(a), len(b))
	}
	w := 11 * page.Inch // of the paper, in whose middle the panel lies
	for i := range a {
		for j, p := range a[i].Segments {
			q := b[i].Segments[j]
			if !near(p.To.X, w-q.To.X) || !near(p.C1.X, w-q.C1.X) || !near(p.To.Y, q.To.Y) {
				t.Fatalf("%v from behind is %v", p, q)
			}
		}
	}
}

// The outline of a plan of 24 shapes is an SVG of at most 60 kB, each value a layer
// of its own whose id says which; the same plan gives the same bytes, and XML that
// can be read.
func TestSVGOfTheOutline(t *testing.T) {
	s := sceneOf(t, "9x12", 3, 24, 3)
	var out [2]bytes.Buffer
	for i := range out {
		d, _ := s.compose(t, Options{Paper: paper(t, "a3")})
		if err := page.WriteSVG(&out[i], d, 0); err != nil {
			t.Fatal(err)
		}
	}
	if n := out[0].Len(); n > 60_000 {
		t.Errorf("%d bytes", n)
	}
	if !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
		t.Error("the same plan gives other bytes")
	}
	for _, id := range []string{`id="value-1-n`, `id="value-2-n`, `id="numbers"`, `id="panel"`} {
		if strings.Count(out[0].String(), id) != 1 {
			t.Errorf("%d times %s", strings.Count(out[0].String(), id), id)
		}
	}
	for dec := xml.NewDecoder(&out[0]); ; {
		if _, err := dec.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

// Every kind twice: the same bytes, whatever the desk made between.
func TestSameBytes(t *testing.T) {
	s := sceneOf(t, "18x24", 3, 24, 3)
	o := Options{Kinds: Kinds(), Grid: plan.Grid{Across: 3, Down: 3}}
	var out [2]bytes.Buffer
	for i := range out {
		d, _ := s.compose(t, o)
		if err := page.WritePDF(&out[i], d); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
		t.Error("the same plan gives other bytes")
	}
}

// Steps each have one value more, in the order that was asked for.
func TestStepsAddAValue(t *testing.T) {
	s := sceneOf(t, "6x8", 4, 20, 2)
	for _, order := range []study.Order{study.DarkFirst, study.LightFirst, study.LargeFirst} {
		d, m := s.compose(t, Options{Kinds: []Kind{Steps}, Order: order})
		want := m.Figures.BlockIn(order)
		for n := range len(want) {
			filled := 0
			for _, it := range layerOf(t, d.Pages[0], "step-"+string(rune('1'+n))).Items[0].(page.Group).Items[1:] {
				if p := it.(page.Path); p.Fill != page.Grey(m.Figures.Tones[want[filled]]) {
					t.Errorf("%s, step %d: value %d in another tone", order, n+1, want[filled]+1)
				}
				filled++
			}
			if filled != n+1 {
				t.Errorf("%s: step %d has %d values", order, n+1, filled)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	s := sceneOf(t, "6x8", 3, 10, 1)
	s.kept = nil
	for _, c := range []struct {
		o    Options
		says string
	}{
		{Options{Kinds: []Kind{Hung}}, "no thumbnails"},
		{Options{Kinds: []Kind{"poster"}}, "no such sheet"},
		{Options{Order: "best"}, "dark, light or large"},
		{Options{Paper: page.Paper{Name: "stamp", W: 40, H: 60}}, "paper of 40 by 60"},
		{Options{Long: 5}, "out of range"},
		{Options{Long: math.NaN()}, "out of range"},
		{Options{Fill: true, Light: true}, "not both"},
	} {
		m, err := Gather(context.Background(), s.desk, s.plan, "a", nil, s.frame, c.o)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Compose(m, c.o); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%+v: %v", c.o, err)
		}
		if c.says == "no thumbnails" {
			if _, err := Compose(m, c.o); !errors.Is(err, ErrNoThumbnails) {
				t.Errorf("%v", err)
			}
		}
	}
	if _, err := ParseKind("poster"); !errors.Is(err, ErrKind) {
		t.Errorf("%v", err)
	}
	for panel, want := range map[string]string{"6x8": "letter", "18x24": "a4", "a5": "a4", "free": "a4"} {
		p, err := plan.ParsePanel(panel)
		if err != nil {
			t.Fatal(err)
		}
		if got := UsualPaper(p).Name; got != want {
			t.Errorf("%s: paper %s", panel, got)
		}
	}
}

func writeSVG(t *testing.T, path string, d page.Document, n int) {
	t.Helper()
	var b bytes.Buffer
	if err := page.WriteSVG(&b, d, n); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}

// All sheets of one plan, from the plan at hand to the bytes of the PDF.
func BenchmarkSheets(b *testing.B) {
	s := sceneOf(b, "6x8", 3, 24, 9)
	o := Options{Kinds: Kinds(), Grid: plan.Grid{Every: 1, Unit: plan.Inch}}
	s.compose(b, o)
	for b.Loop() {
		d, _ := s.compose(b, o)
		if err := page.WritePDF(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}
