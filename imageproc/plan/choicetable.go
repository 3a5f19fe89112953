package plan

import (
	"maps"
	"slices"
	"strconv"
	"unique"
)

// choiceTable gathers the texts of the choices of several plans, each once, in
// the order in which they are first met. A text that one list holds twice is
// there twice, so that a list names no entry twice. The zero table is empty.
type choiceTable struct {
	entries []string // compact JSON
	size    int      // bytes of the entries in the plan file

	kinds map[unique.Handle[Choice]]int // numbers the different texts
	texts map[string]int                // the same by text: choices may differ in nothing that is written
	at    map[tableKey]int              // places in entries
}

// tableKey is the nth of its like in one list.
type tableKey struct{ kind, nth int }

func (t *choiceTable) len() int { return len(t.entries) }

// add returns the places in the table of a list's choices, in order; those that
// are not in it yet are put there.
func (t *choiceTable) add(l Choices) []int {
	if t.at == nil {
		t.kinds, t.texts, t.at = map[unique.Handle[Choice]]int{}, map[string]int{}, map[tableKey]int{}
	}
	out := make([]int, l.Len())
	nth := make(map[int]int, len(out))
	for i, h := range l.handles() {
		kind, ok := t.kinds[h]
		if !ok {
			kind = t.kind(choiceText(h.Value()))
			t.kinds[h] = kind
		}
		k := tableKey{kind, nth[kind]}
		nth[kind]++
		at, ok := t.at[k]
		if !ok {
			at = len(t.entries)
			t.at[k] = at
			text := choiceText(h.Value())
			t.entries = append(t.entries, text)
			t.size += indentedSize(text, depthOfEntry)
		}
		out[i] = at
	}
	return out
}

// depthOfEntry is how deep the table's entries stand in the plan file.
const depthOfEntry = 2

// kind returns the number of a text.
func (t *choiceTable) kind(text string) int {
	n, ok := t.texts[text]
	if !ok {
		n = len(t.texts)
		t.texts[text] = n
	}
	return n
}

// text returns the table as a JSON list; nothing if it is empty.
func (t *choiceTable) text() string {
	if t.len() == 0 {
		return ""
	}
	return list(t.entries, func(s string) string { return s })
}

// references returns a list's choices as a JSON list of their places in the
// table; nothing if it is empty.
func (t *choiceTable) references(l Choices) string {
	if l.Len() == 0 {
		return ""
	}
	return list(t.add(l), strconv.Itoa)
}

// clone returns a table that may be added to on its own.
func (t *choiceTable) clone() choiceTable {
	return choiceTable{
		entries: slices.Clone(t.entries), size: t.size,
		kinds: maps.Clone(t.kinds), texts: maps.Clone(t.texts), at: maps.Clone(t.at),
	}
}
