package plan

import (
	"bytes"
	"errors"
	"image"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

// A file cut short anywhere is refused, and the error points at or before the
// cut.
func TestReadOfEveryCutFile(t *testing.T) {
	for _, name := range []string{"boatyard.plan.json", "unknown.plan.json", "moorings.plan.json"} {
		text, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		end := len(bytes.TrimRight(text, "\n"))
		for n := 0; n < end; n += stride(end) {
			_, err := Read(text[:n])
			var e *ReadError
			if !errors.As(err, &e) {
				t.Fatalf("%s cut at %d: %v", name, n, err)
			}
			if lines := bytes.Count(text[:n], []byte("\n")) + 1; e.Line > lines {
				t.Fatalf("%s cut at %d in line %d: the error is in line %d", name, n, lines, e.Line)
			}
		}
	}
}

// With one byte lost or changed a file is refused or holds sound plans; it
// never comes back as something that cannot be written.
func TestReadOfEveryDamagedByte(t *testing.T) {
	for _, name := range []string{"boatyard.plan.json", "moorings.plan.json"} {
		text, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		damage(t, text)
	}
}

// stride leaves most bytes of a long file out, fewer if there is time.
func stride(n int) int {
	switch {
	case n < 3000:
		return 1
	case os.Getenv("HALFLID_HEAVY") == "1":
		return n/5000 | 1
	}
	return n/100 | 1
}

func damage(t *testing.T, text []byte) {
	check := func(data []byte) {
		f, err := Read(data)
		if err != nil {
			return
		}
		sound(t, "damaged", f.Plan, f.Photo.Size())
		if g, err := Read(f.Text()); err != nil || !g.Equal(f) {
			t.Fatalf("%v\n%s", err, data)
		}
		for h, ok := f.History(), true; ok; _, ok = h.CanUndo() {
			sound(t, "damaged step", h.Plan(), f.Photo.Size())
			h = h.Undo()
		}
	}
	for i := 0; i < len(text); i += stride(len(text)) {
		check(append(append([]byte{}, text[:i]...), text[i+1:]...))
		for _, c := range []byte("\x00 9-\"}e,\xff") {
			data := bytes.Clone(text)
			data[i] = c
			check(data)
		}
	}
}

// On a scaled copy of the photo the crop lies where it lay; on a photo of other
// proportions it is made to fit.
func TestFitCarriesThePlanOver(t *testing.T) {
	r := seeded(t, 8)
	from, half, tall := image.Pt(4000, 3000), image.Pt(2000, 1500), image.Pt(1000, 3000)
	for range 500 {
		p := randomPlan(r, from)
		if q := Fit(p, Frame{half}); q != p {
			t.Fatalf("on a scaled copy\n%+v became\n%+v", p, q)
		}
		q := Fit(p, Frame{tall})
		sound(t, "carried over", q, tall)
		if q.Panel != p.Panel || q.Values != p.Values || q.Squint != p.Squint || q.Shapes != p.Shapes {
			t.Fatalf("more than the crop changed:\n%+v became\n%+v", p, q)
		}
		if !p.Panel.Free() && math.Abs(q.Aspect(tall)-p.Panel.Aspect()) > 1e-9 {
			t.Fatalf("aspect %v, panel %v", q.Aspect(tall), p.Panel)
		}
	}
}

// Plans, edits, files and histories are shared between the screen and the jobs
// behind it; the race detector watches this.
func TestSharedBetweenGoroutines(t *testing.T) {
	f := boatyard(t)
	h := NewHistory(State{Plan: f.Plan})
	more := MoveCut(nil, 0, 0.1)
	want := f.Text()
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() {
			mine := h
			for range 50 {
				mine = mine.Do("cut", more(mine.Plan(), f.Photo.Frame()))
			}
			g, _ := f.Keep("mine", mine.Plan())
			if len(g.Drop(0).Thumbnails) != 2 || !bytes.Equal(f.Text(), want) {
				t.Errorf("goroutine %d changed what it shares", i)
			}
			if mine.Undo().Plan() != f.Plan {
				t.Errorf("goroutine %d: a held key is no single step", i)
			}
		})
	}
	wg.Wait()
}

// The order of the next-panel key is the one that help and hints show.
func TestPanelsOnOffer(t *testing.T) {
	want := []string{
		"5x7 in", "6x8 in", "8x10 in", "9x12 in", "11x14 in", "12x16 in", "A5", "A4",
		"13x18 cm", "18x24 cm", "24x30 cm", "6x6 in", "8x8 in", "free",
	}
	got := Panels()
	if len(got) != len(want) {
		t.Fatalf("%d panels, want %d", len(got), len(want))
	}
	for i, p := range got {
		if p.Name() != want[i] || p.Way != Unsaid {
			t.Errorf("panel %d is %v, want %s", i, p, want[i])
		}
	}
	got[0] = Panel{}
	if Panels()[0].Free() {
		t.Error("the list on offer can be written to")
	}
}
