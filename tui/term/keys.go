package term

import (
	tea "github.com/charmbracelet/bubbletea"

	_ "atelier/halflid/tui/quiet"
)

// SplitKeys returns the keys of one message singly, in order. Letters that were
// read at once, as over SSH while a key is held, arrive as one message that no
// binding knows, and two Escapes as one with Alt, which no painter means. Pasted
// text and single keys are returned as they are.
func SplitKeys(m tea.KeyMsg) []tea.KeyMsg {
	if m.Type == tea.KeyEsc && m.Alt {
		return []tea.KeyMsg{{Type: tea.KeyEsc}, {Type: tea.KeyEsc}}
	}
	if m.Type != tea.KeyRunes || m.Paste || len(m.Runes) < 2 {
		return []tea.KeyMsg{m}
	}
	keys := make([]tea.KeyMsg, len(m.Runes))
	for i, r := range m.Runes {
		keys[i] = tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: m.Alt}
	}
	return keys
}
