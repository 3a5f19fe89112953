package tone

import (
	"fmt"
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// row returns a picture one pixel high.
func row(ls ...float32) imageproc.Plane[palette.L] {
	return imageproc.Plane[palette.L]{W: len(ls), H: 1, Pix: ls}
}

// Hand-counted: where a photo has too few lightnesses, the widest stretch of
// 0..100 is halved, the lowest of equals first, downwards to a sixteenth of L*.
func TestCutsThatPartNothing(t *testing.T) {
	black, two := counted(row(0, 0, 0)), counted(row(20, 80))
	for _, c := range []struct {
		h    Histogram
		want []palette.L
	}{
		{black, []palette.L{50}},
		{black, []palette.L{25, 50}},
		{black, []palette.L{25, 50, 75}},
		{black, []palette.L{12.5, 25, 50, 75}},
		// Bin 320 ends at 321/16, bin 1280 begins at 1280/16.
		{two, []palette.L{50.03125}},
		{two, []palette.L{25, 50.03125}}, // the half, 25.015625, is in the middle of a bin
		{two, []palette.L{25, 50.03125, 75}},
	} {
		k := len(c.want) + 1
		if got := LeastError(c.h, k); !slices.Equal(got, c.want) {
			t.Errorf("least error with %d values: %v, want %v", k, got, c.want)
		}
		if got := Nested(c.h, k); !slices.Equal(got, c.want) {
			t.Errorf("nested with %d values: %v, want %v", k, got, c.want)
		}
	}
}

// Hand-counted: dividing 10, 20 takes away just as much error as dividing 80, 90
// (50): of equals the darker is divided.
func TestNestedDividesTheDarkerOfEquals(t *testing.T) {
	want := []palette.L{(161 + 320) / 32.0, (321 + 1280) / 32.0}
	if got := Nested(counted(row(10, 20, 80, 90)), 3); !slices.Equal(got, want) {
		t.Errorf("of equals: cuts %v, want %v", got, want)
	}
	// More error to begin with, in 60 and 70 and 80, but less of it goes (150 of
	// 200) than in 0 and 20 (200 of 200).
	want = []palette.L{(1 + 320) / 32.0, (321 + 960) / 32.0}
	if got := Nested(counted(row(0, 20, 60, 70, 80)), 3); !slices.Equal(got, want) {
		t.Errorf("where most error goes: cuts %v, want %v", got, want)
	}
}

// Hand-counted: a pixel that lies on a cut belongs above it, with few cuts and
// with many; and so does a bin in what is kept, over values that nothing carries.
func TestOnACut(t *testing.T) {
	for n := range 9 {
		var cuts []palette.L
		for i := range n {
			cuts = append(cuts, palette.L(10*(i+1)))
		}
		labels := imageproc.NewLabels(10, 1)
		Classify(labels, row(0, 10, 20, 30, 40, 50, 60, 70, 80, 90), cuts)
		for i, v := range labels.Pix {
			if int(v) != min(i, n) {
				t.Errorf("%d cuts: a pixel of %d is labelled %d", n, 10*i, v)
			}
		}
	}
	two := counted(row(25, 75))
	oracle.Close(t, "kept, a cut on the lighter", two.Kept([]palette.L{75}), 1, 1e-12)
	oracle.Close(t, "kept, a cut above all", two.Kept([]palette.L{75.0625}), 0, 1e-12)
	// 10, 90, 94: mean 64 2/3, spread 4490 2/3; in 10 and 92, 92 it is 8 less.
	three := counted(row(10, 90, 94))
	want := 1 - 8/(10*10+90*90+94*94-194*194/3.0)
	oracle.Close(t, "kept, over an empty value", three.Kept([]palette.L{20, 50}), want, 1e-12)
	labels := imageproc.Labels{W: 3, H: 1, Pix: []int32{0, 2, 2}}
	oracle.Close(t, "kept by shapes, over an empty value", KeptBy(labels, row(10, 90, 94), 3), want, 1e-12)
}

// What is kept is a share: all of a flat photo, whatever the last bits say; nothing
// of the faintest play of lightness in one value, all of it in two.
func TestKeptIsAShare(t *testing.T) {
	r := rand.New(rand.NewSource(29))
	for range 300 {
		n := 2 + r.Intn(60)
		l, labels := imageproc.NewPlane[palette.L](n, 1), imageproc.NewLabels(n, 1)
		a, b := float32(100*r.Float64()), float32(100*r.Float64())
		for i := range l.Pix {
			l.Pix[i] = a
		}
		oracle.Close(t, "flat", counted(l).Kept([]palette.L{palette.L(b)}), 1, 0)
		oracle.Close(t, "flat, by shapes", KeptBy(labels, l, 1), 1, 0)
		for i := range l.Pix {
			if i > 0 && (i == 1 || r.Intn(2) == 0) {
				l.Pix[i], labels.Pix[i] = b, 1
			}
		}
		if v := KeptBy(labels, l, 2); !(v > 1-1e-9 && v <= 1) {
			t.Fatalf("two lightnesses in two values keep %.17g", v)
		}
		if v := counted(l).Kept(nil); a != b && !(v >= 0 && v < 1e-9) {
			t.Fatalf("%v and %v in one value keep %.17g", a, b, v)
		}
	}
	faint := counted(row(49.99, 50.01))
	oracle.Close(t, "faint, in one value", faint.Kept(nil), 0, 1e-9)
	oracle.Close(t, "faint, in two", faint.Kept([]palette.L{50}), 1, 1e-9)
	oracle.Close(t, "mean of nothing", float64(Histogram{}.Mean()), 0, 0)
}

// Hand-counted: a value that nobody carries counts half a pixel where it disagrees;
// tones end at black and at white, and reach them.
func TestMeanTonesAtTheEnds(t *testing.T) {
	y := func(ls ...palette.L) imageproc.Plane[palette.Y] {
		p := imageproc.NewPlane[palette.Y](len(ls), 1)
		for i, l := range ls {
			p.Pix[i] = float32(l.Y())
		}
		return p
	}
	for _, c := range []struct {
		what   string
		labels []int32
		light  []palette.L
		cuts   []palette.L
		want   []float64
	}{
		// Nobody in the lighter, 70 between 40 and 100: (2 x 80 + 70/2) / 2.5.
		{"empty and out of order", []int32{0, 0}, []palette.L{80, 80}, []palette.L{40}, []float64{78 - 1.0/32, 78 + 1.0/32}},
		{"black and white", []int32{0, 1}, []palette.L{0, 100}, []palette.L{50}, []float64{0, 100}},
		{"white only", []int32{0, 1, 2}, []palette.L{100, 100, 100}, []palette.L{50, 60}, []float64{100 - 2.0/16, 100 - 1.0/16, 100}},
		{"nearly black, out of order", []int32{0, 1}, []palette.L{0.02, 0}, []palette.L{50}, []float64{0, 1.0 / 16}},
		// 60 and 40 meet at 50, which is lighter than 45: all three at 48 1/3.
		{"one after the other", []int32{0, 1, 2}, []palette.L{60, 40, 45}, []palette.L{30, 70}, []float64{145/3.0 - 1.0/16, 145 / 3.0, 145/3.0 + 1.0/16}},
		{"as it was before", []int32{0, 1, 2}, []palette.L{50, 60, 40}, []palette.L{30, 70}, []float64{50 - 1.0/16, 50, 50 + 1.0/16}},
	} {
		tones := MeanTones(imageproc.Labels{W: len(c.labels), H: 1, Pix: c.labels}, y(c.light...), c.cuts)
		for i := range c.want {
			oracle.Close(t, c.what, float64(tones[i]), c.want[i], 1e-4)
		}
		if err := CheckTones(tones, len(c.want)); err != nil {
			t.Errorf("%s: %v", c.what, err)
		}
	}
	for k := 6; k < 9; k++ { // whole values are for two to five
		f := FixedTones(k)
		oracle.Close(t, "darkest fixed tone", float64(f[0].Value()), 1, 1e-3)
		oracle.Close(t, "lightest fixed tone", float64(f[k-1].Value()), 9, 1e-3)
	}
}

// Hand-counted: 0, 1, 2+e parts at 1 or at 2+e with errors that differ by e, of a
// whole spread of 2. From 1e-12 of the spread up that counts.
func TestKMeansTie(t *testing.T) {
	for _, c := range []struct {
		e    float64
		want int
	}{{0, 1}, {2e-13, 1}, {2e-11, 2}} {
		if first, _ := KMeans([]float64{0, 1, 2 + c.e}, ones(3), 2); !slices.Equal(first, []int{c.want}) {
			t.Errorf("0, 1 and 2+%g are parted at %v, want %d", c.e, first, c.want)
		}
	}
}

func TestRefusals(t *testing.T) {
	h, labels := counted(row(1, 2)), imageproc.NewLabels(3, 1)
	for want, f := range map[string]func(){
		"tone: least error with 0 values":     func() { LeastError(h, 0) },
		"tone: nested cuts for 0 values":      func() { Nested(h, 0) },
		"tone: equal steps with 0 values":     func() { EqualSteps(0) },
		"tone: fixed tones of 0 values":       func() { FixedTones(0) },
		"tone: classify (2,1) into (3,1)":     func() { Classify(labels, row(1, 2), nil) },
		"tone: labels of (3,1) on a plane of": func() { MeanTones(labels, imageproc.NewPlane[palette.Y](4, 1), nil) },
		"tone: KMeans of value -Inf":          func() { KMeans([]float64{math.Inf(-1), 0}, ones(2), 2) },
	} {
		func() {
			defer func() {
				if p := fmt.Sprint(recover()); !strings.HasPrefix(p, want) {
					t.Errorf("panic %q, want %q", p, want)
				}
			}()
			f()
		}()
	}
	for phrase, err := range map[string]error{
		"2 values need 1 cuts, not 2":        CheckCuts([]palette.L{30, 60}, 2),
		"3 values need 3 tones, not 2":       CheckTones([]palette.L{30, 60}, 3),
		"tone 1 is no value of the scale":    CheckTones([]palette.L{palette.L(math.NaN()), 50}, 2),
		"cut 1 is at value 0.00; choose one": CheckCuts([]palette.L{0}, 2),
		"cut 2 is at no value of the scale":  CheckCuts([]palette.L{40, 101}, 3),
	} {
		if !strings.Contains(fmt.Sprint(err), phrase) {
			t.Errorf("error %q, want it to say %q", err, phrase)
		}
	}
}
