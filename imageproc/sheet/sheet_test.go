package sheet

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// boatyard is an invented scene: sky, a shed, a slipway, hulls and posts.
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

type made struct {
	desk  *study.Desk
	frame plan.Frame
	plan  plan.Plan
	kept  []plan.Thumbnail
}

func madeOf(panel string, k, shapes int, seed uint64) made {
	pic := boatyard(480, 360, seed)
	m := made{desk: study.NewDesk(pic), frame: plan.Frame{Photo: pic.Size()}}
	p := plan.Default(pic.Size())
	if named, err := plan.ParsePanel(panel); err == nil {
		if named.Way == "" {
			named.Way = plan.Across
		}
		p = plan.SetPanel(named)(p, m.frame)
	}
	p = plan.SetShapes(shapes)(plan.SetK(k)(p, m.frame), m.frame)
	m.plan = plan.SetFocus(plan.Focus{X: 0.4, Y: 0.5, Radius: 0.15, Fall: plan.FallUsual})(p, m.frame)
	for i := range 5 {
		m.kept = append(m.kept, plan.Thumbnail{Name: fmt.Sprint("low tide ", i), Plan: plan.SetK(2+i%3)(m.plan, m.frame)})
	}
	return m
}

func (m made) compose(t testing.TB, o Options) (page.Document, Material) {
	t.Helper()
	g, err := Gather(context.Background(), m.desk, m.plan, "boatyard.jpg", m.kept, m.frame, o)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Compose(g, o)
	if err != nil {
		t.Fatal(err)
	}
	return d, g
}

func paper(t testing.TB, name string) page.Paper {
	t.Helper()
	p, err := page.ParsePaper(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// eachItem calls f for all items of a page, with what they are moved by and cut off
// at.
func eachItem(items []page.Item, shift page.Point, f func(page.Item, page.Point)) {
	for _, it := range items {
		if g, ok := it.(page.Group); ok {
			if g.Clip.W > 0 {
				continue // parts of a large drawing: cut off at the page's room
			}
			eachItem(g.Items, page.Point{X: shift.X + g.Shift.X, Y: shift.Y + g.Shift.Y}, f)
			continue
		}
		f(it, shift)
	}
}

// On every kind of sheet, on all papers and panels: no words over other words, and
// nothing in the margins that a printer leaves blank.
func TestNothingOverlaps(t *testing.T) {
	panels := []string{"6x8", "5x7", "8x8", "13x18cm", "free", "12x16"}
	for i, name := range []string{"a4", "letter", "a5", "a3", "140x200mm"} {
		for j, panel := range panels {
			if (i+j)%2 == 1 && os.Getenv("HALFLID_HEAVY") == "" {
				continue
			}
			m := madeOf(panel, 2+(i+j)%4, 10+12*j, uint64(i*7+j))
			o := Options{Kinds: Kinds(), Paper: paper(t, name), Title: "A boatyard at low tide, seen from the mole with all its sheds and cranes", Note: "Squint first.\nThen draw the large shapes.", Fill: j%2 == 1}
			d, _ := m.compose(t, o)
			for _, p := range d.Pages {
				type box struct {
					r page.Rect
					t page.Text
				}
				var boxes []box
				for _, l := range p.Layers {
					eachItem(l.Items, page.Point{}, func(it page.Item, by page.Point) {
						in := func(x, y float64, what string) {
							if x < 6 || y < 6 || x > p.W-6 || y > p.H-6 {
								t.Errorf("%s, %s, %s: %s at %.1f, %.1f of %.0f by %.0f mm", name, panel, p.Name, what, x, y, p.W, p.H)
							}
						}
						switch it := it.(type) {
						case page.Text:
							w := page.Width(it.Words, it.Size, it.Bold)
							x := it.At.X
							switch it.Anchor {
							case page.Middle:
								x -= w / 2
							case page.End:
								x -= w
							}
							r := page.Rect{X: x, Y: it.At.Y - page.Cap(it.Size), W: w, H: page.Cap(it.Size)}
							in(r.X, r.Y, it.Words)
							in(r.X+r.W, r.Y+r.H, it.Words)
							for _, b := range boxes {
								if r.X < b.r.X+b.r.W && b.r.X < r.X+r.W && r.Y < b.r.Y+b.r.H && b.r.Y < r.Y+r.H {
									t.Errorf("%s, %s, %s: %q lies over %q", name, panel, p.Name, it.Words, b.t.Words)
								}
							}
							boxes = append(boxes, box{r, it})
						case page.Path:
							for _, l := range it.Lines {
								for _, s := range l.Segments {
									in(s.To.X, s.To.Y, "a line")
								}
							}
						case page.Picture:
							in(it.At.X, it.At.Y, "a picture")
							in(it.At.X+it.At.W, it.At.Y+it.At.H, "a picture")
						}
					})
				}
			}
		}
	}
}

// A 6x8 in panel across is drawn 203.2 by 152.4 mm on one letter page; measured on
// the page that poppler rasterises, with its inch lines, within 0.2 mm. So is the
// 100 mm ruler.
func TestOutlineAtTrueSize(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		if os.Getenv("HALFLID_NEED_SERVERS") != "" {
			t.Fatal("pdftoppm is not installed")
		}
		t.Skip("pdftoppm is not installed")
	}
	m := madeOf("6x8", 3, 2, 5)
	d, _ := m.compose(t, Options{Kinds: []Kind{Outline}, Paper: paper(t, "letter"), Grid: plan.Grid{Every: 1, Unit: plan.Inch}})
	if len(d.Pages) != 1 || d.Pages[0].W < d.Pages[0].H {
		t.Fatalf("%d pages, %g by %g mm", len(d.Pages), d.Pages[0].W, d.Pages[0].H)
	}
	const dpi = 300
	dir := t.TempDir()
	var b bytes.Buffer
	if err := page.WritePDF(&b, d); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "a.pdf"), b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", "300", "-gray", "-png", "-singlefile", filepath.Join(dir, "a.pdf"), filepath.Join(dir, "a")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	data, err := os.ReadFile(filepath.Join(dir, "a.png"))
	if err != nil {
		t.Fatal(err)
	}
	decoded, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	img := image.NewGray(decoded.Bounds())
	draw.Draw(img, img.Rect, decoded, image.Point{}, draw.Src)
	at := func(mm float64) int { return int(math.Round(mm / page.Inch * dpi)) }
	// Darkness summed over a strip that no mass border fills: lines are where most
	// of a column or row is not white.
	ruled := func(n int, pixel func(i, k int) uint8, from, to int) []float64 {
		var out []float64
		for i := range n {
			marks := 0
			for k := from; k < to; k++ {
				if pixel(i, k) < 235 {
					marks++
				}
			}
			if 10*marks > 9*(to-from) {
				if mm := (float64(i) + 0.5) / dpi * page.Inch; len(out) == 0 || mm-out[len(out)-1] > 2 {
					out = append(out, mm)
				}
			}
		}
		return out
	}
	w, h := 203.2, 152.4
	room := roomOn(d.Pages[0].W, d.Pages[0].H)
	x0, y0 := room.X+(room.W-w)/2, room.Y+(room.H-h)/2
	cols := ruled(img.Rect.Dx(), func(i, k int) uint8 { return img.GrayAt(i, k).Y }, at(y0+3), at(y0+h-3))
	rows := ruled(img.Rect.Dy(), func(i, k int) uint8 { return img.GrayAt(k, i).Y }, at(x0+3), at(x0+w-3))
	for _, c := range []struct {
		got   []float64
		first float64
		n     int
	}{{cols, x0, 9}, {rows, y0, 7}} {
		if len(c.got) != c.n {
			t.Fatalf("lines at %v, want %d an inch apart from %.2f", c.got, c.n, c.first)
		}
		for i, mm := range c.got {
			if want := c.first + float64(i)*page.Inch; math.Abs(mm-want) > 0.2 {
				t.Errorf("line %d at %.2f mm, want %.2f", i, mm, want)
			}
		}
	}
	y := at(d.Pages[0].H-margin-6) - 1
	first, last := -1, -1
	for x := at(margin) - 20; x < at(margin+130); x++ {
		if img.GrayAt(x, y).Y < 128 {
			if first < 0 {
				first = x
			}
			last = x
		} else if first >= 0 && x-last > 6 {
			break
		}
	}
	if long := float64(last-first+1) / dpi * page.Inch; math.Abs(long-100.15) > 0.2 { // and the line's own width
		t.Errorf("the ruler of 100 mm is %.2f mm long", long)
	}
}

// The filled outline, drawn at four pixels a millimetre, is the plan but for less
// than a pixel in a hundred, each mass in the grey of its tone.
func TestFilledOutlineIsThePlan(t *testing.T) {
	m := madeOf("6x8", 4, 24, 11)
	d, g := m.compose(t, Options{Kinds: []Kind{Outline}, Paper: paper(t, "letter"), Fill: true})
	p := d.Pages[0]
	var layers []page.Layer
	for _, l := range p.Layers {
		if strings.HasPrefix(l.ID, "value-") {
			layers = append(layers, l)
		}
	}
	if len(layers) != len(g.figures.Tones) {
		t.Fatalf("%d layers of %d values", len(layers), len(g.figures.Tones))
	}
	p.Layers = layers
	const k = 4.0
	img := page.Draw(p, k*page.Inch)
	room := roomOn(p.W, p.H)
	x0, y0 := room.X+(room.W-203.2)/2, room.Y+(room.H-152.4)/2
	off, n := 0, 0
	labels := g.figures.Map
	for y := range labels.H {
		for x := range labels.W {
			px := int((x0 + (float64(x)+0.5)/float64(labels.W)*203.2) * k)
			py := int((y0 + (float64(y)+0.5)/float64(labels.H)*152.4) * k)
			want := palette.Grey(g.figures.List[labels.At(x, y)].Tone.Y()).G
			got := img.NRGBAAt(px, py)
			n++
			if d := int(got.G) - int(want); d < -2 || d > 2 || got.R != got.G {
				off++
			}
		}
	}
	if share := float64(off) / float64(n); share > 0.025 { // the smooth edge itself takes a pixel of the page
		t.Errorf("%.2f %% of the pixels differ", 100*share)
	}
}

// Every number that has no leader stands inside its own mass.
func TestNumbersStandInTheirMasses(t *testing.T) {
	for seed := range uint64(6) {
		m := madeOf("6x8", 3, 20, seed)
		_, g := m.compose(t, Options{})
		for _, n := range g.numbers {
			x, y := int(n.X*float64(g.figures.Map.W)), int(n.Y*float64(g.figures.Map.H))
			if v := g.figures.List[g.figures.Map.At(x, y)].Value; v != n.Value {
				t.Errorf("seed %d: number %d stands in value %d", seed, n.Value+1, v+1)
			}
		}
		if len(g.numbers) != len(g.outlines.Regions) {
			t.Errorf("%d numbers for %d masses", len(g.numbers), len(g.outlines.Regions))
		}
	}
}

// A panel larger than the paper comes in parts that cover it whole and lie over
// each other by 10 mm.
func TestParts(t *testing.T) {
	for _, c := range []struct {
		paper string
		w, h  float64
		want  int
	}{{"letter", 203.2, 152.4, 1}, {"a4", 180, 240, 1}, {"letter", 406.4, 304.8, 4}, {"a4", 240, 300, 4}, {"a3", 240, 300, 1}, {"a5", 203.2, 152.4, 4}} {
		ti := tilesFor(paper(t, c.paper), c.w, c.h)
		if n := ti.across * ti.down; n > c.want {
			t.Errorf("%s, %g by %g mm: %d parts, want %d at most", c.paper, c.w, c.h, n, c.want)
		}
		for row := range ti.down {
			for col := range ti.across {
				x, y := ti.origin(row, col)
				if col > 0 {
					if px, _ := ti.origin(row, col-1); math.Abs(px+ti.room.W-x-overlap) > 1e-9 {
						t.Errorf("%s: parts overlap by %g mm", c.paper, px+ti.room.W-x)
					}
				}
				if col == ti.across-1 && x+ti.room.W < c.w-1e-6 || row == ti.down-1 && y+ti.room.H < c.h-1e-6 {
					t.Errorf("%s: the parts do not cover %g by %g mm", c.paper, c.w, c.h)
				}
			}
		}
	}
}

// The outline of a plan of 24 shapes is an SVG of at most 60 kB; the same plan
// gives the same bytes.
func TestSVGIsSmallAndTheSame(t *testing.T) {
	m := madeOf("9x12", 3, 24, 3)
	var out [2]bytes.Buffer
	for i := range out {
		d, _ := m.compose(t, Options{Kinds: []Kind{Outline}, Paper: paper(t, "a3")})
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
	if !strings.Contains(out[0].String(), `<g id="outline"><title>Outline</title>`) {
		t.Error("no layer of the outline")
	}
}

func TestWallOfNothing(t *testing.T) {
	m := madeOf("6x8", 3, 10, 1)
	m.kept = nil
	g, err := Gather(context.Background(), m.desk, m.plan, "a", nil, m.frame, Options{Kinds: []Kind{Hung}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Compose(g, Options{Kinds: []Kind{Hung}}); !errors.Is(err, ErrNoThumbnails) {
		t.Errorf("%v", err)
	}
}

// Steps each have one value more, in the order that was asked for.
func TestStepsAddAValue(t *testing.T) {
	m := madeOf("6x8", 4, 20, 2)
	for _, o := range []study.Order{study.DarkFirst, study.LightFirst, study.LargeFirst} {
		d, g := m.compose(t, Options{Kinds: []Kind{Steps}, Order: o})
		want := g.figures.BlockIn(o)
		n := 0
		for _, l := range d.Pages[0].Layers {
			if !strings.HasPrefix(l.ID, "step-") {
				continue
			}
			n++
			filled := 0
			for _, it := range l.Items {
				if p, ok := it.(page.Path); ok && p.Fill.On {
					if p.Fill != page.Grey(g.figures.Tones[want[filled]]) {
						t.Errorf("%s, step %d: mass %d in another tone", o, n, filled)
					}
					filled++
				}
			}
			if filled != n {
				t.Errorf("%s: step %d has %d values", o, n, filled)
			}
		}
		if n != len(want) {
			t.Errorf("%s: %d steps of %d values", o, n, len(want))
		}
	}
}

// BenchmarkSheets makes all sheets of one plan and writes the PDF; the plan itself
// is at hand, as in the studio.
func BenchmarkSheets(b *testing.B) {
	m := madeOf("6x8", 3, 24, 9)
	o := Options{Kinds: []Kind{Outline, Grid, Values, Steps, HandOut}, Paper: paper(b, "letter")}
	m.kept = nil
	for b.Loop() {
		d, _ := m.compose(b, o)
		if err := page.WritePDF(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}

// A preview keeps the white of the paper and the tones of patches, and shows lines
// far thinner than its pixels.
func TestPreview(t *testing.T) {
	m := madeOf("6x8", 3, 12, 4)
	d, g := m.compose(t, Options{Kinds: []Kind{Values, Outline}, Paper: paper(t, "letter")})
	r := Preview(d.Pages[1], image.Pt(86, 111))
	if c := r.At(0, 0); c.G != 255 {
		t.Errorf("the paper is %v", c)
	}
	if c, want := r.At(20, 25), palette.Grey(g.figures.Tones[0].Y()); c != want {
		t.Errorf("the first patch is %v, want %v", c, want)
	}
	dark := 0
	o := Preview(d.Pages[0], image.Pt(111, 86))
	for i := 0; i < len(o.Pix); i += 3 {
		if o.Pix[i] < 215 {
			dark++
		}
	}
	if dark < 150 {
		t.Errorf("only %d pixels of the drawing show", dark)
	}
}
