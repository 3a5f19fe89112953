package mass

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

var tones = []palette.L{10, 30, 55, 90}

func TestAbsorb(t *testing.T) {
	for _, c := range []struct {
		name, in, out string
		area, shapes  int
	}{
		{"nothing small", "0011/0011", "0011/0011", 4, 2},
		{"a crumb in one value", "0000/0200/0000", "0000/0000/0000", 2, 1},
		{"nearest value, not longest border", "333333/333133/000000/000000", "333333/333033/000000/000000", 3, 2},
		{"one left", "01", "11", 3, 1},
		{"joins both sides", "0010000/0010000", "0000000/0000000", 3, 1},
		{"a chain of crumbs", "0123333/0123333/0123333", "3333333/3333333/3333333", 12, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := digits(t, c.in)
			n := Absorb(v, tones, c.area)
			if want := digits(t, c.out); n != c.shapes || !slices.Equal(v.Pix, want.Pix) {
				t.Errorf("%d shapes %v, want %d %v", n, v.Pix, c.shapes, want.Pix)
			}
		})
	}
}

// TestAbsorbTies shows that a crumb halfway between two values takes the one
// with the longer border, then the one with more area, then the darker.
func TestAbsorbTies(t *testing.T) {
	even := []palette.L{10, 30, 50}
	for _, c := range []struct{ name, in, out string }{
		{"longer border", "0002222/0001222/0002222", "0002222/0002222/0002222"},
		{"larger area", "0012222", "0022222"},
		{"darker", "00122", "00022"},
	} {
		v := digits(t, c.in)
		Absorb(v, even, 2)
		if want := digits(t, c.out); !slices.Equal(v.Pix, want.Pix) {
			t.Errorf("%s: %v, want %v", c.name, v.Pix, want.Pix)
		}
	}
}

// TestAbsorbLeavesNoCrumb runs on noise: nothing smaller is left, large shapes
// only grow, and what remains is counted right.
func TestAbsorbLeavesNoCrumb(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	var a Absorber
	for range 200 {
		v := randomLabels(rng, 1+rng.IntN(30), 1+rng.IntN(30), 4)
		before := slices.Clone(v.Pix)
		comp, _ := flood(v, false)
		big := Areas(nil, comp, 1+int(slices.Max(comp.Pix)))
		least := rng.IntN(20)
		n := a.Absorb(v, tones, least)
		after, m := flood(v, false)
		if n != m {
			t.Fatalf("%d shapes said, %d there", n, m)
		}
		area := Areas(nil, after, m)
		if m > 1 && int(slices.Min(area)) < least {
			t.Fatalf("a shape of %d pixels left, least %d", slices.Min(area), least)
		}
		for i, c := range comp.Pix {
			if int(big[c]) >= least && v.Pix[i] != before[i] {
				t.Fatalf("a shape of %d pixels changed value, least %d", big[c], least)
			}
		}
	}
}

// plainAbsorb does what Absorb says one crumb after the other, counting all
// shapes and borders anew each time.
func plainAbsorb(v imageproc.Labels, lightness []palette.L, least int) int {
	for {
		comp, n := flood(v, false)
		area, value := Areas(nil, comp, n), make([]int32, n)
		for i, c := range comp.Pix {
			value[c] = v.Pix[i]
		}
		crumb := -1
		for c := range n { // in raster order
			if int(area[c]) < least && (crumb < 0 || area[c] < area[crumb] || area[c] == area[crumb] && value[c] < value[crumb]) {
				crumb = c
			}
		}
		if crumb < 0 || n == 1 {
			return n
		}
		border, reach := map[int32]int{}, map[int32]int{}
		for _, b := range Adjacency(comp, n) {
			if b.B == int32(crumb) {
				b.A, b.B = b.B, b.A
			}
			if b.A == int32(crumb) {
				border[value[b.B]] += int(b.Len)
				reach[value[b.B]] += int(area[b.B])
			}
		}
		far := func(k int32) float64 { return math.Abs(float64(lightness[k] - lightness[value[crumb]])) }
		best := int32(-1)
		for k := range int32(len(lightness)) { // the darker first
			if border[k] > 0 && (best < 0 || cmp.Or(cmp.Compare(far(best), far(k)), cmp.Compare(border[k], border[best]), cmp.Compare(reach[k], reach[best])) > 0) {
				best = k
			}
		}
		for i, c := range comp.Pix {
			if int(c) == crumb {
				v.Pix[i] = best
			}
		}
	}
}

// Two tones as far apart as two others, so that there are ties of every kind.
func TestAbsorbIsThePlainWay(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	even := []palette.L{10, 30, 50, 70}
	var a Absorber
	for range 4000 {
		got := randomLabels(rng, 1+rng.IntN(8), 1+rng.IntN(8), 4)
		want := imageproc.Labels{W: got.W, H: got.H, Pix: slices.Clone(got.Pix)}
		least := rng.IntN(14)
		n, m := a.Absorb(got, even, least), plainAbsorb(want, even, least)
		if n != m || !slices.Equal(got.Pix, want.Pix) {
			t.Fatalf("%d by %d, least %d: %d shapes %v, want %d %v", got.W, got.H, least, n, got.Pix, m, want.Pix)
		}
	}
}

// TestAbsorbTurned: mirrored and transposed noise comes out mirrored and
// transposed but for crumbs that are equal in area and value.
func TestAbsorbTurned(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	same, all := 0, 0
	for range 100 {
		v := randomLabels(rng, 24, 17, 4)
		m, tr := imageproc.NewLabels(24, 17), imageproc.NewLabels(17, 24)
		for y := range v.H {
			for x := range v.W {
				m.Pix[y*m.W+m.W-1-x] = v.At(x, y)
				tr.Pix[x*tr.W+y] = v.At(x, y)
			}
		}
		Absorb(v, tones, 8)
		Absorb(m, tones, 8)
		Absorb(tr, tones, 8)
		for y := range v.H {
			for x := range v.W {
				all++
				if m.At(m.W-1-x, y) == v.At(x, y) && tr.At(y, x) == v.At(x, y) {
					same++
				}
			}
		}
	}
	if share := float64(same) / float64(all); !(share > .97) {
		t.Errorf("%.3f of the pixels alike after mirroring and turning noise", share)
	}
}

func TestAbsorbMisuse(t *testing.T) {
	below := digits(t, "01")
	below.Pix[0] = -1
	for _, v := range []imageproc.Labels{digits(t, "09"), digits(t, "04"), below} {
		func() {
			defer func() {
				if p := fmt.Sprint(recover()); !strings.HasPrefix(p, "mass: ") {
					t.Errorf("%v, a value without a tone: panic %q", v.Pix, p)
				}
			}()
			Absorb(v, tones, 2)
		}()
	}
}

func BenchmarkAbsorb(b *testing.B) {
	for _, k := range []int{2, 5} {
		// Blobs of many sizes with crumbs strewn over them.
		rng := rand.New(rand.NewPCG(11, 12))
		src := imageproc.NewLabels(768, 576)
		for range 3000 {
			r := 1 + rng.IntN(40)*rng.IntN(40)/20
			cx, cy, v := rng.IntN(src.W), rng.IntN(src.H), int32(rng.IntN(k))
			for y := max(0, cy-r); y < min(src.H, cy+r); y++ {
				for x := max(0, cx-r); x < min(src.W, cx+r); x++ {
					if (x-cx)*(x-cx)+(y-cy)*(y-cy) < r*r {
						src.Pix[y*src.W+x] = v
					}
				}
			}
		}
		b.Run(fmt.Sprintf("values=%d/768x576", k), func(b *testing.B) {
			b.ReportAllocs()
			var a Absorber
			v := imageproc.NewLabels(src.W, src.H)
			light := []palette.L{10, 30, 50, 70, 90}[:k]
			n := 0
			for b.Loop() {
				copy(v.Pix, src.Pix)
				n = a.Absorb(v, light, 130)
			}
			b.ReportMetric(float64(n), "shapes")
		})
	}
}
