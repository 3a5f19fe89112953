package photo

import (
	"encoding/binary"
	"fmt"
	"math"
)

// pngColours are the chunks that tell a PNG's colours in place of a profile.
type pngColours struct {
	srgb    bool
	gamma   uint32    // of gAMA, in 1/100000; 0 if none
	corners [8]uint32 // of cHRM: white, red, green, blue, x and y, in 1/100000
	hasCorn bool
}

// read takes a chunk in; the first of its name counts.
// Source: PNG specification, third edition, 11.3.2.
func (p *pngColours) read(name string, body []byte) {
	switch {
	case name == "sRGB" && len(body) == 1:
		p.srgb = true
	case name == "gAMA" && len(body) == 4 && p.gamma == 0:
		p.gamma = binary.BigEndian.Uint32(body)
	case name == "cHRM" && len(body) == 32 && !p.hasCorn:
		for i := range p.corners {
			p.corners[i] = binary.BigEndian.Uint32(body[4*i:])
		}
		p.hasCorn = true
	}
}

// pngCodes reads a cICP chunk; nil if it is not one of RGB.
func pngCodes(body []byte) *codes {
	if len(body) != 4 || body[2] != 0 {
		return nil
	}
	return &codes{primaries: int(body[0]), transfer: int(body[1]), full: body[3] != 0}
}

// srgbCorners and srgbGamma are what the specification tells writers to put
// into a file of sRGB for readers that do not know the sRGB chunk.
// Source: PNG specification, third edition, 11.3.2.5.
var srgbCorners = [8]uint32{31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000}

const srgbGamma = 45455

// colours returns what the chunks say; false if they say nothing.
func (p pngColours) colours() (colours, bool) {
	if p.srgb {
		return plainSRGB, true
	}
	cornersOfSRGB := p.hasCorn && p.corners == srgbCorners
	if p.gamma == 0 && (!p.hasCorn || cornersOfSRGB) || p.gamma == srgbGamma && cornersOfSRGB {
		return plainSRGB, p.gamma != 0 || p.hasCorn
	}
	c := colours{name: "sRGB"}
	if p.gamma != 0 {
		g := 100000 / float64(p.gamma)
		if !(g > 0.1 && g < 10) {
			return colours{name: "sRGB", note: "The PNG's gamma is damaged: its colours are taken as sRGB"}, true
		}
		f := func(v float64) float64 { return math.Pow(v, g) }
		c.tone = [3]func(float64) float64{f, f, f}
		c.name = fmt.Sprintf("PNG gamma %.2f", g)
	}
	if p.hasCorn && !cornersOfSRGB {
		var v [8]float64
		for i, u := range p.corners {
			v[i] = float64(u) / 100000
		}
		m, ok := gamut{chroma{v[0], v[1]}, chroma{v[2], v[3]}, chroma{v[4], v[5]}, chroma{v[6], v[7]}}.toXYZ()
		mix, err := mixOf(m)
		if !ok || err != nil {
			c.note = "The PNG's primaries are damaged: those of sRGB are taken"
			return c, true
		}
		if c.mix = mix; mix != nil {
			c.name += " with its own primaries"
		}
	}
	if c.mix != nil || c.tone[0] != nil {
		c.note = "The colours were turned from " + c.name + " to sRGB"
	}
	return c, true
}
