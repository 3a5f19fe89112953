package sheet

import (
	"slices"
	"strconv"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
)

// nameRoom is the room that the names of a grid's rows need left of the picture,
// and those of its columns above it.
const nameRoom = 3

// leastNamed is the width of the narrowest column that is named, and mostNamed
// how many rows there are letters for.
const (
	leastNamed = 4
	mostNamed  = 26
)

// gridNames returns a number above each column and a letter beside each row of a
// grid, for those that lie within clip. Diagonals and single squares have none.
func (d drawing) gridNames(g plan.Grid, w, h float64, clip page.Rect) []page.Item {
	if g.Diagonals {
		return nil
	}
	xs, ys := []float64{0, 1}, []float64{0, 1}
	for _, l := range g.Lines(w, h) {
		if l.A.X == l.B.X {
			xs = append(xs, l.A.X)
		} else {
			ys = append(ys, l.A.Y)
		}
	}
	slices.Sort(xs)
	slices.Sort(ys)
	if len(xs)+len(ys) < 5 || len(ys)-1 > mostNamed {
		return nil
	}
	var out []page.Item
	if clip.Y <= d.at.Y+0.01 {
		for i, x := range xs[1:] {
			if (x-xs[i])*d.at.W < leastNamed {
				continue
			}
			p := d.onPage((x+xs[i])/2, 0)
			if p.X > clip.X+leastNamed/2 && p.X < clip.X+clip.W-leastNamed/2 {
				out = append(out, page.Text{At: page.Point{X: p.X, Y: p.Y - 0.9}, Words: strconv.Itoa(i + 1), Size: sizeTick, Anchor: page.Middle, Ink: inkQuiet})
			}
		}
	}
	if clip.X <= d.at.X+0.01 {
		for i, y := range ys[1:] {
			if (y-ys[i])*d.at.H < leastNamed {
				continue
			}
			at := page.Point{X: d.at.X - 0.9, Y: d.at.Y + (y+ys[i])/2*d.at.H + digitMiddle(sizeTick)}
			if at.Y > clip.Y+leastNamed/2 && at.Y < clip.Y+clip.H-leastNamed/2 {
				out = append(out, page.Text{At: at, Words: string(rune('A' + i)), Size: sizeTick, Anchor: page.End, Ink: inkQuiet})
			}
		}
	}
	return out
}
