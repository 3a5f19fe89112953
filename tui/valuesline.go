package tui

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
)

// density is how much room the values of a line have.
type density int

const (
	roomy  density = iota // two cells of the tone, shares as in a sentence
	near                  // one cell of the tone
	tight                 // nothing but that between two values
	barest                // and the N of the scale left away
)

// valuesLine shows the tones from dark to light, each with its share; while they
// are set by hand, with the cuts between them and the chosen one in brackets.
// Those of an older plan are said in grey (see resting.go). They stand as close as
// they must for all to be seen; where there is no room for all, the chosen one is.
func (m *model) valuesLine() string {
	f, old := m.told()
	if len(f.Tones) == 0 {
		words := ""
		if m.unmeasured() {
			words = " measuring …"
		}
		return m.ink.quiet(pad(words, m.cols))
	}
	first := roomy
	if m.cols < 100 {
		first = near // five values with their cuts have to fit
	}
	ways, mark := "", ""
	if m.scope == keys.Scale {
		ways = " " + m.waysWord()
	}
	if old {
		mark = " …"
	}
	for _, try := range []struct {
		from, to density
		end      string
	}{{first, near, ways + mark}, {first, barest, mark}, {barest, barest, ""}} {
		for d := try.from; d <= try.to; d++ {
			s := m.whose(d) + strings.Join(m.valueItems(d), "") + m.ink.quiet(try.end)
			if n := m.cols - ansi.StringWidth(s); n >= 0 {
				return s + m.ink.plain(strings.Repeat(" ", n))
			}
		}
	}
	return m.valuesAround(m.whose(barest), m.valueItems(barest))
}

// valuesAround joins as many items as there is room for, the chosen one among
// them.
func (m *model) valuesAround(head string, items []string) string {
	chosen := 0
	if m.scope == keys.Scale {
		chosen = min(m.mark, len(items)-1)
	}
	for from := 0; ; from++ {
		s := head + strings.Join(items[from:], "")
		seen := head + strings.Join(items[from:chosen+1], "")
		if ansi.StringWidth(seen) < m.cols || from == chosen {
			s = ansi.Truncate(s, m.cols, "…")
			return s + m.ink.plain(strings.Repeat(" ", m.cols-ansi.StringWidth(s)))
		}
		head = m.ink.quiet("…")
	}
}

// whose says that the values are not those of the picture above them, and what
// that is made of if it is the notan, and begins the line.
func (m *model) whose(d density) string {
	switch {
	case m.onPaper():
		return m.ink.plain(" plan in hand ")
	case m.view == study.Notan:
		return m.ink.plain(m.notanWords(d) + " plan ")
	case d < tight:
		return m.ink.plain(" ")
	}
	return ""
}

// notanWords says how much of the notan is dark and how much light.
func (m *model) notanWords(d density) string {
	n := m.shown.notan
	if n == [2]float64{} {
		return ""
	}
	words := " dark " + percent(n[0]) + "  light " + percent(n[1]) + " "
	if d > roomy {
		words = strings.ReplaceAll(words, " %", "%")
	}
	return words
}

// valueItems are the values one by one; while they are set by hand, with the cuts
// between them: what the marks run along.
func (m *model) valueItems(d density) []string {
	f, old := m.told()
	by := m.scope == keys.Scale
	wide := 1
	if d == roomy {
		wide = 2
	}
	var out []string
	for i, t := range f.Tones {
		name, share := munsell(t), percent(f.Shares[i])
		if d > roomy {
			share = strings.ReplaceAll(share, " ", "")
		}
		if d == barest {
			name = name[1:]
		}
		tone := cells.Swatch(palette.Grey(t.Y()), wide, m.opt.Depth, cells.Inks(f.Tones)...)
		if d >= tight && m.opt.Depth == cells.NoColour {
			tone = " " // a figure would run into the value
		}
		out = append(out, tone+m.word(name+" "+share, d, old, by && m.mark == 2*i))
		if by && i < len(f.Cuts) {
			out = append(out, m.word("|"+munsell(f.Cuts[i])[1:], d, old, m.mark == 2*i+1))
		}
	}
	return out
}

func (m *model) word(s string, d density, old, chosen bool) string {
	if d < tight && !chosen {
		s = " " + s + " "
	}
	switch {
	case chosen:
		return m.ink.strong("[" + s + "]")
	case old:
		return m.ink.quiet(s)
	}
	return m.ink.plain(s)
}

// waysWord says how cuts and tones are found.
func (m *model) waysWord() string {
	v := m.plan().Values
	return "cuts " + string(v.CutMethod) + ", tones " + string(v.ToneMethod)
}
