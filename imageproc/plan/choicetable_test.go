package plan

import (
	"bytes"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// Choices stand in the file once, in the order of first use, and those that no
// plan has are dropped.
func TestTableOfChoices(t *testing.T) {
	a, b, c := BoxArea(0, 0, 0.1, 0.1), BoxArea(0, 0, 0.2, 0.1), BoxArea(0, 0, 0.3, 0.1)
	leave := func(a Area) Choice { return Choice{What: LeaveOut, Area: a} }
	f := boatyard(t)
	f.Thumbnails = nil
	f.Plan.Choices = ListOf(leave(b), leave(a), leave(b), leave(b))
	kept := f.Plan
	kept.Choices = ListOf(leave(c), leave(b), leave(b))
	f, _ = f.Keep("other", kept)
	text := string(f.Text())
	flat := strings.Join(strings.Fields(text), "")
	for _, want := range []string{`"choices":[0,1,2,3]}`, `"choices":[4,0,2]}`} {
		if !strings.Contains(flat, want) {
			t.Errorf("want %s in\n%s", want, text)
		}
	}
	if strings.Count(text, `"what"`) != 5 {
		t.Errorf("want five entries:\n%s", text)
	}
	g := mustRead(t, []byte(text))
	if !g.Equal(f) {
		t.Error("read back as another file")
	}
	// An entry more, which nothing refers to.
	text = strings.Replace(text, "\n  \"choices\": [", "\n  \"choices\": [ {\"what\": \"detail\", \"shapes\": 3, \"area\": [\"0,0 1,0 1,1\"]},", 1)
	text = strings.NewReplacer("          0,\n          2\n", "          1,\n          3\n", "          4,\n", "          5,\n",
		"      0,\n      1,\n      2,\n      3\n", "      1,\n      2,\n      3,\n      4\n").Replace(text)
	if g = mustRead(t, []byte(text)); !g.Equal(f) || bytes.Contains(g.Text(), []byte("detail")) {
		t.Errorf("not dropped:\n%s", g.Text())
	}
}

// A plan of 200 choices with areas of 40 points, in every plan of the file.
func TestRoundTripOfManyChoices(t *testing.T) {
	r := seeded(t, 64)
	f := boatyard(t)
	fr := f.Photo.Frame()
	f.Plan.Choices = ListOf(manyChoices(r, 200)...)
	f, _ = f.Keep("fewer", DropChoice(3)(f.Plan, fr))
	h := f.History()
	for i := range 50 {
		h = h.Do(strconv.Itoa(i), SwitchChoice(i)(h.Plan(), fr))
	}
	f = f.WithHistory(h)
	text := f.Text()
	g := mustRead(t, text)
	if !g.Equal(f) || !bytes.Equal(g.Text(), text) || g.Plan.Choices.Len() != 200 {
		t.Errorf("%d bytes, read back as another", len(text))
	}
	if err := validator(t)(text); err != nil {
		t.Error(err)
	}
}

func heavyFile(tb testing.TB) File {
	f := boatyard(tb)
	h := NewHistory(State{Plan: f.Plan})
	for i, c := range manyChoices(rand.New(rand.NewPCG(1, 1)), 200) {
		h = h.Do(strconv.Itoa(i), Choose(c)(h.Plan(), f.Photo.Frame()))
	}
	return f.WithHistory(h)
}

func BenchmarkTextOf200Choices(b *testing.B) {
	f := heavyFile(b)
	for b.Loop() {
		f.Text()
	}
}

func BenchmarkReadOf200Choices(b *testing.B) {
	text := heavyFile(b).Text()
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := Read(text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDoWith1200Steps(b *testing.B) {
	h := NewHistory(State{Plan: squinted(0)})
	for i := range MaxSteps + 1 {
		h = h.Do(strconv.Itoa(i), squinted(i%2000+1))
	}
	for b.Loop() {
		h.Do("more", squinted(3))
	}
}
