package reading

import (
	"math"
	"testing"
)

// A picture of 400 by 300 with a disc of radius 60.
func disc(cx, cy float64) Design {
	return drawn(400, 300, 2, func(x, y int) int {
		if math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy) < 60 {
			return 0
		}
		return 1
	})
}

// A disc that touches a side in passing is asked about, one cut in the middle
// or well inside is not, one that stops 2 pixels short is.
func TestTangents(t *testing.T) {
	for side, c := range [...][2]float64{Left: {59.5, 150}, Right: {340.5, 150}, Top: {200, 59.5}, Bottom: {200, 240.5}} {
		e := disc(c[0], c[1]).Read().Edges
		if len(e.Tangents) != 1 || e.Tangents[0].Side != Side(side) || e.Tangents[0].Gap != 0 {
			t.Errorf("%v: %+v", Side(side), e.Tangents)
			continue
		}
		want := [...][2]float64{{0, 0.5}, {1, 0.5}, {0.5, 0}, {0.5, 1}}[side]
		nearPoint(t, "tangent", e.Tangents[0].At, want[0], want[1], 0.02)
	}
	if !asks(disc(59.5, 150).Read(), OnEdges) {
		t.Error("a tangent is not asked about")
	}
	for _, cx := range []float64{0, 20, 200} {
		if e := disc(cx, 150).Read().Edges; len(e.Tangents) != 0 {
			t.Errorf("disc at %v: %+v", cx, e.Tangents)
		}
	}
	e := disc(62, 150).Read().Edges
	if len(e.Tangents) != 1 {
		t.Fatalf("two pixels short: %+v", e.Tangents)
	}
	near(t, "gap", e.Tangents[0].Gap, 2.0/400, 1e-9)
}

// Of a border that runs upright 10 pixels from the left edge all contrast lies in
// the band of 20 there, which is a twentieth of the picture; in the middle none.
func TestContrastAtTheSides(t *testing.T) {
	bar := func(x0 int) Reading {
		return drawn(400, 300, 2, func(x, _ int) int {
			if x < x0 {
				return 0
			}
			return 1
		}).Read()
	}
	e := bar(10).Edges
	near(t, "left", e.Sides[Left].Share, 1, 1e-12)
	near(t, "area", e.Sides[Left].Area, 0.05, 1e-12)
	near(t, "right", e.Sides[Right].Share, 0, 0)
	near(t, "top", e.Sides[Top].Share, 20.0/300, 1e-6)
	near(t, "upper left", e.Corners[0].Share, 20.0/300, 1e-6)
	near(t, "upper right", e.Corners[1].Share, 0, 0)
	if !asks(bar(10), OnEdges) {
		t.Error("contrast along the left edge is not asked about")
	}
	near(t, "left of a border in the middle", bar(200).Edges.Sides[Left].Share, 0, 0)
	centred := drawn(400, 300, 2, func(x, y int) int {
		if in(x, y, 150, 100, 250, 200) {
			return 0
		}
		return 1
	}).Read()
	if asks(centred, OnEdges) {
		t.Error("asked about the edges though all lies inside")
	}
}

// beside is a disc and a box of other values, so many pixels apart.
func beside(gap float64) Design {
	return drawn(400, 300, 3, func(x, y int) int {
		switch {
		case math.Hypot(float64(x)+0.5-150, float64(y)+0.5-150) < 50:
			return 0
		case float64(x) >= 200+gap && in(x, y, 0, 60, 300, 240):
			return 1
		}
		return 2
	})
}

// Two pixels apart disc and box almost touch; 10 pixels apart they do not, and
// side by side over 100 pixels they run along each other.
func TestNearTouches(t *testing.T) {
	at := func(gap float64) Reading { return beside(gap).Read() }
	n := at(2).Edges.Near
	if len(n) != 1 {
		t.Fatalf("%+v", n)
	}
	near(t, "gap", n[0].Gap, 2.0/400, 1e-9)
	nearPoint(t, "gap", n[0].At, 201.0/400, 0.5, 0.02)
	if !asks(at(2), OnEdges) || asks(at(10), OnEdges) || len(at(10).Edges.Near) != 0 {
		t.Error("asked where nothing is near, or not where it is")
	}
	strip := drawn(400, 300, 3, func(x, y int) int {
		switch {
		case in(x, y, 100, 100, 200, 200):
			return 0
		case in(x, y, 202, 100, 300, 200):
			return 1
		}
		return 2
	}).Read()
	if len(strip.Edges.Near) != 0 {
		t.Errorf("side by side: %+v", strip.Edges.Near)
	}
}

// A box of 40 by 100 at the left edge takes a third of it and reaches a tenth in;
// one 8 pixels deep is a strip and is asked about.
func TestCuts(t *testing.T) {
	box := func(deep int) Reading {
		return drawn(400, 300, 2, func(x, y int) int {
			if in(x, y, 0, 100, deep, 200) {
				return 0
			}
			return 1
		}).Read()
	}
	var cut Cut
	for _, c := range box(40).Edges.Cuts {
		if c.Side == Left && c.Shape == 1 {
			cut = c
		}
	}
	near(t, "share", cut.Share, 1.0/3, 1e-12)
	near(t, "depth", cut.Depth, 0.1, 1e-12)
	strips := func(r Reading) (n int) {
		for _, c := range r.Edges.Cuts {
			if c.Depth < 0.03 {
				n++
			}
		}
		return n
	}
	if strips(box(40)) != 0 || strips(box(8)) != 1 {
		t.Error("strips miscounted")
	}
}
