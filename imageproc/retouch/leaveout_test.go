package retouch

import (
	"context"
	"errors"
	"image"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette/oracle"
)

// surroundings are the pixels outside the patch within rimReach of a pixel that
// touches it.
func surroundings(p Patch, size image.Point, f func(x, y int)) {
	for y := range size.Y {
		for x := range size.X {
			if p.has(x, y) {
				continue
			}
			near := false
			for dy := -rimReach - 1; dy <= rimReach+1; dy++ {
				for dx := -rimReach - 1; dx <= rimReach+1; dx++ {
					near = near || image.Pt(x+dx, y+dy).In(image.Rectangle{Max: size}) && p.has(x+dx, y+dy)
				}
			}
			if near {
				f(x, y)
			}
		}
	}
}

// The maximum principle: never lighter than the lightest surroundings, never
// darker than the darkest; and nothing outside the patch changes.
func TestMaximumPrinciple(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 8))
	var r Retoucher
	filled := 0
	for n := range 150 {
		size := image.Pt(2+rng.IntN(40), 2+rng.IntN(40))
		pic, p := randomPicture(rng, size.X, size.Y), randomPatch(rng, size.X, size.Y)
		if n%2 == 0 { // a light object on a flat ground
			for i := range pic.G.Pix {
				pic.G.Pix[i] = .7
			}
			eachMarked(p, size, func(x, y int) { pic.G.Set(x, y, 5) })
		}
		was := copyOf(pic)
		err := r.LeaveOut(context.Background(), pic, p)
		if err != nil {
			if !errors.Is(err, ErrNoSurroundings) || !equal(was, pic) {
				t.Fatalf("%v, %v: %v", size, p.At, err)
			}
			continue
		}
		old := was.Planes()
		for c, plane := range pic.Planes() {
			low, high := float32(2), float32(-1)
			surroundings(p, size, func(x, y int) {
				low, high = min(low, old[c].At(x, y)), max(high, old[c].At(x, y))
			})
			for i, v := range plane.Pix {
				switch inside := p.has(i%size.X, i/size.X); {
				case !inside && v != old[c].Pix[i]:
					t.Fatalf("plane %d: pixel %d outside the patch changed", c, i)
				case inside && !(v >= low-1e-6 && v <= high+1e-6):
					t.Fatalf("plane %d, size %v: fill %v outside %v..%v", c, size, v, low, high)
				case inside:
					filled++
				}
			}
		}
	}
	if filled < 10000 {
		t.Errorf("only %d pixels were filled", filled)
	}
}

// The fill of a weighted sum of pictures is the weighted sum of the fills.
func TestLinear(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 30 {
		w, h := 10+rng.IntN(60), 10+rng.IntN(60)
		p := randomPatch(rng, w-1, h-1)
		a, b, both := randomPicture(rng, w, h), randomPicture(rng, w, h), imageproc.NewPicture(w, h)
		pa, pb := a.Planes(), b.Planes()
		for c, plane := range both.Planes() {
			for i := range plane.Pix {
				plane.Pix[i] = .3*pa[c].Pix[i] + .6*pb[c].Pix[i]
			}
		}
		a, b, both = leaveOut(t, a, p), leaveOut(t, b, p), leaveOut(t, both, p)
		pa, pb = a.Planes(), b.Planes()
		for c, plane := range both.Planes() {
			for i := range plane.Pix {
				plane.Pix[i] -= .3*pa[c].Pix[i] + .6*pb[c].Pix[i]
			}
		}
		oracle.Close(t, "fill of a sum", largest(both, imageproc.NewPicture(w, h)), 0, 1e-4)
	}
}

func TestMirroredAndTurned(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	mirror := func(pic imageproc.Picture) imageproc.Picture {
		return imageproc.Picture{R: pic.R.Mirror(), G: pic.G.Mirror(), B: pic.B.Mirror()}
	}
	transpose := func(pic imageproc.Picture) imageproc.Picture {
		return imageproc.Picture{R: pic.R.Transpose(), G: pic.G.Transpose(), B: pic.B.Transpose()}
	}
	for range 30 {
		w, h := 10+rng.IntN(90), 10+rng.IntN(90)
		pic, p := randomPicture(rng, w, h), randomPatch(rng, w-1, h-1)
		out := leaveOut(t, pic, p)
		m := Patch{Mask: maskOf(w, h, func(x, y int) bool { return p.has(w-1-x, y) })}
		oracle.Close(t, "mirrored", largest(leaveOut(t, mirror(pic), m), mirror(out)), 0, 1e-4)
		tr := Patch{Mask: maskOf(h, w, func(x, y int) bool { return p.has(y, x) })}
		oracle.Close(t, "transposed", largest(leaveOut(t, transpose(pic), tr), transpose(out)), 0, 1e-4)
	}
}

// Parts that do not touch are filled independently, near or far apart, and a
// hole in a part holds it as the rest of its border does.
func TestIslandsAndHoles(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	w, h := 220, 160
	pic := randomPicture(rng, w, h)
	parts := []func(x, y int) bool{
		func(x, y int) bool { return x >= 10 && x < 30 && y >= 10 && y < 25 },
		func(x, y int) bool { return x >= 38 && x < 60 && y >= 12 && y < 50 && (x != 50 || y != 30) },
		func(x, y int) bool { return math.Hypot(float64(x)-180, float64(y)-120) < 30 && (x-180)*(x-180) > 90 },
		func(x, y int) bool { return x > 210 && y < 9 },
	}
	together := leaveOut(t, pic, Patch{Mask: maskOf(w, h, func(x, y int) bool {
		return parts[0](x, y) || parts[1](x, y) || parts[2](x, y) || parts[3](x, y)
	})})
	apart := copyOf(pic)
	for _, part := range parts {
		one := leaveOut(t, pic, Patch{Mask: maskOf(w, h, part)})
		from := one.Planes()
		for c, plane := range apart.Planes() {
			for i := range plane.Pix {
				if part(i%w, i/w) {
					plane.Pix[i] = from[c].Pix[i]
				}
			}
		}
	}
	oracle.Close(t, "parts together and one by one", largest(together, apart), 0, 1e-4)

	// A dark ground with a bright hole: the ring between goes from one to the other.
	ring := func(x, y int) bool { r := math.Hypot(float64(x)-80, float64(y)-80); return r < 60 && r > 20 }
	light := func(x, y int) float64 {
		if math.Hypot(float64(x)-80, float64(y)-80) <= 20 {
			return .9
		}
		return .1
	}
	got := exactSheet(t, image.Pt(161, 161), Patch{Mask: maskOf(161, 161, ring)}, light)
	for _, r := range []int{25, 35, 50} {
		want := .9 + (.1-.9)*math.Log(float64(r)/20)/math.Log(60./20) // log r, from the middles of the held pixels (textbook)
		oracle.Close(t, "between circles", got(80+r, 80), want, .015)
	}
}

func TestNothingToLeaveOut(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	pic := randomPicture(rng, 12, 9)
	was := copyOf(pic)
	var r Retoucher
	for name, p := range map[string]Patch{
		"zero":    {},
		"empty":   {image.Pt(2, 2), imageproc.NewMask(5, 5)},
		"outside": {image.Pt(-9, 3), maskOf(9, 9, markAll)},
	} {
		if err := r.LeaveOut(context.Background(), pic, p); err != nil || !equal(pic, was) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, p := range map[string]Patch{
		"whole picture": {image.Pt(0, 0), maskOf(12, 9, markAll)},
		"and more":      {image.Pt(-5, -5), maskOf(30, 30, markAll)},
	} {
		if err := r.LeaveOut(context.Background(), pic, p); !errors.Is(err, ErrNoSurroundings) || !equal(pic, was) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := r.LeaveOut(context.Background(), imageproc.Picture{}, Patch{Mask: maskOf(3, 3, markAll)}); err != nil {
		t.Errorf("picture of no pixels: %v", err)
	}
}

// countdown is a context that ends after it was asked n times.
type countdown struct {
	context.Context
	n *int
}

func (c countdown) Err() error {
	if *c.n--; *c.n < 0 {
		return context.Canceled
	}
	return nil
}

func TestStopped(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1)) // countdown is for one goroutine
	rng := rand.New(rand.NewPCG(4, 4))
	pic := randomPicture(rng, 120, 90)
	was := copyOf(pic)
	p := Patch{Mask: maskOf(120, 90, func(x, y int) bool { return (x < 40 || x > 70) && y > 3 })}
	var r Retoucher
	finished := false
	for n := 0; n < 200 && !finished; n += 3 {
		left := n
		err := r.LeaveOut(countdown{context.Background(), &left}, pic, p)
		if finished = err == nil; finished {
			break
		}
		if !errors.Is(err, context.Canceled) || !equal(pic, was) {
			t.Fatalf("stopped after %d looks: %v", n, err)
		}
	}
	if !finished || equal(pic, was) || !equal(pic, leaveOut(t, was, p)) {
		t.Error("after being stopped, the retoucher does not do what a fresh one does")
	}
}

func TestSameForAnyProcessors(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 4))
	pic := randomPicture(rng, 300, 200)
	p := Patch{image.Pt(20, 10), maskOf(250, 250, markFigure(250, 250))}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, carried := leaveOut(t, pic, p), copyOf(pic)
	new(Retoucher).Carry(carried, pic, p, 20.3, -7.7, 1.7, true)
	for _, n := range []int{2, 3, 8} {
		runtime.GOMAXPROCS(n)
		many := copyOf(pic)
		new(Retoucher).Carry(many, pic, p, 20.3, -7.7, 1.7, true)
		if !equal(one, leaveOut(t, pic, p)) || !equal(carried, many) {
			t.Errorf("%d processors give another picture than one", n)
		}
	}
}

func TestScratchIsKept(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 4))
	var r Retoucher
	for range 40 {
		w, h := 3+rng.IntN(60), 3+rng.IntN(60)
		pic, p := randomPicture(rng, w, h), randomPatch(rng, w-1, h-1)
		want := leaveOut(t, pic, p)
		if err := r.LeaveOut(context.Background(), pic, p); err != nil || !equal(pic, want) {
			t.Fatalf("%d by %d: a used retoucher gives another picture (%v)", w, h, err)
		}
	}
}

func TestNotFinite(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		pic := pictureOf(40, 40, func(x, y int) float64 { return .5 })
		pic.R.Set(9, 20, float32(bad))
		p := Patch{image.Pt(10, 10), maskOf(20, 20, markAll)}
		out := leaveOut(t, pic, p)
		if v := out.G.At(20, 20); v != .5 {
			t.Errorf("%v in red: green is %v", bad, v)
		}
	}
}
