package cells

import (
	"math"
	"slices"
	"sync"

	"atelier/halflid/palette"
)

// How one of 256 colours is chosen for a colour of a photograph. Lightness comes
// first: nothing farther off than lightOff is looked at. Among what is left the
// colour decides, in OKLab. A step in L* counts little; chroma that is missing
// counts once, chroma that was not asked for, which shouts, twice, and never is
// it more than overMost times what was asked for; a wrong hue counts in between.
// Where the cube has no weak tint of about the hue that leaves a grey, and for
// what is nearly grey always. Nearness alone turned flesh red and water green and
// blue in turns.
//
// Source: ours; TestColours256 shows what they reach.
const (
	lightOff    = 4.0 // L*; with the width of a place in the table 5 at most
	lightCounts = 0.0025
	overCounts  = 2.0
	overMost    = 1.4
	hueCounts   = 1.7
)

// pot is one of the 256 colours.
type pot struct {
	index  uint8
	light  float64 // L*
	chroma float64
	lab    lab
}

func potOf(c palette.SRGB) pot {
	k := eye().lab(codeOf(c))
	return pot{light: float64(c.Linear().Y().L()), chroma: k.chroma(), lab: k}
}

func (c lab) chroma() float64 { return math.Sqrt(float64(c.a*c.a) + float64(c.b*c.b)) }

// grey reports whether the pot holds a grey; every other one has far more.
func (p *pot) grey() bool { return p.chroma < 0.001 }

// cost is how badly p stands for c, two parts of it squares of distances.
func (p *pot) cost(c *pot) float64 {
	light := lightCounts * (p.light - c.light)
	chroma := p.chroma - c.chroma
	if chroma > 0 {
		chroma *= overCounts
	}
	// The square of the distance along the circle of equal chroma, by its chord.
	along := 2 * (float64(p.chroma*c.chroma) - float64(p.lab.a*c.lab.a) - float64(p.lab.b*c.lab.b))
	return float64(light*light) + float64(chroma*chroma) + float64(hueCounts*hueCounts*max(along, 0))
}

// pots256 are the entries 16..255 from dark to light.
func pots256() []pot {
	var all []pot
	for i := 16; i < 256; i++ {
		p := potOf(palette.XTerm256(uint8(i)))
		p.index = uint8(i)
		all = append(all, p)
	}
	slices.SortStableFunc(all, func(a, b pot) int {
		switch {
		case a.light < b.light:
			return -1
		case a.light > b.light:
			return 1
		}
		return 0
	})
	return all
}

// choose returns the entry that stands for c.
func choose(pots []pot, c *pot) uint8 {
	from, _ := slices.BinarySearchFunc(pots, c.light-lightOff, func(p pot, l float64) int {
		if p.light < l {
			return -1
		}
		return 1
	})
	best, least := uint8(0), math.Inf(1)
	for i := from; i < len(pots) && pots[i].light <= c.light+lightOff; i++ {
		p := &pots[i]
		if !p.grey() && p.chroma > overMost*c.chroma {
			continue
		}
		if k := p.cost(c); k < least {
			best, least = p.index, k
		}
	}
	return best
}

// inks256 holds the entry for each grey and for each place of 8x2x8 codes, chosen
// for its middle; green has the finest places since most of the lightness is in
// it. 128 kB.
type inks256 struct {
	grey   [256]uint8
	colour [1 << 17]uint8
}

var palette256 = sync.OnceValue(func() *inks256 {
	t := new(inks256)
	pots := pots256()
	for i := range t.grey {
		c := potOf(palette.SRGB{R: uint8(i), G: uint8(i), B: uint8(i)})
		t.grey[i] = choose(pots, &c)
	}
	for i := range t.colour {
		c := potOf(palette.SRGB{R: uint8(i>>12<<3 | 4), G: uint8(i >> 5 & 127 << 1), B: uint8(i&31<<3 | 4)})
		t.colour[i] = choose(pots, &c)
	}
	return t
})

// nearest256 returns the entry, 16..255, of a 256-colour terminal that stands
// for a colour of a photograph: within 5 L* of it, at most half as colourful
// again, and grey where no entry of about its hue is weak enough. Greys take the
// nearest grey, within 2.5 L* from L* 10 to 95, an entry's own colour takes that
// entry. The same colour gives the same entry wherever it lies. The first call
// builds the table (some 20 ms).
//
// Source: ours; the palette is xterm's.
func nearest256(c palette.SRGB) uint8 {
	t := palette256()
	if c.R == c.G && c.G == c.B {
		return t.grey[c.G]
	}
	return t.colour[int(c.R>>3)<<12|int(c.G>>1)<<5|int(c.B>>3)]
}
