package cells

import (
	"image"
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// tones are the few tones that a picture is painted in, each with a cell of its
// own at every depth but TrueColour, which needs none.
type tones struct {
	rgb   []palette.SRGB
	cells [NoColour + 1][]Cell

	// What rescue counts, kept for the next picture.
	shown []int
	lost  []bool
}

// SetTones says that the picture which is encoded next is painted in just these
// tones: then each gets a look of its own, however close it is to another, in
// the order of their lightness and with the least error summed over all. Pixels
// of other colours are shown as without tones. No tones take that back. It is
// for plans; a photograph has no use for it.
//
// In glyphs finer than half blocks no cell mixes tones: see Place. At Colour256
// up to 30 greys stay apart and stay grey. At Colour16 thirteen
// tones do, at NoColour eleven; there a cell of two tones shows the upper one,
// since a mixture would be a tone that the picture does not have; the lower one
// if that would be lost else; both if they are plain colours of the sixteen. With
// more tones each gets what is nearest. Tones that lie close are pushed apart: how
// far TestTonesOff says. Setting the same tones again costs nothing. Source: ours.
func (g *Grid) SetTones(rgb []palette.SRGB) {
	if slices.Equal(g.tones.rgb, rgb) {
		return
	}
	g.tones = tonesOf(rgb)
}

// Inks returns the colours that tones of those lightnesses are painted in.
func Inks(ls []palette.L) []palette.SRGB {
	out := make([]palette.SRGB, len(ls))
	for i, l := range ls {
		out[i] = palette.Grey(l.Y())
	}
	return out
}

// InksIn returns the different colours of r in the order in which they are met,
// or none if there are more than most.
func InksIn(r imageproc.Raster, most int) []palette.SRGB {
	var out []palette.SRGB
	for y := range r.H {
		for x := range r.W {
			c := r.At(x, y)
			if slices.Contains(out, c) {
				continue
			}
			if len(out) == most {
				return nil
			}
			out = append(out, c)
		}
	}
	return out
}

func tonesOf(rgb []palette.SRGB) tones {
	t := tones{rgb: slices.Clone(rgb), shown: make([]int, len(rgb)), lost: make([]bool, len(rgb))}
	ls := make([]palette.L, len(rgb))
	for i, c := range rgb {
		ls[i] = c.Linear().Y().L()
	}
	for _, i := range palette.Distinct256(rgb) {
		t.cells[Colour256] = append(t.cells[Colour256], Cell{Blank, 0, Index(i)})
	}
	order := t.order(ls)
	t.cells[Colour16] = spread(order, ls, ramp())
	t.cells[NoColour] = spread(order, ls, figures())
	return t
}

// order returns the places of the different tones from dark to light.
func (t *tones) order(ls []palette.L) []int {
	var order []int
	for i := range t.rgb {
		if t.find(t.rgb[i]) == i {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case ls[a] < ls[b]:
			return -1
		case ls[a] > ls[b]:
			return 1
		}
		x, y := t.rgb[a], t.rgb[b]
		return (int(x.R)<<16 + int(x.G)<<8 + int(x.B)) - (int(y.R)<<16 + int(y.G)<<8 + int(y.B))
	})
	return order
}

// find returns the place of the first tone with the codes of c, or -1.
func (t *tones) find(c palette.SRGB) int {
	for i := range t.rgb {
		if t.rgb[i] == c {
			return i
		}
	}
	return -1
}

// spread returns a step for each tone: tones in order get steps in order, no
// two the same, with the least sum of squared errors in L*. A tone that is not
// in order (one given twice) gets none: find returns the first. With more tones
// than steps each gets its nearest.
func spread(order []int, ls []palette.L, steps []step) []Cell {
	out := make([]Cell, len(ls))
	if len(order) > len(steps) {
		for _, i := range order {
			out[i] = nearestStep(steps, ls[i]).cell
		}
		return out
	}
	// least[j] is the least error of the tones so far with the last at step j or
	// darker; at[k][j] is where tone k is then.
	least := make([]float64, len(steps))
	at := make([][]int, len(order))
	for k, i := range order {
		next := make([]float64, len(steps))
		at[k] = make([]int, len(steps))
		best, where := math.Inf(1), -1
		for j, s := range steps {
			before := 0.0
			if k > 0 {
				before = math.Inf(1)
				if j > 0 {
					before = least[j-1]
				}
			}
			off := float64(s.l - ls[i])
			if e := before + float64(off*off); e < best {
				best, where = e, j
			}
			next[j], at[k][j] = best, where
		}
		least = next
	}
	for k, j := len(order)-1, len(steps)-1; k >= 0; k-- {
		j = at[k][j]
		out[order[k]] = steps[j].cell
		j--
	}
	return out
}

// whole returns the cell that shows two tones at a depth that is approximate,
// and false if they are none. A tone beside the surround is shown alone.
func (t *tones) whole(top, bottom, surround palette.SRGB, d Depth) (Cell, bool) {
	i, j := t.find(top), t.find(bottom)
	switch {
	case i < 0 && j >= 0 && top == surround:
		i = j
	case j < 0 && i >= 0 && bottom == surround:
		j = i
	}
	if i < 0 || j < 0 {
		return Cell{}, false
	}
	a, b := t.cells[d][i], t.cells[d][j]
	if splits(a, b, d) {
		return Halves(a.Bg, b.Bg), true
	}
	return a, true
}

// splits reports whether two tones can share a cell as halves.
func splits(a, b Cell, d Depth) bool {
	return d == Colour16 && a.Glyph == Blank && b.Glyph == Blank
}

// rescue shows tones that would be lost, since they only ever lie below another
// in a cell: there they are shown instead, as long as the other is seen
// elsewhere. pic is where in g, in pixels, the picture r lies.
func (t *tones) rescue(g *Grid, r imageproc.Raster, at image.Point, pic image.Rectangle, d Depth) {
	clear(t.lost)
	clear(t.shown)
	t.pairs(g, r, at, pic, func(c *Cell, i, j int) {
		t.shown[i]++
		if splits(t.cells[d][i], t.cells[d][j], d) {
			t.shown[j]++
		}
		t.lost[j] = true
	})
	some := false
	for i := range t.lost {
		t.lost[i] = t.lost[i] && t.shown[i] == 0
		some = some || t.lost[i]
	}
	if !some {
		return
	}
	t.pairs(g, r, at, pic, func(c *Cell, i, j int) {
		if t.lost[j] && t.shown[i] > 1 {
			*c = t.cells[d][j]
			t.shown[i]--
		}
	})
}

// pairs calls visit with each cell whose halves are both tones, and their places.
func (t *tones) pairs(g *Grid, r imageproc.Raster, at image.Point, pic image.Rectangle, visit func(c *Cell, i, j int)) {
	for y := (pic.Min.Y + 1) / 2; 2*y+1 < pic.Max.Y; y++ {
		row := g.Row(y)
		for x := pic.Min.X; x < pic.Max.X; x++ {
			i, j := t.find(r.At(x-at.X, 2*y-at.Y)), t.find(r.At(x-at.X, 2*y+1-at.Y))
			if i >= 0 && j >= 0 {
				visit(&row[x], i, j)
			}
		}
	}
}

// index returns what stands for c among 256 colours.
func (t *tones) index(c palette.SRGB) Colour {
	if i := t.find(c); i >= 0 {
		return t.cells[Colour256][i].Bg
	}
	return Index(nearest256(c))
}
