package tui

import tea "github.com/charmbracelet/bubbletea"

// settling is a size that was sent once more, so that all rows are written again,
// and is on its way. A window can change meanwhile: then what arrives last is a
// size that the window no longer has.
type settling struct {
	on   bool
	size tea.WindowSizeMsg
	came bool // the message in hand is the one that was sent
}

// again sends a size once more.
func (s *settling) again(cols, rows int) tea.Cmd {
	s.on, s.size = true, tea.WindowSizeMsg{Width: cols, Height: rows}
	size := s.size
	return func() tea.Msg { return size }
}

// stale takes a size that arrives and reports whether it is the one that was sent
// and the window, which has cols and rows now, has changed since.
func (s *settling) stale(msg tea.WindowSizeMsg, cols, rows int) bool {
	s.came = s.on && msg == s.size
	if !s.came {
		return false
	}
	s.on = false
	if msg.Width != cols || msg.Height != rows {
		s.came = false
		return true
	}
	return false
}

// took reports whether the size in hand is one that was sent again: it has settled.
func (s *settling) took() bool {
	came := s.came
	s.came = false
	return came
}
