package plan

import "slices"

// Choose adds a choice at the end of the plan's list. If the last choice there
// has the same What, Area and Other it is replaced: a held key, a second thought.
// A choice that cannot be made sound, and one more than a list holds, change
// nothing.
func Choose(c Choice) Edit {
	c, ok := c.Fit()
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		if !ok {
			return p
		}
		list := p.Choices
		if end := list.link(); end.n > 0 {
			if last := end.choice.Value(); last.What == c.What && last.Area == c.Area && last.Other == c.Other {
				list = end.before
			}
		}
		if longer, ok := list.and(c); ok {
			p.Choices = longer
		}
		return p
	}
}

// changeList returns an edit of the plan's list of choices, as long as it has a
// choice i. A list that is too much for a plan file changes nothing.
func changeList(i int, change func([]Choice) []Choice) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		if i < 0 || i >= p.Choices.Len() {
			return p
		}
		list := change(p.Choices.List())
		if l := ListOf(list...); l.Len() == len(list) {
			p.Choices = l
		}
		return p
	}
}

// SwitchChoice switches choice i (0: the oldest) off, or on if it is off. It
// changes nothing if there is no choice i; so do the edits below.
func SwitchChoice(i int) Edit {
	return changeList(i, func(cs []Choice) []Choice {
		cs[i].Off = !cs[i].Off
		return cs
	})
}

// DropChoice takes choice i out of the list.
func DropChoice(i int) Edit {
	return changeList(i, func(cs []Choice) []Choice { return slices.Delete(cs, i, i+1) })
}

// ReplaceChoice puts c in the place of choice i. A choice that cannot be made
// sound changes nothing.
func ReplaceChoice(i int, c Choice) Edit {
	return changeList(i, func(cs []Choice) []Choice {
		cs[i] = c
		return cs
	})
}

// RaiseChoice moves choice i by places towards the end of the list, where it
// wins over those it has passed; towards the beginning if by is negative. It
// stops at the ends.
func RaiseChoice(i, by int) Edit {
	return changeList(i, func(cs []Choice) []Choice { return shifted(cs, i, by) })
}
