package tui

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/tui/keys"
)

// helpLines is the help of the place the painter came from, from the key table.
func (m *model) helpLines() []string {
	lines := []string{""}
	if m.notice != "" {
		lines = append(lines, "  What was told last", "")
		for _, words := range wrappedWhole(photo.SafeName(m.notice), m.cols-4) {
			lines = append(lines, "  "+words)
		}
		lines = append(lines, "")
	}
	lines = append(lines, "  "+m.under.Title(), "")
	wide := 0
	for _, b := range keys.Table(m.under) {
		wide = max(wide, ansi.StringWidth(b.Label()))
	}
	for _, b := range keys.Table(m.under) {
		label := b.Label()
		for _, words := range wrapped(b.Words, max(leastWords, m.cols-wide-4)) {
			lines = append(lines, "  "+pad(label, wide+2)+words)
			label = ""
		}
	}
	lines = append(lines, "")
	for _, said := range []string{
		"Squint is a blur of the light itself, in percent of the crop's long side.",
		"Values are Munsell values, N0 black to N10 white, measured on the photo: " +
			"its exposure and its camera change them. Judge them against each other, " +
			"and the extremes against nature or a grey card.",
		"The plan is kept beside the photo and saved as you work.",
	} {
		for _, words := range wrapped(said, min(m.cols-2, 76)) {
			lines = append(lines, "  "+words)
		}
	}
	return append(lines, "")
}

// leastWords is how wide the words of a key are at least, in columns.
const leastWords = 14

func (m *model) helpKey(a keys.Action) {
	switch a {
	case keys.Back:
		m.scope = m.under
	case keys.Down:
		m.down = min(m.down+1, max(0, len(m.helpLines())-(m.rows-1)))
	case keys.Up:
		m.down = max(0, m.down-1)
	}
}

// written begins a row that covers the picture and shows nothing by itself. With
// it a blank row is spelled otherwise than the rows under the picture, and Bubble
// Tea does not leave out to write it.
const written = "\x1b[m"

func (m *model) helpView() string {
	all := m.helpLines()
	room := m.rows - 1
	top := min(m.down, max(0, len(all)-room))
	var out []string
	for i := range room {
		text := ""
		if top+i < len(all) {
			text = all[top+i]
		}
		out = append(out, written+m.ink.plain(pad(ansi.Truncate(text, m.cols, "…"), m.cols)))
	}
	hint := " ? back"
	if len(all) > room {
		hint = " ↑ ↓ scroll  ? back"
	}
	return strings.Join(append(out, m.ink.quiet(pad(hint, m.cols))), "\n")
}
