package tui

import (
	"fmt"
	"runtime/debug"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/tui/keys"
)

// View implements tea.Model: the studio's, or the words around the wall.
func (b *browser) View() (text string) {
	if b.err != nil {
		return ""
	}
	defer func() {
		if r := recover(); r != nil {
			text = ""
			crash := &Crash{Value: r, Trace: string(debug.Stack())}
			b.err = crash
			go b.send(crashMsg{crash}) // View may not end the program itself
		}
	}()
	if b.studio != nil {
		return b.studio.View()
	}
	page := &model{ink: b.ink, cols: b.cols, rows: b.rows, under: keys.Folder, down: b.down}
	switch {
	case b.cols == 0:
		return ""
	case b.tooSmall():
		return page.smallView()
	case b.help:
		return page.helpView()
	}
	words := ""
	if !b.onWall() {
		words = b.emptyWords()
	}
	lines := b.ink.plainBand(b.cols, b.bandRows(), words)
	if b.textRows() > 2 {
		lines = append(lines, b.ink.plain(pad(" "+b.folderLine(), b.cols)))
	}
	status := b.ink.plain(pad(" "+b.statusLine(), b.cols))
	if b.behind {
		status = ansi.Truncate(status, b.cols-2, "") + b.ink.strong("… ")
	}
	return strings.Join(append(lines, status, b.hintLine()), "\n")
}

// emptyWords says why nothing hangs on the wall.
func (b *browser) emptyWords() string {
	name := photo.SafeName(b.f.Name)
	switch {
	case b.list.find != "":
		return fmt.Sprintf("no name has %q in it: Backspace takes a letter back, Esc shows all", b.list.find)
	case b.listErr != nil:
		return photo.SafeName(b.listErr.Error())
	case !b.listed:
		return "looking through " + name + " …"
	}
	return "there are no photographs in " + name
}

// folderLine says what hangs on the wall.
func (b *browser) folderLine() string {
	order := "by name"
	if b.list.newest {
		order = "the newest first"
	}
	more := ""
	if !b.listed {
		more = "and looking on …"
	}
	return line(b.cols-2,
		piece{photo.SafeName(b.f.Name), 2}, piece{counted(len(b.list.all), "photograph", "photographs"), 0},
		piece{order, 1}, piece{more, 3})
}

// statusLine says what is chosen, and what is looked for.
func (b *browser) statusLine() string {
	find := ""
	if b.list.find != "" {
		find = "find: " + b.list.find
	}
	s, ok := b.list.chosen()
	if !ok {
		return line(b.cols-2, piece{find, 0})
	}
	name := photo.SafeName(s.Name)
	about := ""
	if t := b.tiles[s.Name]; t != nil {
		switch {
		case t.err != nil:
			about = photo.SafeName(t.err.Error())
		case t.planErr != nil:
			about = photo.SafeName(t.planErr.Error())
		case t.plan != nil:
			about = "with a plan"
		}
	}
	out := line(b.cols-2,
		piece{find, 1},
		piece{fmt.Sprintf("%d of %d", b.list.at+1, len(b.list.shown)), 2},
		piece{name, 0}, piece{s.Time.Format("2 January 2006"), 4}, piece{about, 3})
	if about != "" && !strings.Contains(out, about) { // what is wrong matters more
		out = ansi.Truncate(strings.TrimSpace(find+"  "+name+"  "+about), b.cols-2, "…")
	}
	return out
}

// hintLine is what there is to say, or the keys that lead on from here.
func (b *browser) hintLine() string {
	if b.note != "" {
		return b.ink.strong(pad(" "+ansi.Truncate(photo.SafeName(b.note), b.cols-1, "…"), b.cols))
	}
	var pieces []piece
	for i, k := range keys.Table(keys.Folder) {
		if k.Hint == "" {
			continue
		}
		short, rank := k.Short(), 10+i
		switch k.Action {
		case keys.Right:
			short = "arrows"
		case keys.ShowHelp, keys.Quit:
			rank = 1
		case keys.Open:
			rank = 2
		}
		pieces = append(pieces, piece{short + " " + k.Hint, rank})
		if k.Action == keys.Open {
			pieces = append(pieces, piece{"letters find", 3})
		}
	}
	return b.ink.quiet(pad(" "+line(b.cols-1, pieces...), b.cols))
}
