package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// call runs a command in this process and returns its exit code and outputs.
func call(t *testing.T, args ...string) (code int, out, words string) {
	t.Helper()
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	var o, e bytes.Buffer
	code = run(args, strings.NewReader(""), &o, &e)
	return code, o.String(), e.String()
}

func TestPlanWritesPictureAndPlan(t *testing.T) {
	dir, file := quay(t)
	code, out, words := call(t, "plan", file, "--values", "3", "--squint", "0.25", "--json")
	if code != exitDone || words != "" {
		t.Fatalf("exit %d, words %q", code, words)
	}
	var reports []report
	if err := json.Unmarshal([]byte(out), &reports); err != nil || len(reports) != 1 {
		t.Fatalf("no list of one report: %v\n%s", err, out)
	}
	r := reports[0]
	if len(r.Tones) != 3 || len(r.Cuts) != 2 || r.Squint != 0.25 || r.Panel != "6x8 in across" {
		t.Errorf("the report does not say what was asked for: %+v", r)
	}
	sum := 0.0
	for i, tone := range r.Tones {
		sum += tone.Share
		oracle.Close(t, "value of a tone's lightness", tone.Value, float64(palette.L(tone.Lightness).Value()), 0.006)
		if i > 0 && tone.Value <= r.Tones[i-1].Value {
			t.Error("tones do not run from dark to light")
		}
	}
	oracle.Close(t, "sum of the shares", sum, 1, 0.0002)
	// By construction: shed 0.35x0.35 less its door, hull 0.4x0.25, the whole
	// picture being the crop. Clutter is 1 % and taken in as crumbs. A
	// strong squint would eat into the darks, as light does.

	dark := 0.35*0.35 - 0.07*0.15 + 0.4*0.25
	oracle.Close(t, "share of the darks", r.Tones[0].Share, dark, 0.005)
	oracle.Close(t, "value of the sky", r.Tones[2].Value, float64(palette.SRGB{R: 214, G: 220, B: 226}.Linear().Y().Value()), 0.15)

	pic := readPNG(t, filepath.Join(dir, "quay.plan.png"))
	if got := pic.Bounds().Size(); got != image.Pt(r.Working[0], r.Working[1]) {
		t.Errorf("picture of %v, working picture of %v", got, r.Working)
	}
	greys := map[uint8]int{}
	for y := range pic.Bounds().Dy() {
		for x := range pic.Bounds().Dx() {
			c, _, _, _ := pic.At(x, y).RGBA()
			greys[uint8(c>>8)]++
		}
	}
	if len(greys) != 3 {
		t.Errorf("a plan of three values shows %d greys", len(greys))
	}
	for _, tone := range r.Tones {
		code := palette.Grey(palette.L(tone.Lightness).Y()).G
		got := float64(greys[code]) / float64(r.Working[0]*r.Working[1])
		oracle.Close(t, "share painted with a tone", got, tone.Share, 0.0002)
	}
}

func TestPlanGoesOnFromTheKeptPlan(t *testing.T) {
	dir, file := quay(t)
	must(t, "plan", file, "--values", "4", "--panel", "5x7", "--upright", "--crop", "0.2,0.1,0.4")
	before := readFileT(t, filepath.Join(dir, "quay.plan.json"))
	must(t, "plan", file)
	if after := readFileT(t, filepath.Join(dir, "quay.plan.json")); !bytes.Equal(before, after) {
		t.Errorf("planning again without flags changed the plan:\n%s\n%s", before, after)
	}
	must(t, "plan", file, "--squint", "2")
	var f struct {
		Plan struct {
			Squint float64
			Values struct{ K int } `json:"values"`
			Panel  struct{ Size, Way string }
		}
	}
	if err := json.Unmarshal(readFileT(t, filepath.Join(dir, "quay.plan.json")), &f); err != nil {
		t.Fatal(err)
	}
	if f.Plan.Squint != 2 || f.Plan.Panel.Size != "5x7 in" || f.Plan.Panel.Way != "upright" {
		t.Errorf("a flag changed more, or less, than it names: %+v", f)
	}
	must(t, "plan", file, "--fresh")
	if bytes.Contains(readFileT(t, filepath.Join(dir, "quay.plan.json")), []byte("5x7")) {
		t.Error("--fresh kept the old panel")
	}
}

// The plan file alone brings the picture back, byte for byte.
func TestPlanReplays(t *testing.T) {
	dir, file := quay(t)
	must(t, "plan", file, "--values", "4", "--squint", "0.7", "--cuts", "3,5,7", "--tones", "2,4,6,9", "--shapes", "9", "--long", "1000")
	want := readFileT(t, filepath.Join(dir, "quay.plan.png"))
	if got := readPNG(t, filepath.Join(dir, "quay.plan.png")).Bounds().Size(); max(got.X, got.Y) != 1000 {
		t.Errorf("--long 1000 gave %v", got)
	}
	if err := os.Remove(filepath.Join(dir, "quay.plan.png")); err != nil {
		t.Fatal(err)
	}
	must(t, "plan", filepath.Join(dir, "quay.plan.json"), "--long", "1000")
	if got := readFileT(t, filepath.Join(dir, "quay.plan.png")); !bytes.Equal(got, want) {
		t.Error("the plan file does not give the same picture")
	}
}

func TestManyFilesAreAllTried(t *testing.T) {
	dir, file := quay(t)
	var jpg bytes.Buffer
	if err := jpeg.Encode(&jpg, quayPicture(200, 150), nil); err != nil {
		t.Fatal(err)
	}
	other := write(t, dir, "quay.jpg", jpg.Bytes())
	text := write(t, dir, "notes.jpg", []byte("not a picture at all"))
	outDir := filepath.Join(dir, "plans")
	code, out, words := call(t, "plan", text, file, filepath.Join(dir, "gone.jpg"), other, "--out", outDir)
	if code != exitFailed {
		t.Errorf("exit %d, want %d", code, exitFailed)
	}
	for _, name := range []string{"quay.plan.png", "quay.plan.json", "quay.jpg.plan.png", "quay.jpg.plan.json"} {
		if _, err := os.Stat(filepath.Join(outDir, name)); err != nil {
			t.Errorf("missing %s", name)
		}
	}
	if !strings.Contains(words, "2 of 4 files failed") || !strings.Contains(words, "gone.jpg") || !strings.Contains(words, "notes.jpg") {
		t.Errorf("the failures are not listed: %q", words)
	}
	if strings.Count(out, "squint 1 %") != 2 {
		t.Errorf("not two reports:\n%s", out)
	}
}

func TestShow(t *testing.T) {
	_, file := quay(t)
	code, out, words := call(t, "show", file, "--width", "40", "--colour", "none")
	if code != exitDone || words != "" {
		t.Fatalf("exit %d, words %q", code, words)
	}
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	if len(lines) != 15 {
		t.Errorf("a picture of 4:3 in 40 columns has %d rows, want 15", len(lines))
	}
	for _, l := range lines {
		if n := len([]rune(l)); n != 40 || strings.ContainsRune(l, '\x1b') {
			t.Errorf("row of %d characters: %q", n, l)
		}
	}
	for _, view := range []string{"whole", "photo", "squint", "values", "notan"} {
		code, out, _ := call(t, "show", file, "--width", "30", "--view", view, "--colour", "full")
		if code != exitDone || !strings.Contains(out, "\x1b[") || !strings.HasSuffix(out, "\n") {
			t.Errorf("%s: exit %d, output %q", view, code, out)
		}
	}
}

func TestUsageMistakesSaySo(t *testing.T) {
	_, file := quay(t)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"plan"}, "name at least one"},
		{[]string{"show"}, "name one photo"},
		{[]string{"a.jpg", "b.jpg"}, "opens one file"},
		{[]string{"plam", "b.jpg"}, "did you mean halflid plan?"},
		{[]string{"plan", file, "--values", "9"}, "2 to 5"},
		{[]string{"plan", file, "--values", "3", "--cuts", "5"}, "--cuts is for 2 values, --values says 3"},
		{[]string{"plan", file, "--cuts", "5", "--tones", "1,2,3"}, "--tones is for 3 values, --cuts says 2"},
		{[]string{"plan", file, "--cuts", "7,3"}, "out of order"},
		{[]string{"plan", file, "--crop", "0.9,0,0.5"}, "past the photo's edge"},
		{[]string{"plan", file, "--panel", "6by"}, "did you mean"},
		{[]string{"plan", file, "--squint", "NaN"}, "0 to 25"},
		{[]string{"plan", file, "--upright", "--across"}, "upright"},
		{[]string{"plan", file, "--long", "-5"}, "out of range"},
		{[]string{"plan", file, "--brush", "99"}, "0 to 50"},
		{[]string{"plan", file, "--focal", "0.5"}, "such as 0.4,0.5"},
		{[]string{"show", file, "--view", "x"}, "no view"},
		{[]string{"show", file, "--width", "0"}, "out of range"},
		{[]string{"show", file, "--colour", "pink"}, "full, 256, 16, none or auto"},
		{[]string{"--nonsense"}, "there is no flag"},
		{[]string{file}, "needs a terminal"},
	} {
		code, out, words := call(t, c.args...)
		if code != exitUsage || !strings.Contains(words, c.want) || out != "" {
			t.Errorf("%q: exit %d, words %q, output %q; want exit 2 and %q", c.args, code, words, out, c.want)
		}
	}
}

func TestBadFilesGiveOneClearLine(t *testing.T) {
	dir, file := quay(t)
	whole := readFileT(t, file)
	moved := t.TempDir()
	must(t, "plan", file)
	write(t, moved, "quay.plan.json", readFileT(t, filepath.Join(dir, "quay.plan.json")))
	huge := append([]byte{}, whole...)
	copy(huge[16:24], []byte{0, 1, 0x86, 0xa0, 0, 1, 0x86, 0xa0}) // 100000 by 100000
	for _, c := range []struct{ path, want string }{
		{filepath.Join(dir, "none.png"), "there is no such file"},
		{"shwo", "there is no such file"},
		{"sho", "did you mean halflid show?"},
		{dir, "is a folder"},
		{write(t, dir, "empty.jpg", nil), "empty"},
		{write(t, dir, "words.jpg", []byte("dear diary")), "words.jpg"},
		{write(t, dir, "half.png", whole[:len(whole)/2]), "cut short"},
		{write(t, dir, "huge.png", fixCRC(huge)), "save a smaller copy"},
		{write(t, moved, "broken.plan.json", []byte(`{"halflid":"plan","version":1,`)), "line 1"},
		{write(t, moved, "newer.plan.json", []byte(`{"halflid":"plan","version":99}`)), "newer"},
		{filepath.Join(moved, "quay.plan.json"), "its photo quay.png is not beside it"},
	} {
		code, out, words := call(t, "plan", c.path, "--out", filepath.Join(moved, "o"))
		if code != exitFailed || !strings.Contains(words, c.want) || out != "" {
			t.Errorf("%s: exit %d, words %q, output %q; want exit 1 and %q", filepath.Base(c.path), code, words, out, c.want)
		}
		if n := strings.Count(words, "\n"); n != 1 {
			t.Errorf("%s: %d lines: %q", filepath.Base(c.path), n, words)
		}
	}
}

// A file name can hold anything but a slash; none of it may reach the terminal
// as an order.
func TestNamesSendNoOrders(t *testing.T) {
	dir, file := quay(t)
	evil := write(t, dir, "a\x1b]0;x\x07\x1b[2Jb\u202e.png", readFileT(t, file))
	bad := write(t, dir, "c\x1b[31m.png", []byte("x"))
	for _, args := range [][]string{{"plan", evil}, {"plan", bad}, {"plan", filepath.Join(dir, "no\x1b[2J.png")}} {
		_, out, words := call(t, args...)
		if strings.ContainsAny(out+words, "\x1b\x07\u202e") {
			t.Errorf("%q: %q %q", args, out, words)
		}
	}
}

func TestChangedPhotoIsSaid(t *testing.T) {
	dir, file := quay(t)
	must(t, "plan", file)
	write(t, dir, "quay.png", encodePNG(t, quayPicture(500, 300)))
	_, out, _ := call(t, "plan", file)
	if !strings.Contains(out, "note: ") || !strings.Contains(out, "500 by 300") {
		t.Errorf("nothing is said of the photo that changed:\n%s", out)
	}
}

// Every photograph in a folder named by HALFLID_PHOTOS opens and gives a plan, or
// says in one line why not.
func TestRealPhotographs(t *testing.T) {
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" {
		t.Skip("HALFLID_PHOTOS names no folder of photographs")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil {
		t.Fatal(err)
	}
	planned := 0
	for _, f := range files {
		if strings.HasSuffix(f, ".md") || strings.HasSuffix(f, ".json") {
			continue
		}
		code, out, words := call(t, "plan", f, "--out", t.TempDir())
		switch {
		case code == exitDone && strings.Contains(out, "  light "):
			planned++
		case code == exitFailed && strings.Count(words, "\n") == 1:
		default:
			t.Errorf("%s: exit %d, %q %q", f, code, out, words)
		}
	}
	if planned == 0 {
		t.Error("not one photograph was planned")
	}
}

func must(t *testing.T, args ...string) {
	t.Helper()
	if code, _, words := call(t, args...); code != exitDone {
		t.Fatalf("%q: exit %d: %s", args, code, words)
	}
}

func readFileT(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func readPNG(t *testing.T, path string) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(readFileT(t, path)))
	if err != nil {
		t.Fatal(err)
	}
	return img
}
