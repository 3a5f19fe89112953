package cells

import (
	"errors"
	"fmt"
	"image"
)

// Glyphs is how finely a cell is divided: into how many pixels of the picture.
// A cell has two colours however fine it is.
type Glyphs int

// The divisions. Every font that draws frames has the half blocks, nearly every
// one of those the quadrants; the sextants came with Unicode 13 and are drawn
// by the terminal itself or not at all. Against a plan painted twelve pixels a
// cell wide and 24 high, sextants get about a third less of the area wrong than
// half blocks: TestWrongArea.
const (
	HalfBlocks Glyphs = iota // one wide, two high
	Quadrants                // two wide, two high
	Sextants                 // two wide, three high
)

// ErrGlyphs says that a word names no Glyphs.
var ErrGlyphs = errors.New("glyphs are half, quadrants or sextants")

// ParseGlyphs returns the glyphs with that name, as String gives it, or an error
// that wraps ErrGlyphs.
func ParseGlyphs(name string) (Glyphs, error) {
	for g := HalfBlocks; g <= Sextants; g++ {
		if g.String() == name {
			return g, nil
		}
	}
	return HalfBlocks, fmt.Errorf("%w, not %q", ErrGlyphs, name)
}

// String returns the name of the glyphs.
func (g Glyphs) String() string {
	switch g {
	case Quadrants:
		return "quadrants"
	case Sextants:
		return "sextants"
	}
	return "half"
}

// Per returns how many pixels of the picture a cell is wide and high.
func (g Glyphs) Per() image.Point {
	switch g {
	case Quadrants:
		return image.Pt(2, 2)
	case Sextants:
		return image.Pt(2, 3)
	}
	return image.Pt(1, 2)
}

// At returns the glyphs that a depth draws if g are asked for: half blocks where
// values are approximate, since a cell there stands for one value and its glyph
// is what shows it.
func (g Glyphs) At(d Depth) Glyphs {
	if d.Approximate() {
		return HalfBlocks
	}
	return g
}

// A split is which pixels of a cell are in the ink, one bit each in reading
// order; the others are in the ground. The two splits of a pair, each the other
// with ink and ground exchanged, look alike.

// quadrants are the glyphs of the splits of a cell of two by two.
var quadrants = [16]rune{
	Blank, '▘', '▝', Upper, '▖', '▌', '▞', '▛',
	'▗', '▚', '▐', '▜', Lower, '▙', '▟', Full,
}

// The splits of a cell of two by three that are older than the sextants.
const (
	leftHalf  = 0b010101
	rightHalf = 0b101010
	allSix    = 0b111111
)

// sextant returns the glyph of a split of a cell of two by three. Unicode has
// them in the order of the splits, without those that it had before.
//
// Source: Unicode 13.0, Symbols for Legacy Computing, U+1FB00..1FB3B.
func sextant(split uint8) rune {
	switch {
	case split == 0:
		return Blank
	case split < leftHalf:
		return sixths + rune(split) - 1
	case split == leftHalf:
		return '▌'
	case split < rightHalf:
		return sixths + rune(split) - 2
	case split == rightHalf:
		return '▐'
	case split < allSix:
		return sixths + rune(split) - 3
	}
	return Full
}

// glyph returns the glyph of a split.
func (g Glyphs) glyph(split uint8) rune {
	if g == Sextants {
		return sextant(split & allSix)
	}
	return quadrants[split&15]
}

// twin is what canon and the pen need to know of a splitting glyph.
type twin struct {
	opposite rune // in the ink where the other is in the ground; 0: splits nothing
	first    bool // its upper left pixel is in the ink
}

// The twins of the block elements, U+2580..259F, and of the sextants.
const (
	blocks = 0x2580
	sixths = 0x1FB00
)

var twins = func() (t struct{ blocks, sixths [64]twin }) {
	put := func(glyph rune, w twin) {
		if glyph >= sixths {
			t.sixths[glyph-sixths] = w
		} else {
			t.blocks[glyph-blocks] = w
		}
	}
	for split := uint8(1); split < 15; split++ {
		put(quadrants[split], twin{quadrants[15-split], split&1 != 0})
	}
	for split := uint8(1); split < allSix; split++ {
		put(sextant(split), twin{sextant(allSix - split), split&1 != 0})
	}
	return t
}()

// twinOf returns the twin of a glyph, the zero twin if it splits nothing: a
// blank, a full block, a shade, a letter.
func twinOf(glyph rune) twin {
	switch {
	case glyph >= blocks && glyph < blocks+64:
		return twins.blocks[glyph-blocks]
	case glyph >= sixths && glyph < sixths+64:
		return twins.sixths[glyph-sixths]
	}
	return twin{}
}
