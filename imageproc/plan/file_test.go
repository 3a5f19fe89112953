package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/palette"
)

// boatyard is a file with every kind of decision in it.
func boatyard(t testing.TB) File {
	t.Helper()
	photo := image.Pt(4000, 3000)
	fr := Frame{photo}
	p := Default(photo)
	for _, e := range []Edit{ResizeCrop(0.5), Turn, MoveCrop(0.1, -0.05), SetSquint(1.4), SetCuts([]palette.Value{3.5, 6.25}), SetTones([]palette.Value{2, 5, 8.5}), SetShapes(9)} {
		p = e(p, fr)
	}
	f := File{Photo: Photo{Name: "boatyard.jpg", SHA256: testSHA, Width: 4000, Height: 3000}, Plan: p}
	f, _ = f.Keep("square, higher horizon", SetPanel(Panel{Short: 6, Long: 6, Unit: Inch})(p, fr))
	f, _ = f.Keep("", SetFree(1.9)(SetK(4)(p, fr), fr))
	return f
}

func TestTextIsAsPublished(t *testing.T) {
	got := boatyard(t).Text()
	name := filepath.Join("testdata", "boatyard.plan.json")
	if os.Getenv("HALFLID_REWRITE") == "1" {
		if err := os.WriteFile(name, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the text of a plan has changed: plans in use would change with it\n%s", got)
	}
	f, err := Read(want)
	if err != nil {
		t.Fatal(err)
	}
	if !f.Equal(boatyard(t)) {
		t.Errorf("read back: %+v", f)
	}
}

// Text to file to text is byte for byte the same, file to text to file too.
func TestRoundTripOfRandomFiles(t *testing.T) {
	r := seeded(t, 4)
	heavy := os.Getenv("HALFLID_HEAVY") == "1"
	for plans, files := 0, 0; plans < 12_000 || heavy && files < 12_000; files++ {
		f := randomFile(r)
		plans += 1 + len(f.Thumbnails)
		if f.history != nil {
			plans += 1 + len(f.history.steps)
		}
		text := f.Text()
		g, err := Read(text)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if again := g.Text(); !bytes.Equal(text, again) {
			t.Fatalf("text changed from\n%s\nto\n%s", text, again)
		}
		if g.Photo != f.Photo || g.Plan.Crop != f.Plan.Crop || g.Plan.Values != f.Plan.Values || len(g.Thumbnails) != len(f.Thumbnails) {
			t.Fatalf("read back\n%+v\nwant\n%+v", g, f)
		}
		for i := range f.Thumbnails {
			if Hash(g.Thumbnails[i].Plan) != Hash(f.Thumbnails[i].Plan) {
				t.Fatalf("thumbnail %d differs", i)
			}
		}
		if !json.Valid(text) || text[len(text)-1] != '\n' || bytes.ContainsRune(text, '\r') {
			t.Fatalf("not canonical:\n%s", text)
		}
		h, err := Read(text)
		if err != nil || !h.Equal(g) {
			t.Fatalf("read twice: %v", err)
		}
	}
}

// Fields of a later version stay where they stood, at every level, through an
// edit and into a thumbnail.
func TestUnknownFieldsAreKept(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "unknown.plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	f, err := Read(text)
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Text(); !bytes.Equal(got, text) {
		t.Fatalf("got\n%s\nwant\n%s", got, text)
	}
	edited := f.With(SetSquint(2)(f.Plan, f.Photo.Frame()))
	want := bytes.Replace(text, []byte(`"squint": 1,`), []byte(`"squint": 2,`), 1)
	if got := edited.Text(); !bytes.Equal(got, want) {
		t.Errorf("after an edit:\n%s", got)
	}
	// The height of a free crop goes with the panel; what follows it stays.
	sized := f.With(SetPanel(Panel{Short: 6, Long: 8, Unit: Inch})(f.Plan, f.Photo.Frame()))
	if got := sized.Text(); bytes.Contains(got, []byte(`"h":`)) && !bytes.Contains(got, []byte(`"lens"`)) {
		t.Errorf("a field was lost with its neighbour:\n%s", got)
	}
	kept, ok := f.Keep("again", f.Plan)
	if n := bytes.Count(kept.Text(), []byte(`"mood"`)) - bytes.Count(text, []byte(`"mood"`)); !ok || n != 1 {
		t.Errorf("a thumbnail took %d of the unknown fields of its plan", n)
	}
	if f.Drop(0).Equal(f) || len(f.Thumbnails) != 1 {
		t.Error("Drop changed the file it was called on, or nothing")
	}
}

func TestUnknownFieldsInAnyOrder(t *testing.T) {
	text := string(boatyard(t).Text())
	text = strings.Replace(text, `"squint": 1.4,`, ``, 1)
	text = strings.Replace(text, `"plan": {`, `"plan": { "\u0073quint" : 1.40 , "a\u0062" : [ 1 , "\t" , { } ] ,`, 1)
	f, err := Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	once := f.Text()
	if !strings.Contains(string(once), "\"squint\": 1.4,\n    \"a\\u0062\": [\n") {
		t.Errorf("the unknown field does not follow squint:\n%s", once)
	}
	g, err := Read(once)
	if err != nil || !bytes.Equal(g.Text(), once) {
		t.Errorf("not stable: %v\n%s", err, g.Text())
	}
}

// The focal point in the text: left out if there is none, its fall if it is the
// usual one.
func TestTextOfTheFocalPoint(t *testing.T) {
	fr := Frame{image.Pt(4000, 3000)}
	for focus, want := range map[Focus]string{
		{}:                                    `"brush_mm":3}}`,
		{X: 0.25, Y: 0.5, Radius: 1}:          `"brush_mm":3},"focus":{"x":0.25,"y":0.5,"radius":1}}`,
		{X: 1, Radius: 0.2, Fall: FallStrong}: `"brush_mm":3},"focus":{"x":1,"y":0,"radius":0.2,"fall":"strong"}}`,
		{X: 0.12344, Y: 1, Radius: 0.02, Fall: FallGentle}: `"brush_mm":3},"focus":{"x":0.1234,"y":1,"radius":0.02,"fall":"gentle"}}`,
	} {
		if got := planText(SetFocus(focus)(Default(fr.Photo), fr), fullChoices); !strings.HasSuffix(got, want) {
			t.Errorf("%+v is written %s, want %s", focus, got, want)
		}
	}
}

func TestKeepAndDrop(t *testing.T) {
	f := boatyard(t)
	if f.Thumbnails[1].Name != "2" {
		t.Errorf("a thumbnail without a name is called %q", f.Thumbnails[1].Name)
	}
	g, _ := f.Keep("  evening\n\x1b[31m"+strings.Repeat("é", 100), f.Plan)
	name := g.Thumbnails[2].Name
	if len([]rune(name)) != 80 || strings.ContainsAny(name, "\n\x1b") || len(f.Thumbnails) != 2 {
		t.Errorf("kept as %q", name)
	}
	h, _ := f.Keep("other", f.Plan)
	if g.Thumbnails[2].Name == "other" || h.Thumbnails[2].Name != "other" {
		t.Error("two files share their thumbnails")
	}
	for _, i := range []int{-1, 3} {
		if !g.Drop(i).Equal(g) {
			t.Errorf("dropping %d changed the file", i)
		}
	}
	if d := g.Drop(0); len(d.Thumbnails) != 2 || d.Thumbnails[0].Name != "2" || g.Thumbnails[0].Name == "2" {
		t.Errorf("dropped: %+v", d.Thumbnails)
	}
	ok := true
	for n := 0; ok && n < 1000; n++ {
		f, ok = f.Keep("more", f.Plan)
	}
	if len(f.Thumbnails) != MaxThumbnails {
		t.Errorf("%d thumbnails kept", len(f.Thumbnails))
	}
	if _, err := Read(f.Text()); err != nil {
		t.Error(err)
	}
}

func TestTextMendsNames(t *testing.T) {
	f := boatyard(t)
	for _, name := range []string{"", ".", "..", "/", "a/b/quay.jpg", "\xff\xfe.jpg", "a\x00b", strings.Repeat("é", 300), "tab\there", `back\slash`} {
		f.Photo.Name = name
		f.Thumbnails[0].Name = name
		g, err := Read(f.Text())
		if err != nil {
			t.Errorf("%q: %v", name, err)
		}
		if strings.Contains(g.Photo.Name, "/") {
			t.Errorf("%q: a folder in the file: %q", name, g.Photo.Name)
		}
	}
}

func TestTextOfNoPhotoPanics(t *testing.T) {
	for _, ph := range []Photo{{}, {SHA256: testSHA, Width: 1}, {SHA256: strings.ToUpper(testSHA), Width: 1, Height: 1}, {SHA256: testSHA, Width: 1 << 30, Height: 1}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%+v was written", ph)
				}
			}()
			File{Photo: ph}.Text()
		}()
	}
}

type fullDisk struct{}

var errFull = errors.New("no space")

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func TestWrite(t *testing.T) {
	var b bytes.Buffer
	f := boatyard(t)
	if err := f.Write(&b); err != nil || !bytes.Equal(b.Bytes(), f.Text()) {
		t.Errorf("%v", err)
	}
	if err := f.Write(fullDisk{}); !errors.Is(err, errFull) || !strings.Contains(err.Error(), "boatyard.jpg") {
		t.Errorf("%v", err)
	}
}

func TestHash(t *testing.T) {
	f := boatyard(t)
	const want = "626992a97571" // SHA-256 of the same text made by another program, cut to 12 digits
	if got := Hash(f.Plan); got != want {
		t.Errorf("hash %s, want %s", got, want)
	}
	r := seeded(t, 5)
	seen := map[string]Plan{}
	for range 5000 {
		p := randomPlan(r, harbour.Photo)
		h := Hash(p)
		if q, ok := seen[h]; ok && q != p {
			t.Fatalf("%s stands for two plans", h)
		}
		seen[h] = p
	}
}
