package cells_test

import (
	"fmt"
	"image"
	"image/color"
	"math/rand/v2"
	"strings"
	"testing"

	uv "github.com/charmbracelet/ultraviolet"
	"github.com/charmbracelet/x/vt"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

// shade is a colour on the screen as 0xRRGGBB, or the terminal's default.
type shade uint32

const standard shade = 1 << 24

// look is what a cell looks like, however it is spelled.
type look struct {
	top, bottom shade
	glyph       string
}

func shadeOf(c color.Color) shade {
	if c == nil {
		return standard
	}
	r, g, b, _ := c.RGBA()
	return shade(r>>8<<16 | g>>8<<8 | b>>8)
}

func lookOf(c *uv.Cell) look {
	if c == nil {
		return look{glyph: "outside"}
	}
	return spelled(c.Content, shadeOf(c.Style.Fg), shadeOf(c.Style.Bg))
}

func spelled(glyph string, fg, bg shade) look {
	switch glyph {
	case " ", "":
		return look{bg, bg, ""}
	case "▀":
		return look{fg, bg, ""}
	case "▄":
		return look{bg, fg, ""}
	case "█":
		return look{fg, fg, ""}
	}
	return look{fg, bg, glyph}
}

// wanted is the look of a cell of a grid, by xterm's palette for indices.
func wanted(c cells.Cell) look {
	return spelled(string(c.Glyph), shadeOfColour(c.Fg), shadeOfColour(c.Bg))
}

var basic = vt.NewEmulator(1, 1)

func shadeOfColour(c cells.Colour) shade {
	i := uint8(c)
	switch {
	case c>>24 == 0:
		return standard
	case c>>24 == 1:
		return shade(c & 0xffffff)
	case i < 16:
		return shadeOf(basic.IndexedColor(int(i)))
	}
	rgb := palette.XTerm256(i)
	return shade(rgb.R)<<16 | shade(rgb.G)<<8 | shade(rgb.B)
}

// pair is a terminal that gets everything and one that gets only the text.
// Outside the band the two must agree, cursor included; inside, the first must
// show the picture.
type pair struct {
	t      *testing.T
	full   *vt.Emulator
	text   *vt.Emulator
	screen *cells.Screen
	size   image.Point
	band   image.Rectangle
	want   map[image.Point]cells.Cell
}

func newPair(t *testing.T, w, h int) *pair {
	p := &pair{t: t, full: vt.NewEmulator(w, h), text: vt.NewEmulator(w, h), size: image.Pt(w, h)}
	p.screen = cells.NewScreen(p.full)
	p.want = map[image.Point]cells.Cell{}
	p.write("\x1b[?1049h")
	p.write("\x1b[2J")
	p.write("\x1b[H")
	return p
}

func (p *pair) write(s string) {
	p.t.Helper()
	if n, err := p.screen.Write([]byte(s)); n != len(s) || err != nil {
		p.t.Fatalf("Write = %d, %v", n, err)
	}
	if _, err := p.text.WriteString(s); err != nil {
		p.t.Fatal(err)
	}
}

func (p *pair) setBand(r image.Rectangle) {
	p.screen.SetBand(r)
	p.band = r
	old := p.want
	p.want = map[image.Point]cells.Cell{}
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			at := image.Pt(x, y)
			if c, ok := old[at]; ok {
				p.want[at] = c
			} else {
				p.want[at] = cells.Cell{Glyph: ' '}
			}
		}
	}
}

func (p *pair) paint(g *cells.Grid, at image.Point) {
	p.t.Helper()
	if err := p.screen.Paint(g, at); err != nil {
		p.t.Fatal(err)
	}
	for y := range g.H {
		for x := range g.W {
			if q := at.Add(image.Pt(x, y)); q.In(p.band) {
				p.want[q] = g.At(x, y)
			}
		}
	}
}

func (p *pair) resize(w, h int) {
	// What terminals keep of the screen differs; here it is nothing.
	for _, e := range []*vt.Emulator{p.full, p.text} {
		e.Resize(w, h)
		if _, err := e.WriteString("\x1b[2J"); err != nil {
			p.t.Fatal(err)
		}
	}
	p.size = image.Pt(w, h)
	p.screen.Resize(w, h)
}

// check compares every cell; what says what was done last.
func (p *pair) check(what string) {
	p.t.Helper()
	for y := range p.size.Y {
		for x := range p.size.X {
			at := image.Pt(x, y)
			got := lookOf(p.full.CellAt(x, y))
			want := lookOf(p.text.CellAt(x, y))
			if at.In(p.band) {
				want = wanted(p.want[at])
			}
			if got != want && !p.torn(at) {
				p.t.Fatalf("after %s: cell %v of %v, band %v: shows %v, want %v", what, at, p.size, p.band, got, want)
			}
		}
	}
	if got, want := p.full.CursorPosition(), p.text.CursorPosition(); got != want {
		p.t.Fatalf("after %s: cursor at %v, Bubble Tea left it at %v", what, got, want)
	}
}

// torn reports whether at holds the outer half of a wide letter that Bubble Tea
// put across the edge of the band, which the picture has cut in two.
func (p *pair) torn(at image.Point) bool {
	if at.Y < p.band.Min.Y || at.Y >= p.band.Max.Y || at.In(p.band) {
		return false
	}
	c := p.text.CellAt(at.X, at.Y)
	return at.X < p.band.Min.X && c.Width > 1 && at.X+c.Width > p.band.Min.X || c.Width == 0
}

// randomRaster is noise, flat areas or a few values, by turns.
func randomRaster(rng *rand.Rand, w, h int) imageproc.Raster {
	r := imageproc.NewRaster(w, h)
	kind := rng.IntN(3)
	values := []uint8{0, 38, 95, 128, 255, uint8(rng.IntN(256))}
	for y := range h {
		for x := range w {
			var c palette.SRGB
			switch kind {
			case 0:
				c = palette.SRGB{R: uint8(rng.IntN(256)), G: uint8(rng.IntN(256)), B: uint8(rng.IntN(256))}
			case 1:
				v := values[(x/5+y/3)%len(values)]
				c = palette.SRGB{R: v, G: v, B: v}
			default:
				c = palette.SRGB{R: values[rng.IntN(2)], G: values[rng.IntN(2)], B: 95}
			}
			r.Set(x, y, c)
		}
	}
	return r
}

// layoutFlush is what Bubble Tea writes when the whole view is new: every row,
// those of the band with Skip in their midst.
func (p *pair) layoutFlush(rng *rand.Rand) string {
	var b strings.Builder
	b.WriteString("\x1b[H")
	for y := range p.size.Y {
		width := 0
		line := func(n int) {
			s := "text beside the picture, row after row, ..........................................................."
			n = min(n, len(s))
			b.WriteString(s[:n])
			width += n
		}
		if y >= p.band.Min.Y && y < p.band.Max.Y && !p.band.Empty() {
			b.WriteString(strings.Repeat(".", min(p.band.Min.X, p.size.X)))
			width = min(p.band.Min.X, p.size.X)
			fmt.Fprintf(&b, "\x1b[%dC", p.band.Dx()) // steps over the band
			if left := p.size.X - p.band.Max.X; left > 0 {
				line(rng.IntN(left + 1))
			}
		} else {
			line(rng.IntN(p.size.X + 1))
		}
		if width < p.size.X {
			b.WriteString("\x1b[K")
		}
		if y < p.size.Y-1 {
			b.WriteString("\r\n")
		}
	}
	fmt.Fprintf(&b, "\x1b[%d;0H", p.size.Y)
	return b.String()
}

// rudeFlush writes over some rows whole, letters of all widths among them.
func (p *pair) rudeFlush(rng *rand.Rand) string {
	words := []string{"tide out", "é", "→ N 5", "── ", "船", "\x1b[1mbold\x1b[m", "👩‍🎨", "\x1b[3C", "\x1b]2;harbour\x07"}
	wide := []int{8, 1, 5, 3, 2, 4, 2, 3, 0}
	var b strings.Builder
	b.WriteString("\x1b[H")
	for y := range p.size.Y {
		if rng.IntN(3) == 0 {
			width := 0
			for range rng.IntN(12) {
				if k := rng.IntN(len(words)); width+wide[k] < p.size.X {
					b.WriteString(words[k])
					width += wide[k]
				}
			}
			b.WriteString("\x1b[K\r")
		}
		if y < p.size.Y-1 {
			b.WriteString("\n")
		}
	}
	fmt.Fprintf(&b, "\x1b[%d;0H", p.size.Y)
	return b.String()
}

func randomBand(rng *rand.Rand, size image.Point) image.Rectangle {
	x, y := rng.IntN(size.X), rng.IntN(size.Y)
	return image.Rect(x, y, x+1+rng.IntN(size.X+2-x), y+1+rng.IntN(size.Y+2-y))
}

// TestScreenAgainstEmulator plays random pictures, sizes, bands and writes.
func TestScreenAgainstEmulator(t *testing.T) {
	const runs, steps = 120, 30
	for seed := range uint64(runs) {
		rng := rand.New(rand.NewPCG(seed, 1))
		depth := cells.Depth(seed % 4)
		t.Run(fmt.Sprintf("seed %d %v", seed, depth), func(t *testing.T) {
			p := newPair(t, 4+rng.IntN(50), 3+rng.IntN(20))
			p.screen.SetSync(rng.IntN(2) == 0)
			p.screen.SetRepeat(rng.IntN(2) == 0)
			if rng.IntN(2) == 0 {
				p.resize(p.size.X, p.size.Y)
			}
			var g cells.Grid
			layout := func() {
				r := randomBand(rng, p.size)
				if rng.IntN(3) == 0 {
					r.Min.X, r.Max.X = 0, p.size.X
				}
				p.setBand(r.Intersect(image.Rectangle{Max: p.size}))
				p.write(p.layoutFlush(rng))
			}
			layout()
			for range steps {
				what := p.step(rng, &g, depth, layout)
				_ = what
				p.check(what)
			}
		})
	}
}

func (p *pair) step(rng *rand.Rand, g *cells.Grid, depth cells.Depth, layout func()) string {
	switch rng.IntN(14) {
	case 0:
		layout()
		return "layout"
	case 1:
		p.resize(4+rng.IntN(50), 3+rng.IntN(20))
		layout()
		return "resize"
	case 2, 3:
		p.write(p.rudeFlush(rng))
		return "text over the band"
	case 4:
		p.write("\x1b[2J")
		p.write("\x1b[H")
		p.write(p.layoutFlush(rng))
		return "clear"
	case 5:
		fmt.Fprint(writer{p}, "\x1b[2K")
		p.write("\r")
		return "row wiped"
	case 6:
		p.write("\x1b[?1049l")
		cells.Encode(g, randomRaster(rng, p.size.X, 2*p.size.Y), depth)
		p.paint(g, image.Point{})
		p.write("\x1b[?1049h")
		p.write("\x1b[2J")
		p.write("\x1b[H")
		p.write(p.layoutFlush(rng))
		return "pause"
	case 7:
		// A letter joined of several is not cut: a terminal would not join it.
		s := strings.ReplaceAll(p.rudeFlush(rng), "👩‍🎨", "ab")
		for len(s) > 0 {
			n := min(1+rng.IntN(9), len(s))
			p.write(s[:n])
			if rng.IntN(4) == 0 {
				p.paint(g, p.band.Min)
			}
			s = s[n:]
		}
		return "text in pieces"
	case 8:
		fmt.Fprintf(writer{p}, "\x1b[%d;%dH\x1b[J", 1+rng.IntN(p.size.Y), 1+rng.IntN(p.size.X))
		return "cleared below"
	case 9, 10:
		// A picture that moves some cells one way, as a crop does.
		r := randomRaster(rng, p.size.X+24, 2*p.size.Y+24)
		x, y := 12, 12
		cells.Encode(g, window(r, x, y, p.size.X, 2*p.size.Y), depth)
		p.paint(g, image.Point{})
		for range 4 {
			p.check("a picture before it moves")
			if rng.IntN(2) == 0 {
				x = min(max(x+rng.IntN(9)-4, 0), 24)
			} else {
				y = min(max(y+2*(rng.IntN(5)-2), 0), 24)
			}
			cells.Encode(g, window(r, x, y, p.size.X, 2*p.size.Y), depth)
			p.paint(g, image.Point{})
		}
		return "a moved picture"
	default:
		w, h := 1+rng.IntN(p.size.X), 1+rng.IntN(2*p.size.Y)
		cells.Encode(g, randomRaster(rng, w, h), depth)
		respell(rng, g)
		p.paint(g, image.Pt(rng.IntN(p.size.X)-2, rng.IntN(p.size.Y)-2))
		return "paint"
	}
}

// respell writes some cells in other words for the same look.
func respell(rng *rand.Rand, g *cells.Grid) {
	for i, c := range g.Cells {
		switch {
		case rng.IntN(3) > 0:
		case c.Glyph == cells.Upper:
			g.Cells[i] = cells.Cell{Glyph: cells.Lower, Fg: c.Bg, Bg: c.Fg}
		case c.Glyph == cells.Blank && c.Bg != 0:
			g.Cells[i] = cells.Cell{Glyph: cells.Full, Fg: c.Bg, Bg: cells.Index(uint8(i))}
		}
	}
}

type writer struct{ p *pair }

func (w writer) Write(b []byte) (int, error) { w.p.write(string(b)); return len(b), nil }
