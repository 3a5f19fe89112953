package plan

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unique"
)

// Limits of the thumbnails.
const (
	MaxThumbnails  = 200
	maxName        = 80      // characters of a thumbnail's name, and of an action
	maxKeptText    = 2 << 20 // bytes of the different choices of all thumbnails
	maxKeptChoices = 4000    // different choices of all thumbnails
	nameless       = "thumbnail"
)

// Thumbnail is a plan that the painter kept, to be compared with others. Name is
// the painter's line of text.
type Thumbnail struct {
	Name    string
	Plan    Plan
	unknown unknown
}

// State is everything that undo covers: the plan and the thumbnails in the
// order in which they are shown. Use it as a value: every method returns a new
// one, and nobody writes to Thumbnails.
type State struct {
	Plan       Plan
	Thumbnails []Thumbnail
}

// Equal reports whether s and t hold the same.
func (s State) Equal(t State) bool {
	return s.Plan == t.Plan && slices.Equal(s.Thumbnails, t.Thumbnails)
}

// With returns the state with p as its plan.
func (s State) With(p Plan) State {
	s.Plan = p
	return s
}

// Keep returns the state with p kept under name after the other thumbnails. The
// name loses control characters, spaces around it and all but 80 characters;
// empty, it becomes the thumbnail's number. ok is false, and nothing is kept,
// if there are MaxThumbnails already, or more choices in them than a plan file
// holds.
func (s State) Keep(name string, p Plan) (_ State, ok bool) {
	t := Thumbnail{Name: nameOr(name, len(s.Thumbnails)), Plan: p}
	kept := append(slices.Clone(s.Thumbnails), t)
	if len(kept) > MaxThumbnails || !holds(kept) {
		return s, false
	}
	s.Thumbnails = kept
	return s, true
}

// fit returns the state with its plans fitted and its names as Read takes them.
func (s State) fit(f Frame) State {
	out := State{Plan: Fit(s.Plan, f)}
	if len(s.Thumbnails) > 0 {
		out.Thumbnails = make([]Thumbnail, len(s.Thumbnails))
	}
	for i, t := range s.Thumbnails {
		if t.Name = lineOf(t.Name); t.Name == "" {
			t.Name = nameless
		}
		t.Plan = Fit(t.Plan, f)
		out.Thumbnails[i] = t
	}
	return out
}

// holds reports whether a plan file has room for the thumbnails' choices.
func holds(ts []Thumbnail) bool {
	seen := map[unique.Handle[Choice]]bool{}
	text := 0
	for _, t := range ts {
		for _, h := range t.Plan.Choices.handles() {
			if !seen[h] {
				seen[h] = true
				text += h.Value().weight()
			}
		}
	}
	return len(seen) <= maxKeptChoices && text <= maxKeptText
}

// Drop returns the state without thumbnail i; unchanged if there is none.
func (s State) Drop(i int) State {
	if i >= 0 && i < len(s.Thumbnails) {
		s.Thumbnails = slices.Delete(slices.Clone(s.Thumbnails), i, i+1)
	}
	return s
}

// Rename returns the state with another name for thumbnail i, made sound as in
// Keep; unchanged if there is none.
func (s State) Rename(i int, name string) State {
	if i >= 0 && i < len(s.Thumbnails) {
		s.Thumbnails = slices.Clone(s.Thumbnails)
		s.Thumbnails[i].Name = nameOr(name, i)
	}
	return s
}

// Shift returns the state with thumbnail i moved by places towards the end,
// towards the beginning if by is negative. It stops at the ends. Unchanged if
// there is no thumbnail i.
func (s State) Shift(i, by int) State {
	if i >= 0 && i < len(s.Thumbnails) {
		s.Thumbnails = shifted(slices.Clone(s.Thumbnails), i, by)
	}
	return s
}

// shifted moves entry i of list by places, at most to its ends, in place.
func shifted[T any](list []T, i, by int) []T {
	to := min(max(i+min(max(by, -len(list)), len(list)), 0), len(list)-1)
	item := list[i]
	return slices.Insert(slices.Delete(list, i, i+1), to, item)
}

// nameOr returns a thumbnail's name, its number in place of none.
func nameOr(name string, i int) string {
	if name = lineOf(name); name == "" {
		name = strconv.Itoa(i + 1)
	}
	return name
}

// lineOf returns s as a line that Read takes for a name or an action: UTF-8
// without control characters, without spaces around it, at most 80 characters.
func lineOf(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
	s = strings.TrimSpace(s)
	if r := []rune(s); len(r) > maxName {
		s = strings.TrimSpace(string(r[:maxName]))
	}
	return s
}
