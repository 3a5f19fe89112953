package sheet

import (
	"strings"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/palette"
)

// Sizes of lettering in millimetres.
const (
	sizeTitle = 5.0
	sizeHead  = 3.7
	sizeBody  = 3.1
	sizeSmall = 2.6
	sizeTick  = 2.2
)

// Inks of words and lines.
var (
	inkWords = page.Grey(palette.Value(1).L())
	inkQuiet = page.Grey(palette.Value(4).L())
	inkLine  = page.Grey(palette.Value(2).L())
	inkHair  = page.Grey(palette.Value(6).L())
	inkFaint = page.Grey(palette.Value(8.5).L()) // of lines on the support: paint covers it
	inkPaper = page.Grey(palette.Value(10).L())
	inkBare  = page.Grey(palette.Value(9.5).L()) // a panel that nothing is on yet
)

const (
	hair = 0.15 // width of the finest lines that printers carry, mm
	fine = 0.25
)

// cutTo returns words that are no wider than width: what has no room is cut off and
// an ellipsis stands for it. Empty if not even that has room.
func cutTo(words string, size float64, bold bool, width float64) string {
	words = strings.Join(strings.Fields(words), " ")
	if page.Width(words, size, bold) <= width {
		return words
	}
	letters := []rune(words)
	for len(letters) > 0 {
		letters = letters[:len(letters)-1]
		if out := strings.TrimRight(string(letters), " ,.;:") + string(ellipsis); page.Width(out, size, bold) <= width {
			return out
		}
	}
	return ""
}

// wrapped breaks words into at most most lines; a word that is too long alone and
// a last line that goes on are cut.
func wrapped(words string, size float64, bold bool, width float64, most int) []string {
	lines := page.Wrap(words, size, bold, width)
	if len(lines) > most {
		lines = append(lines[:most-1:most-1], strings.Join(lines[most-1:], " "))
	}
	for i, l := range lines {
		lines[i] = cutTo(l, size, bold, width)
	}
	return lines
}

// lead is the distance from one baseline to the next.
func lead(size float64) float64 { return 1.35 * size }

// digitMiddle is how far below its middle the baseline of a figure lies.
func digitMiddle(size float64) float64 { return page.Cap(size) / 2 }
