package retouch

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// jump returns the largest step in L* between a pixel of the patch and a
// neighbour outside.
func jump(pic imageproc.Picture, p Patch) float64 {
	l := imageproc.Lightness(imageproc.Plane[palette.L]{}, pic.Luminance(imageproc.Plane[palette.Y]{}))
	most := 0.
	eachMarked(p, pic.Size(), func(x, y int) {
		for _, d := range []image.Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			q := image.Pt(x+d.X, y+d.Y)
			if q.In(image.Rectangle{Max: pic.Size()}) && !p.has(q.X, q.Y) {
				most = max(most, math.Abs(float64(l.At(x, y))-float64(l.At(q.X, q.Y))))
			}
		}
	})
	return most
}

// On grounds that rise by at most half an L* a pixel no seam is seen.
func TestSeam(t *testing.T) {
	w, h := 200, 180
	grounds := map[string]func(x, y int) float64{
		"flat":     func(int, int) float64 { return lightOf(60) },
		"ramp":     func(x, _ int) float64 { return lightOf(.5 * float64(x)) },
		"slanting": func(x, y int) float64 { return lightOf(10 + .3*float64(x) + .2*float64(y)) },
		"radial": func(x, y int) float64 {
			return lightOf(95 - .5*math.Hypot(float64(x)-100, float64(y)-90))
		},
		"waves": func(x, y int) float64 {
			return lightOf(50 + 10*math.Sin(float64(x)/25) + 5*math.Cos(float64(y)/30))
		},
	}
	patches := map[string]Patch{
		"box":    {image.Pt(40, 30), maskOf(120, 110, markAll)},
		"disc":   {image.Pt(50, 50), maskOf(80, 90, markDisc(80, 90))},
		"figure": {image.Pt(30, 30), maskOf(130, 120, markFigure(130, 120))},
		"corner": {image.Pt(0, 0), maskOf(90, 90, markAll)},
		"speck":  {image.Pt(60, 60), maskOf(3, 3, markAll)},
	}
	for ground, light := range grounds {
		for shape, p := range patches {
			most := 1.
			if shape == "corner" {
				most = 3 // free edges level a ground that slopes towards them
			}
			got := jump(leaveOut(t, pictureOf(w, h, light), p), p)
			t.Logf("%s, %s: %.2f L*", ground, shape, got)
			oracle.Close(t, ground+", "+shape+": largest jump in L*", got, 0, most)
		}
	}
}

// The sky of the demo scene, whose grain alone steps by up to 1.6 L*.
func TestSeamInSky(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(oracle.Root(t), "cmd", "halflid", "demo", "harbour.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	scene, err := photo.Decode(context.Background(), data, "harbour.jpg", photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for name, p := range map[string]Patch{
		"gull":         {image.Pt(915, 190), maskOf(110, 60, markAll)},
		"other gull":   {image.Pt(965, 85), maskOf(95, 60, markAll)},
		"open sky":     {image.Pt(1080, 60), maskOf(240, 110, markFigure(240, 110))},
		"to the edge":  {image.Pt(1300, 0), maskOf(300, 90, markAll)},
		"cloudy patch": {image.Pt(150, 20), maskOf(300, 90, markDisc(300, 90))},
	} {
		before, after := jump(scene.Master, p), jump(leaveOut(t, scene.Master, p), p)
		t.Logf("%s: %.2f L* before, %.2f after", name, before, after)
		oracle.Close(t, name+": largest jump in L*", after, 0, max(1, before))
	}
}

// One pixel 50 L* lighter than its ground right at the border: 3 pixels inside,
// the fill rises by less than half of what it would without the average.
func TestNoStreak(t *testing.T) {
	p := Patch{image.Pt(20, 20), maskOf(60, 60, markAll)}
	light := func(x, y int) float64 {
		if x == 50 && y == 19 {
			return lightOf(90)
		}
		return lightOf(40)
	}
	out := leaveOut(t, pictureOf(100, 100, light), p)
	raw := exactSheet(t, image.Pt(100, 100), p, light)
	for _, in := range []struct {
		depth      int
		most, bare float64
	}{{0, 8, 24}, {2, 4.5, 9.5}, {9, 1.6, 3}} {
		at := float64(out.G.At(50, 20+in.depth))
		got, bare := lightness(at)-40, lightness(raw(50, 20+in.depth))-40
		t.Logf("%d inside: %.2f L* instead of %.2f", in.depth, got, bare)
		if !(got <= in.most) || !(bare >= in.bare) {
			t.Errorf("%d inside: got %v (at most %v), without the average %v (at least %v)", in.depth, got, in.most, bare, in.bare)
		}
	}
}

// Noise along the border gets into the fill with a third of its strength.
func TestNoisyBorder(t *testing.T) {
	rng := rand.New(rand.NewPCG(44, 2))
	pic := pictureOf(140, 140, func(int, int) float64 { return lightOf(50 + 3*rng.NormFloat64()) })
	p := Patch{image.Pt(20, 20), maskOf(100, 100, markAll)}
	out := leaveOut(t, pic, p)
	sum := 0.
	for i := range 100 {
		d := lightness(float64(out.R.At(20+i, 20))) - 50
		sum += d * d
	}
	rms := math.Sqrt(sum / 100)
	t.Logf("first row inside: %.2f L* of 3", rms)
	if !(rms < 1 && rms > .2) {
		t.Errorf("first row inside: rms %v L*, want below 1", rms)
	}
}

// A disc 60 L* darker than its ground, blurred by 1.5 pixels in light, left out
// along its outline and grown by some pixels.
func TestSoftEdge(t *testing.T) {
	const r, sigma = 30., 1.5
	dark, ground := lightOf(20), lightOf(80)
	away := func(x, y int) float64 { return math.Hypot(float64(x)-60, float64(y)-60) - r }
	pic := pictureOf(121, 121, func(x, y int) float64 {
		return ground + (dark-ground)*.5*math.Erfc(away(x, y)/(sigma*math.Sqrt2))
	})
	for _, test := range []struct{ grow, most, least float64 }{{0, 12, 8}, {3, .4, .1}, {4, .1, 0}} {
		p := Patch{Mask: maskOf(121, 121, func(x, y int) bool { return away(x, y) <= test.grow })}
		out := leaveOut(t, pic, p)
		off := 0.
		eachMarked(p, pic.Size(), func(x, y int) {
			off = max(off, math.Abs(lightness(float64(out.R.At(x, y)))-80))
		})
		t.Logf("grown by %v: off by %.2f L*", test.grow, off)
		if !(off <= test.most && off >= test.least) {
			t.Errorf("grown by %v: off by %v L*, want %v to %v", test.grow, off, test.least, test.most)
		}
	}
}
