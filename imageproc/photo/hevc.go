//go:build !noheic

package photo

import (
	"errors"
	"image"
)

var errHEVC = errors.New("photo: HEVC parameter set is damaged")

// hevcShape is what a HEVC sequence parameter set says of its pictures.
type hevcShape struct {
	size   image.Point // as shown, after the conformance window
	coded  image.Point
	chroma int    // 0 grey, 1 4:2:0, 2 4:2:2, 3 4:4:4
	depth  int    // bits of luma
	code   *codes // how colours are coded; nil if it does not say
}

// readHVCC reads the first sequence parameter set of a hvcC property.
// Source: ISO/IEC 14496-15, 8.3.3.1.
func readHVCC(b []byte) (hevcShape, error) {
	r := &fields{b: b}
	r.skip(22)
	for n := r.u8(); n > 0 && !r.failed; n-- {
		kind := r.u8() & 63
		for k := r.u16(); k > 0 && !r.failed; k-- {
			unit := r.skip(r.u16())
			if kind == 33 && !r.failed {
				return readSPS(unit)
			}
		}
	}
	return hevcShape{}, errHEVC
}

// bits reads a NAL unit's payload, bit by bit, without its emulation prevention.
type bits struct {
	b      []byte
	at     int // in bits
	failed bool
}

func unescape(b []byte) []byte {
	out := make([]byte, 0, len(b))
	zeros := 0
	for _, c := range b {
		if zeros >= 2 && c == 3 {
			zeros = 0
			continue
		}
		if c == 0 {
			zeros++
		} else {
			zeros = 0
		}
		out = append(out, c)
	}
	return out
}

func (r *bits) u(n int) int {
	v := 0
	for range n {
		if r.at >= 8*len(r.b) {
			r.failed = true
			return 0
		}
		v = v<<1 | int(r.b[r.at>>3]>>(7-r.at&7)&1)
		r.at++
	}
	return v
}

// ue reads an Exp-Golomb number. Source: ITU-T H.265, 9.2.
func (r *bits) ue() int {
	zeros := 0
	for r.u(1) == 0 {
		if zeros++; zeros > 31 || r.failed {
			r.failed = true
			return 0
		}
	}
	return 1<<zeros - 1 + r.u(zeros)
}

// readSPS reads a sequence parameter set as far as the description of colours.
// Source: ITU-T H.265, 7.3.2.2, 7.3.3, 7.3.4, 7.3.7 and E.2.1.
func readSPS(unit []byte) (hevcShape, error) {
	r := &bits{b: unescape(unit)}
	r.u(16 + 4)
	layers := r.u(3)
	r.u(1)
	skipLevels(r, layers)
	r.ue()
	s := hevcShape{chroma: r.ue()}
	if s.chroma == 3 {
		r.u(1)
	}
	s.coded = image.Pt(r.ue(), r.ue())
	s.size = s.coded
	if r.u(1) == 1 {
		unit := image.Pt(1, 1)
		if s.chroma == 1 || s.chroma == 2 {
			unit.X = 2
		}
		if s.chroma == 1 {
			unit.Y = 2
		}
		left, right, top, bottom := r.ue(), r.ue(), r.ue(), r.ue()
		s.size = s.size.Sub(image.Pt(unit.X*(left+right), unit.Y*(top+bottom)))
	}
	s.depth = 8 + r.ue()
	r.ue() // depth of chroma
	order := r.ue() + 4
	from := layers
	if r.u(1) == 1 {
		from = 0
	}
	for range layers - from + 1 {
		r.ue()
		r.ue()
		r.ue()
	}
	for range 6 { // sizes of blocks and depths of their trees
		r.ue()
	}
	if r.u(1) == 1 { // scaling lists, and their own
		if r.u(1) == 1 {
			skipScaling(r)
		}
	}
	r.u(2)
	if r.u(1) == 1 { // samples stored plainly
		r.u(8)
		r.ue()
		r.ue()
		r.u(1)
	}
	sets := r.ue()
	if sets > 64 || order > 16 {
		return s, errHEVC
	}
	pictures := make([]int, 0, sets)
	for i := range sets {
		pictures = append(pictures, skipReferences(r, i, pictures))
	}
	if r.u(1) == 1 { // long-term references
		for range min(r.ue(), 32) {
			r.u(order + 1)
		}
	}
	r.u(2)
	if r.u(1) == 1 {
		s.code = readVUI(r)
	}
	if r.failed || s.size.X <= 0 || s.size.Y <= 0 || s.chroma > 3 || s.depth > 16 || s.coded.X > 1<<15 || s.coded.Y > 1<<15 {
		return s, errHEVC
	}
	return s, nil
}

// skipLevels passes profile_tier_level.
func skipLevels(r *bits, layers int) {
	r.u(88)
	r.u(8)
	if layers == 0 {
		return
	}
	var there [8][2]bool
	for i := range 8 {
		if i < layers {
			there[i] = [2]bool{r.u(1) == 1, r.u(1) == 1}
		} else {
			r.u(2)
		}
	}
	for _, t := range there {
		if t[0] {
			r.u(88)
		}
		if t[1] {
			r.u(8)
		}
	}
}

// skipScaling passes scaling_list_data.
func skipScaling(r *bits) {
	for size := range 4 {
		step := 1
		if size == 3 {
			step = 3
		}
		for m := 0; m < 6; m += step {
			if r.u(1) == 0 {
				r.ue()
				continue
			}
			if size > 1 {
				r.ue()
			}
			for range min(64, 1<<(4+2*size)) {
				r.ue() // signed numbers take the same bits
			}
		}
	}
}

// skipReferences passes st_ref_pic_set number i and returns how many pictures
// it names.
func skipReferences(r *bits, i int, before []int) int {
	if i > 0 && r.u(1) == 1 {
		r.u(1)
		r.ue()
		n := 0
		for range before[i-1] + 1 {
			used := r.u(1)
			if used == 1 || r.u(1) == 1 {
				n++
			}
			if r.failed {
				return 0
			}
		}
		return n
	}
	n := r.ue() + r.ue()
	if n > 32 {
		r.failed = true
		return 0
	}
	for range n {
		r.ue()
		r.u(1)
	}
	return n
}

// readVUI reads the colour description of the usability information; nil if it
// holds none.
func readVUI(r *bits) *codes {
	if r.u(1) == 1 && r.u(8) == 255 { // shape of pixels
		r.u(32)
	}
	if r.u(1) == 1 {
		r.u(1)
	}
	if r.u(1) == 0 {
		return nil
	}
	r.u(3)
	c := &codes{primaries: 2, transfer: 2, matrix: 2, full: r.u(1) == 1}
	if r.u(1) == 1 {
		c.primaries, c.transfer, c.matrix = r.u(8), r.u(8), r.u(8)
	}
	if r.failed {
		return nil
	}
	return c
}
