package cells_test

import (
	"bytes"
	"image"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

// offBy fails unless each half of each cell of the emulator is within tol, in
// OKLab, of what the grid wants; it returns the mean and the largest distance.
func offBy(t *testing.T, emu *vt.Emulator, g *cells.Grid, tol float64) (mean, most float64) {
	t.Helper()
	lab := func(s shade) palette.OKLab {
		return palette.SRGB{R: uint8(s >> 16), G: uint8(s >> 8), B: uint8(s)}.Linear().OKLab()
	}
	for y := range g.H {
		for x := range g.W {
			got, want := lookOf(emu.CellAt(x, y)), wanted(g.At(x, y))
			if got.top == standard || got.glyph != want.glyph {
				t.Fatalf("cell %d, %d shows %v", x, y, got)
			}
			for _, d := range []float64{lab(got.top).Distance(lab(want.top)), lab(got.bottom).Distance(lab(want.bottom))} {
				mean, most = mean+d, max(most, d)
			}
		}
	}
	if most > tol+1e-9 {
		t.Errorf("a cell is off by %.4f, more than %.4f", most, tol)
	}
	return mean / float64(2*g.W*g.H), most
}

// Bytes of a photograph within a tolerance, against painting it exactly, and how
// far it is off. TERMINAL's figures for a squinted photograph, painted with the
// colour before it kept, are 67 %, 47 % and 30 % at .005, .01 and .02.
func TestBytesOfLossyPhoto(t *testing.T) {
	most := map[float64]int{.005: 67, .01: 47, .02: 30}
	pictures(t, 200, 120, func(t *testing.T, r imageproc.Raster) {
		m, s := bench(200, 60)
		exact := m.cost(t, s, soft(r, 3))
		for level, tol := range cells.Tolerances() {
			var out bytes.Buffer
			emu := vt.NewEmulator(200, 60)
			s := cells.NewScreen(&out)
			s.Resize(200, 60)
			s.SetBand(image.Rect(0, 0, 200, 60))
			write(t, s, "\x1b[?1049h", "\x1b[2J", "\x1b[H")
			cells.Loosen(s, level)
			before := out.Len()
			var g cells.Grid
			cells.Encode(&g, soft(r, 3), cells.TrueColour)
			if err := s.PaintLossy(&g, image.Point{}); err != nil {
				t.Fatal(err)
			}
			n := out.Len() - before
			if _, err := emu.Write(bytes.ReplaceAll(out.Bytes(), []byte("\x1b[c"), nil)); err != nil {
				t.Fatal(err)
			}
			mean, largest := offBy(t, emu, &g, tol)
			t.Logf("within %.3f: %d bytes, %d %%, off by %.4f, at most %.4f", tol, n, 100*n/exact, mean, largest)
			if k, ok := most[tol]; ok && 100*n > k*exact {
				t.Errorf("within %.3f a squinted photograph takes %d %% of its bytes", tol, 100*n/exact)
			}
		}
	})
}

// Whatever was painted before, moved or wiped in between, every cell is within
// the largest tolerance at once and exact once the keys rest.
func TestLossyAgainstEmulator(t *testing.T) {
	limit := cells.Tolerances()[len(cells.Tolerances())-1]
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 9))
		w, h := 20+rng.IntN(60), 6+rng.IntN(20)
		l := newLine(t, w, h, float64(20000+rng.IntN(400000)), time.Millisecond)
		big := soft(scene(w+40, 2*h+40), float64(rng.IntN(4)))
		x, y := 20, 20
		var g cells.Grid
		for range 12 {
			switch rng.IntN(5) {
			case 0:
				write(t, l.screen, "\x1b[2J", "\x1b[H")
			case 1:
				write(t, l.screen, "\x1b[3;4H\x1b[K", "\x1b[Htide out")
			case 2:
				big = soft(big, 1)
			default:
				x, y = min(max(x+rng.IntN(5)-2, 0), 40), min(max(y+2*(rng.IntN(3)-1), 0), 40)
			}
			cells.Encode(&g, window(big, x, y, w, 2*h), cells.TrueColour)
			if err := l.screen.PaintLossy(&g, image.Point{}); err != nil {
				t.Fatal(err)
			}
			l.clock.pass(time.Duration(rng.IntN(70)) * time.Millisecond)
		}
		l.arrives()
		offBy(t, l.emu, &g, limit)
		l.clock.pass(time.Minute)
		l.exact(window(big, x, y, w, 2*h))
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
}

// Colours of a palette and of the terminal itself are no matter of distance.
func TestLossyLeavesOtherColoursAlone(t *testing.T) {
	for _, depth := range []cells.Depth{cells.Colour256, cells.Colour16, cells.NoColour} {
		l := newLine(t, 60, 20, 20000, time.Millisecond)
		var g cells.Grid
		for i := range 3 {
			cells.Encode(&g, soft(scene(60, 40), float64(i)), depth)
			if err := l.screen.PaintLossy(&g, image.Point{}); err != nil {
				t.Fatal(err)
			}
			l.arrives()
			for y := range g.H {
				for x := range g.W {
					if got := lookOf(l.emu.CellAt(x, y)); got != wanted(g.At(x, y)) {
						t.Fatalf("%v: cell %d, %d shows %v", depth, x, y, got)
					}
				}
			}
		}
	}
}

func BenchmarkLossyPhoto(b *testing.B) {
	var m meter
	s := cells.NewScreen(&m)
	s.Resize(200, 60)
	s.SetBand(image.Rect(0, 0, 200, 60))
	for _, seq := range []string{"\x1b[?1049h", "\x1b[2J", "\x1b[H"} {
		if _, err := s.Write([]byte(seq)); err != nil {
			b.Fatal(err)
		}
	}
	steps := [2]imageproc.Raster{soft(scene(200, 120), 2), soft(scene(200, 120), 3)}
	var g cells.Grid
	for i := 0; b.Loop(); i++ {
		cells.Loosen(s, 4)
		cells.Encode(&g, steps[i&1], cells.TrueColour)
		if err := s.PaintLossy(&g, image.Point{}); err != nil {
			b.Fatal(err)
		}
	}
}
