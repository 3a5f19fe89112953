package tui

import (
	"fmt"
	"image"
	"runtime/debug"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// besideCols is the width from which two pictures fit beside each other.
const besideCols = 60

func (m *model) canBeside() bool { return m.cols >= besideCols }

// textRows is how many rows of text stand below the picture. It depends on the
// window only, so that nothing shifts while the painter works.
func (m *model) textRows() int {
	if m.rows < 16 {
		return 2
	}
	return 3
}

func (m *model) bandRows() int { return m.rows - m.textRows() }

// bandRect is the part of the window that the picture has; empty if there is no
// picture to show.
func (m *model) bandRect(shown bool) image.Rectangle {
	if !shown {
		return image.Rectangle{}
	}
	return image.Rect(0, 0, m.cols, m.bandRows())
}

// View implements tea.Model. The picture itself is not in it: it is painted
// directly over its rows.
func (m *model) View() (text string) {
	if m.err != nil {
		return ""
	}
	defer func() {
		if r := recover(); r != nil {
			text = ""
			crash := &Crash{Value: r, Trace: string(debug.Stack())}
			m.err = crash
			go m.send(crashMsg{crash}) // View may not end the program itself
		}
	}()
	if m.opt.Fault != nil {
		m.opt.Fault("view")
	}
	switch {
	case m.cols == 0:
		return ""
	case m.tooSmall():
		return m.smallView()
	case m.scope == keys.Help:
		return m.helpView()
	}
	lines := m.bandLines()
	if m.textRows() > 2 {
		lines = append(lines, m.valuesLine())
	}
	lines = append(lines, m.statusLine(), m.hintLine())
	long := m.longRows()
	copy(lines[len(lines)-len(long):], long)
	status := len(lines) - 2
	lines[status] = m.behindMark(lines[status])
	return strings.Join(lines, "\n")
}

func (m *model) smallView() string {
	words := []string{
		fmt.Sprintf("This window is %dx%d.", m.cols, m.rows),
		fmt.Sprintf("halflid needs %dx%d.", minCols, minRows),
		"Enlarge it, or Ctrl+C quits.", // q is a letter to find a photo by on a folder's wall
	}
	var out []string
	for _, w := range words[:min(len(words), m.rows)] {
		out = append(out, ansi.Truncate(w, m.cols, ""))
	}
	return strings.Join(out, "\n")
}

// bandLines are the rows that the picture covers. They say nothing of it and
// never change while the layout stands, so that Bubble Tea leaves them alone;
// where it does write them, they are the picture's ground, not a flash of the
// terminal's own colour.
func (m *model) bandLines() []string {
	words := ""
	if _, shown := m.wanted(); !shown {
		words = "opening " + photo.SafeName(m.src.Name) + " …"
		if m.progress > 0 {
			words += fmt.Sprintf(" %.0f %%", 100*m.progress)
		}
	}
	return m.ink.plainBand(m.cols, m.bandRows(), words)
}

// behindMark ends a line with the mark that says that the line is slow and the
// picture on the screen not yet the newest.
func (m *model) behindMark(line string) string {
	if !m.behind {
		return line
	}
	return ansi.Truncate(line, m.cols-2, "") + m.ink.strong("… ")
}

// statusLine says in a painter's words what is seen.
func (m *model) statusLine() string {
	name := photo.SafeName(m.src.Name)
	if m.opened == nil {
		return m.ink.plain(pad(line(m.cols, piece{" " + name, 0}, piece{"opening …", 1}), m.cols))
	}
	if m.scope == keys.Scale && m.textRows() < 3 {
		return m.valuesLine() // it has no row of its own there
	}
	if words, ok := m.activityLine(); ok {
		return m.ink.plain(pad(" "+ansi.Truncate(photo.SafeName(words), m.cols-2, "…"), m.cols))
	}
	p := m.plan()
	values, shapes, file, size := 4, 5, 6, 7
	if m.view == study.Whole || m.view == study.Photo {
		size, file, values, shapes = 3, 4, 5, 6 // where the crop is chosen
	}
	words := line(m.cols-1,
		piece{m.viewWord(), 1},
		piece{m.unsavedWord(), 1},
		piece{p.Panel.String(), 2},
		piece{m.sizeWord(p), size},
		piece{squintWord(p), 3},
		piece{m.countOrValues(p), values},
		piece{m.shapesWord(), shapes},
		piece{m.focalWord(), 9},
		piece{m.gridWord(), 11},
		piece{m.decidedWord(), 10},
		piece{m.keptWord(), 8},
		piece{name, file},
	)
	return m.ink.plain(pad(" "+words, m.cols))
}

// unsavedWord warns where nothing is kept.
func (m *model) unsavedWord() string {
	if m.opened.Unsaved {
		return "NOT SAVED"
	}
	return ""
}

// countOrValues says how many values there are; in a low window, where they have
// no row of their own, which, if there is room.
func (m *model) countOrValues(p plan.Plan) string {
	f, old := m.told()
	n := len(f.Tones)
	if m.textRows() > 2 || m.cols < besideCols || old || n == 0 {
		if !old && n > 0 && n < p.Values.K && m.shown.want.plan == p {
			return fmt.Sprintf("%d of %s", n, valuesWord(p.Values.K)) // the photo has no more
		}
		return valuesWord(p.Values.K)
	}
	var out []string
	for i, t := range f.Tones {
		out = append(out, munsell(t)+" "+percent(f.Shares[i]))
	}
	return strings.Join(out, ", ")
}

// activityLine is what an activity has to say in place of the status line.
func (m *model) activityLine() (string, bool) {
	switch m.scope {
	case keys.Hand:
		return m.handLine(), true
	case keys.MarkOut:
		return m.markOutLine(), true
	case keys.Carry:
		return m.carryLine(), true
	case keys.Decided:
		return m.decidedLine(), true
	case keys.Wall:
		return m.wallLine(), true
	case keys.Pair:
		return m.pairLine(), true
	case keys.Note:
		return m.noteLine(), true
	case keys.Reading:
		return m.readingLine(), true
	case keys.Sheets:
		return m.sheetsLine(), true
	}
	return "", false
}

func (m *model) viewWord() string {
	word := viewWords[m.view]
	if m.beside && m.canBeside() {
		left, right := pair(m.view)
		word = viewWords[left] + " | " + viewWords[right]
	}
	return word
}

var viewWords = map[study.View]string{
	study.Whole: "whole photo", study.Photo: "crop", study.Squint: "squinted",
	study.Values: "values", study.Plan: "plan", study.Notan: "notan",
	study.Outline: "outline", study.Steps: "blocking in",
}

// sizeWord says how large all of the photo would be at the panel's scale: how much
// the crop takes of it, in the units that the painter cuts panels by.
func (m *model) sizeWord(p plan.Plan) string {
	unit := p.Panel.Ruler()
	w, h, ok := p.Whole(m.frame.Photo, unit)
	switch {
	case !ok:
		return fmt.Sprintf("crop %.0f %% of the photo's width", 100*p.Crop.W)
	case m.wholePhoto(p):
		return ""
	}
	return fmt.Sprintf("all of it %.1fx%.1f %s", w, h, unit)
}

// wholePhoto reports whether a crop leaves nothing of the photo away that could
// be seen.
func (m *model) wholePhoto(p plan.Plan) bool {
	x0, y0, x1, y1 := p.Rect(m.frame.Photo)
	return x1-x0 > 0.995 && y1-y0 > 0.995
}

func squintWord(p plan.Plan) string {
	if p.Squint == 0 {
		return "no squint"
	}
	return fmt.Sprintf("squint %.3g %%", p.Squint)
}

func (m *model) shapesWord() string {
	f, old := m.told()
	switch {
	case len(f.Tones) == 0:
		return ""
	case old:
		return "… shapes"
	}
	return counted(f.Shapes, "shape", "shapes")
}

// decidedWord counts what was decided about single places and what is kept.
func (m *model) decidedWord() string {
	var out []string
	if n := m.plan().Choices.Len(); n > 0 {
		out = append(out, counted(n, "choice", "choices"))
	}
	if n := len(m.hist.Thumbnails()); n > 0 {
		out = append(out, counted(n, "thumbnail", "thumbnails"))
	}
	return strings.Join(out, ", ")
}

func (m *model) keptWord() string {
	f, old := m.told()
	switch {
	case len(f.Tones) == 0:
		return ""
	case old:
		return "keeps … % of the light and dark"
	}
	return fmt.Sprintf("keeps %.0f %% of the light and dark", 100*f.Kept)
}
