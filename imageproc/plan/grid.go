package plan

import (
	"fmt"
	"strconv"
	"strings"
)

// Grid is how a picture is divided for carrying it to the panel: equal parts, or
// squares of a size on the panel, measured from its upper left corner as one does
// with a ruler. The zero Grid divides nothing. It is no decision about the
// picture, so it is not part of a plan.
type Grid struct {
	Across, Down int     // equal parts, 1 or more; 0: squares of Every
	Every        float64 // side of a square in Unit
	Unit         Unit
	Diagonals    bool // the two diagonals too
}

// Limits of a grid: more lines than that hide the picture.
const (
	maxParts   = 40
	maxSquares = 100 // lines each way
)

// None reports whether the grid divides nothing.
func (g Grid) None() bool { return g == Grid{} }

// Grids returns the grids on offer for a panel, none first: halves with the
// diagonals, thirds, then squares of an inch or 2 cm if the panel has a size.
func Grids(p Panel) []Grid {
	out := []Grid{{}, {Across: 2, Down: 2, Diagonals: true}, {Across: 3, Down: 3}}
	switch {
	case p.Free():
	case p.Unit == Inch:
		out = append(out, Grid{Every: 1, Unit: Inch})
	default:
		out = append(out, Grid{Every: 2, Unit: Centimetre})
	}
	return out
}

// ParseGrid reads a grid as it is written in commands: none, halves, thirds,
// inch, 2cm, 0.5in, or parts across by down such as 3x4.
func ParseGrid(s string) (Grid, error) {
	wrong := func() (Grid, error) {
		return Grid{}, fmt.Errorf("there is no grid %q: choose none, halves, thirds, inch, 2cm, or parts such as 3x4", s)
	}
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "none":
		return Grid{}, nil
	case "halves":
		return Grid{Across: 2, Down: 2, Diagonals: true}, nil
	case "thirds":
		return Grid{Across: 3, Down: 3}, nil
	case "inch", "in":
		return Grid{Every: 1, Unit: Inch}, nil
	case "cm":
		return Grid{Every: 1, Unit: Centimetre}, nil
	}
	word := strings.ToLower(strings.ReplaceAll(s, " ", ""))
	for _, u := range []Unit{Inch, Centimetre, Millimetre} {
		if size, ok := strings.CutSuffix(word, string(u)); ok {
			v, err := strconv.ParseFloat(size, 64)
			if err != nil || !(v*u.millimetres() >= 2) || v*u.millimetres() > maxSideMM {
				return wrong()
			}
			return Grid{Every: v, Unit: u}, nil
		}
	}
	across, down, ok := strings.Cut(word, "x")
	a, errA := strconv.Atoi(across)
	d, errD := strconv.Atoi(down)
	if !ok || errA != nil || errD != nil || a < 1 || d < 1 || a > maxParts || d > maxParts || a*d == 1 {
		return wrong()
	}
	return Grid{Across: a, Down: d}, nil
}

// String says what the grid is in words.
func (g Grid) String() string {
	switch {
	case g.None():
		return "no grid"
	case g.Across == 2 && g.Down == 2 && g.Diagonals:
		return "halves and diagonals"
	case g.Across == 3 && g.Down == 3:
		return "thirds"
	case g.Across > 0:
		return fmt.Sprintf("%d by %d parts", g.Across, g.Down)
	case g.Every == 1:
		return map[Unit]string{Inch: "every inch", Centimetre: "every cm", Millimetre: "every mm"}[g.Unit]
	default:
		return "every " + number(g.Every) + " " + string(g.Unit)
	}
}

// GridLine is a line of a grid between two places in parts of the picture's width
// and height, 0..1.
type GridLine struct {
	A, B     Point
	Diagonal bool
}

// Lines returns the lines of the grid inside a picture of w by h millimetres:
// first the upright ones from left to right, then those across from the top, then
// the diagonals; the picture's own edges are none. Squares on a picture of no size
// (w or h 0) have no lines, and of squares so small that there would be more than
// 100 lines each way there are none.
func (g Grid) Lines(w, h float64) []GridLine {
	var xs, ys []float64
	if g.Across > 0 {
		xs, ys = parts(g.Across), parts(g.Down)
	} else if g.Every > 0 && w > 0 && h > 0 {
		side := g.Every * g.Unit.millimetres()
		xs, ys = squares(side, w), squares(side, h)
	}
	var out []GridLine
	for _, x := range xs {
		out = append(out, GridLine{A: Point{x, 0}, B: Point{x, 1}})
	}
	for _, y := range ys {
		out = append(out, GridLine{A: Point{0, y}, B: Point{1, y}})
	}
	if g.Diagonals {
		out = append(out, GridLine{Point{0, 0}, Point{1, 1}, true}, GridLine{Point{0, 1}, Point{1, 0}, true})
	}
	return out
}

func parts(n int) []float64 {
	var out []float64
	for i := 1; i < n; i++ {
		out = append(out, float64(i)/float64(n))
	}
	return out
}

func squares(side, length float64) []float64 {
	if length/side > maxSquares {
		return nil
	}
	var out []float64
	for i := 1; float64(i)*side < length-side/1000; i++ {
		out = append(out, float64(i)*side/length)
	}
	return out
}
