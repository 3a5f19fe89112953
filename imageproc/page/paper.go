package page

import (
	"fmt"
	"strconv"
	"strings"
)

// Paper is a size of paper, upright, in millimetres.
type Paper struct {
	Name string
	W, H float64
}

// Papers returns the papers on offer. Sources: A sizes: ISO 216:2007; letter,
// legal and tabloid: ANSI/ASME Y14.1.
func Papers() []Paper {
	return []Paper{
		{"letter", 8.5 * Inch, 11 * Inch},
		{"a4", 210, 297},
		{"a3", 297, 420},
		{"a5", 148, 210},
		{"legal", 8.5 * Inch, 14 * Inch},
		{"tabloid", 11 * Inch, 17 * Inch},
		{"a2", 420, 594},
	}
}

// Limits of a paper's sides in millimetres: on less the rulers have no room.
const (
	leastPaper = 140
	mostPaper  = 2000
)

// ParsePaper reads a paper's name, or its sides as in "300x400 mm", "30x40cm" or
// "12x18 in".
func ParsePaper(s string) (Paper, error) {
	word := strings.ToLower(strings.ReplaceAll(s, " ", ""))
	for _, p := range Papers() {
		if p.Name == word {
			return p, nil
		}
	}
	wrong := fmt.Errorf("there is no paper %q: choose letter, a4, a3, a5, legal, tabloid, a2, or sides such as 300x400mm", s)
	for _, unit := range []struct {
		name string
		mm   float64
	}{{"mm", 1}, {"cm", 10}, {"in", Inch}} {
		sides, ok := strings.CutSuffix(word, unit.name)
		if !ok {
			continue
		}
		a, b, ok := strings.Cut(sides, "x")
		w, errW := strconv.ParseFloat(a, 64)
		h, errH := strconv.ParseFloat(b, 64)
		if !ok || errW != nil || errH != nil {
			return Paper{}, wrong
		}
		w, h = min(w, h)*unit.mm, max(w, h)*unit.mm
		if !(w >= leastPaper && h <= mostPaper) {
			return Paper{}, fmt.Errorf("paper %s is out of range: sides of %d to %d mm", s, leastPaper, mostPaper)
		}
		return Paper{word, w, h}, nil
	}
	return Paper{}, wrong
}
