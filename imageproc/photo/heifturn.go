package photo

import (
	"encoding/binary"
	"image"
	"math"
)

// turn returns what the item's properties ask to be done to the picture, in
// their order, as a crop of the stored picture and an EXIF orientation.
// Source: ISO/IEC 23008-12, 6.5.9 to 6.5.12 (crop, then turn, then mirror, as
// ISO/IEC 23000-22, 7.3.6.7 orders them).
func (f *heifFile) turn(it *heifItem, size image.Point) (crop image.Rectangle, orientation int) {
	crop, orientation = image.Rectangle{Max: size}, 1
	for _, i := range it.props {
		if i < 0 || i >= len(f.props) {
			continue
		}
		switch p := f.props[i]; {
		case p.kind == "clap" && orientation == 1:
			crop = cleanAperture(p.body, size)
		case p.kind == "irot" && len(p.body) > 0:
			for range p.body[0] & 3 { // quarter turns to the left
				orientation = then(orientation, 8)
			}
		case p.kind == "imir" && len(p.body) > 0:
			orientation = then(orientation, 4-2*int(p.body[0]&1)) // 0: top and bottom change places, 1: left and right
		}
	}
	return crop, orientation
}

// cleanAperture reads a clap property. Source: ISO/IEC 14496-12, 12.1.4.
func cleanAperture(b []byte, size image.Point) image.Rectangle {
	whole := image.Rectangle{Max: size}
	if len(b) < 32 {
		return whole
	}
	ratio := func(at int) float64 {
		n, d := int32(binary.BigEndian.Uint32(b[at:])), int32(binary.BigEndian.Uint32(b[at+4:]))
		return float64(n) / float64(d) // not a number or endless if d is 0: fits nowhere
	}
	w, h, dx, dy := ratio(0), ratio(8), ratio(16), ratio(24)
	left := (float64(size.X)-w)/2 + dx
	top := (float64(size.Y)-h)/2 + dy
	if !(w >= 1 && h >= 1 && left >= 0 && top >= 0 && left+w <= float64(size.X) && top+h <= float64(size.Y)) {
		return whole
	}
	x, y := int(math.Round(left)), int(math.Round(top))
	return image.Rect(x, y, x+int(w), y+int(h)).Intersect(whole)
}

// then returns the EXIF orientation that does first a and then b.
func then(a, b int) int { return orientationOf(turnOf(b).times(turnOf(a))) }

// quarter is a turn or mirror as a matrix of 0 and 1, x to the right, y down.
type quarter [4]int

func (q quarter) times(p quarter) quarter {
	return quarter{q[0]*p[0] + q[1]*p[2], q[0]*p[1] + q[1]*p[3], q[2]*p[0] + q[3]*p[2], q[2]*p[1] + q[3]*p[3]}
}

// turns are the eight EXIF orientations as matrices from the stored picture to
// the upright one. Source: Exif 2.3 (CIPA DC-008-2012), tag 0x0112.
var turns = [...]quarter{1: {1, 0, 0, 1}, 2: {-1, 0, 0, 1}, 3: {-1, 0, 0, -1}, 4: {1, 0, 0, -1}, 5: {0, 1, 1, 0}, 6: {0, -1, 1, 0}, 7: {0, -1, -1, 0}, 8: {0, 1, -1, 0}}

func turnOf(orientation int) quarter { return turns[orientation] }

func orientationOf(q quarter) int {
	for o := 1; o <= 8; o++ {
		if turns[o] == q {
			return o
		}
	}
	panic("photo: no such turn")
}
