package reading

import (
	"slices"
)

// Pair is what two readings say to the same question.
type Pair struct {
	Topic Topic
	Kind  string
	// A and B are the lines of the first and of the second reading; where one of
	// them says nothing, it is the zero Line and HasA or HasB is false.
	A, B       Line
	HasA, HasB bool
}

// Compare returns where two readings differ: their lines matched by kind, several
// of one kind in the order in which they stand once those of the same words are
// taken out. Lines differ by their words or by whether they ask; places alone do
// not count. Pairs in which a question is asked come first, and of these and of
// the rest the weightiest, by the weightier line; equals in the order of a, what
// only b says after it. Nil if nothing differs. The lines keep sharing their
// places with a and b.
func Compare(a, b []Line) []Pair {
	var out []Pair
	for _, kind := range kindsOf(a, b) {
		out = append(out, compareKind(kind, unlike(a, b, kind), unlike(b, a, kind))...)
	}
	slices.SortStableFunc(out, func(p, q Pair) int { return before(p.first(), q.first()) })
	return out
}

// kindsOf lists the kinds of lines in the order in which they first stand.
func kindsOf(lists ...[]Line) []string {
	var out []string
	for _, lines := range lists {
		for _, l := range lines {
			if !slices.Contains(out, l.Kind) {
				out = append(out, l.Kind)
			}
		}
	}
	return out
}

// unlike returns the lines of a kind that say what no line of the others says.
func unlike(lines, others []Line, kind string) []Line {
	var out []Line
	for _, l := range lines {
		if l.Kind == kind && !slices.ContainsFunc(others, func(o Line) bool {
			return o.Kind == kind && o.Words == l.Words && o.Asks == l.Asks
		}) {
			out = append(out, l)
		}
	}
	return out
}

// compareKind sets the lines of one kind side by side.
func compareKind(kind string, a, b []Line) []Pair {
	var out []Pair
	for i := range max(len(a), len(b)) {
		one := Pair{Kind: kind}
		if i < len(a) {
			one.A, one.HasA, one.Topic = a[i], true, a[i].Topic
		}
		if i < len(b) {
			one.B, one.HasB, one.Topic = b[i], true, b[i].Topic
		}
		out = append(out, one)
	}
	return out
}

// first returns the line of a pair that would stand first in a reading.
func (p Pair) first() Line {
	switch {
	case !p.HasA:
		return p.B
	case !p.HasB:
		return p.A
	}
	return slices.MinFunc([]Line{p.A, p.B}, before)
}
