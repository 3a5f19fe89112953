package cells

import (
	"fmt"

	"atelier/halflid/imageproc"
)

// Coarsen gives whole cells to what was drawn over a picture: before is the
// picture without it, r with it, and where one of the two pixels of a cell was
// drawn on, both take its colour, the upper one's if both were. Where a cell
// shows only the mean of its halves a thin line would else be lost. It panics if
// the two are not of one size.
func Coarsen(r, before imageproc.Raster) {
	if r.Size() != before.Size() {
		panic(fmt.Sprintf("cells: pictures of %v and %v", r.Size(), before.Size()))
	}
	for y := 0; y+1 < r.H; y += 2 {
		for x := range r.W {
			top, bottom := r.At(x, y), r.At(x, y+1)
			switch {
			case top != before.At(x, y):
				r.Set(x, y+1, top)
			case bottom != before.At(x, y+1):
				r.Set(x, y, bottom)
			}
		}
	}
}
