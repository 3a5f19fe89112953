package main

import (
	"strconv"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/palette"
)

// tableCols is how wide a table of readings is at most; leastName what a name has
// of it at least.
const (
	tableCols = 112
	leastName = 16
)

// column is a column of the table: its head, the unit below it, and what stands
// in it. Figures stand at the right of it, words at the left.
type column struct {
	head, unit string
	words      bool
	of         func(t told) string
}

// columns are the figures that are set side by side, tones and shares from dark
// to light. A dash: it does not apply.
var columns = []column{
	{"plan", "", true, func(t told) string { return photo.SafeName(t.file) }},
	{"panel", "", true, func(t told) string { return photo.SafeName(t.plan.Panel.String()) }},
	{"tones", "N", true, func(t told) string {
		return joined(t.reading.Values.Tones, func(v palette.Value) string { return strconv.FormatFloat(float64(v), 'f', 0, 64) })
	}},
	{"shares", "%", true, func(t told) string { return joined(t.reading.Values.Shares, inPercent) }},
	{"shapes", "", false, func(t told) string { return strconv.Itoa(t.reading.Simplicity.Shapes) }},
	{"darks", "masses", false, func(t told) string { return darkMasses(t.reading) }},
	{"largest", "% of them", false, func(t told) string {
		if f := t.reading.Darks.Darkest; f.Share > 0 {
			return inPercent(f.Largest)
		}
		return "-"
	}},
	{"contrast", "% away", false, func(t told) string {
		if d := t.reading.Contrast.Distance; d >= 0 {
			return inPercent(d)
		}
		return "-"
	}},
	{"balance", "% off", false, func(t told) string { return inPercent(t.reading.Placement.Off) }},
	{"asked", "", false, func(t told) string {
		n := 0
		for _, l := range t.lines {
			if l.Asks {
				n++
			}
		}
		return strconv.Itoa(n)
	}},
}

func darkMasses(r reading.Reading) string {
	if r.Darks.Darkest.Share == 0 {
		return "-"
	}
	return strconv.Itoa(r.Darks.Darkest.Masses)
}

func inPercent(v float64) string { return strconv.FormatFloat(100*v, 'f', 0, 64) }

func joined[T any](all []T, one func(T) string) string {
	words := make([]string, 0, len(all))
	for _, v := range all {
		words = append(words, one(v))
	}
	return strings.Join(words, " ")
}

// ofOneFile reports whether all that was read belongs to one file.
func ofOneFile(all []told) bool {
	for _, t := range all {
		if t.file != all[0].file {
			return false
		}
	}
	return true
}

// readTable sets readings side by side, one line each, under two lines of heads.
// Names that would make it too wide are cut: files at the beginning, which is the
// folder, thumbnails at the end.
func readTable(all []told) string {
	var b strings.Builder
	rows := make([][]string, 2, 2+len(all))
	together := len(all) > 1 && ofOneFile(all)
	if together {
		b.WriteString(photo.SafeName(all[0].file) + "\n")
	}
	for _, c := range columns {
		rows[0], rows[1] = append(rows[0], c.head), append(rows[1], c.unit)
	}
	for _, t := range all {
		row := make([]string, 0, len(columns))
		for _, c := range columns {
			row = append(row, c.of(t))
		}
		switch {
		case together:
			row[0] = t.short()
		case t.thumbnail > 0:
			row[0] = t.label()
		}
		rows = append(rows, row)
	}
	wide, total := make([]int, len(columns)), 2*(len(columns)-1)
	for i := range columns {
		for _, row := range rows {
			wide[i] = max(wide[i], ansi.StringWidth(row[i]))
		}
		total += wide[i]
	}
	wide[0] = max(min(wide[0], leastName), wide[0]-max(0, total-tableCols))
	for _, row := range rows {
		if over := ansi.StringWidth(row[0]) - wide[0]; over > 0 && together {
			row[0] = ansi.Truncate(row[0], wide[0], "…")
		} else if over > 0 {
			row[0] = endOf(row[0], wide[0])
		}
		line := ""
		for i, c := range columns {
			if i > 0 {
				line += "  "
			}
			line += inColumn(row[i], wide[i], c.words)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

// endOf cuts the beginning of words so that what stays is at most so many columns
// wide. Half of a letter of double width cannot be cut.
func endOf(s string, wide int) string {
	out := s
	for cut := ansi.StringWidth(s) - wide + 1; ansi.StringWidth(out) > wide; cut++ {
		out = ansi.TruncateLeft(s, cut, "…")
	}
	return out
}

// inColumn fills words up to so many columns.
func inColumn(s string, wide int, left bool) string {
	fill := strings.Repeat(" ", max(0, wide-ansi.StringWidth(s)))
	if left {
		return s + fill
	}
	return fill + s
}

// compareCols is how wide each of two readings is where they stand side by side.
const compareCols = 44

// sideBySide prints the lines in which two readings differ, those that practice
// would ask about first.
func sideBySide(a, b told) string {
	nameA, nameB := a.label(), b.label()
	if a.file == b.file {
		nameA, nameB = a.short(), b.short()
	}
	pairs := reading.Compare(a.lines, b.lines)
	if len(pairs) == 0 {
		return nameA + " and " + nameB + " say the same\n"
	}
	var out strings.Builder
	if a.file == b.file {
		out.WriteString(photo.SafeName(a.file) + "\n")
	}
	pair(&out, "", nameA, nameB)
	pair(&out, "", photo.SafeName(a.plan.Panel.String()), photo.SafeName(b.plan.Panel.String()))
	for _, p := range pairs {
		pair(&out, string(p.Topic), saidOr(p.A, p.HasA), saidOr(p.B, p.HasB))
	}
	return out.String()
}

func saidOr(l reading.Line, has bool) string {
	if !has {
		return "-"
	}
	return l.Words
}

// broken breaks words into lines; a figure stays with its percent.
func broken(words string) []string {
	const together = "\u00a0%"
	text := ansi.Wrap(strings.ReplaceAll(words, " %", together), compareCols, "")
	return strings.Split(strings.ReplaceAll(text, together, " %"), "\n")
}

// pair writes two texts side by side, broken into lines.
func pair(out *strings.Builder, head, a, b string) {
	left, right := broken(a), broken(b)
	for i := range max(len(left), len(right)) {
		l, r := "", ""
		if i < len(left) {
			l = left[i]
		}
		if i < len(right) {
			r = right[i]
		}
		line := inColumn(head, 11, true) + "  " + inColumn(l, compareCols, true) + "  " + r
		out.WriteString(strings.TrimRight(line, " ") + "\n")
		head = ""
	}
}
