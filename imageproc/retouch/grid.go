package retouch

import "image"

// What a pixel of a grid is.
const (
	held    uint8 = 0 // outside the patch: its light is given
	open    uint8 = 1 // inside the patch: its light is looked for
	nowhere uint8 = 2 // outside the picture
)

// grid is the shape of one membrane: a box of pixels with a ring of one pixel
// around it, and the levels of its equations. It is shared by the three planes.
// Pixel x, y of the box has index (y+1)*stride + x+1.
type grid struct {
	box    image.Rectangle // in the picture
	w, h   int
	stride int
	kind   []uint8
	runs   []run   // open pixels, row by row
	rows   []int32 // row y has runs rows[y] to rows[y+1]
	count  int     // open pixels
	rim    []int32 // held pixels beside an open one, in raster order
	level  []level // coarser and coarser, down to one cell

	building
}

// run is a stretch of open pixels of one row: columns x0..x1-1 of the box.
type run struct{ x0, x1 int32 }

// lay makes g the grid of the marked pixels of p inside box, of a picture of
// the given size. No marked pixel may lie right beside the box outside it.
func (g *grid) lay(p Patch, box image.Rectangle, size image.Point) {
	g.box, g.w, g.h, g.stride = box, box.Dx(), box.Dy(), box.Dx()+2
	g.kind = sized(g.kind, g.stride*(g.h+2))
	clear(g.kind)
	g.runs, g.rows, g.count = g.runs[:0], g.rows[:0], 0
	for y := range g.h {
		g.rows = append(g.rows, int32(len(g.runs)))
		marks := p.row(box.Min.Y+y, box.Min.X, box.Max.X)
		kind := g.kind[(y+1)*g.stride+1:][:len(marks)]
		for x := 0; x < len(marks); {
			if !marks[x] {
				x++
				continue
			}
			x0 := x
			for x < len(marks) && marks[x] {
				kind[x] = open
				x++
			}
			g.runs = append(g.runs, run{int32(x0), int32(x)})
			g.count += x - x0
		}
	}
	g.rows = append(g.rows, int32(len(g.runs)))
	g.markEdges(size)
	g.findRim()
	g.coarsen()
}

// markEdges marks the part of the ring that lies outside the picture.
func (g *grid) markEdges(size image.Point) {
	for x := range g.stride {
		if g.box.Min.Y == 0 {
			g.kind[x] = nowhere
		}
		if g.box.Max.Y == size.Y {
			g.kind[(g.h+1)*g.stride+x] = nowhere
		}
	}
	for y := range g.h + 2 {
		if g.box.Min.X == 0 {
			g.kind[y*g.stride] = nowhere
		}
		if g.box.Max.X == size.X {
			g.kind[y*g.stride+g.w+1] = nowhere
		}
	}
}

// ends says at which sides the box ends where the picture does.
func (g *grid) ends() (left, right, top, bottom bool) {
	return g.kind[g.stride] == nowhere, g.kind[g.stride+g.w+1] == nowhere,
		g.kind[1] == nowhere, g.kind[(g.h+1)*g.stride+1] == nowhere
}

func (g *grid) findRim() {
	g.rim = g.rim[:0]
	for y := range g.h + 2 {
		for x := range g.stride {
			i := y*g.stride + x
			if g.kind[i] != held {
				continue
			}
			if y > 0 && g.kind[i-g.stride] == open || y <= g.h && g.kind[i+g.stride] == open ||
				x > 0 && g.kind[i-1] == open || x <= g.w && g.kind[i+1] == open {
				g.rim = append(g.rim, int32(i))
			}
		}
	}
}

// inner says whether row y has a row of the picture above and below.
func (g *grid) inner(y int) bool {
	_, _, top, bottom := g.ends()
	return !(y == 0 && top || y == g.h-1 && bottom)
}

// sized returns a slice of n that reuses s's memory; its contents are undefined.
func sized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
