package tui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/tui/keys"
)

// Pages are looked at one by one, in other ways and on other papers, and written as
// a PDF beside the plan; nothing of it changes the plan.
func TestSheetsActivity(t *testing.T) {
	b := opened(t, 120, 40)
	before := b.m.plan()
	b.press("E")
	b.do()
	if b.m.scope != keys.Sheets || b.m.shown.pages != 4 {
		t.Fatalf("scope %v, %d pages", b.m.scope, b.m.shown.pages)
	}
	if s := b.status(); !strings.Contains(s, "page 1 of 4") || !strings.Contains(s, "letter") {
		t.Errorf("status %q", s)
	}
	if !strings.Contains(b.m.column(), "> for the easel") {
		t.Errorf("column %q", b.m.column())
	}
	for i := range 5 {
		b.press("l")
		b.do()
		if got := min(i+1, 3); b.m.shown.want.sheets.page != got {
			t.Errorf("page %d, want %d", b.m.shown.want.sheets.page, got)
		}
	}
	b.press("f", "m", "p", "o", "#")
	b.do()
	o := b.m.wantedSheets().options(b.m.plan())
	if !o.Fill || !o.Mirror || o.Paper.Name != "a4" || o.Order != "light" || o.Grid != (plan.Grid{Across: 2, Down: 2, Diagonals: true}) {
		t.Errorf("options %+v", o)
	}
	b.press("p")
	b.do()
	if !strings.Contains(b.status(), "a3") {
		t.Errorf("status %q", b.status())
	}
	for range len(sheetSets) {
		b.tell(tea.KeyMsg{Type: tea.KeyTab})
		b.do()
		if b.m.note != "" {
			t.Errorf("set %d: %s", b.m.sheets.which, b.m.note)
		}
	}
	b.tell(tea.KeyMsg{Type: tea.KeyEnter})
	b.do()
	if b.kept.wrote != "sheet.pdf" || !strings.HasPrefix(b.kept.sheet.String(), "%PDF-") || !strings.Contains(b.m.note, "wrote") {
		t.Errorf("wrote %q, %q: %s", b.kept.wrote, b.kept.sheet.String()[:8], b.m.note)
	}
	b.tell(tea.KeyMsg{Type: tea.KeyEsc})
	b.do()
	if b.m.scope != keys.Studio || b.m.plan() != before || b.m.shown.want.sheets.on {
		t.Error("the studio is not as it was")
	}
	// With a thumbnail there is a wall.
	b.press("y", "E")
	for b.m.sheets.which != len(sheetSets)-1 {
		b.tell(tea.KeyMsg{Type: tea.KeyTab})
	}
	b.do()
	if b.m.shown.pages != 1 || b.m.note != "" {
		t.Errorf("the wall: %d pages, %q", b.m.shown.pages, b.m.note)
	}
	// Its words are those of now: a thumbnail that was named since is not hung
	// under its old name.
	b.tell(tea.KeyMsg{Type: tea.KeyEsc})
	b.press("T", "n", "!")
	b.tell(tea.KeyMsg{Type: tea.KeyEnter})
	b.tell(tea.KeyMsg{Type: tea.KeyEsc})
	b.press("E")
	b.do()
	name := b.m.hist.Thumbnails()[0].Name
	found := false
	for _, l := range b.m.jobs.bound.doc.Pages[0].Layers {
		for _, it := range l.Items {
			if w, ok := it.(page.Text); ok && strings.Contains(w.Words, name) {
				found = true
			}
		}
	}
	if !strings.Contains(name, "!") || !found {
		t.Errorf("the wall does not say %q", name)
	}
}
