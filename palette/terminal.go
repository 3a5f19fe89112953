package palette

import (
	"fmt"
	"math"
	"slices"
	"sync"
)

// cubeLevels are the codes of the 6x6x6 colour cube of 256-colour terminals.
var cubeLevels = [6]uint8{0, 95, 135, 175, 215, 255}

// XTerm256 returns the colour of entry i of a 256-colour terminal, for i from
// 16 up: the cube 16 + 36r + 6g + b, then the 24 greys from 232. Entries 0..15
// are the user's own and have no known colour: asking for one panics (see
// Basic16).
//
// Source: xterm, 256colres.pl.
func XTerm256(i uint8) SRGB {
	switch {
	case i < 16:
		panic(fmt.Sprintf("palette: entry %d of a 256-colour terminal is the user's own", i))
	case i >= 232:
		g := 8 + 10*(i-232)
		return SRGB{g, g, g}
	}
	i -= 16
	return SRGB{cubeLevels[i/36], cubeLevels[i/6%6], cubeLevels[i%6]}
}

// basic16 are the defaults of xterm. Nearly every terminal has its own.
//
// Source: xterm, XTerm-col.ad.
var basic16 = [16]SRGB{
	{0, 0, 0},
	{205, 0, 0},
	{0, 205, 0},
	{205, 205, 0},
	{0, 0, 238},
	{205, 0, 205},
	{0, 205, 205},
	{229, 229, 229},
	{127, 127, 127},
	{255, 0, 0},
	{0, 255, 0},
	{255, 255, 0},
	{92, 92, 255},
	{255, 0, 255},
	{0, 255, 255},
	{255, 255, 255},
}

// Basic16 returns the colour that basic entry i, 0..15, has in a terminal whose
// user changed nothing. It is approximate: users choose these colours, so a
// value shown with them may be 10 L* and more off, and the screen should say so.
// It panics if i is above 15.
func Basic16(i uint8) SRGB {
	if i > 15 {
		panic(fmt.Sprintf("palette: basic colour %d of 16", i))
	}
	return basic16[i]
}

// How a terminal colour is chosen. A step in L* counts valueWeight times a step
// in a* or b*: a study that keeps its values and loses some hue is of use, the
// other way round it is not. Colours of less chroma than greyChroma take greys
// only, because the weakest tint of the cube has C* 14 and would shout.
//
// Source: ours; TestNearest256Colours shows what they reach.
const (
	valueWeight = 4.0
	greyChroma  = 6.0
)

// entry is a palette entry in CIELAB.
type entry struct {
	index uint8
	grey  bool
	lab   Lab
}

// terminal holds the 256-colour palette sorted by L*, and the nearest entry for
// each grey code and each cell of 8x4x8 codes; built at the first use, 80 kB.
var terminal struct {
	once    sync.Once
	entries []entry
	grey    [256]uint8
	colour  [1 << 16]uint8

	sortOnce sync.Once
}

// sortedEntries returns the entries 16..255 from dark to light.
func sortedEntries() []entry {
	terminal.sortOnce.Do(func() {
		for i := 16; i < 256; i++ {
			terminal.entries = append(terminal.entries, newEntry(uint8(i), XTerm256(uint8(i))))
		}
		slices.SortFunc(terminal.entries, func(a, b entry) int {
			if a.lab.L != b.lab.L {
				if a.lab.L < b.lab.L {
					return -1
				}
				return 1
			}
			return int(a.index) - int(b.index)
		})
	})
	return terminal.entries
}

func newEntry(i uint8, c SRGB) entry {
	return entry{index: i, grey: c.R == c.G && c.G == c.B, lab: c.Linear().XYZ().Lab()}
}

// cost is how unlike entry e is to colour c, as a square; +Inf for a coloured
// entry where c must stay grey.
func (e *entry) cost(c Lab, greyOnly bool) float64 {
	if greyOnly && !e.grey {
		return math.Inf(1)
	}
	l, a, b := valueWeight*float64(e.lab.L-c.L), e.lab.A-c.A, e.lab.B-c.B
	return sum3(l, l, a, a, b, b)
}

// staysGrey reports whether a colour takes greys only.
func staysGrey(c Lab) bool { return math.Hypot(c.A, c.B) < greyChroma }

// nearestEntry searches outwards from the colour's own lightness and stops when
// lightness alone costs more than the best so far.
func nearestEntry(entries []entry, c Lab) uint8 {
	greyOnly := staysGrey(c)
	up, _ := slices.BinarySearchFunc(entries, c.L, func(e entry, l L) int {
		if e.lab.L < l {
			return -1
		}
		return 1
	})
	best, cost := uint8(0), math.Inf(1)
	try := func(e *entry) bool {
		l := valueWeight * float64(e.lab.L-c.L)
		if l*l > cost {
			return false
		}
		if k := e.cost(c, greyOnly); k < cost || k == cost && e.index < best {
			best, cost = e.index, k
		}
		return true
	}
	for i := up; i < len(entries) && try(&entries[i]); i++ {
	}
	for i := up - 1; i >= 0 && try(&entries[i]); i-- {
	}
	return best
}

func loadTerminal() {
	terminal.once.Do(func() {
		entries := sortedEntries()
		for g := range 256 {
			c := SRGB{uint8(g), uint8(g), uint8(g)}
			terminal.grey[g] = nearestEntry(entries, c.Linear().XYZ().Lab())
		}
		// Each cell is judged by its middle. Green has the finest cells because
		// most of the lightness is in it.
		var mid8 [32]Light
		var mid4 [64]Light
		for i := range mid8 {
			mid8[i] = Decode((8*float64(i) + 3.5) / 255)
		}
		for i := range mid4 {
			mid4[i] = Decode((4*float64(i) + 1.5) / 255)
		}
		for i := range terminal.colour {
			c := RGB{mid8[i>>11], mid4[i>>5&63], mid8[i&31]}
			terminal.colour[i] = nearestEntry(entries, c.XYZ().Lab())
		}
	})
}

// Nearest256 returns the entry, 16..255, of a 256-colour terminal that stands
// for c best: nearest in L* first, then in chroma and hue. Greys and colours
// close to grey take the greys of the ramp and the cube. For greys the choice is
// exact and within 2.5 L* from L* 10 to 95; colours are looked up in steps of
// 8, 4 and 8 codes. The first call builds the table (some 10 ms), later ones
// cost a few ns. The same colour gives the same entry always.
//
// Source: ours; the palette is xterm's.
func Nearest256(c SRGB) uint8 {
	loadTerminal()
	if c.R == c.G && c.G == c.B {
		return terminal.grey[c.G]
	}
	return terminal.colour[int(c.R>>3)<<11|int(c.G>>2)<<5|int(c.B>>3)]
}

// NearestBasic16 returns the basic colour, 0..15, that stands for c best by the
// values of Basic16, chosen as Nearest256 chooses; greys take the four greys.
// It can be no better than those values: see Basic16.
//
// Source: ours.
func NearestBasic16(c SRGB) uint8 {
	lab := c.Linear().XYZ().Lab()
	greyOnly := staysGrey(lab)
	best, cost := uint8(0), math.Inf(1)
	for i, rgb := range basic16 {
		e := newEntry(uint8(i), rgb)
		if k := e.cost(lab, greyOnly); k < cost {
			best, cost = e.index, k
		}
	}
	return best
}
