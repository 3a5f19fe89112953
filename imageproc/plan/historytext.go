package plan

import (
	"slices"
	"strconv"
	"strings"
)

// historyWriter writes a fitted history. Thumbnails that are in the file's own
// list are written as their places there.
type historyWriter struct {
	h       History
	kept    map[Thumbnail]int // the file's own thumbnails
	choices func(Choices) string
}

// text returns the history as JSON without spaces, cut to what a plan file
// keeps, its choices added to the table; nothing if no step is kept. kept are
// the file's own thumbnails, whose choices and the plan's are in the table.
func (h *History) text(kept []Thumbnail, table *choiceTable, f Frame) string {
	w := historyWriter{h: h.newest(MaxKept).fit(f), kept: map[Thumbnail]int{}}
	for i := len(kept) - 1; i >= 0; i-- {
		w.kept[kept[i]] = i
	}
	w.cut(table.clone())
	if len(w.h.steps) == 0 && w.h.unknown == "" {
		return ""
	}
	w.choices = table.references
	first := w.first(0) // before the steps: the table is in the order of use
	steps := make([]string, len(w.h.steps))
	for i := range steps {
		steps[i] = w.step(i + 1)
	}
	return object(w.h.unknown, "",
		field{"done", strconv.Itoa(w.h.at)},
		field{"first", first},
		field{"steps", "[" + strings.Join(steps, ",") + "]"})
}

// first returns state n as the beginning of a history.
func (w *historyWriter) first(n int) string {
	s := w.h.stateAt(n)
	plan, thumbnails := planText(s.Plan, w.choices), ""
	if len(s.Thumbnails) > 0 {
		thumbnails = w.thumbnails(s.Thumbnails)
	}
	return object(w.h.unknown, "first", field{"plan", plan}, field{"thumbnails", thumbnails})
}

// step returns the step that led to state n, 1 for the first.
func (w *historyWriter) step(n int) string {
	s := w.h.steps[n-1]
	plan, thumbnails := planText(s.state.Plan, w.choices), ""
	if !slices.Equal(s.state.Thumbnails, w.h.stateAt(n-1).Thumbnails) {
		thumbnails = w.thumbnails(s.state.Thumbnails)
	}
	return object(s.unknown, "", field{"action", quoted(s.action)}, field{"plan", plan}, field{"thumbnails", thumbnails})
}

func (w *historyWriter) thumbnails(ts []Thumbnail) string {
	return list(ts, func(t Thumbnail) string {
		if i, ok := w.kept[t]; ok {
			return strconv.Itoa(i)
		}
		return thumbText(t, w.choices)
	})
}

// cut leaves of the history what fits into maxHistoryText: the steps to be done
// again next, then the newest done before them. table is used up. It counts each
// place in the table as if it had five digits, so that the measure of a part
// does not depend on what else is kept, and a history that was cut is not cut
// again.
func (w *historyWriter) cut(table choiceTable) {
	const depthOfFirst, depthOfStep = 2, 3
	w.choices = func(l Choices) string {
		if l.Len() == 0 {
			return ""
		}
		return "[" + strings.Repeat("99999,", l.Len()-1) + "99999]"
	}
	first := func(n int) int { return indentedSize(w.first(n), depthOfFirst) }
	step := func(n int) int { return indentedSize(w.step(n), depthOfStep) }
	entries := func(n int) int { // what state n adds to the table
		old := table.size
		s := w.h.stateAt(n)
		table.add(s.Plan.Choices)
		for _, t := range s.Thumbnails {
			if _, ok := w.kept[t]; !ok {
				table.add(t.Plan.Choices)
			}
		}
		return table.size - old
	}
	const frame = 200 // names and brackets of the history itself
	from, to := w.h.at, w.h.at
	sum := frame + len(w.h.unknown) + first(from) + entries(from)
	if sum > maxHistoryText {
		w.h = History{}
		return
	}
	for to < len(w.h.steps) {
		more := sum + step(to+1) + entries(to+1)
		if more > maxHistoryText {
			break
		}
		to, sum = to+1, more
	}
	for from > 0 {
		more := sum - first(from) + step(from) + first(from-1) + entries(from-1)
		if more > maxHistoryText {
			break
		}
		from, sum = from-1, more
	}
	w.h = w.h.part(from, to)
}
