package cells_test

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"io"
	"strings"
	"testing"

	"github.com/charmbracelet/x/vt"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

var (
	black = palette.SRGB{}
	white = palette.SRGB{R: 255, G: 255, B: 255}
	sky   = palette.SRGB{R: 120, G: 160, B: 200}
	grey  = palette.SRGB{R: 51, G: 51, B: 51}
)

func raster(w int, colours ...palette.SRGB) imageproc.Raster {
	r := imageproc.NewRaster(w, len(colours)/w)
	for i, c := range colours {
		r.Set(i%w, i/w, c)
	}
	return r
}

func TestEncodeHalves(t *testing.T) {
	g := cells.Grid{Surround: grey}
	cells.Encode(&g, raster(2,
		sky, white,
		black, white,
		black, sky), cells.TrueColour)
	want := []cells.Cell{
		{Glyph: '▀', Fg: cells.Exact(sky), Bg: cells.Exact(black)},
		{Glyph: ' ', Bg: cells.Exact(white)},
		{Glyph: '▀', Fg: cells.Exact(black), Bg: cells.Exact(grey)},
		{Glyph: '▀', Fg: cells.Exact(sky), Bg: cells.Exact(grey)},
	}
	if g.Size() != image.Pt(2, 2) {
		t.Fatalf("size %v", g.Size())
	}
	for i, c := range want {
		if g.Cells[i] != c {
			t.Errorf("cell %d is %v, want %v", i, g.Cells[i], c)
		}
	}
	if g.At(1, 0) != g.Row(0)[1] {
		t.Error("At and Row differ")
	}
}

func TestEncodeKeepsMemory(t *testing.T) {
	var g cells.Grid
	r := scene(60, 40)
	for d := cells.TrueColour; d <= cells.NoColour; d++ {
		cells.Encode(&g, r, d)
		if n := testing.AllocsPerRun(5, func() { cells.Encode(&g, r, d) }); n != 0 {
			t.Errorf("%v: %v allocations", d, n)
		}
	}
}

func TestEncodeNothing(t *testing.T) {
	var g cells.Grid
	cells.Encode(&g, imageproc.Raster{}, cells.TrueColour)
	if g.Size() != (image.Point{}) {
		t.Errorf("size %v", g.Size())
	}
}

func TestPlaceOnSurround(t *testing.T) {
	r := raster(2, sky, sky, white, white, black, black)
	margin := cells.Halves(cells.Exact(grey), cells.Exact(grey))
	for _, c := range []struct {
		at   image.Point
		want string // rows of S sky, W white, B black, . surround, as pixels
	}{
		{image.Pt(1, 1), ".... .SS. .WW. .BB. .... ...."},
		{image.Pt(0, 0), "SS.. WW.. BB.. .... .... ...."},
		{image.Pt(3, 4), ".... .... .... .... ...S ...W"},
		{image.Pt(-1, -1), "W... B... .... .... .... ...."},
		{image.Pt(9, 0), ".... .... .... .... .... ...."},
		{image.Pt(0, -3), ".... .... .... .... .... ...."},
	} {
		g := cells.Grid{Surround: grey}
		cells.Place(&g, 4, 3, r, c.at, cells.TrueColour)
		rows := strings.Fields(c.want)
		colour := map[byte]palette.SRGB{'S': sky, 'W': white, 'B': black, '.': grey}
		for y := range 3 {
			for x := range 4 {
				want := cells.Halves(cells.Exact(colour[rows[2*y][x]]), cells.Exact(colour[rows[2*y+1][x]]))
				if got := g.At(x, y); got != want {
					t.Errorf("at %v: cell %d, %d is %v, want %v (margin %v)", c.at, x, y, got, want, margin)
				}
			}
		}
	}
}

func TestReshapePanics(t *testing.T) {
	defer func() {
		if r := recover(); r == nil || !strings.HasPrefix(fmt.Sprint(r), "cells: ") {
			t.Errorf("panic %v", r)
		}
	}()
	new(cells.Grid).Reshape(-1, 2)
}

// Greys stay grey and near their value; colours are those of the palette.
func TestEncode256(t *testing.T) {
	var g cells.Grid
	for code := 26; code <= 238; code++ {
		c := palette.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)}
		cells.Encode(&g, raster(1, c, c), cells.Colour256)
		shown := palette.XTerm256(uint8(g.Cells[0].Bg))
		if g.Cells[0].Glyph != ' ' || shown.R != shown.G || shown.G != shown.B {
			t.Fatalf("grey %d is shown as %v", code, shown)
		}
		off := float64(c.Linear().Y().L() - shown.Linear().Y().L())
		if !(max(off, -off) <= 2.5) {
			t.Errorf("grey %d is shown %.1f L* off", code, off)
		}
	}
	cells.Encode(&g, raster(1, sky, black), cells.Colour256)
	want := cells.Halves(cells.Index(palette.Nearest256(sky)), cells.Index(palette.Nearest256(black)))
	if g.Cells[0] != want {
		t.Errorf("two colours are %v, want %v", g.Cells[0], want)
	}
}

// At 16 colours a darker cell is never shown lighter, ends are black and white,
// and no value is farther off than half the widest gap of the ramp.
func TestEncode16(t *testing.T) {
	var g cells.Grid
	seen := map[cells.Cell]bool{}
	var last cells.Cell
	for code := range 256 {
		c := palette.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)}
		cells.Encode(&g, raster(1, c, c), cells.Colour16)
		got := g.Cells[0]
		if got != last && seen[got] {
			t.Fatalf("code %d goes back to %v", code, got)
		}
		seen[got], last = true, got
	}
	if len(seen) != 13 {
		t.Errorf("%d steps, want 13", len(seen))
	}
	for _, c := range []struct {
		in   palette.SRGB
		want uint8
	}{{black, 0}, {white, 15}} {
		cells.Encode(&g, raster(1, c.in, c.in), cells.Colour16)
		if want := (cells.Cell{Glyph: ' ', Bg: cells.Index(c.want)}); g.Cells[0] != want {
			t.Errorf("%v is shown as %v", c.in, g.Cells[0])
		}
	}
	if !cells.Colour16.Approximate() || !cells.NoColour.Approximate() || cells.Colour256.Approximate() {
		t.Error("which depths are approximate")
	}
}

func TestFigures(t *testing.T) {
	for v, want := range map[palette.Value]rune{-1: '0', 0: '0', 0.49: '0', 0.5: '1', 5: '5', 9.4: '9', 9.5: 'X', 10: 'X', 11: 'X'} {
		if got := cells.Figure(v); got != want {
			t.Errorf("value %v is %c, want %c", v, got, want)
		}
	}
	var g cells.Grid
	cells.Encode(&g, raster(2, white, black, white, black), cells.NoColour)
	if g.Cells[0] != (cells.Cell{Glyph: 'X'}) || g.Cells[1] != (cells.Cell{Glyph: '0'}) {
		t.Errorf("white and black are %v", g.Cells)
	}
}

func TestDepthWords(t *testing.T) {
	for d, want := range map[cells.Depth]string{cells.TrueColour: "full", cells.Colour256: "256", cells.Colour16: "approximate", cells.NoColour: "figures"} {
		if !strings.Contains(d.String(), want) {
			t.Errorf("%d is %q", d, d)
		}
	}
}

// What Print writes, an emulator shows as the picture, at every depth.
func TestPrintShowsPicture(t *testing.T) {
	for d := cells.TrueColour; d <= cells.NoColour; d++ {
		for name, r := range map[string]imageproc.Raster{"scene": scene(30, 21), "plan": plan(scene(30, 20), 2)} {
			var out bytes.Buffer
			if err := cells.Print(&out, r, d); err != nil {
				t.Fatal(err)
			}
			e := vt.NewEmulator(40, 12)
			fmt.Fprint(e, strings.ReplaceAll(out.String(), "\n", "\r\n"))
			var g cells.Grid
			cells.Encode(&g, r, d)
			for y := range g.H {
				for x := range 40 {
					want := look{standard, standard, ""}
					if x < g.W {
						want = wanted(g.At(x, y))
					}
					if got := lookOf(e.CellAt(x, y)); got != want {
						t.Fatalf("%v %s: cell %d, %d is %v, want %v", d, name, x, y, got, want)
					}
				}
			}
			if lines := strings.Count(out.String(), "\n"); lines != g.H {
				t.Errorf("%v %s: %d lines for %d rows", d, name, lines, g.H)
			}
			if d == cells.NoColour && strings.Contains(out.String(), "\x1b") {
				t.Errorf("%s without colour has escape sequences", name)
			}
		}
	}
}

func TestPrintSpellsShort(t *testing.T) {
	var out bytes.Buffer
	r := raster(5,
		black, black, white, white, sky,
		black, white, black, white, sky)
	if err := cells.Print(&out, r, cells.TrueColour); err != nil {
		t.Fatal(err)
	}
	// Black ground; white below; its reverse without a change of colours; a
	// full block; one more colour; back to the default.
	want := "\x1b[48;2;0;0;0m \x1b[38;5;231m▄▀█\x1b[48;2;120;160;200m \x1b[m\n"
	if out.String() != want {
		t.Errorf("printed %q, want %q", out.String(), want)
	}
}

func TestPrintError(t *testing.T) {
	if err := cells.Print(&failing{}, scene(4, 4), cells.TrueColour); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("error %v", err)
	}
}

// failing is a terminal that goes away after left writes.
type failing struct{ left, writes int }

func (f *failing) Write(p []byte) (int, error) {
	f.writes++
	if f.left--; f.left < 0 {
		return 0, io.ErrShortWrite
	}
	return len(p), nil
}
