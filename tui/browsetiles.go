package tui

import (
	"context"
	"slices"

	tea "github.com/charmbracelet/bubbletea"
)

// maxLooking is how many small pictures are made at once.
const maxLooking = 2

// ahead is how many windowfuls are made ready beyond the one that is seen, and
// behind how many before it.
const (
	ahead  = 2
	behind = 1
)

// maxTiles bounds the small pictures that are held, some 0.15 MB each.
const maxTiles = 300

// tile is what is known of a photo of the folder.
type tile struct {
	photo, plan     Small
	err             error // why there is no photo
	planErr         error
	looked, planned bool // whether the photo and its plan were looked for
	made            int  // counts the pictures, so that an older one is not taken for a newer
}

// lookFor names a picture that is wanted.
type lookFor struct {
	name string
	plan bool
}

// looking is one that is being made.
type looking struct {
	lookFor
	stop context.CancelFunc
}

// lookedMsg brings a small picture.
type lookedMsg struct {
	of    *looking
	small Small
	err   error
}

// wantedTiles returns which pictures are still to be made, the most wanted first:
// the photos that are seen, their plans, then those that may be seen next.
func (b *browser) wantedTiles() []lookFor {
	from, to := b.seen()
	window := to - from
	var out []lookFor
	add := func(from, to int) {
		for _, plan := range []bool{false, true} {
			for _, s := range b.list.shown[max(0, from):max(0, min(to, len(b.list.shown)))] {
				t := b.tiles[s.Name]
				if t == nil || !plan && !t.looked || plan && !t.planned && t.err == nil {
					out = append(out, lookFor{s.Name, plan})
				}
			}
		}
	}
	add(from, to)
	add(to, to+ahead*window)
	add(from-behind*window, from)
	return out
}

// lookAround begins to make pictures that are wanted, and gives up those that no
// longer are.
func (b *browser) lookAround() tea.Cmd {
	if b.studio != nil || b.move != nil || b.cols == 0 {
		b.lookAway()
		return nil
	}
	wanted := b.wantedTiles()
	index := make(map[lookFor]bool, len(wanted))
	for _, w := range wanted {
		index[w] = true
	}
	for _, l := range b.looking {
		delete(index, l.lookFor)
		if !slices.Contains(wanted, l.lookFor) {
			l.stop()
		}
	}
	var cmds []tea.Cmd
	for _, w := range wanted {
		if len(b.looking) >= maxLooking {
			break
		}
		if index[w] {
			cmds = append(cmds, b.lookAt(w))
		}
	}
	b.forgetFar(wanted)
	return tea.Batch(cmds...)
}

// lookAway gives up all that is being made.
func (b *browser) lookAway() {
	for _, l := range b.looking {
		l.stop()
	}
}

func (b *browser) lookAt(w lookFor) tea.Cmd {
	ctx, stop := context.WithCancel(b.ctx)
	l := &looking{w, stop}
	b.looking = append(b.looking, l)
	shot, make := Shot{Name: w.name}, b.f.Photo
	if w.plan {
		make = b.f.Plan
	}
	return guard(func() tea.Msg {
		defer stop()
		small, err := make(ctx, shot)
		if ctx.Err() != nil {
			err = ctx.Err()
		}
		return lookedMsg{l, small, err}
	})
}

// lookedAt takes in a picture. One that was given up is as if never begun.
func (b *browser) lookedAt(msg lookedMsg) {
	for i, l := range b.looking {
		if l == msg.of {
			b.looking = append(b.looking[:i:i], b.looking[i+1:]...)
			break
		}
	}
	if isEnd(msg.err) {
		return
	}
	t := b.tile(msg.of.name)
	t.made++
	switch {
	case msg.of.plan:
		t.planned, t.plan, t.planErr = true, msg.small, msg.err
		b.planned = b.planned || t.plan != nil
	default:
		t.looked, t.photo, t.err = true, msg.small, msg.err
	}
	b.changed++
}

// tile returns what is known of a photo, for writing.
func (b *browser) tile(name string) *tile {
	t := b.tiles[name]
	if t == nil {
		t = &tile{}
		b.tiles[name] = t
	}
	return t
}

// forgetFar lets go of pictures far from the window when there are too many.
func (b *browser) forgetFar(wanted []lookFor) {
	if len(b.tiles) <= maxTiles {
		return
	}
	near := map[string]bool{}
	for _, w := range wanted {
		near[w.name] = true
	}
	from, to := b.seen()
	window := to - from
	for _, s := range b.list.shown[max(0, from-behind*window):min(len(b.list.shown), to+ahead*window)] {
		near[s.Name] = true
	}
	for name := range b.tiles {
		if !near[name] {
			delete(b.tiles, name)
		}
	}
}
