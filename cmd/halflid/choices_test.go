package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// planOf reads the plan file that was written for the quay in dir.
func planOf(t *testing.T, dir string) plan.File {
	t.Helper()
	f, err := keep.Load(filepath.Join(dir, "quay.plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// reportsOf plans with --json.
func reportsOf(t *testing.T, args ...string) []report {
	t.Helper()
	code, out, words := call(t, append(append([]string{"plan"}, args...), "--json")...)
	if code != exitDone || words != "" {
		t.Fatalf("%q: exit %d, words %q", args, code, words)
	}
	var all []report
	if err := json.Unmarshal([]byte(out), &all); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return all
}

// The places are those of the scene by construction: the door of the shed goes, a
// post as dark as the shed stands before the sky, the sky becomes the middle value.
var quayChoices = []string{"--leave-out", "0.24,0.44,0.33,0.61", "--add", "0.7,0.1,0.8,0.4,1", "--value-at", "0.05,0.05,2"}

func TestChoicesAsFlags(t *testing.T) {
	dir, file := quay(t)
	r := reportsOf(t, append([]string{file, "--values", "3", "--squint", "0.25"}, quayChoices...)...)[0]
	want := []choice{
		{"leave out", "left out", "holds"},
		{"add", "added, value 1 of 3 (darkest)", "holds"},
		{"value", "value 2 of 3", "holds"},
	}
	if !reflect.DeepEqual(r.Choices, want) {
		t.Errorf("choices %+v, want %+v", r.Choices, want)
	}
	list := planOf(t, dir).Plan.Choices.List()
	if len(list) != 3 || list[0].Area != plan.BoxArea(0.24, 0.44, 0.33, 0.61) || list[1].Area != plan.BoxArea(0.7, 0.1, 0.8, 0.4) {
		t.Fatalf("the plan holds %+v", list)
	}
	// The darks are the shed, 0.35x0.35 with its door filled, and the hull, 0.4x0.25;
	// one pixel of 97 is clutter of the opposite grey. What is added is painted in
	// the mean of their light.
	light := func(c palette.SRGB) float64 {
		return (96*float64(c.Linear().Y()) + float64(palette.SRGB{R: 255 - c.R, G: 255 - c.G, B: 255 - c.B}.Linear().Y())) / 97
	}
	shed, hull := light(palette.SRGB{R: 52, G: 44, B: 40}), light(palette.SRGB{R: 40, G: 52, B: 60})
	oracle.Close(t, "tone of what is added", float64(list[1].Tone), float64(palette.Y((0.1225*shed+0.1*hull)/0.2225).Value()), 0.1)
	x0, y0, x1, y1 := list[2].Area.Bounds()
	for _, c := range []struct{ got, want float64 }{{x0, 0}, {y0, 0}, {x1, 1}, {y1, 0.6}} {
		oracle.Close(t, "edge of the sky", c.got, c.want, 0.01)
	}
	// What the choices make of the picture.
	pic := readPNG(t, filepath.Join(dir, "quay.plan.png"))
	at := func(x, y float64) int {
		b := pic.Bounds()
		c, _, _, _ := pic.At(int(x*float64(b.Dx())), int(y*float64(b.Dy()))).RGBA()
		for i, tone := range r.Tones {
			if uint8(c>>8) == palette.Grey(palette.L(tone.Lightness).Y()).G {
				return i + 1
			}
		}
		return 0
	}
	for name, c := range map[string]struct {
		x, y float64
		want int
	}{"door": {0.285, 0.52, 1}, "shed": {0.15, 0.4, 1}, "post": {0.75, 0.25, 1}, "sky": {0.05, 0.05, 2}} {
		if got := at(c.x, c.y); got != c.want {
			t.Errorf("the %s has value %d, want %d", name, got, c.want)
		}
	}
}

// The plan file is the one that the studio writes: each choice made on what the
// plan shows then, a value counted of those on show, a shape by its outline, what
// is added in the tone on show.
func TestChoicesAreTheStudios(t *testing.T) {
	dir, file := quay(t)
	// The place lies between shed and hull, both near.
	must(t, "plan", file, "--crop", "0.2,0.2,0.8", "--values", "4",
		"--leave-out", "0.24,0.44,0.33,0.61", "--add", "0.7,0.1,0.8,0.4,1", "--value-at", "0.5,0.55,2")
	got := planOf(t, dir)

	p, err := photo.Decode(context.Background(), readFileT(t, file), "quay.png", photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f := plan.Frame{Photo: p.Size}
	desk := study.NewDesk(p.Master)
	shown := func(now plan.Plan) study.Figures {
		s, err := desk.Make(context.Background(), now, study.Plan)
		if err != nil {
			t.Fatal(err)
		}
		return s.Figures
	}
	now := plan.SetK(4)(plan.SetCrop(plan.Crop{X: 0.2, Y: 0.2, W: 0.8})(plan.Default(p.Size), f), f)
	now = plan.Choose(plan.Choice{What: plan.LeaveOut, Area: plan.BoxArea(0.24, 0.44, 0.33, 0.61)})(now, f)
	on := shown(now)
	now = plan.Choose(plan.Choice{What: plan.Add, Area: plan.BoxArea(0.7, 0.1, 0.8, 0.4), Of: len(on.Tones), Tone: palette.Value(on.Tones[0].Value())})(now, f)
	on = shown(now)
	x0, y0, x1, y1 := now.Rect(p.Size)
	sky := on.At((0.5-x0)/(x1-x0), (0.55-y0)/(y1-y0))
	now = plan.Choose(plan.Choice{What: plan.GiveValue, Area: on.Area([]int{sky}, now, p.Size), Value: 1, Of: len(on.Tones)})(now, f)
	if !got.Plan.Equal(now) {
		t.Errorf("the command's plan is another:\n%s\n%s", got.Text(), got.With(now).Text())
	}
}

// What the command line says first does not matter, what is kept goes on, and
// --no-choices begins anew.
func TestChoicesAddUp(t *testing.T) {
	dir, file := quay(t)
	var turned []string
	for i := len(quayChoices) - 2; i >= 0; i -= 2 {
		turned = append(turned, quayChoices[i:i+2]...)
	}
	must(t, append([]string{"plan", file}, quayChoices...)...)
	first := planOf(t, dir)
	must(t, "plan", file)
	if !planOf(t, dir).Equal(first) {
		t.Error("planning again changed the choices")
	}
	must(t, append([]string{"plan", file, "--no-choices"}, turned...)...)
	if !planOf(t, dir).Equal(first) {
		t.Error("the order of the flags changed the plan")
	}
	must(t, "plan", file, "--leave-out", "0.6,0.6,0.7,0.7", "--leave-out", "0.8,0.8,0.9,0.9")
	if n := planOf(t, dir).Plan.Choices.Len(); n != 5 {
		t.Errorf("%d choices after two more, want 5", n)
	}
	must(t, "plan", file, "--no-choices")
	if n := planOf(t, dir).Plan.Choices.Len(); n != 0 {
		t.Errorf("--no-choices left %d", n)
	}
	if data := readFileT(t, filepath.Join(dir, "quay.plan.json")); strings.Contains(string(data), "leave out") {
		t.Errorf("the file still speaks of choices:\n%s", data)
	}
}

// The words say what becomes of each choice.
func TestChoicesInWords(t *testing.T) {
	dir, file := quay(t)
	must(t, "plan", file, "--leave-out", "0.9,0.9,0.99,0.99", "--value-at", "0.5,0.1,1")
	f := planOf(t, dir)
	off := plan.SwitchChoice(1)(f.Plan, f.Photo.Frame())
	write(t, dir, "quay.plan.json", f.With(off).Text())
	code, out, _ := call(t, "plan", file, "--crop", "0.2,0.1,0.4")
	if code != exitDone || !strings.Contains(out, "  choice 1   left out: outside the crop\n  choice 2   value 1 of 3 (darkest): off\n") {
		t.Errorf("exit %d:\n%s", code, out)
	}
	for _, c := range reportsOf(t, file)[0].Choices {
		if c.Standing != "outside the crop" && c.Standing != "off" {
			t.Errorf("%+v", c)
		}
	}
}

// Each shape says where it lies; by construction the sky is the sky, and light
// and high shapes are not near.
func TestShapesSayWhereTheyLie(t *testing.T) {
	_, file := quay(t)
	r := reportsOf(t, file, "--squint", "0.25")[0]
	for i, s := range r.List {
		if s.Plane == "" || s.Depth == "" || s.PlaneSure < 0 || s.PlaneSure > 0.8 || s.DepthSure < 0 || s.DepthSure > 0.8 {
			t.Errorf("shape %d: %+v", i, s)
		}
	}
	if sky := r.List[0]; sky.Plane != "sky" || sky.Depth != "far" || sky.PlaneSure == 0 {
		t.Errorf("the sky: %+v", sky)
	}
}

func TestChoiceMistakesSaySo(t *testing.T) {
	_, file := quay(t)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--leave-out", "0.1,0.2,0.3"}, "such as 0.1,0.2,0.3,0.5"},
		{[]string{"--leave-out", "0.1,0.2,0.3,1.5"}, "outside the photo"},
		{[]string{"--leave-out", "0.1,0.2,0.1,0.5"}, "no width or no height"},
		{[]string{"--add", "0.1,0.2,0.3,0.5"}, "such as 0.1,0.6,0.2,0.9,1"},
		{[]string{"--add", "0.1,0.2,0.3,x,1"}, "is not a number"},
		{[]string{"--add", "0.1,0.2,0.3,0.5,0"}, "such as --add 0.1,0.2,0.3,0.5,1"},
		{[]string{"--add", "0.1,0.2,0.3,0.5,1.5"}, "1 is the plan's darkest"},
		{[]string{"--add", "0.1,0.2,0.3,0.5,4"}, "asks for value 4, the plan has 3"},
		{[]string{"--add", "0.1,0.2,0.3,0.5,4", "--tones", "2,8"}, "asks for value 4, the plan has 2"},
		{[]string{"--value-at", "0.1,0.2,4", "--values", "2"}, "such as --value-at 0.1,0.2,2"},
		{[]string{"--value-at", "0.1,0.2,4"}, "such as --value-at 0.1,0.2,3"},
		{[]string{"--value-at", "0.1,2"}, "such as 0.4,0.5,1"},
		{[]string{"--value-at", "0.1,1.2,1"}, "does not lie on the photo"},
		{[]string{"--value-at", "-0.1,0.2,1"}, "does not lie on the photo"},
		{[]string{"--value-at", "NaN,0.2,1"}, "does not lie on the photo"},
		{[]string{"--value-at", "0.1,0.2,darkest"}, "1 is the plan's darkest"},
		{[]string{"--value-at", "0.9,0.9,1", "--crop", "0,0,0.4"}, "outside the crop, which goes from 0,0 to 0.4,0.4: such as --value-at 0.20,0.20,1"},
	} {
		for _, command := range []string{"plan", "show"} {
			code, out, words := call(t, append([]string{command, file}, c.args...)...)
			if code != exitUsage || !strings.Contains(words, c.want) || out != "" {
				t.Errorf("%s %q: exit %d, words %q; want exit 2 and %q", command, c.args, code, words, c.want)
			}
		}
	}
	if _, err := os.Stat(strings.TrimSuffix(file, ".png") + ".plan.json"); err == nil {
		t.Error("a mistake wrote a plan")
	}
}

// A plan that holds as many choices as it can says so, and is left as it is.
func TestTooManyChoices(t *testing.T) {
	dir, file := quay(t)
	must(t, "plan", file)
	f := planOf(t, dir)
	full := f.Plan
	var all []plan.Choice
	for i := range plan.MaxChoices {
		x := float64(i%20) / 20
		y := float64(i/20) / 20
		all = append(all, plan.Choice{What: plan.LeaveOut, Off: true, Area: plan.BoxArea(x, y, x+0.04, y+0.04)})
	}
	full.Choices = plan.ListOf(all...)
	text := f.With(full).Text()
	write(t, dir, "quay.plan.json", text)
	code, _, words := call(t, "plan", file, "--leave-out", "0.1,0.1,0.2,0.2")
	if want := fmt.Sprintf("the plan has %d choices; --no-choices drops those", plan.MaxChoices); code != exitUsage || !strings.Contains(words, want) {
		t.Errorf("exit %d, %q; want %q", code, words, want)
	}
	if got := readFileT(t, filepath.Join(dir, "quay.plan.json")); string(got) != string(text) {
		t.Error("the plan was changed")
	}
	must(t, "plan", file, "--no-choices", "--leave-out", "0.1,0.1,0.2,0.2")
	if n := planOf(t, dir).Plan.Choices.Len(); n != 1 {
		t.Errorf("%d choices, want 1", n)
	}
}

// Of many files, one whose plan has fewer values fails alone.
func TestChoicesOnManyFiles(t *testing.T) {
	dir, file := quay(t)
	other := write(t, dir, "other.png", encodePNG(t, quayPicture(200, 150)))
	must(t, "plan", other, "--values", "2")
	code, out, words := call(t, "plan", file, other, "--value-at", "0.05,0.05,3")
	if code != exitFailed || !strings.Contains(words, "1 of 2 files failed") || !strings.Contains(words, "other.png: --value-at 0.05,0.05,3 asks for value 3, the plan has 2") {
		t.Errorf("exit %d, %q", code, words)
	}
	if !strings.Contains(out, "choice 1   value 3 of 3 (lightest)") {
		t.Errorf("the other was not planned:\n%s", out)
	}
	// Where the flags themselves say how many values there are, none is tried.
	code, out, words = call(t, "plan", file, other, "--values", "2", "--value-at", "0.05,0.05,3")
	if code != exitUsage || out != "" || !strings.Contains(words, "asks for value 3, the plan has 2") {
		t.Errorf("exit %d, %q %q", code, words, out)
	}
}
