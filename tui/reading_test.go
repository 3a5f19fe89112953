package tui

import (
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// columnRows returns what stands beside the picture, row by row.
func (b *bench) columnRows() []string { return strings.Split(b.m.column(), "\n") }

// chosenWords returns the line of the column that is looked at, put together.
func (b *bench) chosenWords() string {
	var out []string
	for _, r := range b.columnRows() {
		if strings.HasPrefix(r, "> ") || strings.HasPrefix(r, chosenRow) {
			out = append(out, strings.TrimSpace(strings.TrimPrefix(r, "> ")))
		}
	}
	return strings.Join(out, " ")
}

// The reading stands beside the picture, what practice would ask first; walking
// down it shows each line whole and its place; it stays open and follows the plan.
func TestReadingColumn(t *testing.T) {
	b := opened(t, 140, 40)
	if b.m.column() != "" {
		t.Fatal("a column without asking for it")
	}
	b.press("R")
	b.do()
	lines := b.m.shown.lines
	if len(lines) < 5 || b.m.view != study.Plan {
		t.Fatalf("%d lines in view %v", len(lines), b.m.view)
	}
	for _, r := range b.columnRows() {
		if w := ansi.StringWidth(strings.TrimPrefix(r, "\t")); w > columnCols-1 {
			t.Errorf("%q is %d columns wide", r, w)
		}
	}
	shown := 0
	for i, l := range lines {
		if got := b.chosenWords(); got != l.Words {
			t.Fatalf("line %d shows %q, want %q", i, got, l.Words)
		}
		k := b.m.marks()
		if l.Area.Empty() != k.area.Empty() || len(l.At) > 0 && l.Area.Empty() && (k.n != min(len(l.At), maxMarks) || !k.outlined) {
			t.Errorf("line %q: marks %+v", l.Words, k)
		}
		if k != (marks{}) {
			shown++
		}
		b.press("j")
		b.do()
	}
	if shown < 3 {
		t.Errorf("only %d lines show a place", shown)
	}
	b.press("k")
	b.do()
	kind := b.m.read.kind
	if b.m.read.at != len(lines)-2 || kind != lines[len(lines)-2].Kind {
		t.Errorf("at line %d", b.m.read.at)
	}
	// Another number of values: other lines, and still the same question.
	b.press("2")
	b.do()
	if slices.EqualFunc(lines, b.m.shown.lines, func(a, c reading.Line) bool { return a.Words == c.Words }) {
		t.Error("two values read like three")
	}
	has := slices.ContainsFunc(b.m.shown.lines, func(l reading.Line) bool { return l.Kind == kind })
	if has && b.m.shown.lines[b.m.read.at].Kind != kind {
		t.Error("the reading leaves the line that was looked at")
	}
	// R leaves it open, Esc in the studio closes it.
	b.press("R")
	b.do()
	if b.m.scope != keys.Studio || !b.m.hasColumn() || b.chosenWords() != "" {
		t.Error("the column is gone, or still walked")
	}
	b.press(".")
	b.do()
	if b.m.shown.want.plan != b.m.plan() || b.m.view != study.Plan && len(b.m.shown.lines) == 0 {
		t.Error("the open reading does not follow")
	}
	b.tell(tea.KeyMsg{Type: tea.KeyEsc})
	b.do()
	if b.m.read.open || b.m.column() != "" {
		t.Error("Esc does not close it")
	}
}

// From a line Enter leads to where what it speaks of is changed.
func TestReadingLeadsOn(t *testing.T) {
	to := map[reading.Activity]func(*model) bool{
		reading.ByFocal:  func(m *model) bool { return m.scope == keys.Focal },
		reading.ByHand:   func(m *model) bool { return m.scope == keys.Hand },
		reading.ByCrop:   func(m *model) bool { return m.scope == keys.Studio && m.view == study.Photo },
		reading.ByValues: func(m *model) bool { return m.scope == keys.Scale },
		reading.ByShapes: func(m *model) bool { return m.scope == keys.Studio && m.view == study.Plan },
	}
	seen := map[reading.Activity]bool{}
	probe := opened(t, 140, 40)
	probe.press("R")
	probe.do()
	for i := range probe.m.shown.lines {
		b := opened(t, 140, 40)
		b.press("R")
		b.do()
		for range i {
			b.press("j")
		}
		l := b.m.shown.lines[i]
		b.tell(tea.KeyMsg{Type: tea.KeyEnter})
		b.do()
		if l.Leads == "" {
			if b.m.note == "" {
				t.Errorf("%q: nothing said", l.Words)
			}
			continue
		}
		if !to[l.Leads](b.m) {
			t.Errorf("%q leads to scope %v, view %v, not to %s", l.Words, b.m.scope, b.m.view, l.Leads)
		}
		if !b.m.reads() {
			t.Errorf("%q: the reading is closed", l.Words)
		}
		seen[l.Leads] = true
	}
	if len(seen) < 3 {
		t.Errorf("only %v are led to", seen)
	}
}

// In a narrow window the line stands in the status line.
func TestReadingInANarrowWindow(t *testing.T) {
	b := opened(t, 80, 24)
	b.press("R")
	b.do()
	if b.m.column() != "" {
		t.Fatal("a column in a narrow window")
	}
	for _, l := range b.m.shown.lines {
		if !strings.Contains(b.status(), l.Words) {
			t.Errorf("%q does not show %q", b.status(), l.Words)
		}
		b.press("j")
		b.do()
	}
}

// Of two thumbnails the lines that differ stand side by side below them.
func TestPairReadings(t *testing.T) {
	b := opened(t, 120, 40)
	b.press("y", "2", "y", "T")
	b.do()
	b.press("h", " ", "l", "b")
	b.do()
	if b.m.pairWords(20) != nil {
		t.Error("words without asking for them")
	}
	b.press("R")
	b.do()
	rows := b.m.pairWords(20)
	if len(rows) < 3 || len(rows) > 20 || rows[0].words[0] == "" || rows[0].words[1] == "" {
		t.Fatalf("%d rows: %v", len(rows), rows)
	}
	all := reading.Compare(b.m.wall.read[b.m.pair.plans[0]], b.m.wall.read[b.m.pair.plans[1]])
	first := all[0]
	if first.HasA && !strings.HasPrefix(first.A.Words, rows[0].words[0]) || first.HasB && !strings.HasPrefix(first.B.Words, rows[0].words[1]) {
		t.Errorf("first row %v, first difference %+v", rows[0], first)
	}
	few := b.m.pairWords(4)
	if len(few) > 4 || !strings.Contains(few[len(few)-1].words[0], "more difference") {
		t.Errorf("in four rows: %v", few)
	}
}

// In a low window all differences can be reached, and none is passed over.
func TestAllDifferencesAreReached(t *testing.T) {
	b := opened(t, 120, 18)
	b.press("y", "2", "y", "T")
	b.do()
	b.hit("h", " ", "l", "b", "down")
	if b.m.note != "R shows where their readings differ" {
		t.Errorf("before they are seen: %q", b.m.note)
	}
	b.hit("R")
	all := reading.Compare(b.m.wall.read[b.m.pair.plans[0]], b.m.wall.read[b.m.pair.plans[1]])
	room := b.m.bandRows() / 2
	if rows := b.m.pairWords(room); len(all) < 3 || !strings.HasPrefix(rows[len(rows)-1].words[0], "↓ ") {
		t.Fatalf("%d differences, seen: %v", len(all), rows)
	}
	seen := map[string]bool{}
	for range len(all) + 1 {
		rows := b.m.pairWords(room)
		if len(rows) > room {
			t.Fatalf("%d rows in %d", len(rows), room)
		}
		for _, r := range rows {
			seen[r.words[0]], seen[r.words[1]] = true, true
		}
		b.hit("down")
	}
	if b.m.note != "there are no more differences" {
		t.Errorf("at the end: %q", b.m.note)
	}
	for _, d := range all {
		left, right := b.m.saidOf(d)
		for _, row := range append(left, right...) {
			if !seen[row] {
				t.Errorf("%q is never seen", row)
			}
		}
	}
	for range len(all) {
		b.hit("up")
	}
	if b.m.pair.from != 0 {
		t.Error("up does not lead back")
	}
}

// A grid lies over the view, its squares only on a panel that has a size.
func TestGridOverTheView(t *testing.T) {
	b := opened(t, 100, 30)
	var words []string
	for range 4 {
		b.press("#")
		b.do()
		words = append(words, b.m.note)
		if got := b.m.shown.want.grid; got != b.m.gridOf(b.m.plan()) {
			t.Errorf("%q: painted with %v", b.m.note, got)
		}
	}
	want := []string{"grid: halves and diagonals", "grid: thirds", "grid: every inch", "no grid"}
	if !slices.Equal(words, want) {
		t.Errorf("the grids are %v, want %v", words, want)
	}
}
