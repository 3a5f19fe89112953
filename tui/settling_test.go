package tui

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

// A size that is sent once more, to have all rows written again, can arrive after
// the window has changed: the window keeps its newest size, and settles again.
func TestASizeThatComesTooLate(t *testing.T) {
	b := opened(t, 100, 30)
	b.tell(settledMsg(b.m.sizes)) // the size that is sent once more waits in todo
	if len(b.todo) == 0 {
		t.Fatal("no size is sent once more")
	}
	late := b.todo[len(b.todo)-1]
	b.todo = b.todo[:len(b.todo)-1]
	b.tell(tea.WindowSizeMsg{Width: 39, Height: 11})
	b.tell(late())
	if b.m.cols != 39 || b.m.rows != 11 {
		t.Fatalf("the window is taken for %dx%d", b.m.cols, b.m.rows)
	}
	b.do()
	if b.m.cols != 39 || b.m.rows != 11 || b.m.settled.on {
		t.Errorf("after all: %dx%d, still settling: %v", b.m.cols, b.m.rows, b.m.settled.on)
	}
}
