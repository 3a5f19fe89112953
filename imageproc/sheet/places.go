package sheet

import (
	"strings"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
)

// onPaper returns a line of the reading with the place that "here" points to on a
// screen in words.
func (m Material) onPaper(l reading.Line) string {
	if len(l.At) == 0 {
		return l.Words
	}
	words := strings.Fields(l.Words)
	for i, w := range words {
		if bare := strings.TrimRight(w, ".,:;?"); bare == "here" {
			words[i] = m.where(l.At[0]) + w[len(bare):]
		}
	}
	return strings.Join(words, " ")
}

// where says in which ninth of the crop a place of the photo lies.
func (m Material) where(p plan.Point) string {
	c := m.InCrop
	third := func(v float64) int { return min(2, max(0, int(3*v))) }
	x, y := third((p.X-c[0])/(c[2]-c[0])), third((p.Y-c[1])/(c[3]-c[1]))
	return [3][3]string{
		{"at the upper left", "at the top", "at the upper right"},
		{"at the left", "in the middle", "at the right"},
		{"at the lower left", "at the bottom", "at the lower right"},
	}[y][x]
}
