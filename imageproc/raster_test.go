package imageproc_test

import (
	"image"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

func noise(r *rand.Rand, w, h int) imageproc.Raster {
	out := imageproc.NewRaster(w, h)
	for i := range out.Pix {
		out.Pix[i] = uint8(r.IntN(256))
	}
	return out
}

func copied(r imageproc.Raster) imageproc.Raster {
	return imageproc.Raster{W: r.W, H: r.H, Pix: slices.Clone(r.Pix)}
}

func TestRasterPixels(t *testing.T) {
	r := imageproc.NewRaster(3, 2)
	if r.Size() != image.Pt(3, 2) || len(r.Pix) != 18 || slices.Max(r.Pix) != 0 {
		t.Fatalf("a new raster is %v", r)
	}
	r.Set(2, 1, palette.SRGB{R: 1, G: 2, B: 3})
	if !slices.Equal(r.Pix[15:], []uint8{1, 2, 3}) || slices.Max(r.Pix[:15]) != 0 {
		t.Errorf("pixel 2, 1 was set in %v", r.Pix)
	}
	if got := r.At(2, 1); got != (palette.SRGB{R: 1, G: 2, B: 3}) {
		t.Errorf("pixel 2, 1 is %v", got)
	}
	r.Fill(palette.SRGB{R: 9, G: 8, B: 7})
	for y := range 2 {
		for x := range 3 {
			if r.At(x, y) != (palette.SRGB{R: 9, G: 8, B: 7}) {
				t.Errorf("filled, pixel %d, %d is %v", x, y, r.At(x, y))
			}
		}
	}
	imageproc.Raster{}.Fill(palette.SRGB{R: 1})
}

func TestReshapeReusesMemory(t *testing.T) {
	r := imageproc.NewRaster(4, 3)
	small := r.Reshape(3, 2)
	if small.Size() != image.Pt(3, 2) || len(small.Pix) != 18 || &small.Pix[0] != &r.Pix[0] {
		t.Errorf("reshaped smaller: %v, %d bytes", small.Size(), len(small.Pix))
	}
	if again := small.Reshape(4, 3); &again.Pix[0] != &r.Pix[0] || len(again.Pix) != 36 {
		t.Errorf("reshaped back: %d bytes", len(again.Pix))
	}
	if large := r.Reshape(5, 3); &large.Pix[0] == &r.Pix[0] || len(large.Pix) != 45 {
		t.Errorf("reshaped larger: %d bytes", len(large.Pix))
	}
}

// Each pixel is src's where src lies, and its own everywhere else.
func TestLayClips(t *testing.T) {
	r := seeded(t, 4)
	for range 300 {
		ground, src := noise(r, 1+r.IntN(12), 1+r.IntN(12)), noise(r, 1+r.IntN(12), 1+r.IntN(12))
		at := image.Pt(r.IntN(40)-20, r.IntN(40)-20)
		got := copied(ground)
		got.Lay(src, at)
		for y := range ground.H {
			for x := range ground.W {
				want := ground.At(x, y)
				if p := image.Pt(x, y).Sub(at); p.In(image.Rectangle{Max: src.Size()}) {
					want = src.At(p.X, p.Y)
				}
				if got.At(x, y) != want {
					t.Fatalf("%v laid at %v on %v: pixel %d, %d is %v, want %v", src.Size(), at, ground.Size(), x, y, got.At(x, y), want)
				}
			}
		}
	}
	ground := noise(r, 3, 3)
	got := copied(ground)
	got.Lay(imageproc.Raster{}, image.Pt(1, 1))
	if !slices.Equal(got.Pix, ground.Pix) {
		t.Error("laying nothing changed the raster")
	}
}

func TestPaintFlatColours(t *testing.T) {
	l := imageproc.Labels{W: 3, H: 1, Pix: []int32{2, 0, 2}}
	colours := []palette.SRGB{{R: 1, G: 2, B: 3}, {}, {R: 7, G: 8, B: 9}}
	used := imageproc.NewRaster(5, 5)
	used.Fill(palette.SRGB{R: 77, G: 77, B: 77})
	got := l.Paint(used, colours)
	if got.Size() != l.Size() || !slices.Equal(got.Pix, []uint8{7, 8, 9, 1, 2, 3, 7, 8, 9}) {
		t.Errorf("painted %v: %v", got.Size(), got.Pix)
	}
	if &got.Pix[0] != &used.Pix[0] {
		t.Error("the memory at hand was not used")
	}
	if panics(func() { l.Paint(used, colours[:2]) }) == "" {
		t.Error("a label without a colour was painted")
	}
}

// Inside nothing changes; just outside runs the line, of two greys; everything
// else is darkened to the share of its light.
func TestDim(t *testing.T) {
	r := seeded(t, 5)
	dark, light := palette.SRGB{R: 20, G: 20, B: 20}, palette.SRGB{R: 230, G: 230, B: 230}
	const share = 0.35
	for range 300 {
		ground := noise(r, 1+r.IntN(20), 1+r.IntN(20))
		x, y := r.IntN(30)-5, r.IntN(30)-5
		inside := image.Rect(x, y, x+1+r.IntN(12), y+1+r.IntN(12))
		got := copied(ground)
		got.Dim(inside, share)
		line := inside.Inset(-1)
		for y := range ground.H {
			for x := range ground.W {
				p, c := image.Pt(x, y), got.At(x, y)
				switch {
				case p.In(inside):
					if c != ground.At(x, y) {
						t.Fatalf("%v of %v: pixel %v inside changed", inside, ground.Size(), p)
					}
				case p.In(line):
					if c != dark && c != light {
						t.Fatalf("%v of %v: pixel %v of the line is %v", inside, ground.Size(), p, c)
					}
				default:
					was := ground.At(x, y).Linear()
					want := palette.RGB{R: was.R * share, G: was.G * share, B: was.B * share}.SRGB()
					if c != want {
						t.Fatalf("%v of %v: pixel %v outside is %v, want %v", inside, ground.Size(), p, c, want)
					}
				}
			}
		}
	}
}

// The line shows on any ground: along every side both its greys appear, never
// more than two pixels of one in a row.
func TestDimLineAlternates(t *testing.T) {
	r := imageproc.NewRaster(40, 30)
	r.Dim(image.Rect(5, 5, 35, 25), 0.5)
	for _, side := range []struct {
		from, step image.Point
		n          int
	}{
		{image.Pt(4, 4), image.Pt(1, 0), 32},
		{image.Pt(4, 25), image.Pt(1, 0), 32},
		{image.Pt(4, 4), image.Pt(0, 1), 22},
		{image.Pt(35, 4), image.Pt(0, 1), 22},
	} {
		run, p := 1, side.from
		for range side.n - 1 {
			q := p.Add(side.step)
			if r.At(p.X, p.Y) == r.At(q.X, q.Y) {
				run++
			} else {
				run = 1
			}
			if run > 2 {
				t.Fatalf("three pixels of one grey at %v", q)
			}
			p = q
		}
	}
}

func TestFillRectStaysInside(t *testing.T) {
	r := imageproc.NewRaster(5, 4)
	c := palette.SRGB{R: 3, G: 2, B: 1}
	r.FillRect(image.Rect(3, -2, 9, 2), c)
	for y := range 4 {
		for x := range 5 {
			want := palette.SRGB{}
			if x >= 3 && y < 2 {
				want = c
			}
			if r.At(x, y) != want {
				t.Errorf("pixel %d,%d is %v", x, y, r.At(x, y))
			}
		}
	}
}
