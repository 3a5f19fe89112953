package cells_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

// someTones returns k different greys, mostly close to each other.
func someTones(r *rand.Rand, k int) []palette.SRGB {
	base, spread := r.IntN(256), 3+r.IntN(60)
	var out []palette.SRGB
	for len(out) < k {
		g := uint8(min(255, max(0, base+r.IntN(2*spread)-spread)))
		if r.IntN(4) == 0 {
			g = uint8(r.IntN(256))
		}
		if c := (palette.SRGB{R: g, G: g, B: g}); !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// patches is a picture of flat patches of those tones, every one of them whole
// cells somewhere, with edges within cells.
func patches(r *rand.Rand, tones []palette.SRGB) imageproc.Raster {
	pic := imageproc.NewRaster(8*len(tones), 21)
	for y := range pic.H {
		for x := range pic.W {
			i := x / 8
			if y > 4 && x%8 > 3 {
				i = (i + y/3) % len(tones)
			}
			pic.Set(x, y, tones[i])
		}
	}
	return pic
}

// inks returns the different looks of the cells of g: colours, or glyphs where
// there are none.
func inks(g *cells.Grid, d cells.Depth) map[string]bool {
	seen := map[string]bool{}
	for _, c := range g.Cells {
		switch {
		case d == cells.NoColour, d == cells.Colour16 && c.Glyph != '▀':
			seen[fmt.Sprint(c)] = true
		case c.Glyph == '▀' && d == cells.Colour16:
			seen[fmt.Sprint(cells.Cell{Glyph: ' ', Bg: c.Fg})] = true
			seen[fmt.Sprint(cells.Cell{Glyph: ' ', Bg: c.Bg})] = true
		case c.Glyph == '▀':
			seen[fmt.Sprint(c.Fg)], seen[fmt.Sprint(c.Bg)] = true, true
		default:
			seen[fmt.Sprint(c.Bg)] = true
		}
	}
	return seen
}

// At every depth a picture of K tones is shown in K looks, however close the
// tones are, and greys stay grey.
func TestTonesStayApart(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 4))
	for round := range 400 {
		k := 2 + round%4
		tones := someTones(r, k)
		pic := patches(r, tones)
		for d := cells.TrueColour; d <= cells.NoColour; d++ {
			g := cells.Grid{Surround: tones[0]}
			g.SetTones(tones)
			cells.Encode(&g, pic, d)
			if n := len(inks(&g, d)); n != k {
				t.Fatalf("%v: tones %v are shown in %d ways: %v", d, tones, n, inks(&g, d))
			}
			if d != cells.Colour256 {
				continue
			}
			for _, c := range g.Cells {
				for _, ink := range []cells.Colour{c.Fg, c.Bg} {
					if ink == 0 {
						continue
					}
					if s := palette.XTerm256(uint8(ink)); s.R != s.G || s.G != s.B {
						t.Fatalf("a grey of %v is shown as %v", tones, s)
					}
				}
			}
		}
	}
}

// shownL is the lightness of a whole cell, as the terminal is taken to show it.
func shownL(t *testing.T, c cells.Cell, d cells.Depth) float64 {
	t.Helper()
	light := func(c cells.Colour) palette.Y { return palette.Basic16(uint8(c)).Linear().Y() }
	switch {
	case d == cells.Colour256:
		return float64(palette.XTerm256(uint8(c.Bg)).Linear().Y().L())
	case d == cells.NoColour:
		for v := range 11 {
			if cells.Figure(palette.Value(v)) == c.Glyph {
				return float64(palette.Value(v).L())
			}
		}
	case c.Glyph == ' ':
		return float64(light(c.Bg).L())
	default:
		share := map[rune]palette.Y{'░': 0.25, '▒': 0.5, '▓': 0.75}[c.Glyph]
		return float64((light(c.Bg) + share*(light(c.Fg)-light(c.Bg))).L())
	}
	t.Fatalf("cell %v at %v", c, d)
	return 0
}

// wholeL encodes each tone alone among tones and returns what is shown.
func wholeL(t *testing.T, tones []palette.SRGB, d cells.Depth) []float64 {
	t.Helper()
	var g cells.Grid
	g.SetTones(tones)
	var out []float64
	for _, c := range tones {
		cells.Encode(&g, raster(1, c, c), d)
		out = append(out, shownL(t, g.Cells[0], d))
	}
	return out
}

// How far tones are pushed off their lightness at worst, two to five of them as
// close as can be anywhere from L* 10 to 95: the price of keeping them apart.
// Source: ours.
func TestTonesOff(t *testing.T) {
	limit := map[cells.Depth][6]float64{
		cells.Colour256: {2: 4.5, 3: 6.7, 4: 8.8, 5: 10.8},
		cells.Colour16:  {2: 19.2, 3: 27.8, 4: 35.2, 5: 41},
		cells.NoColour:  {2: 10, 3: 15, 4: 23.3, 5: 32.8},
	}
	for d, limits := range limit {
		for k := 2; k <= 5; k++ {
			worst := 0.0
			for base := 28; base+k <= 242; base++ {
				var tones []palette.SRGB
				for i := range k {
					g := uint8(base + i)
					tones = append(tones, palette.SRGB{R: g, G: g, B: g})
				}
				got := wholeL(t, tones, d)
				if !slices.IsSorted(got) {
					t.Fatalf("%v: %v is shown out of order: %v", d, tones, got)
				}
				for i, l := range got {
					worst = max(worst, math.Abs(l-float64(tones[i].Linear().Y().L())))
				}
			}
			t.Logf("%v: %d tones at most %.1f L* off", d, k, worst)
			if !(worst <= limits[k]) {
				t.Errorf("%v: %d tones are %.1f L* off, more than %.1f", d, k, worst, limits[k])
			}
		}
	}
}

// The steps chosen are the best that there are: against trying all.
func TestTonesAreBest(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for _, d := range []cells.Depth{cells.Colour16, cells.NoColour} {
		var steps []float64
		for code := range 256 {
			c := palette.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)}
			if l := wholeL(t, []palette.SRGB{c}, d)[0]; !slices.Contains(steps, l) {
				steps = append(steps, l)
			}
		}
		for range 60 {
			tones := someTones(r, 3)
			got := wholeL(t, tones, d)
			ls := make([]float64, 3)
			sum := 0.0
			for i, c := range tones {
				ls[i] = float64(c.Linear().Y().L())
				sum += (got[i] - ls[i]) * (got[i] - ls[i])
			}
			slices.Sort(ls)
			best := math.Inf(1)
			for a := range steps {
				for b := a + 1; b < len(steps); b++ {
					for c := b + 1; c < len(steps); c++ {
						x, y, z := steps[a]-ls[0], steps[b]-ls[1], steps[c]-ls[2]
						best = min(best, x*x+y*y+z*z)
					}
				}
			}
			if !(math.Abs(sum-best) < 1e-6) {
				t.Fatalf("%v: %v is shown with squared error %.3f, %.3f is possible", d, tones, sum, best)
			}
		}
	}
}

// Far tones look as they do without being told; colours that are no tones too;
// and tones can be taken back and doubled.
func TestTonesLeaveTheRestAlone(t *testing.T) {
	far := []palette.SRGB{black, grey, white}
	for d := cells.TrueColour; d <= cells.NoColour; d++ {
		var plain, toned cells.Grid
		pic := scene(30, 20)
		cells.Encode(&plain, pic, d)
		toned.SetTones(far)
		cells.Encode(&toned, pic, d)
		if !slices.Equal(plain.Cells, toned.Cells) {
			t.Errorf("%v: tones change a picture that has none of them", d)
		}
		for _, c := range far {
			cells.Encode(&plain, raster(1, c, c), d)
			cells.Encode(&toned, raster(1, c, c), d)
			if plain.Cells[0] != toned.Cells[0] {
				t.Errorf("%v: a far tone is %v, alone %v", d, toned.Cells[0], plain.Cells[0])
			}
		}
		near := []palette.SRGB{{R: 60, G: 60, B: 60}, {R: 61, G: 61, B: 61}, {R: 60, G: 60, B: 60}}
		toned.SetTones(near)
		cells.Encode(&toned, raster(3, near[0], near[1], near[2], near[0], near[1], near[2]), d)
		if toned.Cells[0] == toned.Cells[1] || toned.Cells[0] != toned.Cells[2] {
			t.Errorf("%v: two tones, one twice: %v", d, toned.Cells)
		}
		toned.SetTones(nil)
		cells.Encode(&toned, pic, d)
		cells.Encode(&plain, pic, d)
		if !slices.Equal(plain.Cells, toned.Cells) {
			t.Errorf("%v: tones were not taken back", d)
		}
	}
}

// More tones than steps: each is shown near its lightness, in order.
func TestTooManyTones(t *testing.T) {
	var tones []palette.SRGB
	for g := range 32 {
		tones = append(tones, palette.SRGB{R: uint8(8 * g), G: uint8(8 * g), B: uint8(8 * g)})
	}
	for d := cells.Colour256; d <= cells.NoColour; d++ {
		got := wholeL(t, tones, d)
		for i, l := range got {
			if off := math.Abs(l - float64(tones[i].Linear().Y().L())); !(off <= 14) || i > 0 && l < got[i-1] {
				t.Errorf("%v: tone %v is %.1f L* off", d, tones[i], off)
			}
		}
	}
}

// Two plain colours of the sixteen share a cell as halves; other pairs show the
// upper tone.
func TestTonesInOneCell(t *testing.T) {
	var g cells.Grid
	g.SetTones([]palette.SRGB{black, white})
	cells.Encode(&g, raster(1, black, white), cells.Colour16)
	if want := cells.Halves(cells.Index(0), cells.Index(15)); g.Cells[0] != want {
		t.Errorf("black over white is %v", g.Cells[0])
	}
	cells.Encode(&g, raster(1, black, white), cells.NoColour)
	if g.Cells[0].Glyph != '0' {
		t.Errorf("black over white is %c", g.Cells[0].Glyph)
	}
}

// A tone that lies below another in every cell is not lost, nor is that other; a
// picture that ends within a cell ends in its own tone.
func TestTonesAreNotLost(t *testing.T) {
	a, b, c := palette.SRGB{R: 70, G: 70, B: 70}, palette.SRGB{R: 90, G: 90, B: 90}, palette.SRGB{R: 160, G: 160, B: 160}
	for _, d := range []cells.Depth{cells.Colour16, cells.NoColour} {
		g := cells.Grid{Surround: grey}
		g.SetTones([]palette.SRGB{a, b, c})
		cells.Encode(&g, raster(3,
			a, a, a,
			a, b, a,
			a, c, c,
			a, c, c,
			a, b, c), d)
		var alone [3]cells.Cell
		for i, tone := range []palette.SRGB{a, b, c} {
			one := cells.Grid{}
			one.SetTones([]palette.SRGB{a, b, c})
			cells.Encode(&one, raster(1, tone, tone), d)
			alone[i] = one.Cells[0]
		}
		want := []cells.Cell{alone[0], alone[0], alone[0], alone[0], alone[2], alone[2], alone[0], alone[1], alone[2]}
		want[1] = alone[1] // b fills no cell
		if !slices.Equal(g.Cells, want) {
			t.Errorf("%v: %v, want %v", d, g.Cells, want)
		}
		cells.Encode(&g, raster(1, a, b), d)
		if g.Cells[0] != alone[0] {
			t.Errorf("%v: a cell cannot show both: %v", d, g.Cells[0])
		}
		if n := testing.AllocsPerRun(5, func() { cells.Encode(&g, raster(1, a, b), d) }); n > 2 {
			t.Errorf("%v: %v allocations", d, n) // the raster's own
		}
	}
}

// A swatch among tones is the colour that the picture has.
func TestSwatchAmongTones(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 20 {
		tones := someTones(r, 4)
		for d := cells.Colour256; d <= cells.NoColour; d++ {
			seen := map[string]bool{}
			for _, c := range tones {
				seen[cells.Swatch(c, 2, d, tones...)] = true
			}
			if len(seen) != 4 {
				t.Errorf("%v: %v have %d swatches", d, tones, len(seen))
			}
		}
	}
}

func TestInks(t *testing.T) {
	ls := []palette.L{20, 50.5, 100}
	for i, c := range cells.Inks(ls) {
		if off := float64(c.Linear().Y().L() - ls[i]); c.R != c.G || c.G != c.B || !(math.Abs(off) < 0.3) {
			t.Errorf("L* %v is painted %v", ls[i], c)
		}
	}
	pic := raster(2, sky, white, white, black)
	if got := cells.InksIn(pic, 3); !slices.Equal(got, []palette.SRGB{sky, white, black}) {
		t.Errorf("inks %v", got)
	}
	if got := cells.InksIn(pic, 2); got != nil {
		t.Errorf("too many inks are %v", got)
	}
}
