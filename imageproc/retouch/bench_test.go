package retouch

import (
	"context"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
)

// master is a picture of the size of a master: soft shapes with noise.
func master(w, h int) imageproc.Picture {
	rng := rand.New(rand.NewPCG(7, 11))
	pic := imageproc.NewPicture(w, h)
	for c, plane := range pic.Planes() {
		for i := range plane.Pix {
			x, y := float64(i%w), float64(i/w)
			v := .4 + .3*math.Sin(x/130+float64(c))*math.Cos(y/170) + .02*rng.NormFloat64()
			plane.Pix[i] = float32(min(max(v, 0), 1))
		}
	}
	return pic
}

func markAll(int, int) bool { return true }

func markDisc(w, h int) func(x, y int) bool {
	return func(x, y int) bool {
		u, v := (float64(x)+.5)/float64(w)*2-1, (float64(y)+.5)/float64(h)*2-1
		return u*u+v*v < 1
	}
}

// markFigure is a lobed shape with a ragged outline and a hole.
func markFigure(w, h int) func(x, y int) bool {
	return func(x, y int) bool {
		u, v := (float64(x)+.5)/float64(w)*2-1, (float64(y)+.5)/float64(h)*2-1
		r, a := math.Hypot(u, v), math.Atan2(v, u)
		return r < .7+.25*math.Sin(5*a)+.02*math.Sin(61*a) && r > .2
	}
}

func maskOf(w, h int, marked func(x, y int) bool) imageproc.Mask {
	m := imageproc.NewMask(w, h)
	for i := range m.Pix {
		m.Pix[i] = marked(i%w, i/w)
	}
	return m
}

func BenchmarkLeaveOut(b *testing.B) {
	pic := master(2048, 1365)
	for _, bench := range []struct {
		name string
		p    Patch
	}{
		{"box/100x100", Patch{image.Pt(300, 200), maskOf(100, 100, markAll)}},
		{"box/400x600", Patch{image.Pt(300, 200), maskOf(400, 600, markAll)}},
		{"box/1000x1000", Patch{image.Pt(300, 200), maskOf(1000, 1000, markAll)}},
		{"disc/1000x1000", Patch{image.Pt(300, 200), maskOf(1000, 1000, markDisc(1000, 1000))}},
		{"figure/400x600", Patch{image.Pt(300, 200), maskOf(400, 600, markFigure(400, 600))}},
		{"figure/1000x1000", Patch{image.Pt(300, 200), maskOf(1000, 1000, markFigure(1000, 1000))}},
		{"corner/1000x1000", Patch{image.Pt(0, 0), maskOf(1000, 1000, markAll)}},
		{"small in whole mask", Patch{image.Pt(0, 0), maskOf(2048, 1365, func(x, y int) bool { return x > 900 && x < 1000 && y > 500 && y < 600 })}},
		{"two far apart", Patch{image.Pt(0, 0), maskOf(2048, 1365, func(x, y int) bool { return x < 50 && y < 50 || x > 2000 && y > 1300 })}},
	} {
		b.Run(bench.name, func(b *testing.B) {
			var r Retoucher
			work := copyOf(pic)
			if err := r.LeaveOut(context.Background(), work, bench.p); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if err := r.LeaveOut(context.Background(), work, bench.p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkCarry(b *testing.B) {
	from, pic := master(2048, 1365), master(2048, 1365)
	p := Patch{image.Pt(600, 300), maskOf(400, 600, markFigure(400, 600))}
	for _, scale := range []float64{.1, .5, 1, 2.5, 10} {
		b.Run(fmt.Sprintf("figure 400x600/%gx", scale), func(b *testing.B) {
			var r Retoucher
			r.Carry(pic, from, p, 300.25, -20.5, scale, true)
			b.ReportAllocs()
			for b.Loop() {
				r.Carry(pic, from, p, 300.25, -20.5, scale, true)
			}
		})
	}
}
