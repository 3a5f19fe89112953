package tui

import (
	"context"
	"errors"
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/tui/keys"
)

// move is a change from the wall to a photo, from a photo to another, or back to
// the wall. It goes through these steps, each begun when the one before is done:
// know where to; save and close the photo that is left; wait until its studio
// paints no more; read the next photo. Keys that come meanwhile are kept for it.
type move struct {
	by      int  // how many photos on from the one that is open
	wall    bool // to the wall
	note    string
	to      Shot
	known   bool // to is where
	closing bool
	closed  bool
	opening bool
	src     *sourceMsg         // what was read, while the wall is being painted
	stop    context.CancelFunc // of opening
	keys    []tea.KeyMsg
}

// Messages about a move.
type (
	closedMsg struct{ err error }
	sourceMsg struct {
		of  *move
		to  Shot
		ctx context.Context
		src Source
		err error
	}
)

// leave begins to go on from the studio.
func (b *browser) leave(a keys.Action) tea.Cmd {
	m := &move{}
	m.direct(a)
	b.move = m
	return b.search()
}

// direct sets or moves where a move goes, as far as that is not decided.
func (m *move) direct(a keys.Action) {
	switch a {
	case keys.NextPhoto:
		m.by++
	case keys.PrevPhoto:
		m.by--
	case keys.AllPhotos:
		m.wall = true
	}
}

// maxBetween is how many keys are kept for the photo that is being opened.
const maxBetween = 100

// keyBetween keeps a key for what is moved to. Some are for the move itself: quit,
// Esc calls off what began at the wall, and further steps go further.
func (b *browser) keyBetween(k tea.KeyMsg) tea.Cmd {
	m := b.move
	name := k.String()
	if keys.Resolve(keys.Folder, name) == keys.Quit {
		return tea.Quit
	}
	if b.studio == nil && name == "esc" {
		m.end()
		b.move, b.note = nil, ""
		return nil
	}
	a := keys.Resolve(keys.Studio, name)
	if len(m.keys) == 0 && !m.known && !m.wall && (a == keys.NextPhoto || a == keys.PrevPhoto || a == keys.AllPhotos) {
		m.direct(a)
		return nil
	}
	if len(m.keys) < maxBetween {
		m.keys = append(m.keys, k)
	}
	return nil
}

// end calls off what a move has begun to open.
func (m *move) end() {
	if m.stop != nil {
		m.stop()
	}
}

// stay ends a move where it began, with a line for the painter.
func (b *browser) stay(note string) tea.Cmd {
	held := b.move.keys
	b.move = nil
	if b.studio != nil {
		b.studio.note = note
	} else {
		b.note = note
	}
	return b.replay(held)
}

func (b *browser) replay(held []tea.KeyMsg) tea.Cmd {
	var cmds []tea.Cmd
	for _, k := range held {
		if b.move != nil {
			b.move.keys = append(b.move.keys, k)
			continue
		}
		cmds = append(cmds, b.key(k))
	}
	return tea.Batch(cmds...)
}

// goOn takes the next step of a move, if it can be taken.
func (b *browser) goOn() tea.Cmd {
	s, m := b.studio, b.move
	if m == nil || b.err != nil {
		return nil
	}
	if s != nil && !m.known && !m.wall {
		if !b.listed {
			s.note = "looking through the folder …"
			return nil
		}
		to, ok := b.list.beside(b.name, m.by)
		switch {
		case b.listErr != nil && len(b.list.all) == 0:
			return b.stay(b.listErr.Error())
		case !ok && b.list.find != "":
			return b.stay("there is no other that was found on that side: W and Esc show them all")
		case !ok && m.by > 0:
			return b.stay("this is the last photo of the folder")
		case !ok:
			return b.stay("this is the first photo of the folder")
		case to.Name == b.name:
			return b.stay("")
		}
		m.to, m.known = to, true
	}
	if s != nil && !m.closed {
		return b.close()
	}
	if s != nil && s.jobs.running {
		return nil
	}
	if m.wall {
		return b.toWall(m.note)
	}
	if m.src != nil && !b.painting {
		return b.opened(*m.src)
	}
	if m.opening {
		return nil
	}
	m.opening = true
	words := "opening " + photo.SafeName(m.to.Name) + " …"
	if b.note = words; s != nil {
		s.note = words
	}
	ctx, stop := context.WithCancel(b.ctx)
	m.stop = stop
	return guard(func() tea.Msg {
		src, err := b.f.Open(ctx, m.to)
		return sourceMsg{m, m.to, ctx, src, err}
	})
}

// close saves and lets go of the photo in the studio, once that is neither opening
// nor saving.
func (b *browser) close() tea.Cmd {
	m, s := b.move, b.studio
	if s.opened == nil && len(s.early) == 0 {
		b.endTurn() // it opens no further: nothing was decided about it
	}
	if m.closing || s.saving || s.opened == nil && !b.over {
		return nil
	}
	m.closing = true
	return guard(func() tea.Msg { return closedMsg{b.f.Close()} })
}

// closed goes on when the photo is let go of. A plan that could not be saved is
// not left.
func (b *browser) closed(err error) tea.Cmd {
	m := b.move
	if m == nil || !m.closing {
		return nil
	}
	if err != nil {
		return b.stay("not left, since the plan is not saved: " + err.Error())
	}
	m.closed = true
	b.endTurn()
	t := b.tile(b.name)
	t.planned = false // it may have another plan now
	return nil
}

// toWall shows the wall, with the photo that was open chosen.
func (b *browser) toWall(note string) tea.Cmd {
	held := b.move.keys
	b.turn++
	b.studio, b.move, b.alone = nil, nil, false
	b.endTurn()
	if !b.list.choose(b.name) && b.list.find != "" {
		b.list.look("")
		b.list.choose(b.name)
	}
	b.note = note
	b.painted = wallState{}
	return tea.Batch(b.search(), b.replay(held))
}

// opened shows the studio of a photo that was read.
func (b *browser) opened(msg sourceMsg) tea.Cmd {
	m := b.move
	if m != msg.of || m == nil {
		return nil // called off
	}
	if msg.err != nil {
		b.name = msg.to.Name
		t := b.tile(b.name)
		t.looked, t.err = true, reasonOf(msg.err)
		m.end()
		m.keys = nil
		return b.toWall(msg.err.Error())
	}
	if b.painting {
		m.src = &msg // the wall would be painted over what comes
		return nil
	}
	b.alone = false
	b.list.choose(msg.to.Name)
	held := m.keys
	b.move, b.note = nil, ""
	cmd := b.enter(msg.ctx, msg.src, msg.to.Name)
	b.endTurn = m.stop
	return tea.Batch(cmd, inTurn(b.turn, b.studio.Init()), b.replay(held))
}

// enter makes the studio of a photo what is seen.
func (b *browser) enter(ctx context.Context, src Source, name string) tea.Cmd {
	b.turn++
	b.name = name
	m := newModel(ctx, src, b.opt)
	turn := b.turn
	m.send = func(msg tea.Msg) { b.send(turned{turn, msg}) }
	b.studio, b.over, b.help = m, false, false
	m.behind = b.behind
	if b.cols == 0 {
		return nil
	}
	m.cols, m.rows = b.cols, b.rows
	b.painted = wallState{}
	cmd := inTurn(b.turn, m.refresh())
	if m.jobs.id == 0 { // no picture yet that would cover what is on the screen
		cmd = tea.Batch(cmd, tea.ClearScreen)
	}
	return cmd
}

// reasonOf returns what is wrong with a photo without its name.
func reasonOf(err error) error {
	var e *photo.Error
	if errors.As(err, &e) {
		return fmt.Errorf("%s", e.Line)
	}
	return err
}

// isEnd reports whether an error only says that something was called off.
func isEnd(err error) bool { return errors.Is(err, context.Canceled) }
