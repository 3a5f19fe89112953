package plan

import (
	"strconv"
	"testing"
)

// Any sequence of edits undone one by one gives every plan on the way back to
// the first, and redone every one up to the last.
func TestHistoryUndoesAndRedoesEverything(t *testing.T) {
	r := seeded(t, 3)
	for range 1000 {
		photo := randomPhoto(r)
		first := randomPlan(r, photo)
		h := NewHistory(State{Plan: first})
		stops := []Plan{first} // the plans that undo must come back to
		last := ""
		for range r.IntN(40) {
			if r.IntN(5) == 0 {
				h, last = h.Break(), ""
			}
			name, e := randomEdit(r)
			p := e(h.Plan(), Frame{photo})
			h = h.Do(name, p)
			switch {
			case p == stops[len(stops)-1]:
			case name == last && p == stops[len(stops)-2]:
				stops, last = stops[:len(stops)-1], ""
			case name == last:
				stops[len(stops)-1] = p
			default:
				stops, last = append(stops, p), name
			}
		}
		for i := len(stops) - 1; i >= 0; i-- {
			if h.Plan() != stops[i] {
				t.Fatalf("undone to step %d of %d: wrong plan", i, len(stops)-1)
			}
			if _, ok := h.CanUndo(); ok != (i > 0) {
				t.Fatalf("step %d: can undo %v", i, ok)
			}
			h = h.Undo()
		}
		if h.Plan() != first || h.Undo().Plan() != first {
			t.Fatal("not back at the first plan")
		}
		for i := 1; i < len(stops); i++ {
			if _, ok := h.CanRedo(); !ok {
				t.Fatalf("cannot redo step %d", i)
			}
			if h = h.Redo(); h.Plan() != stops[i] {
				t.Fatalf("redone to step %d: wrong plan", i)
			}
		}
		if _, ok := h.CanRedo(); ok || h.Redo().Plan() != stops[len(stops)-1] {
			t.Fatal("redo goes past the last plan")
		}
	}
}

// squinted returns distinct plans to move between.
func squinted(n int) Plan {
	return SetSquint(float64(n)/100)(Default(harbour.Photo), harbour)
}

func TestHistoryMergesAHeldKey(t *testing.T) {
	h := NewHistory(State{Plan: squinted(0)})
	for i := 1; i <= 30; i++ {
		h = h.Do("squint", squinted(i))
	}
	if a, ok := h.CanUndo(); !ok || a != "squint" {
		t.Errorf("%q %v", a, ok)
	}
	if u := h.Undo(); u.Plan() != squinted(0) {
		t.Error("a held key took more than one undo")
	} else if u.Redo().Plan() != squinted(30) {
		t.Error("redo stops on the way")
	}
	if h.Break().Do("squint", squinted(31)).Undo().Plan() != squinted(30) {
		t.Error("after a pause the key still joins")
	}
	if h.Do("crop", squinted(40)).Do("squint", squinted(41)).Undo().Plan() != squinted(40) {
		t.Error("another key between does not part")
	}
	if h.Undo().Redo().Do("squint", squinted(31)).Undo().Plan() != squinted(30) {
		t.Error("after undo and redo the key still joins")
	}
	if h.Do("crop", squinted(40)).Undo().Do("squint", squinted(41)).Undo().Plan() != squinted(30) {
		t.Error("after undo the key joins the step before")
	}
	if h.Do("", squinted(41)).Do("", squinted(42)).Undo().Plan() != squinted(41) {
		t.Error("actions without a name join")
	}
}

func TestHistoryNoStepForNoChange(t *testing.T) {
	h := NewHistory(State{Plan: squinted(0)}).Do("a", squinted(1)).Undo()
	if h = h.Do("b", squinted(0)); h.Redo().Plan() != squinted(1) {
		t.Error("an edit without effect forgot what was undone")
	}
	h = h.Do("a", squinted(2)).Do("a", squinted(0))
	if _, ok := h.CanUndo(); ok {
		t.Error("a key that came back left a step")
	}
	h = h.Do("a", squinted(3))
	if h.Undo().Plan() != squinted(0) {
		t.Error("the step after it is lost")
	}
}

func TestHistoryForgetsWhatWasUndone(t *testing.T) {
	h := NewHistory(State{Plan: squinted(0)}).Do("a", squinted(1)).Do("b", squinted(2)).Undo().Do("c", squinted(3))
	if _, ok := h.CanRedo(); ok || h.Undo().Plan() != squinted(1) {
		t.Error("undone steps come back")
	}
}

func TestHistoryIsAValue(t *testing.T) {
	h := NewHistory(State{Plan: squinted(0)}).Do("a", squinted(1)).Do("b", squinted(2))
	one, two := h.Undo().Do("c", squinted(3)), h.Undo().Do("d", squinted(4))
	three := h.Do("b", squinted(5))
	for i, got := range []Plan{h.Plan(), one.Plan(), two.Plan(), three.Plan()} {
		if want := squinted([]int{2, 3, 4, 5}[i]); got != want {
			t.Errorf("history %d: wrong plan", i)
		}
	}
	if h.Undo().Redo().Plan() != squinted(2) {
		t.Error("a later history changed an earlier one")
	}
}

func TestHistoryIsBounded(t *testing.T) {
	h := NewHistory(State{Plan: squinted(0)})
	for i := 1; i <= MaxSteps+10; i++ {
		h = h.Do(strconv.Itoa(i), squinted(i))
	}
	n := 0
	for ok := true; ok; n++ {
		h = h.Undo()
		_, ok = h.CanUndo()
	}
	if n != MaxSteps || h.Plan() != squinted(10) {
		t.Errorf("%d steps back, to squint %v", n, h.Plan().Squint)
	}
}
