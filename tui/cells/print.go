package cells

import (
	"fmt"
	"io"

	"atelier/halflid/imageproc"
)

// Print writes r as lines of cells in half blocks, each line ended by a return
// to the default colours and a newline, so that it can go to a terminal, a
// pager or a file. At NoColour there are no escape sequences at all.
func Print(w io.Writer, r imageproc.Raster, d Depth) error {
	var g Grid
	Encode(&g, r, d)
	return g.Print(w)
}

// Print writes the grid as lines, as the function Print does.
func (g *Grid) Print(w io.Writer) error {
	var p pen
	for y := range g.H {
		row := g.Row(y)
		for x, c := range row {
			var next Cell
			if x+1 < len(row) {
				next = row[x+1]
			}
			p.put(c.canon(), next)
		}
		p.set(0, 0)
		p.buf = append(p.buf, '\n')
	}
	if _, err := w.Write(p.buf); err != nil {
		return fmt.Errorf("writing the picture: %w", err)
	}
	return nil
}
