package retouch

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// exactSheet solves the membrane of p held by light itself, without the average
// along the rim, and returns the solution by place in the picture.
func exactSheet(t *testing.T, size image.Point, p Patch, light func(x, y int) float64) func(x, y int) float64 {
	t.Helper()
	var g grid
	var s sheet
	g.lay(p, p.bounds(image.Rectangle{Max: size}), size)
	s.size(&g)
	at := func(x, y int) int { return (y-g.box.Min.Y+1)*g.stride + x - g.box.Min.X + 1 }
	sum := 0.
	for _, i := range g.rim {
		v := light(int(i)%g.stride-1+g.box.Min.X, int(i)/g.stride-1+g.box.Min.Y)
		s.u[i] = float32(v)
		sum += v / float64(len(g.rim))
	}
	s.fill(&g, float32(sum))
	if !s.settle(context.Background(), &g) {
		t.Fatal("settle was stopped")
	}
	return func(x, y int) float64 { return float64(s.u[at(x, y)]) }
}

// eachMarked calls f for the marked pixels of p that lie in a picture of size.
func eachMarked(p Patch, size image.Point, f func(x, y int)) {
	for y := range size.Y {
		for x := range size.X {
			if p.has(x, y) {
				f(x, y)
			}
		}
	}
}

func pictureOf(w, h int, light func(x, y int) float64) imageproc.Picture {
	pic := imageproc.NewPicture(w, h)
	for i := range pic.R.Pix {
		v := float32(light(i%w, i/w))
		pic.R.Pix[i], pic.G.Pix[i], pic.B.Pix[i] = v, v, v
	}
	return pic
}

func randomPicture(rng *rand.Rand, w, h int) imageproc.Picture {
	pic := imageproc.NewPicture(w, h)
	for _, plane := range pic.Planes() {
		for i := range plane.Pix {
			plane.Pix[i] = rng.Float32()
		}
	}
	return pic
}

// randomPatch marks pixels of a random rectangle, which may reach outside a
// picture of w by h: now specks, now blots, now boxes with holes.
func randomPatch(rng *rand.Rand, w, h int) Patch {
	pw, ph := 1+rng.IntN(w), 1+rng.IntN(h)
	at := image.Pt(rng.IntN(w+4)-pw/2-2, rng.IntN(h+4)-ph/2-2)
	share, kind := rng.Float64(), rng.IntN(3)
	cx, cy, cr := rng.Float64()*float64(pw), rng.Float64()*float64(ph), rng.Float64()*float64(pw)
	return Patch{at, maskOf(pw, ph, func(x, y int) bool {
		switch kind {
		case 0:
			return rng.Float64() < share
		case 1:
			return math.Hypot(float64(x)-cx, float64(y)-cy) < cr
		}
		return rng.Float64() > .03
	})}
}

func copyOf(pic imageproc.Picture) imageproc.Picture {
	return pic.Crop(image.Rectangle{Max: pic.Size()})
}

func leaveOut(t *testing.T, pic imageproc.Picture, p Patch) imageproc.Picture {
	t.Helper()
	out := copyOf(pic)
	if err := new(Retoucher).LeaveOut(context.Background(), out, p); err != nil {
		t.Fatal(err)
	}
	return out
}

func lightness(v float64) float64 { return float64(palette.Y(v).L()) }

func lightOf(l float64) float64 { return float64(palette.L(l).Y()) }

// largest returns the largest difference between two pictures of one size.
func largest(a, b imageproc.Picture) float64 {
	most := 0.
	pb := b.Planes()
	for c, plane := range a.Planes() {
		for i, v := range plane.Pix {
			if d := math.Abs(float64(v) - float64(pb[c].Pix[i])); !(d <= most) {
				most = d
			}
		}
	}
	return most
}

func equal(a, b imageproc.Picture) bool { return a.Size() == b.Size() && largest(a, b) == 0 }
