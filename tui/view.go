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
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
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
	lines = append(lines, m.behindMark(m.statusLine()), m.hintLine())
	return strings.Join(lines, "\n")
}

func (m *model) smallView() string {
	words := []string{
		fmt.Sprintf("This window is %dx%d.", m.cols, m.rows),
		fmt.Sprintf("halflid needs %dx%d.", minCols, minRows),
		"Enlarge it, or q quits.",
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
	blank := m.ink.plain(pad("", m.cols))
	lines := make([]string, m.bandRows(), m.rows)
	for i := range lines {
		lines[i] = blank
	}
	if _, shown := m.wanted(); !shown {
		words := "  opening " + photo.SafeName(m.src.Name) + " …"
		if m.progress > 0 {
			words += fmt.Sprintf(" %.0f %%", 100*m.progress)
		}
		lines[len(lines)/2] = m.ink.plain(pad(ansi.Truncate(words, m.cols, "…"), m.cols))
	}
	return lines
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
	if words, ok := m.activityLine(); ok {
		return m.ink.plain(pad(" "+ansi.Truncate(photo.SafeName(words), m.cols-2, "…"), m.cols))
	}
	p := m.plan()
	words := line(m.cols-1,
		piece{m.viewWord(), 1},
		piece{p.Panel.String(), 2},
		piece{m.sizeWord(p), 7},
		piece{squintWord(p), 3},
		piece{valuesWord(p.Values.K), 4},
		piece{m.shapesWord(), 5},
		piece{m.focalWord(), 9},
		piece{m.gridWord(), 11},
		piece{m.decidedWord(), 10},
		piece{m.keptWord(), 8},
		piece{name, 6},
	)
	return m.ink.plain(pad(" "+words, m.cols))
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
	case p.Crop.W > 0.995:
		return ""
	}
	return fmt.Sprintf("all of it %.1fx%.1f %s", w, h, unit)
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
		return "keeps … % of the variation"
	}
	return fmt.Sprintf("keeps %.0f %% of the variation", 100*f.Kept)
}

// valuesLine shows the tones from dark to light, each with its share; while they
// are set by hand, with the cuts between them and the chosen one in brackets.
// Those of an older plan are said in grey.
func (m *model) valuesLine() string {
	f, old := m.told()
	if len(f.Tones) == 0 {
		words := ""
		if m.unmeasured() {
			words = " measuring …"
		}
		return m.ink.quiet(pad(words, m.cols))
	}
	by := m.scope == keys.Scale
	out, wide := m.ink.plain(" "), 2
	if m.cols < 100 {
		wide = 1 // five values with their cuts have to fit
	}
	for i, t := range f.Tones {
		share := percent(f.Shares[i])
		if wide == 1 {
			share = strings.ReplaceAll(share, " ", "")
		}
		out += cells.Swatch(palette.Grey(t.Y()), wide, m.opt.Depth, cells.Inks(f.Tones)...) + m.word(munsell(t)+" "+share, old, by && m.mark == 2*i)
		if by && i < len(f.Cuts) {
			out += m.word("|"+munsell(f.Cuts[i])[1:], old, m.mark == 2*i+1)
		}
	}
	if p := m.plan(); by {
		out += m.ink.quiet(" cuts " + string(p.Values.CutMethod) + ", tones " + string(p.Values.ToneMethod))
	}
	if old {
		out += m.ink.quiet(" …")
	}
	if ansi.StringWidth(out) > m.cols {
		out = ansi.Truncate(out, m.cols, "")
	}
	if n := m.cols - ansi.StringWidth(out); n > 0 {
		out += m.ink.plain(strings.Repeat(" ", n))
	}
	return out
}

func (m *model) word(s string, old, chosen bool) string {
	switch {
	case chosen:
		return m.ink.strong("[" + s + "]")
	case old:
		return m.ink.quiet(" " + s + " ")
	}
	return m.ink.plain(" " + s + " ")
}

// hintLine is what there is to say, or the keys that lead on from here.
func (m *model) hintLine() string {
	if m.note != "" {
		return m.ink.strong(pad(" "+ansi.Truncate(photo.SafeName(m.note), m.cols-1, "…"), m.cols))
	}
	var pieces []piece
	table := keys.Table(m.scope)
	for i, b := range table {
		if b.Hint == "" || m.opened == nil && b.Action != keys.Quit {
			continue
		}
		short := b.Short()
		switch b.Action {
		case keys.SquintMore:
			short = ", ."
		case keys.NextMark:
			if m.scope == keys.Scale {
				short = "← →"
			}
		case keys.Left:
			short = "arrows"
		case keys.More:
			short = "+ -"
		case keys.Value1:
			short = "1-5"
		case keys.Right, keys.Down:
			if m.scope == keys.Wall || m.scope == keys.Decided || m.scope == keys.Reading || m.scope == keys.Sheets {
				short = "arrows"
			}
		}
		rank := 10 + i
		if b.Action == keys.ShowHelp || b.Action == keys.Quit || b.Action == keys.Back {
			rank = 1
		}
		pieces = append(pieces, piece{short + " " + b.Hint, rank})
		if b.Action == keys.Flip && m.scope == keys.Studio {
			pieces = append(pieces, piece{"2-5 values", 9}, piece{"arrows " + "move", 8}, piece{"+ - " + m.moreWord(), 12})
		}
	}
	return m.ink.quiet(pad(" "+line(m.cols-1, pieces...), m.cols))
}

// moreWord says what + and - change in the view that is shown.
func (m *model) moreWord() string {
	switch m.view {
	case study.Squint:
		return "squint"
	case study.Values:
		return "values"
	case study.Plan, study.Notan, study.Outline, study.Steps:
		return "shapes"
	default:
		return "crop"
	}
}
