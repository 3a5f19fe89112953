package cells

import "image"

// Bare blanks the cells of g that show nothing of pictures (in pixels, two a
// cell in height). It is for NoColour, where the surround would otherwise stand
// as figures around the picture.
func (g *Grid) Bare(pictures ...image.Rectangle) {
	for y := range g.H {
		row := g.Row(y)
		for x := range row {
			cell := image.Rect(x, 2*y, x+1, 2*y+2)
			shown := false
			for _, p := range pictures {
				shown = shown || cell.Overlaps(p)
			}
			if !shown {
				row[x] = Cell{Glyph: Blank}
			}
		}
	}
}
