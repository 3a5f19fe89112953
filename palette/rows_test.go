package palette

import (
	"fmt"
	"math"
	"os"
	"testing"

	"atelier/halflid/palette/oracle"
)

func lightnessOf(y float32) float32 {
	out := [1]float32{}
	LightnessRow(out[:], []float32{y})
	return out[0]
}

// rowSamples returns both ends and the inside of every part of the tables, and
// numbers spread over the whole range.
func rowSamples() []float32 {
	out := ramp32(200000, 0, 1)
	for bits := uint32(0x38000000); bits <= 0x3F800000; bits += 1 << 12 {
		out = append(out, math.Float32frombits(bits-1), math.Float32frombits(bits), math.Float32frombits(bits+1))
	}
	return out
}

// Source: CIE 15:2004 through Y.L. The worst error measured is 0.00016 L*.
func TestLightnessRowError(t *testing.T) {
	y := rowSamples()
	l := make([]float32, len(y))
	LightnessRow(l, y)
	worst, at := 0.0, float32(0)
	for i, v := range y {
		if d := math.Abs(float64(l[i]) - float64(Y(v).L())); !(d <= worst) {
			worst, at = d, v
		}
	}
	t.Logf("worst error %.6f L* at Y %v", worst, at)
	oracle.Close(t, "worst error", worst, 0, 0.0003)
}

func TestLightnessRowEnds(t *testing.T) {
	inf := float32(math.Inf(1))
	for _, c := range []struct{ y, want float32 }{
		{0, 0}, {1, 100}, {1.0000001, 100}, {7, 100}, {-1e-9, 0}, {-3, 0}, {-inf, 0},
	} {
		oracle.Close(t, fmt.Sprintf("L* of %v", c.y), float64(lightnessOf(c.y)), float64(c.want), 0)
	}
	oracle.Close(t, "L* of the least number", float64(lightnessOf(math.SmallestNonzeroFloat32)), 0, 2e-42)
	if l := lightnessOf(float32(math.NaN())); l == l {
		t.Errorf("NaN became %v", l)
	}
	if l := lightnessOf(-float32(math.NaN())); l == l {
		t.Errorf("NaN became %v", l)
	}
}

func TestLightnessRowRises(t *testing.T) {
	last := float32(-1)
	for bits := uint32(0x3A000000); bits <= 0x3F800000; bits += 1 << 10 {
		l := lightnessOf(math.Float32frombits(bits))
		if l <= last {
			t.Fatalf("L* does not rise at %v", math.Float32frombits(bits))
		}
		last = l
	}
	// Between neighbouring numbers it may fall by no more than its rounding.
	for bits := uint32(0x3C000000); bits < 0x3F800000; bits += 1 << rowShift {
		below, at := lightnessOf(math.Float32frombits(bits-1)), lightnessOf(math.Float32frombits(bits))
		if !(at >= below-2e-5) {
			t.Errorf("L* falls from %v to %v at %v", below, at, math.Float32frombits(bits))
		}
	}
}

// A row form that agrees at both ends of each part and on both sides of each
// limit agrees everywhere, because within a part it makes at most one step.
func TestEncodeRowIsEncode8(t *testing.T) {
	v := rowSamples()
	for c := 1; c < 256; c++ {
		limit := float64(Decode((float64(c) - 0.5) / 255))
		x := float32(limit)
		for range 8 {
			x = math.Nextafter32(x, 0)
		}
		for range 16 {
			v = append(v, x)
			x = math.Nextafter32(x, 2)
		}
	}
	for _, x := range DecodeTable8() {
		v = append(v, x)
	}
	v = append(v, -1, 0, 2, float32(math.NaN()), -float32(math.NaN()), float32(math.Inf(1)), float32(math.Inf(-1)), math.MaxFloat32)
	got := make([]uint8, len(v))
	EncodeRow(got, v)
	for i, x := range v {
		if want := byFormula(x); got[i] != want || Encode8(Light(x)) != want {
			t.Fatalf("light %v: row %d, Encode8 %d, formula %d", x, got[i], Encode8(Light(x)), want)
		}
	}
	// At most one limit in a part.
	for i := 1; i < encodeParts; i++ {
		if d := rows.code[i]>>16 - rows.code[i-1]>>16; d > 1 {
			t.Errorf("part %d skips a code", i)
		}
	}
	for c := range 256 {
		got := [1]uint8{}
		EncodeRow(got[:], []float32{DecodeTable8()[c]})
		if int(got[0]) != c {
			t.Errorf("code %d comes back as %d", c, got[0])
		}
	}
}

// byFormula rounds the exact formula; a number within a rounding of a limit is
// judged by the limit, as the powers of the two directions differ there.
func byFormula(x float32) uint8 {
	v := float64(x)
	if !(v > 0) {
		return 0
	}
	if v >= 1 {
		return 255
	}
	c := uint8(math.Floor(255*Encode(Light(v)) + 0.5))
	if c < 255 && v >= float64(Decode((float64(c)+0.5)/255)) {
		c++
	}
	return c
}

// Every float32 from 0 to 1, against the limits between codes.
func TestEncodeRowEveryNumber(t *testing.T) {
	if os.Getenv("HALFLID_HEAVY") != "1" {
		t.Skip("set HALFLID_HEAVY=1 to try every number")
	}
	code, limit := 0, float64(Decode(0.5/255))
	in, out := make([]float32, 1<<16), make([]uint8, 1<<16)
	for hi := uint32(0); hi < 0x3F80; hi++ {
		for lo := range in {
			in[lo] = math.Float32frombits(hi<<16 | uint32(lo))
		}
		EncodeRow(out, in)
		for lo, x := range in {
			for code < 255 && float64(x) >= limit {
				code++
				limit = float64(Decode((float64(code) + 0.5) / 255))
			}
			if int(out[lo]) != code {
				t.Fatalf("light %v: %d, want %d", x, out[lo], code)
			}
		}
	}
}

func TestRowsInPlaceAndEmpty(t *testing.T) {
	LightnessRow(nil, nil)
	EncodeRow(nil, nil)
	y := []float32{0, 0.18, 1}
	LightnessRow(y, y)
	oracle.Close(t, "in place", float64(y[1]), 49.496, 0.001)
	long := []float32{7, 7, 7, 7}
	LightnessRow(long, y[:2])
	if long[2] != 7 || long[3] != 7 {
		t.Errorf("wrote past the row: %v", long)
	}
	for what, f := range map[string]func(){
		"LightnessRow": func() { LightnessRow(make([]float32, 1), y) },
		"EncodeRow":    func() { EncodeRow(make([]uint8, 1), y) },
	} {
		func() {
			defer func() {
				if p := recover(); p != "palette: "+what+": dst is shorter than "+map[string]string{"LightnessRow": "y", "EncodeRow": "v"}[what] {
					t.Errorf("%s: panic %v", what, p)
				}
			}()
			f()
		}()
	}
}

func TestRowsAllocateNothing(t *testing.T) {
	y, l, c := ramp32(768, 0, 1), make([]float32, 768), make([]uint8, 768)
	if n := testing.AllocsPerRun(10, func() { LightnessRow(l, y); EncodeRow(c, y) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}
