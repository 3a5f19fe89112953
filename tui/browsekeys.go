package tui

import (
	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/tui/keys"
	"atelier/halflid/tui/term"
)

// keys takes a message apart and does what each key means where the painter is.
func (b *browser) keys(msg tea.KeyMsg) tea.Cmd {
	if msg.Paste {
		switch {
		case b.move != nil || b.help:
		case b.studio != nil:
			return b.tell(msg)
		default:
			b.list.look(photo.SafeName(b.list.find + string(msg.Runes)))
		}
		return nil
	}
	var cmds []tea.Cmd
	for _, k := range term.SplitKeys(msg) {
		cmds = append(cmds, b.key(k))
	}
	return tea.Batch(cmds...)
}

func (b *browser) key(k tea.KeyMsg) tea.Cmd {
	switch {
	case b.move != nil:
		return b.keyBetween(k)
	case b.studio == nil:
		return b.wallKey(k)
	}
	switch a := keys.Resolve(b.studio.scope, k.String()); a {
	case keys.NextPhoto, keys.PrevPhoto, keys.AllPhotos:
		return b.leave(a)
	}
	return b.tell(k)
}

// wallKey does what a key means at the wall.
func (b *browser) wallKey(k tea.KeyMsg) tea.Cmd {
	scope := keys.Folder
	if b.help {
		scope = keys.Help
	}
	a := keys.Resolve(scope, k.String())
	switch a {
	case keys.Quit:
		return tea.Quit
	case keys.Redraw:
		b.opt.Screen.Invalidate()
		return tea.ClearScreen
	case keys.Suspend:
		if !b.opt.CanSuspend {
			b.note = "there is no shell here to go back to"
			return nil
		}
		return tea.Suspend
	}
	b.note = ""
	if b.help {
		page := &model{cols: b.cols, rows: b.rows, scope: keys.Help, under: keys.Folder, down: b.down}
		page.helpKey(a)
		b.help, b.down = page.scope == keys.Help, page.down
		return nil
	}
	h := b.hanging()
	switch a {
	case keys.Left:
		b.list.step(-1)
	case keys.Right:
		b.list.step(1)
	case keys.Up:
		if b.list.at >= h.across {
			b.list.step(-h.across)
		}
	case keys.Down:
		b.list.step(h.across)
	case keys.FarUp:
		b.list.step(-h.across * h.down)
	case keys.FarDown:
		b.list.step(h.across * h.down)
	case keys.FarLeft:
		b.list.step(-len(b.list.shown))
	case keys.FarRight:
		b.list.step(len(b.list.shown))
	case keys.Flip:
		b.list.turn()
	case keys.Back:
		if b.list.find == "" {
			b.note = "Ctrl+C quits"
		}
		b.list.look("")
	case keys.TakeAway:
		if r := []rune(b.list.find); len(r) > 0 {
			b.list.look(string(r[:len(r)-1]))
		}
	case keys.ShowHelp:
		b.help, b.down = true, 0
	case keys.Open:
		if s, ok := b.list.chosen(); ok {
			b.move = &move{to: s, known: true}
		}
	case keys.None:
		if (k.Type == tea.KeyRunes || k.Type == tea.KeySpace) && !k.Alt && len(b.list.find) < 100 {
			b.list.look(photo.SafeName(b.list.find + string(k.Runes)))
		}
	}
	return nil
}
