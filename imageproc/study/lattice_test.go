package study_test

import (
	"image"
	"math"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// The photo view starts on the lattice of its cells: half a cell from the crop
// at most, inside the photo, and off the lattice only against its far edge.
func TestOnLattice(t *testing.T) {
	r := seeded(t, 95)
	for range 20000 {
		n := 1 + r.IntN(3000)
		length := 1 + r.IntN(n)
		at := r.IntN(n - length + 1)
		pitch := float64(length) / float64(1+r.IntN(200))
		x := study.OnLattice(at, length, n, pitch)
		if d := math.Abs(x - float64(at)); d > pitch/2+1e-9 {
			t.Fatalf("at %d, length %d of %d, cells of %v: %v is %v off", at, length, n, pitch, x, d)
		}
		if x < 0 || x > float64(n-length) {
			t.Fatalf("at %d, length %d of %d, cells of %v: %v is outside", at, length, n, pitch, x)
		}
		if i := math.Round(x / pitch); x != i*pitch && x != float64(n-length) {
			t.Fatalf("at %d, length %d of %d: %v is not on the lattice of %v", at, length, n, x, pitch)
		}
	}
}

// A crop moved by whole cells shows the same cells elsewhere.
func TestMovedCropShowsTheSameCells(t *testing.T) {
	photo := image.Pt(400, 300)
	master := harbour(seeded(t, 96), photo.X, photo.Y)
	desk := study.NewDesk(master)
	crop := image.Pt(200, 150)
	show := func(x, y int, size image.Point) imageproc.Raster {
		p := edited(whole(photo), photo, plan.SetCrop(plan.Crop{X: float64(x) / 400, Y: float64(y) / 300, W: 0.5, H: 0.5}))
		s := make1(t, desk, p, study.Photo)
		if want := image.Rect(x, y, x+crop.X, y+crop.Y); s.Figures.Crop != want {
			t.Fatalf("the crop is %v, want %v", s.Figures.Crop, want)
		}
		return raster(t, s, study.Photo, size)
	}
	for _, c := range []struct {
		size       image.Point // of the raster
		step, cell image.Point // a move in pixels of the photo, and in pixels of the raster
		exact      bool
	}{
		{image.Pt(50, 30), image.Pt(4, 10), image.Pt(1, 2), true},
		{image.Pt(100, 60), image.Pt(2, 5), image.Pt(1, 2), true},
		{image.Pt(400, 300), image.Pt(1, 1), image.Pt(2, 2), true},
		{image.Pt(60, 42), image.Pt(10, 50), image.Pt(3, 14), false}, // cells of 3 1/3 by 7 1/7
	} {
		differ, all := 0, 0
		for i := range 4 {
			x, y := 40+c.step.X*i, 20+c.step.Y*(i%2)
			a := show(x, y, c.size)
			for _, n := range []image.Point{{X: 1}, {Y: 1}, {X: 3, Y: 1}} {
				b := show(x+n.X*c.step.X, y+n.Y*c.step.Y, c.size)
				dx, dy := n.X*c.cell.X, n.Y*c.cell.Y
				for y := range c.size.Y - dy {
					for x := range c.size.X - dx {
						all++
						p, q := a.At(x+dx, y+dy), b.At(x, y)
						if p == q {
							continue
						}
						differ++
						for _, d := range []int{int(p.R) - int(q.R), int(p.G) - int(q.G), int(p.B) - int(q.B)} {
							if c.exact || d < -1 || d > 1 {
								t.Fatalf("raster %v, moved by %v: pixel %d, %d is %v, before %v", c.size, n, x, y, q, p)
							}
						}
					}
				}
			}
		}
		if differ*1000 > all {
			t.Errorf("raster %v: %d of %d pixels differ", c.size, differ, all)
		}
	}
	// Half a cell of the crop's move is no move of the cells.
	a, b := show(40, 20, image.Pt(50, 30)), show(41, 24, image.Pt(50, 30))
	for i := range a.Pix {
		if a.Pix[i] != b.Pix[i] {
			t.Fatal("less than half a cell moved the cells")
		}
	}
	// The crop in the photo's corner shows the corner.
	master.R.Set(399, 299, 1)
	master.G.Set(399, 299, 0)
	master.B.Set(399, 299, 0)
	size := image.Pt(200, 150) // a pixel each, two to a cell
	corner := show(200, 150, size)
	if c := corner.At(199, 149); c.R != 255 || c.G != 0 || c.B != 0 {
		t.Errorf("the corner of the photo is shown as %v", c)
	}
}
