package cells_test

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
	"atelier/halflid/tui/cells"
)

func someColour(r *rand.Rand) palette.SRGB {
	return palette.SRGB{R: uint8(r.IntN(256)), G: uint8(r.IntN(256)), B: uint8(r.IntN(256))}
}

// colourful returns a cell's pixels: around one or two colours, so that some are
// flat and some have an edge, or anything.
func colourful(r *rand.Rand, per image.Point) imageproc.Raster {
	out := imageproc.NewRaster(per.X, per.Y)
	base := [2]palette.SRGB{someColour(r), someColour(r)}
	wide := 1 + r.IntN(60)
	for y := range out.H {
		for x := range out.W {
			c := base[r.IntN(2)]
			near := func(v uint8) uint8 { return uint8(min(255, max(0, int(v)+r.IntN(2*wide)-wide))) }
			out.Set(x, y, palette.SRGB{R: near(c.R), G: near(c.G), B: near(c.B)})
		}
	}
	return out
}

// within is the squared error in OKLab of the pixels of a split about their mean.
func within(labs []palette.OKLab, split int) float64 {
	n, mean := 0.0, palette.OKLab{}
	for i, c := range labs {
		if split>>i&1 != 0 {
			n++
			mean = palette.OKLab{L: mean.L + c.L, A: mean.A + c.A, B: mean.B + c.B}
		}
	}
	mean = palette.OKLab{L: mean.L / n, A: mean.A / n, B: mean.B / n}
	sum := 0.0
	for i, c := range labs {
		if split>>i&1 != 0 {
			d := c.Distance(mean)
			sum += d * d
		}
	}
	return sum
}

// meanLight is the mean light of the pixels of a split.
func meanLight(r imageproc.Raster, split int) palette.SRGB {
	n, sum := palette.Light(0), palette.RGB{}
	for i := range r.W * r.H {
		if split>>i&1 != 0 {
			c := r.At(i%r.W, i/r.W).Linear()
			n++
			sum = palette.RGB{R: sum.R + c.R, G: sum.G + c.G, B: sum.B + c.B}
		}
	}
	return palette.RGB{R: sum.R / n, G: sum.G / n, B: sum.B / n}.SRGB()
}

// splitOf is which pixels of the raster a cell has in its ink.
func splitOf(c cells.Cell, per image.Point) int {
	split, places := 0, drawn(c.Glyph)
	for i := range per.X * per.Y {
		if places[i/per.X*6/per.Y*2+i%per.X] {
			split |= 1 << i
		}
	}
	return split
}

func codesOff(c cells.Colour, want palette.SRGB) int {
	off := 0
	for i, w := range []uint8{want.B, want.G, want.R} {
		d := int(uint8(c>>(8*i))) - int(w)
		off = max(off, d, -d)
	}
	return off
}

// A cell of many colours is parted the best way that there is, against trying
// all, and each part is shown in the mean of its light.
func TestPartsAreBest(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 5))
	for round := range 4000 {
		glyphs := []cells.Glyphs{cells.Quadrants, cells.Sextants}[round%2]
		per := glyphs.Per()
		pic := colourful(r, per)
		n := per.X * per.Y
		all := 1<<n - 1
		labs := make([]palette.OKLab, n)
		for i := range labs {
			labs[i] = pic.At(i%per.X, i/per.X).Linear().OKLab()
		}
		best, parted := math.Inf(1), 0
		for split := 1; split < all; split++ {
			if e := within(labs, split) + within(labs, all^split); e < best {
				best, parted = e, split
			}
		}
		g := cells.Grid{Glyphs: glyphs}
		cells.Encode(&g, pic, cells.TrueColour)
		c := g.Cells[0]
		split := splitOf(c, per)
		if split == 0 || split == all {
			// Two parts that come out in one colour are one.
			if off := max(codesOff(c.Bg, meanLight(pic, parted)), codesOff(c.Bg, meanLight(pic, all^parted))); off > 1 {
				t.Fatalf("%v: a flat cell is %d codes off", glyphs, off)
			}
			continue
		}
		oracle.Close(t, fmt.Sprintf("%v: squared error of %v", glyphs, pic.Pix), within(labs, split)+within(labs, all^split), best, 2e-4*best+1e-7)
		if off := max(codesOff(c.Fg, meanLight(pic, split)), codesOff(c.Bg, meanLight(pic, all^split))); off > 1 {
			t.Fatalf("%v: a part is %d codes off the mean of its light", glyphs, off)
		}
	}
}

// In a picture of few tones a cell shows the two that cover most of it, and
// gives the rest to the nearer one; no colour is ever mixed. Of pairs that cover
// as much any may stay that leaves the least error.
func TestTonesAreNotMixed(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 14))
	three := 0
	for round := range 4000 {
		glyphs := []cells.Glyphs{cells.Quadrants, cells.Sextants}[round%2]
		per := glyphs.Per()
		tones := someTones(r, 2+r.IntN(5))
		pic := imageproc.NewRaster(per.X, per.Y)
		cover := map[palette.SRGB]int{}
		for i := range per.X * per.Y {
			c := tones[r.IntN(len(tones))]
			pic.Set(i%per.X, i/per.X, c)
			cover[c]++
		}
		if len(cover) > 2 {
			three++
		}
		var counts []int
		for _, n := range cover {
			counts = append(counts, n)
		}
		slices.Sort(counts)
		slices.Reverse(counts)
		for d := cells.TrueColour; d <= cells.Colour256; d++ {
			g := cells.Grid{Glyphs: glyphs}
			g.SetTones(tones)
			cells.Encode(&g, pic, d)
			shown := pixelsOf(g.Cells[0], per)
			// Which tone each colour stands for, by encoding each alone.
			stands := map[cells.Colour]palette.SRGB{}
			for _, c := range tones {
				one := imageproc.NewRaster(per.X, per.Y)
				one.Fill(c)
				cells.Encode(&g, one, d)
				stands[g.Cells[0].Bg] = c
			}
			kept := map[palette.SRGB]bool{}
			for _, c := range shown {
				tone, ok := stands[c]
				if !ok || cover[tone] == 0 {
					t.Fatalf("%v %v: colour %x is none of the tones there", glyphs, d, c)
				}
				kept[tone] = true
			}
			sum := 0
			for c := range kept {
				sum += cover[c]
			}
			if want := counts[0] + append(counts, 0)[1]; sum != want || len(kept) > 2 {
				t.Fatalf("%v %v: tones that cover %d stay, want %d: %v", glyphs, d, sum, want, pic.Pix)
			}
			for i, c := range shown {
				is, was := stands[c], pic.At(i%per.X, i/per.X)
				for k := range kept {
					if was.Linear().OKLab().Distance(k.Linear().OKLab()) < was.Linear().OKLab().Distance(is.Linear().OKLab())-2e-3 {
						t.Fatalf("%v %v: %v is shown as %v, %v is nearer", glyphs, d, was, is, k)
					}
				}
			}
		}
	}
	if three < 500 {
		t.Errorf("only %d cells had three tones or more", three)
	}
}

// pixelsOf are the colours of a cell as pixels of the raster.
func pixelsOf(c cells.Cell, per image.Point) []cells.Colour {
	out := make([]cells.Colour, per.X*per.Y)
	split := splitOf(c, per)
	for i := range out {
		out[i] = c.Bg
		if split>>i&1 != 0 {
			out[i] = c.Fg
		}
	}
	return out
}

// The line around a plan and the surround are not mixed with its tones either,
// wherever the plan begins; a photograph beside it is encoded as ever.
func TestPlanAmongOthers(t *testing.T) {
	tones := []palette.SRGB{{R: 60, G: 60, B: 60}, {R: 110, G: 110, B: 110}, {R: 200, G: 200, B: 200}}
	edge := palette.SRGB{R: 77, G: 77, B: 77}
	for _, glyphs := range []cells.Glyphs{cells.Quadrants, cells.Sextants} {
		per := glyphs.Per()
		for x0 := range 3 {
			for y0 := range 4 {
				r := imageproc.NewRaster(12*per.X, 6*per.Y)
				r.Fill(grey)
				place := image.Rect(2+x0, 2+y0, 6*per.X+x0, 5*per.Y)
				r.FillRect(place.Inset(-1), edge)
				for y := place.Min.Y; y < place.Max.Y; y++ {
					for x := place.Min.X; x < place.Max.X; x++ {
						r.Set(x, y, tones[(x/3+y/4)%3])
					}
				}
				photo := scene(4*per.X, 6*per.Y)
				r.Lay(photo, image.Pt(8*per.X, 0))
				g, plain := cells.Grid{Glyphs: glyphs, Surround: grey}, cells.Grid{Glyphs: glyphs, Surround: grey}
				g.SetTones(tones)
				cells.Encode(&g, r, cells.TrueColour)
				cells.Encode(&plain, r, cells.TrueColour)
				for y := range g.H {
					for x := range g.W {
						if x >= 8 {
							if g.At(x, y) != plain.At(x, y) {
								t.Fatalf("%v: the photograph beside a plan differs at %d, %d", glyphs, x, y)
							}
							continue
						}
						for _, c := range pixelsOf(g.At(x, y), per) {
							k := palette.SRGB{R: uint8(c >> 16), G: uint8(c >> 8), B: uint8(c)}
							if !slices.Contains(append(tones[:3:3], edge, grey), k) {
								t.Fatalf("%v at %d, %d: cell %d, %d shows %v", glyphs, x0, y0, x, y, k)
							}
						}
					}
				}
			}
		}
	}
}

// A mark drawn over a plan is not mixed with it, though most of a cell is mark.
func TestMarkOnPlan(t *testing.T) {
	g := cells.Grid{Glyphs: cells.Sextants}
	g.SetTones([]palette.SRGB{grey, white})
	cells.Encode(&g, raster(2, sky, sky, sky, sky, grey, white), cells.TrueColour)
	if c := g.Cells[0]; !slices.Contains([]cells.Colour{cells.Exact(grey), cells.Exact(white)}, c.Bg) || c.Fg != cells.Exact(sky) {
		t.Errorf("a mark over two tones is shown as %x on %x", c.Fg, c.Bg)
	}
}

// A mirrored picture gives the mirrored cells.
func TestMosaicMirrors(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	for _, glyphs := range []cells.Glyphs{cells.Quadrants, cells.Sextants} {
		per := glyphs.Per()
		tones := someTones(r, 5)
		pic := imageproc.NewRaster(60*per.X, 20*per.Y)
		for y := range pic.H {
			for x := range pic.W {
				pic.Set(x, y, tones[r.IntN(5)])
			}
		}
		mirror := imageproc.NewRaster(pic.W, pic.H)
		for y := range pic.H {
			for x := range pic.W {
				mirror.Set(x, y, pic.At(pic.W-1-x, y))
			}
		}
		a, b := cells.Grid{Glyphs: glyphs}, cells.Grid{Glyphs: glyphs}
		a.SetTones(tones)
		b.SetTones(tones)
		cells.Encode(&a, pic, cells.TrueColour)
		cells.Encode(&b, mirror, cells.TrueColour)
		for y := range a.H {
			for x := range a.W {
				p, q := pixelsOf(a.At(x, y), per), pixelsOf(b.At(a.W-1-x, y), per)
				for i := range p {
					if p[i] != q[i/per.X*per.X+per.X-1-i%per.X] {
						t.Fatalf("%v: cell %d, %d mirrors as %v, %v", glyphs, x, y, p, q)
					}
				}
			}
		}
	}
}
