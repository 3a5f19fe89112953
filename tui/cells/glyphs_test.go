package cells_test

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/vt"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

// The sextants by name, from U+1FB00 on: which of the six places, counted in
// reading order, are in the ink.
//
// Source: Unicode 14.0, UnicodeData.txt, BLOCK SEXTANT-1 to BLOCK SEXTANT-23456.
const sextantNames = "1 2 12 3 13 23 123 4 14 24 124 34 134 234 1234 5 15 25 125 35 235 1235 45 145 245 1245 345 1345 2345 12345 " +
	"6 16 26 126 36 136 236 1236 46 146 1246 346 1346 2346 12346 56 156 256 1256 356 1356 2356 12356 456 1456 2456 12456 3456 13456 23456"

// The other splitting glyphs, as four places in reading order.
//
// Source: Unicode 14.0, UnicodeData.txt, U+2580..259F.
const quadrantNames = " ▘1 ▝2 ▀12 ▖3 ▌13 ▞23 ▛123 ▗4 ▚14 ▐24 ▜124 ▄34 ▙134 ▟234 █1234"

// drawn returns how a glyph lies on twelve places, two wide and six high: true
// is ink. It panics for letters.
func drawn(glyph rune) (out [12]bool) {
	sixths := strings.Fields(sextantNames)
	if i := int(glyph) - 0x1FB00; i >= 0 && i < len(sixths) {
		for _, n := range sixths[i] {
			p := int(n - '1')
			out[p/2*4+p%2], out[p/2*4+2+p%2] = true, true
		}
		return out
	}
	if glyph == ' ' {
		return out
	}
	for _, word := range strings.Fields(quadrantNames) {
		r := []rune(word)
		if r[0] != glyph {
			continue
		}
		for _, n := range r[1:] {
			p := int(n - '1')
			for row := range 3 {
				out[p/2*6+2*row+p%2] = true
			}
		}
		return out
	}
	panic(fmt.Sprintf("glyph %q", glyph))
}

// painted are the twelve colours of a cell.
func painted(glyph rune, fg, bg shade) (out [12]shade) {
	for i, ink := range drawn(glyph) {
		out[i] = bg
		if ink {
			out[i] = fg
		}
	}
	return out
}

func cellPainted(c cells.Cell) [12]shade {
	return painted(c.Glyph, shadeOfColour(c.Fg), shadeOfColour(c.Bg))
}

// Every way to part a cell in two colours is shown exactly, by the one spelling
// that looks so.
func TestSplitsAreExact(t *testing.T) {
	for _, glyphs := range []cells.Glyphs{cells.HalfBlocks, cells.Quadrants, cells.Sextants} {
		per := glyphs.Per()
		n := per.X * per.Y
		looks := map[[12]shade]cells.Cell{}
		for split := range 1 << n {
			r := imageproc.NewRaster(per.X, per.Y)
			var want [12]shade
			for y := range 6 {
				for x := range 2 {
					p := y*per.Y/6*per.X + x*per.X/2
					c := black
					if split>>p&1 != 0 {
						c = sky
					}
					r.Set(p%per.X, p/per.X, c)
					want[2*y+x] = shadeOfColour(cells.Exact(c))
				}
			}
			g := cells.Grid{Glyphs: glyphs}
			cells.Encode(&g, r, cells.TrueColour)
			if g.Size() != image.Pt(1, 1) {
				t.Fatalf("%v: %v cells", glyphs, g.Size())
			}
			if got := cellPainted(g.Cells[0]); got != want {
				t.Errorf("%v %b: %q shows %x, want %x", glyphs, split, g.Cells[0].Glyph, got, want)
			}
			if c := g.Cells[0]; c.Glyph != ' ' && !drawn(c.Glyph)[0] {
				t.Errorf("%v %b: %q has its first place in the ground", glyphs, split, c.Glyph)
			}
			looks[want] = g.Cells[0]
		}
		if len(looks) != 1<<n {
			t.Errorf("%v: %d looks", glyphs, len(looks))
		}
	}
}

// A cell that somebody spells otherwise is printed so that it looks the same,
// and so is every cell of a picture.
func TestPrintFinerGlyphs(t *testing.T) {
	var spelled []cells.Cell
	for i := range strings.Fields(sextantNames) {
		spelled = append(spelled, cells.Cell{Glyph: rune(0x1FB00 + i), Fg: cells.Exact(sky), Bg: cells.Exact(black)})
	}
	for _, word := range strings.Fields(quadrantNames) {
		spelled = append(spelled, cells.Cell{Glyph: []rune(word)[0], Fg: cells.Exact(sky), Bg: cells.Exact(black)},
			cells.Cell{Glyph: []rune(word)[0], Fg: cells.Exact(sky), Bg: cells.Exact(sky)})
	}
	grids := []cells.Grid{{W: len(spelled), H: 1, Cells: spelled}}
	for _, glyphs := range []cells.Glyphs{cells.Quadrants, cells.Sextants} {
		for d := cells.TrueColour; d <= cells.NoColour; d++ {
			g := cells.Grid{Glyphs: glyphs, Surround: grey}
			per := glyphs.At(d).Per()
			cells.Encode(&g, scene(40*per.X-1, 12*per.Y-1), d)
			grids = append(grids, g)
		}
	}
	for i, g := range grids {
		var out bytes.Buffer
		if err := g.Print(&out); err != nil {
			t.Fatal(err)
		}
		e := vt.NewEmulator(120, 12)
		fmt.Fprint(e, strings.ReplaceAll(strings.TrimSuffix(out.String(), "\n"), "\n", "\r\n"))
		for p, c := range g.Cells {
			got := e.CellAt(p%g.W, p/g.W)
			glyph := []rune(got.Content)
			if strings.ContainsAny(string(c.Glyph), "0123456789X░▒▓") {
				if lookOf(got) != wanted(c) {
					t.Fatalf("grid %d cell %d: %q, want %q", i, p, got.Content, c.Glyph)
				}
				continue
			}
			if is, want := painted(glyph[0], shadeOf(got.Style.Fg), shadeOf(got.Style.Bg)), cellPainted(c); is != want {
				t.Fatalf("grid %d cell %d: %q shows %x, want %x", i, p, glyph, is, want)
			}
		}
	}
}

// What Place cuts, shifts and surrounds is what encoding the whole shows.
func TestPlaceFinerGlyphs(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 8))
	for range 300 {
		glyphs := cells.Glyphs(r.IntN(3))
		d := cells.Depth(r.IntN(4))
		per := glyphs.At(d).Per()
		pic := scene(1+r.IntN(20), 1+r.IntN(20))
		w, h := 1+r.IntN(8), 1+r.IntN(6)
		at := image.Pt(r.IntN(30)-12, r.IntN(30)-12)
		whole := imageproc.NewRaster(w*per.X, h*per.Y)
		whole.Fill(sky)
		for y := range pic.H {
			for x := range pic.W {
				if p := at.Add(image.Pt(x, y)); p.In(image.Rect(0, 0, whole.W, whole.H)) {
					whole.Set(p.X, p.Y, pic.At(x, y))
				}
			}
		}
		got, want := cells.Grid{Glyphs: glyphs, Surround: sky}, cells.Grid{Glyphs: glyphs, Surround: sky}
		cells.Place(&got, w, h, pic, at, d)
		cells.Encode(&want, whole, d)
		if got.Size() != image.Pt(w, h) || got.Size() != want.Size() || !slices.Equal(got.Cells, want.Cells) {
			t.Fatalf("%v %v: %v on %dx%d at %v: %v, want %v", glyphs, d, pic.Size(), w, h, at, got.Cells, want.Cells)
		}
	}
}

// Where values are approximate the finer glyphs are half blocks.
func TestFinerGlyphsNeedColours(t *testing.T) {
	for glyphs, per := range map[cells.Glyphs]image.Point{cells.HalfBlocks: {X: 1, Y: 2}, cells.Quadrants: {X: 2, Y: 2}, cells.Sextants: {X: 2, Y: 3}} {
		if glyphs.Per() != per {
			t.Errorf("%v: %v pixels a cell", glyphs, glyphs.Per())
		}
		for d := cells.TrueColour; d <= cells.NoColour; d++ {
			if got := glyphs.At(d); d.Approximate() && got != cells.HalfBlocks || !d.Approximate() && got != glyphs {
				t.Errorf("%v at %v are %v", glyphs, d, got)
			}
		}
		for _, d := range []cells.Depth{cells.Colour16, cells.NoColour} {
			pic := scene(21, 13)
			half, fine := cells.Grid{}, cells.Grid{Glyphs: glyphs}
			cells.Encode(&half, pic, d)
			cells.Encode(&fine, pic, d)
			if !slices.Equal(half.Cells, fine.Cells) {
				t.Errorf("%v at %v differ from half blocks", glyphs, d)
			}
		}
	}
}

func TestParseGlyphs(t *testing.T) {
	for word, want := range map[string]cells.Glyphs{"half": cells.HalfBlocks, "quadrants": cells.Quadrants, "sextants": cells.Sextants} {
		if got, err := cells.ParseGlyphs(word); err != nil || got != want || got.String() != word {
			t.Errorf("%q is %v, %v", word, got, err)
		}
	}
	for _, word := range []string{"", "Half", "octants", "sextants "} {
		_, err := cells.ParseGlyphs(word)
		if !errors.Is(err, cells.ErrGlyphs) || !strings.Contains(err.Error(), "half, quadrants or sextants") || !strings.Contains(err.Error(), fmt.Sprintf("%q", word)) {
			t.Errorf("%q: %v", word, err)
		}
	}
}

func TestFinerGlyphsKeepMemory(t *testing.T) {
	for _, glyphs := range []cells.Glyphs{cells.Quadrants, cells.Sextants} {
		for d := cells.TrueColour; d <= cells.NoColour; d++ {
			g := cells.Grid{Glyphs: glyphs}
			g.SetTones([]palette.SRGB{black, grey, white})
			r := scene(60, 40)
			cells.Encode(&g, r, d)
			if n := testing.AllocsPerRun(5, func() { cells.Encode(&g, r, d) }); n != 0 {
				t.Errorf("%v %v: %v allocations", glyphs, d, n)
			}
		}
	}
}
