package palette

import (
	"fmt"
	"math"
	"testing"

	"atelier/halflid/palette/oracle"
)

func labOf(c SRGB) Lab { return c.Linear().XYZ().Lab() }

func grey(g int) SRGB { return SRGB{uint8(g), uint8(g), uint8(g)} }

// Source: xterm, 256colres.pl: cube 16+36r+6g+b of levels 0 95 135 175 215 255,
// greys 232+i of 8+10i.
func TestPublishedXTerm256(t *testing.T) {
	for i, r := range oracle.Load(t, "t10_xterm256.csv", 240).Rows {
		index := uint8(r.Num(t, "index"))
		oracle.Close(t, "index", float64(index), float64(16+i), 0)
		got := XTerm256(index)
		oracle.Close(t, fmt.Sprintf("entry %d red", index), float64(got.R), r.Num(t, "r"), 0)
		oracle.Close(t, fmt.Sprintf("entry %d green", index), float64(got.G), r.Num(t, "g"), 0)
		oracle.Close(t, fmt.Sprintf("entry %d blue", index), float64(got.B), r.Num(t, "b"), 0)
		// Source of this one: ours. Every entry stands for itself.
		if n := Nearest256(got); n != index {
			t.Errorf("entry %d is shown by entry %d", index, n)
		}
	}
}

// Source: ours; 2.4 was reached by trying the greys one by one.
func TestNearest256Greys(t *testing.T) {
	worst, at, last := 0.0, 0, Y(-1)
	for g := range 256 {
		n := Nearest256(grey(g))
		c := XTerm256(n)
		if c.R != c.G || c.G != c.B {
			t.Fatalf("grey %d is shown in colour, %v", g, c)
		}
		if y := c.Linear().Y(); y < last {
			t.Fatalf("grey %d is shown darker than grey %d", g, g-1)
		} else {
			last = y
		}
		l := labOf(grey(g)).L
		d := math.Abs(float64(labOf(c).L - l))
		for i := 16; i < 256; i++ {
			if e := XTerm256(uint8(i)); e.R == e.G && e.G == e.B && math.Abs(float64(labOf(e).L-l)) < d-1e-12 {
				t.Fatalf("grey %d: entry %d is nearer than %d", g, i, n)
			}
		}
		if l >= 10 && l <= 95 && d > worst {
			worst, at = d, g
		}
	}
	t.Logf("worst error of greys %.3f L* at code %d", worst, at)
	oracle.Close(t, "worst error of greys", worst, 0, 2.5)
}

// Source: ours. Measured over the lattice: mean 2.24, worst 11.1 L*.
func TestNearest256Colours(t *testing.T) {
	n, sum, worst := 0, 0.0, 0.0
	var at SRGB
	for r := 0; r < 256; r += 5 {
		for g := 0; g < 256; g += 5 {
			for b := 0; b < 256; b += 5 {
				c := SRGB{uint8(r), uint8(g), uint8(b)}
				lab, shown := labOf(c), labOf(XTerm256(Nearest256(c)))
				// A step of a code off the middle of its cell cannot matter by more.
				if math.Hypot(lab.A, lab.B) < greyChroma-4 && math.Hypot(shown.A, shown.B) > 1e-9 {
					t.Fatalf("%v is nearly grey and shown as %v", c, shown)
				}
				if lab.L < 10 || lab.L > 95 {
					continue
				}
				d := math.Abs(float64(lab.L - shown.L))
				n, sum = n+1, sum+d
				if d > worst {
					worst, at = d, c
				}
			}
		}
	}
	t.Logf("error of colours: mean %.2f, worst %.2f L* at %v", sum/float64(n), worst, at)
	oracle.Close(t, "mean error of colours", sum/float64(n), 0, 2.5)
	oracle.Close(t, "worst error of colours", worst, 0, 11.5)
}

// The search that stops early finds what trying all entries finds.
func TestNearestEntryIsNearest(t *testing.T) {
	r := dice()
	entries := sortedEntries()
	for range 3000 {
		c := labOf(SRGB{uint8(r.IntN(256)), uint8(r.IntN(256)), uint8(r.IntN(256))})
		best := math.Inf(1)
		for i := range entries {
			best = min(best, entries[i].cost(c, staysGrey(c)))
		}
		e := newEntry(0, XTerm256(nearestEntry(entries, c)))
		oracle.Close(t, fmt.Sprintf("cost for %v", c), e.cost(c, staysGrey(c)), best, 0)
	}
}

func TestNearest256NeverUsesUserColours(t *testing.T) {
	for i := 0; i < 1<<24; i += 251 {
		if n := Nearest256(SRGB{uint8(i >> 16), uint8(i >> 8), uint8(i)}); n < 16 {
			t.Fatalf("colour %06x is shown by entry %d", i, n)
		}
	}
}

func TestNearestBasic16(t *testing.T) {
	for g := range 256 {
		c := Basic16(NearestBasic16(grey(g)))
		if c.R != c.G || c.G != c.B {
			t.Fatalf("grey %d is shown in colour, %v", g, c)
		}
	}
	for i := range 16 {
		if n := NearestBasic16(Basic16(uint8(i))); int(n) != i {
			t.Errorf("basic colour %d is shown by %d", i, n)
		}
	}
	for c, want := range map[SRGB]uint8{{200, 10, 10}: 1, {250, 5, 5}: 9, {0, 0, 0}: 0, {130, 130, 130}: 8, {240, 240, 240}: 7} {
		if n := NearestBasic16(c); n != want {
			t.Errorf("%v is shown by basic colour %d, want %d", c, n, want)
		}
	}
}

// From memory: xterm's defaults are X11's black, red3, green3, yellow3, blue2,
// magenta3, cyan3, gray90, gray50, then the full colours with rgb:5c/5c/ff for
// blue. A name ending in 3 is 205 of 255, in 2 it is 238.
func TestBasic16AreTheDefaults(t *testing.T) {
	mixed := func(i int, low, full uint8) SRGB { // bits: red, green, blue
		on := [2]uint8{low, full}
		return SRGB{on[i&1], on[i>>1&1], on[i>>2&1]}
	}
	for i := range 16 {
		want := mixed(i, 0, 205)
		switch {
		case i == 4:
			want = mixed(i, 0, 238)
		case i == 7:
			want = grey(229)
		case i == 8:
			want = grey(127)
		case i == 12:
			want = mixed(4, 92, 255)
		case i > 8:
			want = mixed(i-8, 0, 255)
		}
		if got := Basic16(uint8(i)); got != want {
			t.Errorf("basic colour %d is %v, want %v", i, got, want)
		}
	}
}

// A colour is looked up by the middle of its cell of 8, 4 and 8 codes.
func TestNearest256IsNearestToTheMiddleOfTheCell(t *testing.T) {
	r := dice()
	for range 4000 {
		c := SRGB{uint8(r.IntN(256)), uint8(r.IntN(256)), uint8(r.IntN(256))}
		if c.R == c.G && c.G == c.B {
			continue
		}
		mid := func(code, size uint8) Light {
			return Decode((float64(code-code%size) + float64(size-1)/2) / 255)
		}
		lab := RGB{mid(c.R, 8), mid(c.G, 4), mid(c.B, 8)}.XYZ().Lab()
		best := math.Inf(1)
		for i := 16; i < 256; i++ {
			e := newEntry(uint8(i), XTerm256(uint8(i)))
			best = min(best, e.cost(lab, staysGrey(lab)))
		}
		shown := newEntry(0, XTerm256(Nearest256(c)))
		oracle.Close(t, fmt.Sprintf("cost of %v", c), shown.cost(lab, staysGrey(lab)), best, 1e-9)
	}
}

func TestUserColoursPanic(t *testing.T) {
	for what, f := range map[string]func(){
		"palette: entry 15 of a 256-colour terminal is the user's own": func() { XTerm256(15) },
		"palette: basic colour 16 of 16":                               func() { Basic16(16) },
	} {
		func() {
			defer func() {
				if p := recover(); p != what {
					t.Errorf("panic %v, want %q", p, what)
				}
			}()
			f()
		}()
	}
}
