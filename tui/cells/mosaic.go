package cells

import (
	"image"
	"math/bits"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// block holds the pixels of one cell in reading order: four or six of them.
type block [6]code

// mosaic makes cells of the finer glyphs.
type mosaic struct {
	ink
	glyphs Glyphs
	n      int // pixels a cell
	eye    *eyes
	light  *[256]float32
}

// place is Place for the finer glyphs.
func (m mosaic) place(g *Grid, r imageproc.Raster, at image.Point, pic image.Rectangle) {
	per := m.glyphs.Per()
	m.n, m.eye, m.light = per.X*per.Y, eye(), palette.DecodeTable8()
	ground := m.halves(g.Surround, g.Surround)
	within := image.Rectangle{Min: over(pic.Min, per, 0), Max: over(pic.Max, per, 1)}
	if pic.Empty() {
		within = image.Rectangle{}
	}
	for y := range g.H {
		row := g.Row(y)
		if y < within.Min.Y || y >= within.Max.Y {
			fill(row, ground)
			continue
		}
		fill(row[:within.Min.X], ground)
		fill(row[within.Max.X:], ground)
		for x := within.Min.X; x < within.Max.X; x++ {
			var b block
			cell := image.Rectangle{Min: image.Pt(x*per.X, y*per.Y)}
			cell.Max = cell.Min.Add(per)
			m.gather(&b, r, at, pic, cell)
			row[x] = m.cell(&b)
		}
	}
}

// over returns p in cells of that size, rounded down, or up with up of 1.
func over(p, per image.Point, up int) image.Point {
	return image.Pt((p.X+up*(per.X-1))/per.X, (p.Y+up*(per.Y-1))/per.Y)
}

// gather sets b to the pixels of a cell, the surround beyond the picture.
func (m *mosaic) gather(b *block, r imageproc.Raster, at image.Point, pic, cell image.Rectangle) {
	i := 0
	for y := cell.Min.Y; y < cell.Max.Y; y++ {
		for x := cell.Min.X; x < cell.Max.X; x++ {
			if x >= pic.Min.X && x < pic.Max.X && y >= pic.Min.Y && y < pic.Max.Y {
				p := r.Pix[3*((y-at.Y)*r.W+x-at.X):]
				b[i] = code(p[0])<<16 | code(p[1])<<8 | code(p[2])
			} else {
				b[i] = codeOf(m.surround)
			}
			i++
		}
	}
}

// cell returns the cell that shows b: exactly if b is of two colours at most,
// else in two of its colours if it belongs to a picture of few tones, else in
// two that each stand for a part of it.
func (m *mosaic) cell(b *block) Cell {
	first, second, split, more := b.two(m.n)
	switch {
	case split == 0:
		return m.halves(first.srgb(), first.srgb())
	case more && m.few(b):
		first, second, split = m.keepTwo(b)
	case more:
		first, second, split = m.mixTwo(b)
	}
	return m.paint(first, second, split)
}

// paint returns the cell with the pixels of split in one colour and the rest in
// another.
func (m *mosaic) paint(in, out code, split uint8) Cell {
	fg, bg := m.colour(in.srgb()), m.colour(out.srgb())
	return Cell{m.glyphs.glyph(split), fg, bg}.canon()
}

// two returns the colour of the first pixel, with the pixels that have it as a
// split, and the colour that is met next; more says that there are others. In a
// block of one colour the split is 0.
func (b *block) two(n int) (first, second code, split uint8, more bool) {
	first, second, split = b[0], b[0], 1
	for i := 1; i < n; i++ {
		switch c := b[i]; {
		case c == first:
			split |= 1 << i
		case second == first:
			second = c
		case c != second:
			more = true
		}
	}
	if second == first {
		split = 0
	}
	return first, second, split, more
}

// few reports whether a block of three colours or more is to be shown in two of
// its own: it has tones of a picture of few tones in it, and half of it or more
// is them and the surround, or it has only one more colour than fits. Else it is
// a piece of a photograph beside such a picture.
func (m *mosaic) few(b *block) bool {
	if len(m.tones.rgb) == 0 {
		return false
	}
	known, tones, kinds := 0, 0, 0
	for i, c := range b[:m.n] {
		switch {
		case m.tones.find(c.srgb()) >= 0:
			known, tones = known+1, tones+1
		case c == codeOf(m.surround):
			known++
		}
		met := 1
		for _, d := range b[:i] {
			if d == c {
				met = 0
			}
		}
		kinds += met
	}
	return tones > 0 && (2*known >= m.n || kinds == 3)
}

// keepTwo returns the two colours that cover most of b, each of the others given
// to the nearer. Of pairs that cover as much it takes the one that leaves the
// least error, of those the darker in the order of the codes, wherever they lie:
// a mirrored picture gives the mirrored cells.
func (m *mosaic) keepTwo(b *block) (in, out code, split uint8) {
	var kinds [6]code
	var cover [6]int
	var at [6]lab
	n := 0
	for _, c := range b[:m.n] {
		i := 0
		for i < n && kinds[i] != c {
			i++
		}
		if i == n {
			kinds[n], at[n] = c, m.eye.lab(c)
			n++
		}
		cover[i]++
	}
	var best [2]int
	most, least := 0, float32(0)
	for i := range n {
		for j := range i {
			sum := float32(0)
			for k := range n {
				sum += float32(cover[k]) * min(at[k].apart(at[i]), at[k].apart(at[j]))
			}
			covers := cover[i] + cover[j]
			if covers > most || covers == most && (sum < least || sum == least && darker(kinds[i], kinds[j], kinds[best[0]], kinds[best[1]])) {
				best, most, least = [2]int{i, j}, covers, sum
			}
		}
	}
	i, j := best[0], best[1]
	if kinds[j] < kinds[i] {
		i, j = j, i
	}
	for p, c := range b[:m.n] {
		d := m.eye.lab(c)
		if c == kinds[i] || c != kinds[j] && d.apart(at[i]) <= d.apart(at[j]) {
			split |= 1 << p
		}
	}
	return kinds[i], kinds[j], split
}

// darker orders pairs of colours by their codes, the lower ones first.
func darker(a, b, c, d code) bool {
	if min(a, b) != min(c, d) {
		return min(a, b) < min(c, d)
	}
	return max(a, b) < max(c, d)
}

// mixTwo returns the two colours that stand for b with the least squared error,
// and what each stands for. All ways to divide the pixels are tried, judged in
// OKLab; each part is then shown in the mean of its light, which is what the
// eye would see of it from farther off.
//
// Source: ours (two-means, exact).
func (m *mosaic) mixTwo(b *block) (in, out code, split uint8) {
	split = m.divide(b)
	return m.mean(b, split), m.mean(b, ^split), split
}

// divide returns the split of least squared error, its first pixel in it. With
// the mean of all at 0, the sums of the two parts are opposite, and what a split
// saves is the square of one of them over the pixels of either.
func (m *mosaic) divide(b *block) uint8 {
	var at [6]lab
	var mean lab
	for i, c := range b[:m.n] {
		at[i] = m.eye.lab(c)
		mean = lab{mean.l + at[i].l, mean.a + at[i].a, mean.b + at[i].b}
	}
	share := 1 / float32(m.n)
	mean = lab{mean.l * share, mean.a * share, mean.b * share}
	for i := range at[:m.n] {
		at[i] = lab{at[i].l - mean.l, at[i].a - mean.a, at[i].b - mean.b}
	}
	// sums[s] is the sum of the first pixel and those of s, a bit each from the
	// second pixel on.
	var sums [32]lab
	sums[0] = at[0]
	best, most := uint8(0), float32(at[0].apart(lab{})*m.saves(1))
	for i := 1; i < m.n; i++ {
		half := 1 << (i - 1)
		d := at[i]
		for s := range half {
			sum := sums[s]
			sum = lab{sum.l + d.l, sum.a + d.a, sum.b + d.b}
			sums[s|half] = sum
			in := 1 + bits.OnesCount8(uint8(s|half))
			if saved := float32(sum.apart(lab{}) * m.saves(in)); saved > most {
				best, most = uint8(s|half), saved
			}
		}
	}
	return best<<1 | 1
}

// saves is what the square of the sum of so many pixels of a block counts.
func (m *mosaic) saves(in int) float32 {
	if m.n == 4 {
		return [8]float32{1: 1 + 1.0/3, 2: 1, 3: 1 + 1.0/3}[in&7]
	}
	return [8]float32{1: 1 + 1.0/5, 2: 3.0 / 4, 3: 2.0 / 3, 4: 3.0 / 4, 5: 1 + 1.0/5}[in&7]
}

// mean returns the mean light of the pixels of a split.
func (m *mosaic) mean(b *block, split uint8) code {
	var red, green, blue float32
	n := 0
	for i, c := range b[:m.n] {
		if split>>i&1 != 0 {
			red, green, blue = red+m.light[c>>16&255], green+m.light[c>>8&255], blue+m.light[c&255]
			n++
		}
	}
	share := 1 / float32(n)
	var rgb [3]uint8
	palette.EncodeRow(rgb[:], []float32{red * share, green * share, blue * share})
	return code(rgb[0])<<16 | code(rgb[1])<<8 | code(rgb[2])
}
