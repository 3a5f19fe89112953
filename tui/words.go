package tui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/palette"
)

// piece is one statement of a status line; when the line is too narrow the
// pieces of the highest rank are left away first.
type piece struct {
	text string
	rank int
}

// line joins pieces with two spaces in at most width columns.
func line(width int, pieces ...piece) string {
	for {
		var words []string
		worst := -1
		for i, p := range pieces {
			if p.text == "" {
				continue
			}
			words = append(words, p.text)
			if worst < 0 || p.rank >= pieces[worst].rank {
				worst = i
			}
		}
		out := strings.Join(words, "  ")
		if ansi.StringWidth(out) <= width || worst < 0 {
			return out
		}
		if len(words) == 1 {
			return ansi.Truncate(out, width, "…")
		}
		pieces[worst].text = ""
	}
}

// wrappedWhole breaks words into lines of at most wide columns, the name of a file
// not at its hyphens: only what is wider than a line is broken within.
func wrappedWhole(words string, wide int) []string {
	const hyphen = "\ue000" // for private use: names hardly have it
	words = ansi.Wrap(strings.ReplaceAll(words, "-", hyphen), wide, "")
	return strings.Split(strings.ReplaceAll(words, hyphen, "-"), "\n")
}

// pad fills a line with spaces to exactly width columns, so that whatever stood
// there before is covered.
func pad(s string, width int) string {
	if n := width - ansi.StringWidth(s); n > 0 {
		return s + strings.Repeat(" ", n)
	}
	return s
}

// munsell writes a lightness as Munsell value, as it would stand on a chart.
func munsell(l palette.L) string { return fmt.Sprintf("N%.1f", float64(l.Value())) }

// percent writes a share of the picture.
func percent(share float64) string {
	if share > 0 && share < 0.005 {
		return "<1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

// counted writes a number with its noun.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

var numberWords = [...]string{2: "two", 3: "three", 4: "four", 5: "five"}

func valuesWord(k int) string {
	if k >= 2 && k < len(numberWords) {
		return numberWords[k] + " values"
	}
	return counted(k, "value", "values")
}

// unlessIn returns words, or nothing if said has them already.
func unlessIn(said, words string) string {
	if strings.Contains(said, words) {
		return ""
	}
	return words
}
