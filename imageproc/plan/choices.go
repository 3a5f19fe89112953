package plan

import (
	"strings"
	"unique"
)

// Limits of a list of choices.
const (
	MaxChoices  = 400
	maxListText = 1 << 20 // bytes of the choices in the plan file
)

// Choices is a list of sound choices in the order in which they were made. It
// cannot be changed, may be copied and shared between goroutines, and is
// comparable with ==. The zero Choices is empty. Equal lists are the same memory,
// and a list with one choice more shares all others with the list it came from,
// so a long history of long lists costs little.
type Choices struct{ last unique.Handle[link] }

// link is the last choice of a list and the list before it.
type link struct {
	before Choices
	choice unique.Handle[Choice]
	n      int // choices so far
	text   int // bytes of them in the plan file, at most
}

func (l Choices) link() link {
	if l == (Choices{}) {
		return link{}
	}
	return l.last.Value()
}

// ListOf returns the choices as a list, each made sound; those that cannot be
// are left out (see Choice.Fit). Of more than MaxChoices, or of so many points
// that a plan file would not hold them, the first are kept.
func ListOf(cs ...Choice) Choices {
	var out Choices
	for _, c := range cs {
		c, ok := c.Fit()
		if !ok {
			continue
		}
		if out, ok = out.and(c); !ok {
			break
		}
	}
	return out
}

// and returns the list with a fitted choice after its last; as it was, and
// false, if it is full.
func (l Choices) and(c Choice) (_ Choices, ok bool) {
	end := l.link()
	n, text := end.n+1, end.text+c.weight()
	if n > MaxChoices || text > maxListText {
		return l, false
	}
	return Choices{unique.Make(link{before: l, choice: unique.Make(c), n: n, text: text})}, true
}

// Len returns how many choices there are.
func (l Choices) Len() int { return l.link().n }

// List returns the choices in a fresh slice.
func (l Choices) List() []Choice {
	out := make([]Choice, l.Len())
	for i, h := range l.handles() {
		out[i] = h.Value()
	}
	return out
}

// handles returns the choices as what is cheap to compare, in a fresh slice.
func (l Choices) handles() []unique.Handle[Choice] {
	out := make([]unique.Handle[Choice], l.Len())
	for i := len(out) - 1; i >= 0; i-- {
		end := l.link()
		out[i], l = end.choice, end.before
	}
	return out
}

// weight returns at least the bytes that a choice takes in a plan file: its
// points, a line's indent and quotes for each ring, and what the other fields
// take at most. Fields that are not known may take a little more.
func (c Choice) weight() int {
	const others, eachRing = 400, 16
	rings := 2 + strings.Count(c.Area.text, ringEnd) + strings.Count(c.Other.text, ringEnd)
	return others + len(c.Area.text) + len(c.Other.text) + eachRing*rings + 2*len(c.unknown)
}
