package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// quayThumbs plans the quay and keeps three thumbnails, the last without a name.
func quayThumbs(t *testing.T) (dir, file string, kept []plan.Thumbnail) {
	t.Helper()
	dir, file = quay(t)
	must(t, "plan", file, "--squint", "0.25")
	f := planOf(t, dir)
	frame := f.Photo.Frame()
	f, _ = f.Keep("two values, early", plan.SetK(2)(f.Plan, frame))
	f, _ = f.Keep("upright", plan.Turn(f.Plan, frame))
	f, _ = f.Keep("", plan.SetToneMethod(plan.ToneFixed)(plan.SetK(4)(f.Plan, frame), frame))
	write(t, dir, "quay.plan.json", f.Text())
	return dir, file, f.Thumbnails
}

// --all writes each thumbnail just as planning that plan alone does.
func TestAllThumbnails(t *testing.T) {
	dir, file, kept := quayThumbs(t)
	before := readFileT(t, filepath.Join(dir, "quay.plan.json"))
	r := reportsOf(t, file, "--all")[0]
	if !bytes.Equal(readFileT(t, filepath.Join(dir, "quay.plan.json")), before) {
		t.Error("writing the thumbnails changed the plan file")
	}
	if len(r.Thumbnails) != 3 || r.Wall != "" {
		t.Fatalf("the report lists %+v", r.Thumbnails)
	}
	f := planOf(t, dir)
	alone := t.TempDir()
	write(t, alone, "quay.png", readFileT(t, file))
	for i, got := range r.Thumbnails {
		name := fmt.Sprintf("quay.plan.%d.png", i+1)
		p := kept[i].Plan
		want := keptThumb{Number: i + 1, Name: kept[i].Name, Panel: p.Panel.String(), Values: p.Values.K, Hash: plan.Hash(p), Picture: filepath.Join(dir, name)}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("thumbnail %d is listed as %+v, want %+v", i+1, got, want)
		}
		write(t, alone, "quay.plan.json", f.With(p).Text())
		must(t, "plan", filepath.Join(alone, "quay.png"))
		pic := readFileT(t, filepath.Join(dir, name))
		if !bytes.Equal(pic, readFileT(t, filepath.Join(alone, "quay.plan.png"))) {
			t.Errorf("%s is not the picture of that plan", name)
		}
		if !bytes.Contains(pic, []byte("Plan\x00"+got.Hash)) {
			t.Errorf("%s does not carry its plan's hash", name)
		}
	}
	if r.Thumbnails[2].Name != "3" || r.Thumbnails[1].Panel != "6x8 in upright" {
		t.Errorf("the names are %+v", r.Thumbnails)
	}
	_, out, _ := call(t, "plan", file, "--all", "--long", "200")
	for _, want := range []string{"thumbnail 1   two values, early: 6x8 in across, 2 values\n", "wrote " + filepath.Join(dir, "quay.plan.3.png") + "\n"} {
		if !strings.Contains(out, want) {
			t.Errorf("the words lack %q:\n%s", want, out)
		}
	}
	if s := readPNG(t, filepath.Join(dir, "quay.plan.2.png")).Bounds().Size(); s != image.Pt(150, 200) {
		t.Errorf("--long 200 gave a thumbnail of %v", s)
	}
}

// The wall shows every thumbnail in its tones on N5, gives the same bytes twice,
// and goes where it was sent.
func TestThumbnailWall(t *testing.T) {
	dir, file, kept := quayThumbs(t)
	outDir := filepath.Join(dir, "out")
	path := filepath.Join(dir, "sheets", "morning.png")
	_, out, words := call(t, "plan", file, "--thumbnails", path)
	if words != "" || !strings.Contains(out, "  thumbnail 3   3: 6x8 in across, 4 values\n") || !strings.Contains(out, "  wrote "+path+" with 3 thumbnails\n") {
		t.Errorf("words %q, output:\n%s", words, out)
	}
	wall := readFileT(t, path)
	if _, err := os.Stat(filepath.Join(dir, "quay.plan.1.png")); err == nil {
		t.Error("--thumbnails alone wrote the pictures one by one")
	}
	r := reportsOf(t, file, "--out", outDir, "--all", "--thumbnails", "wall.png")[0]
	if r.Wall != filepath.Join(outDir, "wall.png") || !bytes.Equal(readFileT(t, r.Wall), wall) {
		t.Errorf("with --out the wall %q is another", r.Wall)
	}
	// All pixels of the thumbnails are there; the only others are words, lines and
	// the ground.
	hung := map[uint8]int{}
	img := readPNG(t, path).(*image.Gray)
	for _, g := range img.Pix {
		hung[g]++
	}
	total := map[uint8]int{}
	for i := range kept {
		must(t, "plan", file, "--out", outDir, "--all", "--long", "768")
		pic := readPNG(t, filepath.Join(outDir, fmt.Sprintf("quay.plan.%d.png", i+1)))
		for y := range pic.Bounds().Dy() {
			for x := range pic.Bounds().Dx() {
				c, _, _, _ := pic.At(x, y).RGBA()
				total[uint8(c>>8)]++
			}
		}
	}
	for g, n := range total {
		if hung[g] < n {
			t.Errorf("grey %d: %d pixels on the wall, %d in the pictures", g, hung[g], n)
		}
	}
	if ground := palette.Grey(palette.Value(5).Y()).G; img.GrayAt(0, 0).Y != ground {
		t.Errorf("the wall hangs on %d, want %d", img.GrayAt(0, 0).Y, ground)
	}
}

func TestWithoutThumbnails(t *testing.T) {
	dir, file := quay(t)
	code, out, words := call(t, "plan", file, "--thumbnails", filepath.Join(dir, "wall.png"))
	if code != exitFailed || out != "" || strings.Count(words, "\n") != 1 || !strings.Contains(words, "quay.png: its plan keeps no thumbnails") {
		t.Errorf("exit %d, words %q, output %q", code, words, out)
	}
	if names, _ := filepath.Glob(filepath.Join(dir, "*")); len(names) != 1 {
		t.Errorf("files were written: %q", names)
	}
	_, out, _ = call(t, "plan", file, "--all")
	if !strings.Contains(out, "no thumbnails are kept") {
		t.Errorf("nothing is said:\n%s", out)
	}
	_, out, _ = call(t, "plan", file, "--all", "--json")
	if !strings.Contains(out, `"thumbnails": []`) {
		t.Errorf("the JSON has no empty list:\n%s", out)
	}
	_, out, _ = call(t, "plan", file, "--json")
	if strings.Contains(out, "thumbnails") {
		t.Errorf("the JSON speaks of thumbnails unasked:\n%s", out)
	}
	if !json.Valid([]byte(out)) {
		t.Error("no JSON")
	}
}

// A wall goes over no photo and no picture of the plan's.
func TestWallSparesWhatIsThere(t *testing.T) {
	dir, file, _ := quayThumbs(t)
	photo := readFileT(t, file)
	if err := os.Link(file, filepath.Join(dir, "same.png")); err != nil {
		t.Skip(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{file, "--thumbnails", file}, "over the photo"},
		{[]string{file, "--thumbnails", filepath.Join(dir, "out", "..", "quay.png")}, "over the photo"},
		{[]string{file, "--thumbnails", filepath.Join(dir, "same.png")}, "over the photo"},
		{[]string{filepath.Join(dir, "quay.plan.json"), "--thumbnails", file}, "over the photo"},
		{[]string{file, "--thumbnails", filepath.Join(dir, "quay.plan.png")}, "a plan's own picture"},
		{[]string{file, "--all", "--thumbnails", filepath.Join(dir, "quay.plan.2.png")}, "a plan's own picture"},
		{[]string{file, "--thumbnails", filepath.Join(dir, "wall.jpg")}, "such as --thumbnails wall.png"},
		{[]string{file, "--thumbnails", ""}, "such as wall.png"},
		{[]string{file, filepath.Join(dir, "same.png"), "--thumbnails", "wall.png"}, "name one photo or plan (2 given)"},
	} {
		code, out, words := call(t, append([]string{"plan"}, c.args...)...)
		if code != exitUsage || out != "" || !strings.Contains(words, c.want) {
			t.Errorf("%q: exit %d, words %q; want exit 2 and %q", c.args, code, words, c.want)
		}
	}
	if !bytes.Equal(readFileT(t, file), photo) {
		t.Error("the photo was written to")
	}
}

// A photo that is named like the picture of its own plan is not written over.
func TestPlanSparesThePhoto(t *testing.T) {
	dir, file, _ := quayThumbs(t)
	f := planOf(t, dir)
	f.Photo.Name = "quay.plan.png"
	shot := write(t, dir, "quay.plan.png", readFileT(t, file))
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	path := write(t, dir, "quay.plan.json", f.Text())
	code, _, words := call(t, "plan", path)
	if code != exitFailed || !strings.Contains(words, "would write over the photo") || strings.Count(words, "\n") != 1 {
		t.Errorf("exit %d, %q", code, words)
	}
	if got := readPNG(t, shot).Bounds().Size(); got != image.Pt(400, 300) {
		t.Errorf("the photo is now %v", got)
	}
}

func TestShowThumbnail(t *testing.T) {
	dir, file, kept := quayThumbs(t)
	alone := t.TempDir()
	write(t, alone, "quay.png", readFileT(t, file))
	for i, k := range kept {
		write(t, alone, "quay.plan.json", planOf(t, dir).With(k.Plan).Text())
		for _, view := range []string{"plan", "photo"} {
			_, want, _ := call(t, "show", filepath.Join(alone, "quay.png"), "--width", "30", "--view", view)
			code, got, words := call(t, "show", file, "--width", "30", "--view", view, "--thumbnail", fmt.Sprint(i+1))
			if code != exitDone || words != "" || got != want {
				t.Errorf("thumbnail %d, %s: exit %d, %q, shows\n%s\nwant\n%s", i+1, view, code, words, got, want)
			}
		}
	}
	_, plain := quay(t)
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{file, "--thumbnail", "4"}, exitUsage, "keeps 3, such as --thumbnail 3"},
		{[]string{file, "--thumbnail", "0"}, exitUsage, "1 is the first"},
		{[]string{file, "--thumbnail", "-1"}, exitUsage, "1 is the first"},
		{[]string{plain, "--thumbnail", "1"}, exitFailed, "keeps no thumbnails"},
	} {
		if code, out, words := call(t, append([]string{"show"}, c.args...)...); code != c.code || out != "" || !strings.Contains(words, c.want) {
			t.Errorf("%q: exit %d, words %q; want exit %d and %q", c.args, code, words, c.code, c.want)
		}
	}
}
