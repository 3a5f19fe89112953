package tui

import (
	"io"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"

	"atelier/halflid/tui/cells"
)

// inks are the few greys that text is written in. All of them are neutral: a
// colour beside the picture would change how its values are seen.
type inks struct {
	plainStyle, quietStyle, strongStyle lipgloss.Style
}

func newInks(d cells.Depth) inks {
	profile := map[cells.Depth]termenv.Profile{
		cells.TrueColour: termenv.TrueColor, cells.Colour256: termenv.ANSI256,
		cells.Colour16: termenv.ANSI, cells.NoColour: termenv.Ascii,
	}[d]
	// A renderer of our own: the package's shared one would look at the
	// process's standard output, which need not be where we draw.
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(profile)
	r.SetHasDarkBackground(true)
	grey := func(exact, c256, c16 string) lipgloss.CompleteColor {
		return lipgloss.CompleteColor{TrueColor: exact, ANSI256: c256, ANSI: c16}
	}
	ground := grey("#262626", "235", "0")
	style := func(exact, c256, c16 string) lipgloss.Style {
		return r.NewStyle().Background(ground).Foreground(grey(exact, c256, c16))
	}
	return inks{
		plainStyle:  style("#b2b2b2", "249", "7"),
		quietStyle:  style("#8a8a8a", "245", "8"),
		strongStyle: style("#e4e4e4", "254", "15"),
	}
}

func (k inks) plain(s string) string  { return k.plainStyle.Render(s) }
func (k inks) quiet(s string) string  { return k.quietStyle.Render(s) }
func (k inks) strong(s string) string { return k.strongStyle.Render(s) }

// plainBand are the rows that a picture covers, with words in the middle if there
// are any.
func (k inks) plainBand(cols, rows int, words string) []string {
	blank := k.plain(strings.Repeat(" ", cols))
	lines := make([]string, rows)
	for i := range lines {
		lines[i] = blank
	}
	if words != "" && rows > 0 {
		lines[rows/2] = k.plain(pad(ansi.Truncate("  "+words, cols, "…"), cols))
	}
	return lines
}
