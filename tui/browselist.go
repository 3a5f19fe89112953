package tui

import (
	"cmp"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/photo"
)

// SortShots puts photographs in the order in which they hang: the newest first,
// or by name as a person would, so that boat 9 comes before boat 10.
func SortShots(shots []Shot, newest bool) {
	slices.SortFunc(shots, inOrder(newest))
}

func inOrder(newest bool) func(a, b Shot) int {
	return func(a, b Shot) int {
		if newest {
			if c := b.Time.Compare(a.Time); c != 0 {
				return c
			}
		}
		return cmp.Or(byName(a.Name, b.Name), cmp.Compare(a.Name, b.Name))
	}
}

// byName compares names without regard to case, numbers in them as numbers.
func byName(a, b string) int {
	a, b = strings.ToLower(a), strings.ToLower(b)
	for a != "" && b != "" {
		m, n := digits(a), digits(b)
		if m > 0 && n > 0 {
			x, y := strings.TrimLeft(a[:m], "0"), strings.TrimLeft(b[:n], "0")
			if c := cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)); c != 0 {
				return c
			}
			a, b = a[m:], b[n:]
			continue
		}
		if a[0] != b[0] {
			return cmp.Compare(a[0], b[0])
		}
		a, b = a[1:], b[1:]
	}
	return cmp.Compare(len(a), len(b))
}

// digits returns how many digits s begins with.
func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

// shots is what hangs on the wall of a folder, in which order, and which one is
// chosen.
type shots struct {
	all    []Shot // sorted
	newest bool
	find   string // letters that names must have in them
	shown  []Shot // those that do
	at     int    // the chosen one, an index of shown
	moved  bool   // the painter has chosen, so more of them must not change it
	left   int    // files not looked into yet
}

// add takes in what was found. It comes in order, unless the painter has changed
// that meanwhile.
func (s *shots) add(found []Shot) {
	before := max(0, len(s.all)-1)
	s.all = append(s.all, found...)
	if !slices.IsSortedFunc(s.all[before:], inOrder(s.newest)) {
		SortShots(s.all, s.newest)
	}
	s.hang()
}

// turn changes the order.
func (s *shots) turn() {
	s.newest = !s.newest
	SortShots(s.all, s.newest)
	s.moved = true
	s.hang()
}

// look changes the letters that are looked for.
func (s *shots) look(find string) {
	s.find, s.moved = find, true
	s.hang()
}

// hang finds what is shown; the chosen photo stays chosen if it still is there.
func (s *shots) hang() {
	was := ""
	if c, ok := s.chosen(); ok && s.moved {
		was = c.Name
	}
	s.shown = nil
	want := strings.ToLower(s.find)
	for _, c := range s.all {
		if strings.Contains(strings.ToLower(photo.SafeName(c.Name)), want) {
			s.shown = append(s.shown, c)
		}
	}
	s.at = 0
	s.choose(was)
}

// choose chooses a photo by its name, if it is shown.
func (s *shots) choose(name string) bool {
	i := slices.IndexFunc(s.shown, func(c Shot) bool { return c.Name == name })
	if i >= 0 {
		s.at, s.moved = i, true
	}
	return i >= 0
}

// chosen returns the chosen photo; false if nothing hangs there.
func (s *shots) chosen() (Shot, bool) {
	if s.at >= len(s.shown) {
		return Shot{}, false
	}
	return s.shown[s.at], true
}

// beside returns the photo so many places after the one with that name. Without
// that one it is the chosen one; false past either end.
func (s *shots) beside(name string, by int) (Shot, bool) {
	i := slices.IndexFunc(s.shown, func(c Shot) bool { return c.Name == name })
	if i < 0 {
		return s.chosen()
	}
	if i += by; i < 0 || i >= len(s.shown) {
		return Shot{}, false
	}
	return s.shown[i], true
}

// step moves the choice by so many places, as far as there are any.
func (s *shots) step(by int) {
	s.at = max(0, min(s.at+by, len(s.shown)-1))
	s.moved = true
}

// What comes of a search through the folder.
type (
	foundMsg    Found
	searchedMsg struct{ err error }
)

// search looks through the folder.
func (b *browser) search() tea.Cmd {
	if b.listing || b.listed {
		return nil
	}
	b.listing = true
	newest := b.list.newest
	return guard(func() tea.Msg {
		return searchedMsg{b.f.List(b.ctx, newest, func(f Found) { b.send(foundMsg(f)) })}
	})
}

func (b *browser) found(f Found) {
	b.list.left = f.Left
	b.planned = b.planned || f.Planned
	b.list.add(f.Shots)
	b.changed++
}

func (b *browser) searched(err error) {
	b.listing, b.listed, b.listErr, b.list.left = false, true, err, 0
	if err != nil && b.ctx.Err() == nil {
		b.note = err.Error()
	}
	b.changed++
}
