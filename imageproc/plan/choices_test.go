package plan

import (
	"slices"
	"testing"
)

// withChoices returns p with the choices as its list.
func withChoices(t *testing.T, p Plan, cs []Choice) Plan {
	t.Helper()
	p.Choices = ListOf(cs...)
	if !slices.Equal(p.Choices.List(), cs) {
		t.Fatal("a list of sound choices is not as given")
	}
	return p
}

func TestListOf(t *testing.T) {
	if ListOf() != (Choices{}) || (Choices{}).Len() != 0 || len((Choices{}).List()) != 0 {
		t.Error("an empty list is not the zero list")
	}
	r := seeded(t, 41)
	for range 2000 {
		var raw, sound []Choice
		for range r.IntN(12) {
			c := randomChoice(r)
			raw = append(raw, c)
			if c, ok := c.Fit(); ok {
				sound = append(sound, c)
			}
		}
		l := ListOf(raw...)
		if !slices.Equal(l.List(), sound) || l.Len() != len(sound) {
			t.Fatalf("%d choices, want %d", l.Len(), len(sound))
		}
		if ListOf(sound...) != l {
			t.Fatal("equal lists are not ==")
		}
		if len(sound) > 0 {
			other := l.List()
			other[r.IntN(len(other))].Off = !other[r.IntN(len(other))].Off
			changed := !slices.Equal(other, l.List())
			if (ListOf(other...) != l) != changed {
				t.Fatal("== does not see a choice switched off, or sees what is not there")
			}
			l.List()[0] = Choice{}
			if !slices.Equal(l.List(), sound) {
				t.Fatal("a list can be written to")
			}
		}
	}
}

func TestListsAreBounded(t *testing.T) {
	r := seeded(t, 42)
	many := make([]Choice, MaxChoices+20)
	for i := range many {
		many[i] = randomSound(r)
	}
	l := ListOf(many...)
	if !slices.Equal(l.List(), many[:MaxChoices]) {
		t.Errorf("%d choices kept, want the first %d", l.Len(), MaxChoices)
	}
	p := Default(harbour.Photo)
	p.Choices = l
	if q := Choose(many[MaxChoices])(p, harbour); q != p {
		t.Error("a full list took one more")
	}
	// Areas of very many points: the list is full before MaxChoices, and the
	// plan is still one that a file takes.
	ring := randomRing(r, MaxPoints)
	for i, p := range ring {
		ring[i] = Point{0.1 + 0.8*p.X, 0.1 + 0.8*p.Y}
	}
	p.Choices = Choices{}
	for i := range MaxChoices {
		ring[0] = Point{float64(i) / 1000, 0}
		p = Choose(Choice{What: LeaveOut, Area: AreaOf([][]Point{ring})})(p, harbour)
	}
	if n := p.Choices.Len(); n < 10 || n > 100 {
		t.Errorf("%d choices of %d points", n, MaxPoints)
	}
	text := File{Photo: Photo{"quay.jpg", testSHA, 3000, 2000}, Plan: p}.Text()
	if f, err := Read(text); err != nil || f.Plan != p || len(text) > maxListText+4000 {
		t.Errorf("%d bytes: %v", len(text), err)
	}
	if q := ReplaceChoice(0, many[0])(p, harbour); q.Choices.Len() != p.Choices.Len() || q == p {
		t.Error("a full list takes no replacement")
	}
}

// Each edit against the same done to a plain slice.
func TestChoiceEdits(t *testing.T) {
	r := seeded(t, 43)
	base := Default(harbour.Photo)
	for range 10_000 {
		cs := make([]Choice, r.IntN(9))
		for i := range cs {
			cs[i] = randomSound(r)
		}
		p := withChoices(t, base, cs)
		if Fit(p, harbour) != p {
			t.Fatal("Fit changed the choices")
		}
		raw := randomChoice(r)
		if len(cs) > 0 && r.IntN(3) == 0 { // another thought about the last
			last := cs[len(cs)-1]
			raw.What, raw.Area, raw.Other = last.What, last.Area, last.Other
			raw.Plane, raw.Depth = Sky, Near
		}
		c, ok := raw.Fit()
		want := slices.Clone(cs)
		if ok {
			if n := len(cs); n > 0 && cs[n-1].What == c.What && cs[n-1].Area == c.Area && cs[n-1].Other == c.Other {
				want = want[:n-1]
			}
			want = append(want, c)
		}
		q := Choose(raw)(p, harbour)
		if !slices.Equal(q.Choices.List(), want) {
			t.Fatalf("chosen %+v after %+v:\n%+v", raw, cs, q.Choices.List())
		}
		if Choose(raw)(q, harbour) != q {
			t.Fatalf("chosen twice, %+v is there twice", raw)
		}
		if same := planText(p, fullChoices) == planText(q, fullChoices); (Hash(p) == Hash(q)) != same || raw.unknown == "" && same != (p == q) {
			t.Fatal("the hash does not see a choice, or sees what is not there")
		}
		i := r.IntN(len(cs)+3) - 1
		by := r.IntN(2*len(cs)+5) - len(cs) - 2
		if i < 0 || i >= len(cs) {
			for _, e := range []Edit{SwitchChoice(i), DropChoice(i), ReplaceChoice(i, raw), RaiseChoice(i, by)} {
				if e(p, harbour) != p {
					t.Fatalf("an edit of choice %d of %d changed the plan", i, len(cs))
				}
			}
			continue
		}
		off := SwitchChoice(i)(p, harbour)
		want = slices.Clone(cs)
		want[i].Off = !want[i].Off
		if !slices.Equal(off.Choices.List(), want) || Hash(off) == Hash(p) {
			t.Fatalf("switched %d: %+v", i, off.Choices.List())
		}
		if SwitchChoice(i)(off, harbour) != p {
			t.Fatal("switched twice is not as before")
		}
		if got := DropChoice(i)(p, harbour).Choices.List(); !slices.Equal(got, slices.Concat(cs[:i], cs[i+1:])) {
			t.Fatalf("dropped %d: %+v", i, got)
		}
		want = slices.Clone(cs)
		if ok {
			want[i] = c
		}
		if got := ReplaceChoice(i, raw)(p, harbour).Choices.List(); !slices.Equal(got, want) {
			t.Fatalf("replaced %d: %+v", i, got)
		}
		raised := RaiseChoice(i, by)(p, harbour)
		to := min(max(i+by, 0), len(cs)-1)
		if raised.Choices.List()[to] != cs[i] || raised.Choices.Len() != len(cs) {
			t.Fatalf("raised %d by %d: %+v", i, by, raised.Choices.List())
		}
		if DropChoice(to)(raised, harbour) != DropChoice(i)(p, harbour) {
			t.Fatal("raising changed the order of the others")
		}
		if RaiseChoice(to, i-to)(raised, harbour) != p {
			t.Fatal("raised and lowered is not as before")
		}
	}
}

// An edit of a choice from the list keeps the fields that are not known.
func TestEditsKeepUnknownFieldsOfAChoice(t *testing.T) {
	c := Choice{What: Detail, Area: BoxArea(0, 0, 1, 1), Shapes: 4, unknown: unknown(unknownLine("", "what", `"mood"`, []byte("3")))}
	p := Choose(c)(Default(harbour.Photo), harbour)
	mine := p.Choices.List()[0]
	mine.Shapes = 5
	for _, e := range []Edit{Choose(mine), ReplaceChoice(0, mine)} {
		q := e(p, harbour)
		if got := q.Choices.List(); len(got) != 1 || got[0].Shapes != 5 || got[0].unknown != c.unknown {
			t.Errorf("%+v", got)
		}
	}
}
