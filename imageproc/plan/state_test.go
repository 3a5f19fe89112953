package plan

import (
	"slices"
	"strings"
	"testing"
)

func names(s State) []string {
	var out []string
	for _, t := range s.Thumbnails {
		out = append(out, t.Name)
	}
	return out
}

// Each change of the thumbnails, and the state it was called on unchanged.
func TestStateThumbnails(t *testing.T) {
	s := State{Plan: squinted(1)}
	for i, name := range []string{"dawn", "", " noon\x1b[1m ", strings.Repeat("é", 90)} {
		var ok bool
		if s, ok = s.Keep(name, squinted(10+i)); !ok {
			t.Fatal("not kept")
		}
	}
	all := []string{"dawn", "2", "noon[1m", strings.Repeat("é", 80)}
	for what, c := range map[string]struct {
		got  State
		want []string
	}{
		"kept":            {s, all},
		"dropped":         {s.Drop(1), []string{all[0], all[2], all[3]}},
		"renamed":         {s.Rename(2, "\tdusk\n"), []string{all[0], all[1], "dusk", all[3]}},
		"renamed nothing": {s.Rename(2, " "), []string{all[0], all[1], "3", all[3]}},
		"later":           {s.Shift(0, 2), []string{all[1], all[2], all[0], all[3]}},
		"earlier":         {s.Shift(3, -1), []string{all[0], all[1], all[3], all[2]}},
		"to the end":      {s.Shift(1, 1<<62), []string{all[0], all[2], all[3], all[1]}},
		"to the start":    {s.Shift(2, -1<<63), []string{all[2], all[0], all[1], all[3]}},
		"by nothing":      {s.Shift(2, 0), all},
		"drop none":       {s.Drop(4), all},
		"drop none below": {s.Drop(-1), all},
		"rename none":     {s.Rename(4, "x"), all},
		"shift none":      {s.Shift(-1, 1), all},
	} {
		if !slices.Equal(names(c.got), c.want) || c.got.Plan != s.Plan {
			t.Errorf("%s: %q, want %q", what, names(c.got), c.want)
		}
		for _, th := range c.got.Thumbnails {
			if i := slices.Index(all, th.Name); i >= 0 && th.Plan != squinted(10+i) {
				t.Errorf("%s: %q has another's plan", what, th.Name)
			}
		}
		if !slices.Equal(names(s), all) {
			t.Fatalf("%s: changed the state it was called on", what)
		}
	}
	if a, b := s.With(squinted(5)), s.With(squinted(6)); a.Plan != squinted(5) || a.Equal(b) || !a.Equal(b.With(squinted(5))) || a.Equal(a.Drop(0)) {
		t.Error("With or Equal")
	}
	three := s.Drop(3)
	one, _ := three.Keep("a", squinted(1))
	two, _ := three.Keep("b", squinted(1))
	if one.Thumbnails[3].Name != "a" || two.Thumbnails[3].Name != "b" {
		t.Error("two states share their thumbnails")
	}
}

// Thumbnails are kept until their number, or their choices, are as many as a
// plan file holds; and whatever was kept can be written and read.
func TestStateKeepsWhatAFileHolds(t *testing.T) {
	r := seeded(t, 51)
	f := boatyard(t)
	ring := randomRing(r, MaxPoints)
	s, ok := State{Plan: f.Plan}, true
	for n := 0; ok; n++ { // very large areas
		p := f.Plan
		for i := range 8 {
			ring[0] = Point{0.001 * float64(i), 0.001 * float64(n)}
			p = Choose(Choice{What: LeaveOut, Area: AreaOf([][]Point{ring})})(p, f.Photo.Frame())
		}
		s, ok = s.Keep("", p)
	}
	if text := (File{Photo: f.Photo, Plan: f.Plan, Thumbnails: s.Thumbnails}).Text(); len(s.Thumbnails) < 3 || len(text) > maxKeptText+10_000 {
		t.Errorf("%d thumbnails, %d bytes", len(s.Thumbnails), len(text))
	}
	for _, size := range []int{0, 3, 40, MaxChoices} {
		s := State{Plan: f.Plan}
		ok := true
		n := 0
		for ; ok && n < 1000; n++ {
			p := f.Plan
			cs := manyChoices(r, size)
			p.Choices = ListOf(cs...)
			s, ok = s.Keep("", p)
		}
		if ok || len(s.Thumbnails) != n-1 || n-1 > MaxThumbnails || size < 4 && n-1 != MaxThumbnails {
			t.Errorf("%d choices each: %d thumbnails", size, len(s.Thumbnails))
		}
		p := f.Plan
		p.Choices = ListOf(manyChoices(r, MaxChoices)...)
		text := File{Photo: f.Photo, Plan: p, Thumbnails: s.Thumbnails}.Text()
		if g, err := Read(text); err != nil || len(g.Thumbnails) != n-1 || g.Plan != p {
			t.Errorf("%d choices each, %d bytes: %v", size, len(text), err)
		}
	}
}
