package imageproc

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// published: IEC 61966-2-1:1999 for Y, CIE 15:2004 for L*; values recomputed in
// 40 digits (t01).
func TestPublishedGreysThroughPlanes(t *testing.T) {
	tab := oracle.Load(t, "t01_srgb_grey_L.csv", 256)
	p := NewPicture(256, 1)
	for i := range 256 {
		for _, q := range p.Planes() {
			q.Set(i, 0, float32(palette.Decode8(uint8(i))))
		}
	}
	y := p.Luminance(Plane[palette.Y]{})
	l := Lightness(Plane[palette.L]{}, y)
	back := p.Raster(Raster{})
	for i, row := range tab.Rows {
		oracle.Close(t, fmt.Sprint("Y of code ", i), float64(y.At(i, 0)), row.Num(t, "Y_0_100")/100, 1e-6)
		oracle.Close(t, fmt.Sprint("L* of code ", i), float64(l.At(i, 0)), row.Num(t, "Lstar"), 0.003)
		if c := uint8(i); back.At(i, 0) != (palette.SRGB{R: c, G: c, B: c}) {
			t.Errorf("code %d comes back as %v", i, back.At(i, 0))
		}
	}
}

func TestLuminanceWeighsTheChannels(t *testing.T) {
	p := NewPicture(3, 1)
	for i, q := range p.Planes() {
		q.Set(i, 0, 1)
	}
	y := p.Luminance(Plane[palette.Y]{})
	for i, want := range []float64{0.2126, 0.7152, 0.0722} {
		oracle.Close(t, fmt.Sprint("channel ", i), float64(y.At(i, 0)), want, 1e-7)
	}
}

func TestRasterClampsAndKeepsChannelsApart(t *testing.T) {
	const n = 3*rasterChunk + 7 // more than one chunk
	p := NewPicture(n, 1)
	for i := range n {
		p.R.Set(i, 0, float32(palette.Decode8(uint8(i))))
		p.G.Set(i, 0, -1)
		p.B.Set(i, 0, 2)
	}
	p.G.Set(5, 0, float32(math.NaN()))
	got := p.Raster(Raster{})
	for i := range n {
		if want := (palette.SRGB{R: uint8(i), G: 0, B: 255}); got.At(i, 0) != want {
			t.Fatalf("pixel %d is %v, want %v", i, got.At(i, 0), want)
		}
	}
}

func TestRasterRefusesUnequalPlanes(t *testing.T) {
	for i, size := range []struct{ w, h int }{{3, 2}, {2, 3}} {
		p := NewPicture(3, 3)
		*[]*Plane[palette.Light]{&p.G, &p.B}[i] = NewPlane[palette.Light](size.w, size.h)
		func() {
			defer func() {
				if got := fmt.Sprint(recover()); !strings.HasPrefix(got, "imageproc: picture of unequal planes") {
					t.Errorf("planes of %v, %v, %v: panic %q", p.R.Size(), p.G.Size(), p.B.Size(), got)
				}
			}()
			p.Raster(Raster{})
		}()
	}
}

func TestLightReusesMemory(t *testing.T) {
	p := NewPicture(40, 30)
	y, l, r := NewPlane[palette.Y](50, 30), NewPlane[palette.L](50, 30), NewRaster(50, 30)
	palette.Decode8(0)
	p.Raster(r)
	Lightness(l, y)
	n := testing.AllocsPerRun(10, func() {
		y = p.Luminance(y)
		l = Lightness(l, y)
		r = p.Raster(r)
	})
	if n > 0 {
		t.Errorf("%v allocations", n)
	}
	if y.W != 40 || l.H != 30 || r.W != 40 || len(r.Pix) != 3*40*30 {
		t.Errorf("sizes %v %v %v", y.Size(), l.Size(), r.Size())
	}
	if small := NewPicture(50, 40).Raster(r); small.W != 50 || len(small.Pix) != 3*50*40 || &small.Pix[0] == &r.Pix[0] {
		t.Errorf("too little memory gives a raster of %v", small.Size())
	}
}
