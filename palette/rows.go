package palette

import (
	"math"
	"sync"
)

// The row forms look a float32 up by the high 16 bits of its pattern: sign,
// exponent and the first 7 bits of the fraction, which cut every doubling of
// light into 128 equal parts. That is fine enough for both scales at both ends.
const (
	rowShift = 16

	// Lightness: parts from 2^-7 (just under the limit of the straight part of
	// L*) to 1, and one more for 1 and above. Part 0 is all below 2^-7.
	lightLow   = 0x3C000000>>rowShift - 1
	lightParts = 7*128 + 2

	// Codes: parts from 2^-13 (rounds to code 0) to 1, and one more for 1.
	encodeLow   = 0x39000000
	encodeHigh  = 0x3F800000
	encodeParts = 13*128 + 1
)

// rows holds the tables of the row forms; built at the first use, 14 kB.
var rows struct {
	once sync.Once
	// L* of part i is light[i].a + light[i].b * y.
	light [1024]struct{ a, b float32 }
	// code[i] is the code of the part's darkest number in the high half and, in
	// the low half, 65536 less the low bits at which the next code begins: adding
	// a number's low bits carries into the code at the right place.
	code [2048]uint32
}

func loadRows() {
	rows.once.Do(func() {
		loadCodes()
		buildLight()
		buildCode()
	})
}

// buildLight lays chords through the exact curve, so that neighbouring parts
// meet and the result never falls as light rises by more than a rounding.
func buildLight() {
	rows.light[0].b = labSlope
	for i := 1; i < lightParts-1; i++ {
		y0 := float64(math.Float32frombits(uint32(lightLow+i) << rowShift))
		y1 := float64(math.Float32frombits(uint32(lightLow+i+1) << rowShift))
		l0, l1 := float64(Y(y0).L()), float64(Y(y1).L())
		b := float32((l1 - l0) / (y1 - y0))
		rows.light[i].b = b
		rows.light[i].a = float32(l0 - float64(float64(b)*y0))
	}
	rows.light[lightParts-1].a = 100
}

// buildCode relies on no part holding two limits between codes, which
// TestEncodeRowIsEncode8 shows.
func buildCode() {
	code := 0
	for i := range encodeParts {
		bits := uint32(encodeLow + i<<rowShift)
		for code < 255 && codes.from[code+1] <= float64(math.Float32frombits(bits)) {
			code++
		}
		rows.code[i] = uint32(code) << 16
		if code == 255 {
			continue
		}
		// The least float32 that is not below the limit.
		limit := float32(codes.from[code+1])
		if float64(limit) < codes.from[code+1] {
			limit = math.Nextafter32(limit, 2)
		}
		if low := math.Float32bits(limit) - bits; low < 1<<16 {
			rows.code[i] += 1<<16 - low
		}
	}
}

// LightnessRow sets dst[i] to CIE L* of luminance y[i], for whole rows of
// planes: within 0.0003 of Y.L for every y (exactly 0 and 100 at black and
// white). y below 0 gives 0, above 1 gives 100, NaN stays NaN. dst may be y
// itself. It panics if dst is shorter than y. Costs 1 to 2 ns a number.
//
// Source: CIE 15:2004, 8.2.1; chords of 1/128 of a doubling are ours.
func LightnessRow(dst, y []float32) {
	if len(dst) < len(y) {
		panic("palette: LightnessRow: dst is shorter than y")
	}
	loadRows()
	dst = dst[:len(y)]
	for i, v := range y {
		part := int32(math.Float32bits(v))>>rowShift - lightLow
		part = min(max(part, 0), lightParts-1)
		e := &rows.light[part&1023]
		l := e.a + float32(e.b*v)
		if l < 0 {
			l = 0
		}
		dst[i] = l
	}
}

// EncodeRow sets dst[i] to the 8-bit sRGB code of linear light v[i]: what
// Encode8 gives, for every float32, NaN and numbers outside 0..1 included. It
// panics if dst is shorter than v. Costs 1 to 2 ns a number.
//
// Source: IEC 61966-2-1:1999, 5.2; the table is ours.
func EncodeRow(dst []uint8, v []float32) {
	if len(dst) < len(v) {
		panic("palette: EncodeRow: dst is shorter than v")
	}
	loadRows()
	dst = dst[:len(v)]
	for i, x := range v {
		dst[i] = encode32(x)
	}
}

// encode32 is EncodeRow for one number; the tables must be loaded.
func encode32(x float32) uint8 {
	if x != x {
		return 0
	}
	// Patterns of numbers of one sign sort like the numbers; negative ones are
	// negative as int32 too.
	bits := uint32(min(max(int32(math.Float32bits(x)), encodeLow), encodeHigh))
	return uint8((rows.code[(bits-encodeLow)>>rowShift&2047] + bits&(1<<rowShift-1)) >> 16)
}
