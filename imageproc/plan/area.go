package plan

import (
	"math"
	"slices"
	"strings"
)

// Point is a place on the photo: X a fraction of its width from the left, Y of
// its height from the top.
type Point struct{ X, Y float64 }

// Area is a part of the photo: closed rings of points in photo fractions, 0 to
// 1 with four decimals, filled by the even-odd rule, so that a ring inside
// another is a hole. It cannot be changed, may be copied and shared, and is
// comparable with ==: two areas are equal if their rings are the same points in
// the same order. The zero Area is empty.
type Area struct {
	text string // as in the plan file: points "x,y" parted by spaces, rings by ;
}

// MaxPoints is how many points an area has at most, over all its rings.
const MaxPoints = 4000

// AreaOf returns the area inside rings, each a list of corners in order; the
// last is joined to the first. Points are rounded to four decimals and held
// within 0..1 (NaN is 0). A point that repeats the one before it is dropped, as
// is a last one equal to the first, and so is a ring that encloses nothing. Of
// an area with more than MaxPoints points every second one is left out until it
// has no more. It keeps no part of rings.
func AreaOf(rings [][]Point) Area {
	grids := make([][]spot, len(rings))
	for i, ring := range rings {
		grids[i] = make([]spot, len(ring))
		for j, p := range ring {
			grids[i][j] = spotOf(p)
		}
	}
	return areaOf(grids)
}

// BoxArea returns the rectangle between any two opposite corners; empty if it
// has no width or no height.
func BoxArea(x0, y0, x1, y1 float64) Area {
	return AreaOf([][]Point{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}})
}

// EllipseArea returns the ellipse inside the rectangle between any two opposite
// corners, as 40 points on it, four of them where it touches the rectangle; what
// of it lies outside the photo is pressed to the edge. Empty if the rectangle
// has no width or no height.
func EllipseArea(x0, y0, x1, y1 float64) Area {
	const n = 40
	cx, cy, rx, ry := (x0+x1)/2, (y0+y1)/2, (x1-x0)/2, (y1-y0)/2
	ring := make([]Point, n)
	for i := range ring {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		ring[i] = Point{cx + float64(rx*c), cy + float64(ry*s)}
	}
	return AreaOf([][]Point{ring})
}

// Rings returns the area's rings as fresh slices, in the order in which they
// were given; nil if it is empty.
func (a Area) Rings() [][]Point {
	var out [][]Point
	for _, grid := range a.grids() {
		ring := make([]Point, len(grid))
		for i, s := range grid {
			ring[i] = s.point()
		}
		out = append(out, ring)
	}
	return out
}

// Empty reports whether nothing lies inside the area.
func (a Area) Empty() bool { return a.text == "" }

// Bounds returns the edges of the smallest rectangle around the area, 0 <= x0 <
// x1 <= 1 and 0 <= y0 < y1 <= 1; all 0 if it is empty.
func (a Area) Bounds() (x0, y0, x1, y1 float64) {
	if a.Empty() {
		return 0, 0, 0, 0
	}
	lo, hi := spot{areaUnits, areaUnits}, spot{}
	for _, grid := range a.grids() {
		for _, s := range grid {
			lo = spot{min(lo.x, s.x), min(lo.y, s.y)}
			hi = spot{max(hi.x, s.x), max(hi.y, s.y)}
		}
	}
	from, to := lo.point(), hi.point()
	return from.X, from.Y, to.X, to.Y
}

// Union returns the rings of both areas as one area, those of b that a has
// already left away. The areas should not overlap: by the even-odd rule the part
// that lies in both is in neither.
func (a Area) Union(b Area) Area {
	texts := a.ringTexts()
	grids := a.grids()
	for _, text := range b.ringTexts() {
		if !slices.Contains(texts, text) {
			grids = append(grids, spots(text))
		}
	}
	return areaOf(grids)
}

// ringTexts returns each ring in the form of the plan file.
func (a Area) ringTexts() []string {
	if a.Empty() {
		return nil
	}
	return strings.Split(a.text, ringEnd)
}
