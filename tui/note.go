package tui

import (
	"strconv"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/tui/keys"
)

// maxNote is how long a thumbnail's line of text may be, in characters.
const maxNote = 80

// enterNote begins to write a line of text for the chosen thumbnail. A number is
// no text: the thumbnail has none yet.
func (m *model) enterNote(now string) {
	if _, err := strconv.Atoi(now); err == nil {
		now = ""
	}
	in := textinput.New()
	in.CharLimit = maxNote
	in.Prompt = ""
	in.SetValue(now)
	in.CursorEnd()
	in.Focus()
	m.text = in
	m.scope = keys.Note
}

// noteText takes a key or a paste that is text; the keys of the table come first.
func (m *model) noteText(msg tea.KeyMsg) {
	before := m.text.Value()
	m.text, _ = m.text.Update(msg)
	m.note = ""
	typed := msg.Type == tea.KeyRunes || msg.Type == tea.KeySpace
	if now := m.text.Value(); typed && len([]rune(now)) >= maxNote && (now == before || msg.Paste) {
		m.note = strconv.Itoa(maxNote) + " characters are the most"
	}
}

// noteKey does what the keys of the table mean while text is written.
func (m *model) noteKey(a keys.Action) bool {
	switch a {
	case keys.Open:
		m.doState(m.hist.State().Rename(m.wall.at, m.text.Value()))
		m.scope = keys.Wall
	case keys.Back:
		m.scope = keys.Wall
	default:
		return false
	}
	return true
}

// noteLine is the text as it is written, with a mark where the next letter goes.
// Of a text that is too long for the row its end up to the mark is seen.
func (m *model) noteLine() string {
	const head = "text under it: "
	before, after := string([]rune(m.text.Value())[:m.text.Position()]), string([]rune(m.text.Value())[m.text.Position():])
	if over := ansi.StringWidth(head+before+"▏") - (m.cols - 3); over > 0 {
		before = ansi.TruncateLeft(before, over+1, "…")
	}
	return head + before + "▏" + after
}
