package study_test

import (
	"fmt"
	"image"
	"math"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// Published: a step that a Gaussian blurs is the normal distribution's integral,
// whose deviation here is the squint's percentage of the long side, whichever way
// the crop lies.
func TestSquintIsOfTheLongSide(t *testing.T) {
	const dark, light = 0.1, 0.7
	for _, size := range []image.Point{{X: 240, Y: 60}, {X: 60, Y: 240}} {
		master := painted(size.X, size.Y, func(x, _ int) palette.RGB {
			if x < size.X/2 {
				return grey(dark)
			}
			return grey(light)
		})
		p := edited(whole(size), size, plan.SetSquint(2)) // 4.8 pixels
		r := raster(t, make1(t, study.NewDesk(master), p, study.Squint), study.Squint, size)
		for _, off := range []int{-12, -7, -3, 0, 1, 5, 10} {
			d := float64(off) + 0.5
			want := dark + (light-dark)*0.5*(1+math.Erf(d/(4.8*math.Sqrt2)))
			got := r.At(size.X/2+off, size.Y/2).Linear().Y().L()
			oracle.Close(t, fmt.Sprintf("lightness %.1f pixels off the step of %v", d, size), float64(got), float64(palette.Y(want).L()), 0.35) // half a code of 256
		}
	}
}

// Hand-counted on 40 by 30 pixels, unsquinted: a 10 mm mark on 6x8 in covers 3.87
// of them, so four are a shape and three a crumb; one of 9.4 mm covers 3.42, so
// three are a shape; without a brush one pixel is.
func TestCrumbsByTheBrush(t *testing.T) {
	size := image.Pt(40, 30)
	for _, c := range []struct {
		brush float64
		spot  int // pixels
		want  int // shapes
	}{{10, 4, 2}, {10, 3, 1}, {9.4, 3, 2}, {9.4, 2, 1}, {0, 1, 2}} {
		master := flat(size.X, size.Y, 0.7)
		for i := range c.spot {
			for _, p := range master.Planes() {
				p.Set(20+i%2, 15+i/2, 0.1)
			}
		}
		p := edited(whole(size), size, plan.SetSquint(0), plan.SetK(2), plan.SetBrush(c.brush))
		s := make1(t, study.NewDesk(master), p, study.Values)
		if s.Figures.Shapes != c.want {
			t.Errorf("a brush of %v mm, a spot of %d pixels: %d shapes, want %d", c.brush, c.spot, s.Figures.Shapes, c.want)
		}
	}
}
