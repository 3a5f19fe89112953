package term

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/creack/pty"

	"atelier/halflid/tui/cells"
)

func environment(vars ...string) func(string) string {
	return func(name string) string {
		for _, v := range vars {
			if n, value, _ := strings.Cut(v, "="); n == name {
				return value
			}
		}
		return ""
	}
}

func TestColours(t *testing.T) {
	for _, c := range []struct {
		env  []string
		tty  bool
		flag string
		want cells.Depth
	}{
		{[]string{"TERM=xterm-256color"}, true, "", cells.Colour256},
		{[]string{"TERM=xterm-256color"}, true, "auto", cells.Colour256},
		{[]string{"TERM=xterm-256color"}, true, "full", cells.TrueColour},
		{[]string{"TERM=xterm-256color", "NO_COLOR=1"}, true, "16", cells.Colour16},
		{[]string{"TERM=dumb"}, false, "256", cells.Colour256},
		{[]string{"COLORTERM=truecolor", "TERM=xterm-256color"}, true, "none", cells.NoColour},
		{[]string{"COLORTERM=truecolor", "TERM=xterm-256color"}, true, "", cells.TrueColour},
		{[]string{"COLORTERM=24bit", "TERM=xterm"}, true, "", cells.TrueColour},
		{[]string{"COLORTERM=truecolor", "TERM=xterm", "NO_COLOR=1"}, true, "", cells.NoColour},
		{[]string{"COLORTERM=truecolor", "TERM=xterm"}, false, "", cells.NoColour},
		{[]string{"COLORTERM=truecolor", "TERM=screen-256color"}, true, "", cells.Colour256},
		{[]string{"COLORTERM=truecolor", "TERM=screen-256color", "TERM_PROGRAM=tmux"}, true, "", cells.TrueColour},
		{[]string{"COLORTERM=truecolor", "TERM=tmux-256color"}, true, "", cells.TrueColour},
		{[]string{"COLORTERM=yes", "TERM=xterm"}, true, "", cells.Colour256},
		{[]string{"TERM=xterm-kitty"}, true, "", cells.TrueColour},
		{[]string{"TERM=foot"}, true, "", cells.TrueColour},
		{[]string{"TERM=xterm-direct"}, true, "", cells.TrueColour},
		{[]string{"TERM=linux"}, true, "", cells.Colour16},
		{[]string{"TERM=xterm-16color"}, true, "", cells.Colour16},
		{[]string{"TERM=vt220"}, true, "", cells.NoColour},
		{[]string{"TERM=dumb", "COLORTERM=truecolor"}, true, "", cells.NoColour},
		{[]string{"WT_SESSION=1"}, true, "", cells.TrueColour},
		{[]string{"TERM=something-new"}, true, "", cells.Colour256},
		{nil, true, "", cells.NoColour},
	} {
		got, err := colours(environment(c.env...), c.tty, c.flag)
		if got.depth != c.want || err != nil {
			t.Errorf("colours(%v, %v, %q) = %v, %v, want %v", c.env, c.tty, c.flag, got.depth, err, c.want)
		}
	}
	if _, err := colours(environment(), true, "loud"); !errors.Is(err, ErrColours) {
		t.Errorf("unknown setting: %v", err)
	}
}

func TestHalfBlockWidth(t *testing.T) {
	if got := HalfBlockWidth(environment()); got != 1 {
		t.Errorf("usually %d columns", got)
	}
	if got := HalfBlockWidth(environment("RUNEWIDTH_EASTASIAN=1")); got != 2 {
		t.Errorf("where letters are wide %d columns", got)
	}
}

func TestCellSize(t *testing.T) {
	near, far := terminal(t)
	for _, c := range []struct {
		size pty.Winsize
		w, h float64
		told bool
	}{
		{pty.Winsize{Cols: 200, Rows: 60, X: 2400, Y: 1440}, 12, 24, true},
		{pty.Winsize{Cols: 80, Rows: 24, X: 700, Y: 420}, 8.75, 17.5, true},
		{pty.Winsize{Cols: 80, Rows: 24}, 1, 2, false},
		{pty.Winsize{X: 800, Y: 480}, 1, 2, false},
		{pty.Winsize{Cols: 80, Rows: 24, X: 80, Y: 24}, 1, 1, true},
		{pty.Winsize{Cols: 80, Rows: 24, X: 80, Y: 2400}, 1, 2, false},
	} {
		if err := pty.Setsize(near, &c.size); err != nil {
			t.Fatal(err)
		}
		if w, h, told := CellSize(far.Fd()); w != c.w || h != c.h || told != c.told {
			t.Errorf("%+v: cell %v by %v, told %v", c.size, w, h, told)
		}
	}
	if w, h, told := CellSize(^uintptr(0)); w != 1 || h != 2 || told {
		t.Errorf("no terminal: cell %v by %v, told %v", w, h, told)
	}
}

func TestSplitKeys(t *testing.T) {
	runes := func(s string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(s)} }
	pasted := runes("low tide")
	pasted.Paste = true
	for _, c := range []struct {
		in   tea.KeyMsg
		want []tea.KeyMsg
	}{
		{runes("nnn"), []tea.KeyMsg{runes("n"), runes("n"), runes("n")}},
		{runes("é船"), []tea.KeyMsg{runes("é"), runes("船")}},
		{runes("j"), []tea.KeyMsg{runes("j")}},
		{pasted, []tea.KeyMsg{pasted}},
		{tea.KeyMsg{Type: tea.KeyUp}, []tea.KeyMsg{{Type: tea.KeyUp}}},
		{tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}, []tea.KeyMsg{{Type: tea.KeySpace, Runes: []rune{' '}}}},
	} {
		if got := SplitKeys(c.in); !reflect.DeepEqual(got, c.want) {
			t.Errorf("SplitKeys(%v) = %v", c.in, got)
		}
	}
}
