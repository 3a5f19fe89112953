// Package sheet lays finished pictures out on pages for files: it measures
// nothing and decides nothing about a plan.
package sheet

import (
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"
	"strings"

	"atelier/halflid/palette"
)

// Tile is one picture on a wall. Words stand under it, a line for each of theirs;
// the tile's number, counted from 1, stands before the first.
type Tile struct {
	Picture *image.Gray // coded sRGB grey; only read
	Words   string
}

// WallOptions says how a wall looks. The zero value is the usual one.
type WallOptions struct {
	Aspect float64 // width over height that the sheet comes as near to as it can, above 0; 0 counts as 4/3
}

// Ground is the middle of the value scale, on which the pictures hang. Values are
// judged against what surrounds them: beside white all looks dark, beside black
// all looks light, so thumbnails that are compared hang on the middle. Source:
// common practice of painters, no source; that a surround shifts a value:
// Takasaki 1966 (from memory).
const Ground palette.Value = 5

// lineValue is the hairline around each picture. A mass as light as the ground
// that reaches the picture's edge would else run out into it; a dark line parts
// the two without a glare beside the darks. Source: ours.
const lineValue palette.Value = 2

// Wall writes the tiles as a contact sheet, a grey PNG: in rows from the upper
// left, each picture pixel by pixel as it is, middle under middle and resting on
// one line a row, with its number and words below. All columns are as wide as the
// widest picture, each row as high as its highest, all margins equal. The number of
// columns is the one that brings the sheet nearest to opt.Aspect; of equals the one
// that leaves fewer places empty, then the fewer columns. Words too long for their
// place are cut with "…"; characters that the lettering lacks are "?" (it has those
// of the languages written in Latin letters). The same tiles give the same bytes:
// there is no date in them. The sheet is made in memory, a byte a pixel (see
// TileSide). Errors are w's. It panics without tiles, on an empty picture, and on an
// aspect out of its range.
func Wall(w io.Writer, tiles []Tile, opt WallOptions) error {
	h := hang(tiles, opt)
	enc := png.Encoder{CompressionLevel: png.BestCompression}
	if err := enc.Encode(w, h.sheet(tiles)); err != nil {
		return fmt.Errorf("the wall of thumbnails could not be written: %w", err)
	}
	return nil
}

// The sides of a wall and its pictures in pixels, see TileSide. Source: ours.
const (
	wallSide = 2400 // about the width of a wall; a screen or a letter page shows no more
	leastLong,
	mostLong = 200, 768
)

// TileSide returns the long side in pixels, 200 to 768, that the pictures of a
// wall of n should have so that the sheet is about 2400 pixels wide, and no
// wider than 4000 for 200. It panics if n is less than 1.
func TileSide(n int) int {
	if n < 1 {
		panic(fmt.Sprintf("sheet: wall of %d pictures", n))
	}
	across := int(math.Ceil(math.Sqrt(float64(n))))
	return min(max(wallSide/across, leastLong), mostLong)
}

// hanging is where everything goes, in pixels.
type hanging struct {
	sizes   []image.Point // of the pictures
	width   int           // of a column
	lines   int           // of words under each
	scale   int           // of the lettering
	margin  int
	columns int
}

// From this width of a picture on lettering of twice the size does not crowd it.
const largeFrom = 400

func hang(tiles []Tile, opt WallOptions) hanging {
	h := hanging{scale: 1}
	if len(tiles) == 0 {
		panic("sheet: wall without pictures")
	}
	high := 0
	for i, t := range tiles {
		if t.Picture == nil || t.Picture.Rect.Empty() {
			panic(fmt.Sprintf("sheet: picture %d of the wall is empty", i+1))
		}
		s := t.Picture.Rect.Size()
		h.sizes = append(h.sizes, s)
		h.width, high = max(h.width, s.X), max(high, s.Y)
		h.lines = max(h.lines, 1+strings.Count(t.Words, "\n"))
	}
	if h.width >= largeFrom {
		h.scale = 2
	}
	h.margin = max(h.lineHeight(), max(h.width, high)/16)
	h.columns = h.bestColumns(aspectOf(opt))
	return h
}

func aspectOf(opt WallOptions) float64 {
	switch a := opt.Aspect; {
	case a == 0:
		return 4.0 / 3
	case a > 0 && !math.IsInf(a, 1):
		return a
	}
	panic(fmt.Sprintf("sheet: wall %v times as wide as high", opt.Aspect))
}

// bestColumns returns the number of columns, see Wall. How far a sheet is from an
// aspect is the ratio of the two, whichever is larger.
func (h hanging) bestColumns(aspect float64) int {
	n := len(h.sizes)
	best, off, empty := 0, 0.0, 0
	for h.columns = 1; h.columns <= n; h.columns++ {
		s := h.size()
		a := float64(s.X) / float64(s.Y)
		o, e := max(a/aspect, aspect/a), h.columns*h.rows()-n
		if best == 0 || o < off || o == off && e < empty {
			best, off, empty = h.columns, o, e
		}
	}
	return best
}

func (h hanging) rows() int { return (len(h.sizes) + h.columns - 1) / h.columns }

// size is that of the sheet.
func (h hanging) size() image.Point {
	return image.Pt(h.margin+h.columns*(h.width+h.margin), h.foot(h.rows()-1)+h.wordsHeight()+h.margin)
}

// foot returns the line on which the pictures of a row rest.
func (h hanging) foot(row int) int {
	y := 0
	for i := range row + 1 {
		if i > 0 {
			y += h.wordsHeight()
		}
		high := 0
		for _, s := range h.sizes[i*h.columns : min((i+1)*h.columns, len(h.sizes))] {
			high = max(high, s.Y)
		}
		y += h.margin + high
	}
	return y
}

func (h hanging) wordsHeight() int { return h.wordsGap() + h.lines*h.lineHeight() }
func (h hanging) wordsGap() int    { return h.lineHeight() / 2 }
func (h hanging) lineHeight() int  { return letterHeight * h.scale }

// place returns the left edge and the foot of place i.
func (h hanging) place(i int) image.Point {
	return image.Pt(h.margin+i%h.columns*(h.width+h.margin), h.foot(i/h.columns))
}

// pictureAt returns where picture i hangs.
func (h hanging) pictureAt(i int) image.Rectangle {
	size := h.sizes[i]
	corner := h.place(i).Add(image.Pt((h.width-size.X)/2, -size.Y))
	return image.Rectangle{Min: corner, Max: corner.Add(size)}
}

func (h hanging) sheet(tiles []Tile) *image.Gray {
	out := image.NewGray(image.Rectangle{Max: h.size()})
	draw.Draw(out, out.Rect, image.NewUniform(grey(Ground)), image.Point{}, draw.Src)
	line := image.NewUniform(grey(lineValue))
	for i, t := range tiles {
		r := h.pictureAt(i)
		draw.Draw(out, r.Inset(-h.scale), line, image.Point{}, draw.Src)
		draw.Draw(out, r, t.Picture, t.Picture.Rect.Min, draw.Src)
		place := h.place(i)
		words := fmt.Sprintf("%d  %s", i+1, t.Words)
		for j, one := range strings.Split(strings.TrimRight(words, " \n"), "\n") {
			one := cut(lettersOf(one), h.width/(letterWidth*h.scale))
			left := (h.width - len(one)*letterWidth*h.scale) / 2
			h.write(out, place.Add(image.Pt(left, h.wordsGap()+j*h.lineHeight())), one)
		}
	}
	return out
}
