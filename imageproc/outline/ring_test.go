package outline_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/palette/oracle"
)

func polygons(t *testing.T, visit func(name string, r outline.Ring, row oracle.Row)) {
	t.Helper()
	for _, row := range oracle.Load(t, "t07_polygons.csv", 5).Rows {
		var r outline.Ring
		f := strings.Fields(row.Text(t, "points"))
		for i := 0; i+1 < len(f); i += 2 {
			x, errX := strconv.ParseFloat(f[i], 64)
			y, errY := strconv.ParseFloat(f[i+1], 64)
			if errX != nil || errY != nil {
				t.Fatalf("line %d: %v, %v", row.Line, errX, errY)
			}
			r = append(r, outline.Point{X: x, Y: y})
		}
		visit(row.Text(t, "name"), r, row)
	}
}

// Shoelace, recomputed with shapely 1.8.5. The corners are given to 9 decimals, so
// each of at most five sides can be off by 1e-9.
// The same wherever the ring lies, wherever it begins, and the other way round.
func TestPolygonsPublished(t *testing.T) {
	polygons(t, func(name string, r outline.Ring, row oracle.Row) {
		for _, off := range []outline.Point{{}, {X: 700, Y: 400}} {
			for begin := range r {
				var moved, back outline.Ring
				for i := range r {
					p := r[(begin+i)%len(r)]
					moved = append(moved, outline.Point{X: p.X + off.X, Y: p.Y + off.Y})
				}
				for i := range moved {
					back = append(back, moved[len(moved)-1-i])
				}
				const tol = 5e-9
				oracle.Close(t, name+" area", outline.Area(moved), row.Num(t, "area"), tol)
				oracle.Close(t, name+" area backwards", outline.Area(back), -row.Num(t, "area"), tol)
				oracle.Close(t, name+" length", outline.Length(moved), row.Num(t, "perimeter"), tol)
				for _, ring := range []outline.Ring{moved, back} {
					c := outline.Centroid(ring)
					oracle.Close(t, name+" centre x", c.X-off.X, row.Num(t, "cx"), tol)
					oracle.Close(t, name+" centre y", c.Y-off.Y, row.Num(t, "cy"), tol)
				}
			}
		}
	})
}

// A large filled polygon covers its area and balances at its centre: each side
// gives and takes pixels, so off by less than half a pixel along the border.
func TestFilledPolygonsPublished(t *testing.T) {
	const scale = 60.0
	polygons(t, func(name string, r outline.Ring, row oracle.Row) {
		var big outline.Ring
		for _, p := range r {
			big = append(big, outline.Point{X: 100.3 + scale*p.X, Y: 100.7 + scale*p.Y})
		}
		m := imageproc.NewMask(500, 450)
		outline.Fill(m, []outline.Ring{big})
		n, x, y := 0.0, 0.0, 0.0
		for i, marked := range m.Pix {
			if marked {
				n++
				x += float64(i%m.W) + 0.5
				y += float64(i/m.W) + 0.5
			}
		}
		area := scale * scale * row.Num(t, "area")
		oracle.Close(t, name+" filled", n, area, scale*row.Num(t, "perimeter")/2)
		oracle.Close(t, name+" filled, centre x", x/n, 100.3+scale*row.Num(t, "cx"), 0.5)
		oracle.Close(t, name+" filled, centre y", y/n, 100.7+scale*row.Num(t, "cy"), 0.5)
	})
}

func TestSmallRings(t *testing.T) {
	p, q := outline.Point{X: 1, Y: 2}, outline.Point{X: 4, Y: 6}
	for _, c := range []struct {
		ring   outline.Ring
		length float64
		centre outline.Point
	}{
		{outline.Ring{p}, 0, p},
		{outline.Ring{p, q}, 10, outline.Point{X: 2.5, Y: 4}},
		{outline.Ring{p, q, p, q}, 20, outline.Point{X: 2.5, Y: 4}},
	} {
		if a, l, m := outline.Area(c.ring), outline.Length(c.ring), outline.Centroid(c.ring); a != 0 || l != c.length || m != c.centre {
			t.Errorf("%v: area %v, length %v, centre %v", c.ring, a, l, m)
		}
	}
	if a, l := outline.Area(nil), outline.Length(nil); a != 0 || l != 0 {
		t.Errorf("no ring: area %v, length %v", a, l)
	}
	mustPanic(t, "centre", func() { outline.Centroid(nil) })
	far := []outline.Ring{{p, q, {X: math.NaN()}}}
	mustPanic(t, "point", func() { outline.Fill(imageproc.NewMask(3, 3), far) })
	mustPanic(t, "point", func() { outline.Simplify([]outline.Ring{{p, q, {Y: math.Inf(1)}}}, 1) })
	mustPanic(t, "tolerance", func() { outline.Simplify(nil, math.NaN()) })
	mustPanic(t, "tolerance", func() { outline.Simplify(nil, -1) })
	mustPanic(t, "grown", func() { outline.Grow(imageproc.NewMask(1, 1), math.NaN()) })
	mustPanic(t, "Distance", func() { outline.Distance(nil, imageproc.NewMask(1, 1)) })
	mustPanic(t, "Depth", func() { outline.Depth(nil, imageproc.NewLabels(1, 1)) })
}
