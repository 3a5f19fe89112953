package plan

import (
	"strconv"
	"strings"
)

// areaUnits is how many steps an area's coordinates have from edge to edge. A
// photo of 10 000 pixels is outlined to the pixel.
const areaUnits = 1e4

// ringEnd parts the rings in an area's text.
const ringEnd = ";"

// spot is a point of an area in whole steps, 0..areaUnits.
type spot struct{ x, y int }

func spotOf(p Point) spot { return spot{steps(p.X), steps(p.Y)} }

func steps(v float64) int { return int(clamp(round(v, areaUnits), 0, 1)*areaUnits + 0.5) }

func (s spot) point() Point { return Point{float64(s.x) / areaUnits, float64(s.y) / areaUnits} }

// areaOf makes an area of rings in whole steps, see AreaOf. It writes to grids.
func areaOf(grids [][]spot) Area {
	for {
		var sound [][]spot
		n := 0
		for _, g := range grids {
			if g = corners(g); len(g) >= 3 && encloses(g) {
				sound = append(sound, g)
				n += len(g)
			}
		}
		if !encloses(sound...) {
			return Area{}
		}
		if grids = sound; n <= MaxPoints {
			break
		}
		for i, g := range grids {
			grids[i] = everySecond(g)
		}
	}
	var b []byte
	for i, g := range grids {
		if i > 0 {
			b = append(b, ringEnd...)
		}
		for j, s := range g {
			if j > 0 {
				b = append(b, ' ')
			}
			b = s.append(b)
		}
	}
	return Area{string(b)}
}

// corners drops points that repeat the one before, and a last one equal to the
// first.
func corners(g []spot) []spot {
	out := g[:0]
	for _, s := range g {
		if len(out) == 0 || out[len(out)-1] != s {
			out = append(out, s)
		}
	}
	for len(out) > 1 && out[len(out)-1] == out[0] {
		out = out[:len(out)-1]
	}
	return out
}

func everySecond(g []spot) []spot {
	out := g[:0]
	for i := 0; i < len(g); i += 2 {
		out = append(out, g[i])
	}
	return out
}

// encloses reports whether anything lies inside the rings by the even-odd rule.
// Nothing does if each stretch of each line is run along an even number of
// times; and that is so if, line by line, each point is an even number of times
// the end of a side, since how often a stretch is run along turns from even to
// odd at ends of sides alone. Whole steps make it exact. Source: ours.
func encloses(grids ...[]spot) bool {
	if cornerAlone(grids) {
		return true
	}
	type end struct{ dx, dy, line, x, y int }
	odd := map[end]bool{}
	for _, g := range grids {
		for i, s := range g {
			t := g[(i+1)%len(g)]
			dx, dy := t.x-s.x, t.y-s.y
			d := gcd(dx, dy)
			if d == 0 {
				continue
			}
			if dx < 0 || dx == 0 && dy < 0 {
				d = -d
			}
			dx, dy = dx/d, dy/d
			for _, p := range [2]spot{s, t} {
				e := end{dx, dy, dx*p.y - dy*p.x, p.x, p.y}
				if odd[e] {
					delete(odd, e)
				} else {
					odd[e] = true
				}
			}
		}
	}
	return len(odd) > 0
}

// cornerAlone reports whether the first of all points, from the left and then
// from the top, is there once, with its two sides on different lines: then
// nothing cancels these. It is so for nearly every ring, and saves the counting.
func cornerAlone(grids [][]spot) bool {
	var first, before, after spot
	times := 0
	for _, g := range grids {
		for i, s := range g {
			switch {
			case times > 0 && s == first:
				times++
			case times == 0 || s.x < first.x || s.x == first.x && s.y < first.y:
				first, before, after, times = s, g[(i+len(g)-1)%len(g)], g[(i+1)%len(g)], 1
			}
		}
	}
	return times == 1 && (before.x-first.x)*(after.y-first.y) != (before.y-first.y)*(after.x-first.x)
}

// gcd returns the greatest common divisor of two numbers, not negative.
func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}

// append writes the spot as "x,y", each the shortest decimal text.
func (s spot) append(b []byte) []byte {
	return appendSteps(append(appendSteps(b, s.x), ','), s.y)
}

func appendSteps(b []byte, n int) []byte {
	if n >= areaUnits {
		return append(b, '1')
	}
	b = append(b, '0')
	if n == 0 {
		return b
	}
	b = append(b, '.')
	for unit := int(areaUnits) / 10; n > 0; unit /= 10 {
		b = append(b, byte('0'+n/unit))
		n %= unit
	}
	return b
}

// grids returns the area's rings in whole steps, in fresh memory.
func (a Area) grids() [][]spot {
	texts := a.ringTexts()
	out := make([][]spot, len(texts))
	for i, text := range texts {
		out[i] = spots(text)
	}
	return out
}

// spots reads a ring of an area's own text.
func spots(text string) []spot {
	out := make([]spot, 0, strings.Count(text, " ")+1)
	for len(text) > 0 {
		var s spot
		s.x, text = cutSteps(text)
		s.y, text = cutSteps(text)
		out = append(out, s)
	}
	return out
}

// cutSteps reads one coordinate of an area's own text and steps over what
// follows it.
func cutSteps(text string) (n int, rest string) {
	n = int(text[0]-'0') * areaUnits
	i := 1
	if i < len(text) && text[i] == '.' {
		unit := int(areaUnits)
		for i++; i < len(text) && text[i] >= '0' && text[i] <= '9'; i++ {
			unit /= 10
			n += int(text[i]-'0') * unit
		}
	}
	return n, text[min(i+1, len(text)):]
}

// parseRing reads a ring as it stands in a plan file. problem is what is wrong
// with it, for the reader; empty if nothing is.
func parseRing(text string) (ring []spot, problem string) {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' }) {
		x, y, ok := strings.Cut(word, ",")
		px, okX := fraction(x)
		py, okY := fraction(y)
		if !ok || !okX || !okY {
			return nil, "want points x,y from 0 to 1 parted by spaces, found " + strconv.Quote(shortened(word))
		}
		ring = append(ring, spotOf(Point{px, py}))
	}
	if ring = corners(ring); len(ring) < 3 || !encloses(ring) {
		return nil, "want a ring of at least 3 points that encloses something"
	}
	return ring, ""
}

// fraction reads a decimal number from 0 to 1 as JSON has it, without exponent.
func fraction(s string) (float64, bool) {
	if s == "" || s[0] != '0' && s[0] != '1' || len(s) > 1 && (s[1] != '.' || len(s) == 2) {
		return 0, false
	}
	v, ok := plainNumber(s)
	return v, ok && v <= 1
}

// shortened returns s with at most 40 characters.
func shortened(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
