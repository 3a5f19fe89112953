package contour

import (
	"fmt"
	"math"
	"slices"

	"atelier/halflid/imageproc"
)

// Fill returns the labels drawn again from the curves at w by h pixels, each
// pixel the label in which its middle lies: every pixel has exactly one, whatever
// the size. A middle on a line counts to what is right of it or below. It panics
// on a size below 1. Source: scan conversion by rows (Wylie, Romney, Evans and
// Erdahl 1967), the borders shared.
func (m *Map) Fill(w, h int) imageproc.Labels {
	if w < 1 || h < 1 {
		panic(fmt.Sprintf("contour: filled at %d by %d", w, h))
	}
	sx, sy := float64(w)/float64(m.W), float64(h)/float64(m.H)
	rows := make([][]crossing, h)
	tolerance := min(flatness, 0.05/max(sx, sy))
	var flat []Point
	for _, c := range m.Chains {
		flat = appendFlat(flat[:0], c.Segments, tolerance)
		for i := 1; i < len(flat); i++ {
			a, b := flat[i-1], flat[i]
			from, to := c.Left, c.Right
			if b.Y > a.Y {
				// Walking down, what lies left on the way is right on the screen.
				from, to = to, from
			} else {
				a, b = b, a
			}
			ay, by := a.Y*sy, b.Y*sy
			y0, y1 := max(0, int(math.Ceil(ay-0.5))), min(h, int(math.Ceil(by-0.5)))
			for y := y0; y < y1; y++ {
				x := a.X + float64((float64(y)+0.5-ay)*(b.X-a.X))/(by-ay)
				rows[y] = append(rows[y], crossing{x * sx, int32(from), int32(to)})
			}
		}
	}
	out := imageproc.NewLabels(w, h)
	for y, cs := range rows {
		m.fillRow(out.Row(y), cs)
	}
	return out
}

// crossing is where a row's middle passes from one region into another.
type crossing struct {
	x        float64
	from, to int32
}

func (m *Map) fillRow(row []int32, cs []crossing) {
	slices.SortFunc(cs, func(a, b crossing) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return 0
	})
	here, at := int32(Outside), 0
	for i := range cs {
		// Of crossings at one place the one that goes on from here comes first.
		for k := i; k < len(cs) && cs[k].x-cs[i].x < 1e-9; k++ {
			if cs[k].from == here {
				cs[i], cs[k] = cs[k], cs[i]
				break
			}
		}
		end := min(max(int(math.Ceil(cs[i].x-0.5)), at), len(row))
		if here != Outside {
			for ; at < end; at++ {
				row[at] = m.Regions[here].Label
			}
		}
		here = cs[i].to
	}
	for ; at < len(row) && len(cs) > 0; at++ {
		row[at] = m.Regions[cs[len(cs)-1].from].Label
	}
}
