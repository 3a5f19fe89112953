package cells

import (
	"strconv"
	"unicode/utf8"
)

// pen writes glyphs in colours, naming a colour only when it changes. It knows
// what the terminal's colours are set to.
type pen struct {
	buf    []byte
	fg, bg Colour
}

// reset returns the terminal to its default colours whatever they were.
func (p *pen) reset() {
	p.buf = append(p.buf, "\x1b[m"...)
	p.fg, p.bg = 0, 0
}

// put writes a canonical cell. Of the spellings that look alike it takes the
// one that changes fewest colours; next is the cell that will follow, and
// breaks ties in favour of what that cell can use.
func (p *pen) put(c, next Cell) {
	switch {
	case c.Glyph == Blank:
		p.putFlat(c.Bg, next)
	case c.Glyph == Upper && c.Fg != 0 && c.Bg != 0:
		p.putHalves(c.Fg, c.Bg, next)
	default:
		p.set(c.Fg, c.Bg)
		p.buf = utf8.AppendRune(p.buf, c.Glyph)
	}
}

// putFlat writes a cell of one colour: a blank on that ground, or, for a cell that
// stands alone, a full block in that ink. In a flat area only the blank is flat:
// many fonts leave a hairline between full blocks.
func (p *pen) putFlat(c Colour, next Cell) {
	goesOn := next.Glyph == Blank && next.Bg == c
	switch {
	case p.bg != c && goesOn:
		p.set(p.fg, c)
		p.buf = append(p.buf, ' ')
	case p.bg == c:
		p.buf = append(p.buf, ' ')
	case c == 0:
		p.set(p.fg, 0)
		p.buf = append(p.buf, ' ')
	case p.fg == c:
		p.buf = append(p.buf, "█"...)
	case uses(next, p.bg) && !uses(next, p.fg):
		p.set(c, p.bg)
		p.buf = append(p.buf, "█"...)
	default:
		p.set(p.fg, c)
		p.buf = append(p.buf, ' ')
	}
}

// uses reports whether cell c shows colour k.
func uses(c Cell, k Colour) bool {
	return k != 0 && (c.Bg == k || c.Fg == k)
}

func (p *pen) putHalves(top, bottom Colour, next Cell) {
	up := differ(p.fg, top) + differ(p.bg, bottom)
	down := differ(p.fg, bottom) + differ(p.bg, top)
	// On a tie keep the ground that a following blank would need.
	if up < down || up == down && !(next.Glyph == Blank && next.Bg == top) {
		p.set(top, bottom)
		p.buf = append(p.buf, "▀"...)
	} else {
		p.set(bottom, top)
		p.buf = append(p.buf, "▄"...)
	}
}

func differ(a, b Colour) int {
	if a != b {
		return 1
	}
	return 0
}

// free returns how many bytes the cell takes in the colours as they are set, or
// -1 if a colour would have to change.
func (p *pen) free(c Cell) int {
	switch {
	case c.Glyph == Blank && p.bg == c.Bg:
		return 1
	case c.Glyph == Blank:
		return -1
	case p.fg == c.Fg && p.bg == c.Bg:
		return utf8.RuneLen(c.Glyph)
	case c.Glyph == Upper && c.Fg != 0 && c.Bg != 0 && p.fg == c.Bg && p.bg == c.Fg:
		return len("▄")
	}
	return -1
}

// set makes fg and bg the terminal's colours by the shortest words for it.
func (p *pen) set(fg, bg Colour) {
	if p.fg == fg && p.bg == bg {
		return
	}
	if fg == 0 && bg == 0 {
		p.reset()
		return
	}
	p.buf = append(p.buf, "\x1b["...)
	if p.fg != fg {
		p.buf = appendColour(p.buf, fg, 30)
		if p.bg != bg {
			p.buf = append(p.buf, ';')
		}
	}
	if p.bg != bg {
		p.buf = appendColour(p.buf, bg, 40)
	}
	p.buf = append(p.buf, 'm')
	p.fg, p.bg = fg, bg
}

// appendColour appends the parameters that select c; base is 30 for the ink and
// 40 for the ground.
func appendColour(b []byte, c Colour, base int) []byte {
	if c&kindMask == kindExact {
		if i, ok := indexOf(c); ok {
			c = Index(i)
		}
	}
	switch c & kindMask {
	case 0:
		return strconv.AppendInt(b, int64(base+9), 10)
	case kindExact:
		b = append(b, byte('0'+base/10), '8', ';', '2', ';')
		b = append(b, decimals[uint8(c>>16)]...)
		b = append(b, ';')
		b = append(b, decimals[uint8(c>>8)]...)
		b = append(b, ';')
		return append(b, decimals[uint8(c)]...)
	default:
		i := uint8(c)
		switch {
		case i < 8:
			return append(b, byte('0'+base/10), '0'+i)
		case i < 16:
			return strconv.AppendInt(b, int64(base+60)+int64(i-8), 10)
		}
		b = append(b, byte('0'+base/10), '8', ';', '5', ';')
		return append(b, decimals[i]...)
	}
}

// indexOf returns the palette colour with exactly the codes of c, which takes
// half the bytes to name. Colours 16 to 21 are left out: some themes change them.
func indexOf(c Colour) (uint8, bool) {
	r, g, b := uint8(c>>16), uint8(c>>8), uint8(c)
	if r == g && g == b && r >= 8 && r <= 238 && (r-8)%10 == 0 {
		return 232 + (r-8)/10, true
	}
	i, j, k := cube[r], cube[g], cube[b]
	if i == 0 || j == 0 || k == 0 {
		return 0, false
	}
	n := 16 + 36*(i-1) + 6*(j-1) + (k - 1)
	return n, n > 21
}

// cube holds one more than the level of the 6x6x6 cube with a given code.
var cube = [256]uint8{0: 1, 95: 2, 135: 3, 175: 4, 215: 5, 255: 6}

// decimals are the numbers 0 to 255 as text.
var decimals = func() (d [256]string) {
	for i := range d {
		d[i] = strconv.Itoa(i)
	}
	return d
}()
