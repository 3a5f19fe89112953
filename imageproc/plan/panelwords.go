package plan

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// ErrWords is wrapped by every error of the Parse functions: what was typed
// cannot be read.
var ErrWords = errors.New("not understood")

// wordsError is what was typed wrongly, with its own line for the painter.
type wordsError string

func (e wordsError) Error() string { return string(e) }
func (e wordsError) Unwrap() error { return ErrWords }

func badWords(format string, args ...any) error { return wordsError(fmt.Sprintf(format, args...)) }

var wayWords = map[string]Way{
	"upright": Upright, "portrait": Upright,
	"across": Across, "landscape": Across,
}

// sizeWords brings the usual spellings of a size to one.
var sizeWords = strings.NewReplacer("×", "x", "*", "x", " x ", "x", " by ", "x",
	"inches", "in", "inch", "in", "\"", "in", "″", "in", ",", " ")

// ParsePanel reads a panel as a painter types it: "6x8", "9x12 in", "13x18 cm",
// "a5", "square" (6x6 in), "square 8 in", "free", each with "upright" or
// "across" if wanted. A comma between two figures is a point. Without a unit, a size
// that Panels offers has its unit there (so 18x24 is in cm), any other is in
// inches. A long side first ("8x6") means across; otherwise a way that is not named
// is Unsaid. Errors wrap ErrWords and suggest.
func ParsePanel(s string) (Panel, error) {
	way := Unsaid
	var size string
	for _, word := range strings.Fields(sizeWords.Replace(withPoints(strings.ToLower(s)))) {
		if w, ok := wayWords[word]; ok {
			way = w
		} else {
			size += word
		}
	}
	p, err := parseSize(size, s)
	if err != nil {
		return Panel{}, err
	}
	if way != Unsaid {
		p.Way = way
	}
	return p, nil
}

// withPoints returns s with a point for each comma between two figures: the rest of
// commas part words.
func withPoints(s string) string {
	b := []byte(s)
	digit := func(i int) bool { return i >= 0 && i < len(b) && b[i] >= '0' && b[i] <= '9' }
	for i, c := range b {
		if c == ',' && digit(i-1) && digit(i+1) {
			b[i] = '.'
		}
	}
	return string(b)
}

func parseSize(size, typed string) (Panel, error) {
	switch {
	case size == "free":
		return Panel{}, nil
	case size == "square":
		size = "6x6in"
	case strings.HasPrefix(size, "square"):
		size = size[len("square"):]
		side := strings.TrimRight(size, "incm")
		size = side + "x" + size
	case len(size) == 2 && size[0] == 'a' && size[1] >= '0' && int(size[1]-'0') < len(isoA):
		s := isoA[size[1]-'0']
		return Panel{Short: s[0], Long: s[1], Unit: Millimetre}, nil
	}
	unit := Unit("")
	for _, u := range []Unit{Inch, Centimetre, Millimetre} {
		if strings.HasSuffix(size, string(u)) {
			unit, size = u, strings.TrimSuffix(size, string(u))
			break
		}
	}
	first, second, ok := strings.Cut(size, "x")
	a, okA := side(first)
	b, okB := side(second)
	if size == "" && unit == "" {
		return Panel{}, badWords("no panel is named: write a size such as 6x8, 13x18 cm or a5, or square, or free")
	}
	if !ok || !okA || !okB {
		return Panel{}, badWords("there is no panel %q: did you mean %s? Write a size such as 6x8, 13x18 cm or a5, or square, or free", typed, nearestPanel(size+string(unit)))
	}
	p := Panel{Short: min(a, b), Long: max(a, b), Unit: unit}
	if a > b {
		p.Way = Across
	}
	if unit == "" {
		p.Unit = usualUnit(p)
	}
	if !p.sound() {
		return Panel{}, badWords("a panel of %s cannot be planned: its sides must lie between 2 cm and 3 m, the long one at most ten times the short one", p.Name())
	}
	return p, nil
}

// side reads one side of a panel; two decimals are kept.
func side(s string) (float64, bool) {
	if s == "" || strings.Trim(s, "0123456789.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return round(v, sideUnits), err == nil && v < 1e6
}

func usualUnit(p Panel) Unit {
	for _, q := range Panels() {
		if q.Short == p.Short && q.Long == p.Long {
			return q.Unit
		}
	}
	return Inch
}

// nearestPanel returns the name on offer that takes the fewest changed letters
// to reach from what was typed; the first of equals.
func nearestPanel(typed string) string {
	best, least := "", 1<<30
	for _, p := range append(Panels(), Panel{Short: 6, Long: 6}) {
		name := p.Name()
		if p.Unit == "" && !p.Free() {
			name = "square"
		}
		plain := strings.ToLower(strings.ReplaceAll(name, " ", ""))
		d := min(letters(typed, plain), letters(typed, strings.TrimRight(plain, "incm")))
		if d < least {
			best, least = name, d
		}
	}
	return best
}

// letters returns how many single letters must be put in, taken out or changed
// to turn a into b. Source: Levenshtein 1966, two-row form. Long input is cut
// short: it is for suggestions only.
func letters(a, b string) int {
	a = a[:min(len(a), 40)]
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		corner := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := corner
			if a[i] != b[j] {
				change++
			}
			corner = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
