package retouch

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// Whole-pixel shifts copy exactly, mirrored or not, in place or not, with a
// patch that may reach outside either picture.
func TestCarryExactly(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	var r Retoucher
	for n := range 200 {
		w, h := 2+rng.IntN(40), 2+rng.IntN(40)
		from, p := randomPicture(rng, w, h), randomPatch(rng, w, h)
		pic := randomPicture(rng, 2+rng.IntN(40), 2+rng.IntN(40))
		if n%3 == 0 {
			pic = copyOf(from)
		}
		dx, dy, mirror := rng.IntN(2*w)-w, rng.IntN(2*h)-h, n%2 == 1
		want, old := copyOf(pic), from.Planes()
		for c, plane := range want.Planes() {
			eachMarked(p, from.Size(), func(x, y int) {
				tx := x
				if mirror {
					tx = 2*p.At.X + p.Mask.W - 1 - x
				}
				if to := image.Pt(tx+dx, y+dy); to.In(image.Rectangle{Max: pic.Size()}) {
					plane.Set(to.X, to.Y, old[c].At(x, y))
				}
			})
		}
		source := copyOf(from)
		if n%3 == 0 {
			pic, source = from, from // the same memory
		}
		r.Carry(pic, source, p, float64(dx)+1e-9, float64(dy)-1e-9, 1, mirror)
		if !equal(pic, want) {
			t.Fatalf("case %d: by %d, %d, mirror %v: off by %v", n, dx, dy, mirror, largest(pic, want))
		}
		if n%3 != 0 && !equal(source, from) {
			t.Fatalf("case %d: the source changed", n)
		}
	}
}

// coverage is the share of pixel x, y that the carried rectangle covers.
func coverage(x, y int, x0, y0, x1, y1 float64) float64 {
	across := min(x1, float64(x+1)) - max(x0, float64(x))
	down := min(y1, float64(y+1)) - max(y0, float64(y))
	return max(across, 0) * max(down, 0)
}

// A flat patch on a flat ground: each pixel is mixed by the share covered, and
// nothing of the white beside the patch bleeds in.
func TestCarryCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 1))
	var r Retoucher
	for range 300 {
		p := Patch{image.Pt(8, 9), maskOf(10+rng.IntN(20), 10+rng.IntN(20), markAll)}
		from := pictureOf(50, 50, func(x, y int) float64 {
			if p.has(x, y) {
				return .25
			}
			return 1
		})
		pic := pictureOf(90, 80, func(int, int) float64 { return .75 })
		dx, dy, scale := 40*rng.Float64()-5, 30*rng.Float64()-5, .3+.7*rng.Float64()
		r.Carry(pic, from, p, dx, dy, scale, rng.IntN(2) == 0)
		w, h := float64(p.Mask.W), float64(p.Mask.H)
		midX, midY := 8+w/2+dx, 9+h/2+dy
		for y := range 80 {
			for x := range 90 {
				share := coverage(x, y, midX-scale*w/2, midY-scale*h/2, midX+scale*w/2, midY+scale*h/2)
				if got, want := float64(pic.G.At(x, y)), .75-.5*share; !(math.Abs(got-want) < 1e-5) {
					t.Fatalf("scale %v by %v, %v: pixel %d, %d is %v, want %v", scale, dx, dy, x, y, got, want)
				}
			}
		}
	}
}

// Scaled up, the edge still blends over one pixel only, halfway where the
// border is, and inside is exactly the patch.
func TestCarryUpEdge(t *testing.T) {
	p := Patch{image.Pt(20, 20), maskOf(10, 10, markAll)}
	from := pictureOf(50, 50, func(x, y int) float64 {
		if p.has(x, y) {
			return .25
		}
		return 1
	})
	for _, scale := range []float64{1.5, 2, 4.3, 10} {
		pic := pictureOf(200, 200, func(int, int) float64 { return .75 })
		new(Retoucher).Carry(pic, from, p, 75.25, 75, scale, false)
		for x := range 200 {
			away := math.Abs(float64(x)+.5-100.25) - 5*scale // outside is positive
			got := float64(pic.R.At(x, 100))
			switch {
			case away > .51:
				oracle.Close(t, "ground", got, .75, 1e-6)
			case away < -.51:
				oracle.Close(t, "patch", got, .25, 1e-6)
			default:
				oracle.Close(t, "edge", got, .5+.5*away, 1e-4)
			}
		}
	}
}

// A ramp carried stays the ramp, scaled and mirrored, away from the edge:
// bilinear interpolation is exact for it, the mean over an area of whole and
// part pixels within a step of the ramp over four of such areas.
func TestCarryRamp(t *testing.T) {
	rng := rand.New(rand.NewPCG(35, 1))
	ramp := func(x, y float64) float64 { return .1 + .004*x + .002*y }
	from := pictureOf(100, 100, func(x, y int) float64 { return ramp(float64(x)+.5, float64(y)+.5) })
	p := Patch{image.Pt(30, 20), maskOf(41, 50, markDisc(41, 50))}
	for range 60 {
		pic := pictureOf(300, 300, func(int, int) float64 { return 0 })
		dx, dy, scale, mirror := 80+50*rng.Float64(), 80+50*rng.Float64(), math.Exp(3*rng.Float64()-1.2), rng.IntN(2) == 0
		new(Retoucher).Carry(pic, from, p, dx, dy, scale, mirror)
		checked, most := 0, 1e-5
		if scale < 1 {
			most += .006 / 4 * scale
		}
		for y := range 300 {
			for x := range 300 {
				u, v := (float64(x)+.5-50.5-dx)/scale, (float64(y)+.5-45-dy)/scale
				if math.Hypot(u/20.5, v/25) > 1-2*max(1, 1/scale)/20.5 {
					continue
				}
				if mirror {
					u = -u
				}
				if got, want := float64(pic.B.At(x, y)), ramp(50.5+u, 45+v); !(math.Abs(got-want) < most) {
					t.Fatalf("scale %v mirror %v: %v, want %v", scale, mirror, got, want)
				}
				checked++
			}
		}
		if checked < 50 {
			t.Fatalf("scale %v: only %d pixels checked", scale, checked)
		}
	}
}

// Fine stripes of black and white scaled down are the mean of their light, not
// of their codes: L* 76.1, not 53 (trap 3 of the house: blurring codes darkens).
func TestCarryMeansLight(t *testing.T) {
	from := pictureOf(80, 80, func(x, _ int) float64 { return float64(x & 1) })
	pic := imageproc.NewPicture(80, 80)
	p := Patch{Mask: maskOf(80, 80, markAll)}
	new(Retoucher).Carry(pic, from, p, 0, 0, .25, false)
	oracle.Close(t, "L* of the stripes", lightness(float64(pic.R.At(40, 40))), 76.07, .01)
}

func TestCarryPanics(t *testing.T) {
	pic := imageproc.NewPicture(4, 4)
	for _, bad := range [][3]float64{{0, 0, 0}, {0, 0, -1}, {0, 0, math.NaN()}, {0, 0, math.Inf(1)}, {math.NaN(), 0, 1}, {0, math.Inf(-1), 1}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%v did not panic", bad)
				}
			}()
			new(Retoucher).Carry(pic, pic, Patch{Mask: maskOf(2, 2, markAll)}, bad[0], bad[1], bad[2], false)
		}()
	}
	was := copyOf(pic)
	for _, far := range [][3]float64{{1e300, 0, 1}, {0, -1e300, 1000}, {0, 0, .001}, {500, 0, 1}} {
		new(Retoucher).Carry(pic, pic, Patch{Mask: maskOf(2, 2, markAll)}, far[0], far[1], far[2], true)
	}
	if !equal(pic, was) {
		t.Error("a patch carried out of a black picture left something")
	}
}

func TestPaint(t *testing.T) {
	rng := rand.New(rand.NewPCG(36, 1))
	for range 50 {
		w, h := 1+rng.IntN(30), 1+rng.IntN(30)
		pic, p := randomPicture(rng, w, h), randomPatch(rng, w, h)
		want := copyOf(pic)
		for _, plane := range want.Planes() {
			eachMarked(p, want.Size(), func(x, y int) { plane.Set(x, y, .1875) })
		}
		Paint(pic, p, palette.Light(.1875))
		if !equal(pic, want) {
			t.Fatalf("%d by %d: painted something else", w, h)
		}
	}
}
